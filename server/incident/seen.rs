//! What was seen at a wound beside how it bleeds: the part beyond, signs of infection, how much it was rinsed.
//!
//! Owns the last look of each kind, judged by the rules. Promises: pure; a look before the dressing is kept
//! apart, for later ones are compared with it.

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::{BeyondChecked, Circulation, Compared, Fact};
use super::ids::WoundId;
use crate::rules::bleeding::Policy;
use crate::rules::bleeding::after_care::ClosedWith;
use crate::rules::bleeding::distal::{
    BeyondCheck, Body, Compared as Felt, Judged, PulseBeyond, judge_beyond, refill_limit_tenths,
};
use crate::rules::bleeding::infection::{Infection, InfectionSign, infection};

/// One look beyond, with what the rules say of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BeyondSeen {
    /// When.
    pub at: Timestamp,
    /// What was seen and measured.
    pub check: BeyondChecked,
    /// What the rules say.
    pub judged: Judged,
    /// Refill slower than this is slow, tenths of a second.
    pub limit_tenths: u16,
}

/// What was seen at one wound.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// The part beyond before the dressing.
    pub before: Option<BeyondSeen>,
    /// The part beyond, last look.
    pub beyond: Option<BeyondSeen>,
    /// Signs of infection at the last look, and how serious they are.
    pub infection: Option<(Timestamp, Vec<InfectionSign>, Infection)>,
    /// Closed in the field: when, and with what.
    pub closed: Option<(Timestamp, ClosedWith)>,
    /// Water it was rinsed with altogether, in millilitres.
    pub rinsed_ml: u32,
}

impl Seen {
    /// From a casualty's unstruck entries, in order of happening.
    pub(super) fn of(wound: WoundId, ordered: &[&Entry], body: Body, policy: &Policy) -> Self {
        let mut seen = Self::default();
        let about = About::Wound(wound);
        for entry in ordered.iter().filter(|entry| entry.about == about) {
            let at = entry.happened_at;
            match &entry.fact {
                Fact::BeyondChecked(check) => seen.look_beyond(at, check, body, policy),
                Fact::InfectionLooked(look) => {
                    let serious = infection(&look.signs.iter().copied().collect());
                    seen.infection = Some((at, look.signs.clone(), serious));
                }
                Fact::WoundClosed(closed) => seen.closed = Some((at, closed.with)),
                Fact::WoundRinsed(rinsed) => {
                    seen.rinsed_ml = seen.rinsed_ml.saturating_add(rinsed.ml);
                }
                _ => {}
            }
        }
        seen
    }

    fn look_beyond(&mut self, at: Timestamp, check: &BeyondChecked, body: Body, policy: &Policy) {
        let before = self.before.as_ref().map(|before| &before.check);
        let look = BeyondSeen {
            at,
            check: check.clone(),
            judged: judge_beyond(policy, &body, &as_check(check, before)),
            limit_tenths: refill_limit_tenths(policy, &body),
        };
        if check.before {
            self.before = Some(look);
        } else {
            self.beyond = Some(look);
        }
    }
}

/// A look as the rules read it, compared with the one before the dressing.
pub(super) fn as_check(look: &BeyondChecked, before: Option<&BeyondChecked>) -> BeyondCheck {
    BeyondCheck {
        pulse: pulse(look.circulation),
        pulse_before: before.and_then(|before| match pulse(before.circulation) {
            PulseBeyond::Present | PulseBeyond::Weaker => Some(true),
            PulseBeyond::Absent => Some(false),
            PulseBeyond::CannotTell => None,
        }),
        refill_tenths: look.refill_tenths,
        refill_other_side_tenths: look.refill_other_side_tenths,
        skin: look.skin.unwrap_or_default(),
        movement: felt(look.movement),
        feeling: felt(look.feeling),
    }
}

pub(super) fn pulse(circulation: Option<Circulation>) -> PulseBeyond {
    match circulation {
        Some(Circulation::Present) => PulseBeyond::Present,
        Some(Circulation::Weaker) => PulseBeyond::Weaker,
        Some(Circulation::Absent) => PulseBeyond::Absent,
        Some(Circulation::CannotTell) | None => PulseBeyond::CannotTell,
    }
}

pub(super) fn felt(compared: Option<Compared>) -> Felt {
    match compared {
        Some(Compared::AsBefore) => Felt::AsBefore,
        Some(Compared::Worse) => Felt::Worse,
        Some(Compared::CannotTell) | None => Felt::CannotTell,
    }
}
