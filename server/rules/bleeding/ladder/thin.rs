//! Two-tap reports, read in the light of what the wound was waiting for.
//!
//! Owns the translation of a bare look ("stopped", "slowed", "still bleeding"), a bare measure and a bare
//! check beyond, into the full act. Promises: a thin report never says more than the person saw; where a
//! half is missing it stays missing.

use super::Fold;
use crate::rules::bleeding::act::{Act, Application};
use crate::rules::bleeding::limb::LimbStanding;
use crate::rules::bleeding::observation::{Findings, HoldSeen, Stain};
use crate::rules::bleeding::standing::Standing;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::terms::Measure;
use crate::rules::bleeding::terms::{Flow, Look};

/// The full act a thin one stands for; a full act stays as it is.
pub(super) fn in_full(standing: &Standing, act: &Act) -> Act {
    match act {
        Act::Looked(look) => looked(standing, *look),
        Act::Did {
            measure: Measure::DirectPressure,
            ..
        } if standing.next == Step::HoldByHand => Act::ManualHold,
        Act::Did {
            measure: Measure::DirectPressure,
            ..
        } => Act::PressureStarted,
        Act::Did {
            measure: Measure::Packing,
            material,
            expired,
        } => Act::Packed {
            material: *material,
            expired: *expired,
        },
        Act::Did {
            measure: Measure::PressureDressing,
            ..
        } => Act::DressingApplied,
        Act::Did {
            measure: Measure::Tourniquet,
            ..
        } => Act::TourniquetApplied(Application::default()),
        Act::BeyondLooked { flow, result } => {
            if standing.state.is_under_tourniquet() || standing.state == State::Converting {
                Act::TourniquetChecked {
                    bleeding: None,
                    pulse: *flow,
                }
            } else {
                Act::DressingChecked {
                    stain: None,
                    beyond: *result,
                }
            }
        }
        full => full.clone(),
    }
}

fn looked(standing: &Standing, look: Look) -> Act {
    let still = look != Look::Stopped;
    match standing.state {
        State::Unseen => Act::Assessed(Findings::flow(first_flow(look))),
        // Slower is not stopped: the duty stays.
        State::Bleeding if still => Act::Looked(look),
        State::Bleeding => Act::Assessed(Findings::flow(Flow::None)),
        State::Pressing | State::PackPressing => Act::HoldEnded(match look {
            Look::Stopped => HoldSeen::Stopped,
            Look::Slowed => HoldSeen::Ooze,
            Look::StillBleeding => HoldSeen::Continues,
        }),
        State::DressingUnchecked | State::DressingHolds | State::DressingTight => {
            let stain = match look {
                Look::Stopped => Stain::Dry,
                Look::Slowed => Stain::Growing,
                Look::StillBleeding => Stain::Flowing,
            };
            Act::DressingChecked {
                stain: Some(stain),
                beyond: None,
            }
        }
        State::TourniquetUnchecked
        | State::TourniquetHolds
        | State::TourniquetFails
        | State::Converting => Act::TourniquetChecked {
            bleeding: Some(still),
            pulse: None,
        },
        State::Stopped | State::Cleaned => Act::BleedChecked { dry: !still },
        State::Covered if !still => Act::CoverChecked,
        State::HandsStay | State::Covered | State::HandedOver | State::Void => Act::Looked(look),
    }
}

const fn first_flow(look: Look) -> Flow {
    match look {
        Look::Stopped => Flow::None,
        Look::Slowed | Look::StillBleeding => Flow::Steady,
    }
}

impl Fold<'_> {
    /// "A tourniquet" on a limb that has a tight one above this wound is a second one.
    pub(super) fn with_tourniquet_known(&self, index: usize, act: Act) -> Act {
        let Act::TourniquetApplied(how) = act else {
            return act;
        };
        let limb = self.picture.limbs.get(&self.limb_of(index));
        let already = |limb: &LimbStanding| limb.covers(index, self.case.wounds);
        if limb.is_some_and(already) {
            Act::SecondTourniquet(how)
        } else {
            Act::TourniquetApplied(how)
        }
    }
}
