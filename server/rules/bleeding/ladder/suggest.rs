//! What is shown beside the next step: urgent overrides, other steps, warnings that stand.
//!
//! Owns what follows from a finished fold. Warnings raised by the last act are already there; these are the
//! ones that hold as long as the state does.

use super::{Case, Picture};
use crate::rules::bleeding::observation::Stain;
use crate::rules::bleeding::policy::{FirstForLimb, Policy};
use crate::rules::bleeding::region::{Allowed, Region};
use crate::rules::bleeding::standing::Standing;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::{Contamination, Depth, Limb, Mechanism, Wound};

pub(super) fn complete(case: &Case<'_>, picture: &mut Picture, index: usize) {
    let wound = &case.wounds[index];
    let limb = wound.limb(index).unwrap_or(Limb::OfWound(index));
    let time_missing = picture
        .limbs
        .get(&limb)
        .is_some_and(|limb| limb.time_missing().is_some());
    // High up or over clothes is for the first minutes. Source: TCCC Guidelines.
    let may_move = picture.limbs.get(&limb).is_some_and(|limb| {
        limb.tourniquets
            .iter()
            .filter(|one| one.loosened_at.is_none())
            .any(|one| one.application.is_for_the_first_minutes())
    });
    let standing = &mut picture.wounds[index];
    if standing.state.is_closed() {
        return;
    }
    if standing.times.breathing_worse.is_some() {
        let covered = standing.state == State::Covered;
        standing.next = if covered {
            Step::LiftCover
        } else {
            Step::HelpAirway
        };
    }
    standing.others = others(wound, standing, may_move);
    if time_missing && standing.state.is_under_tourniquet() {
        standing.warnings.insert(Warning::WriteTime);
    }
    if standing.times.known.is_some() {
        standing.warnings.extend(standing_warnings(wound, standing));
    }
}

fn others(wound: &Wound, standing: &Standing, may_move: bool) -> Vec<Step> {
    let place = wound.region.capability();
    let open = [
        (
            !matches!(wound.region, Region::Eye | Region::Evisceration),
            Step::PressDirectly,
        ),
        (
            place.packing == Allowed::Yes && wound.depth != Depth::Shallow,
            Step::Pack,
        ),
        (place.pressure_dressing == Allowed::Yes, Step::WrapDressing),
        (place.tourniquet, Step::Tourniquet),
        (wound.region.is_covered(), Step::Cover),
    ];
    let allowed = |table: &[(bool, Step)]| -> Vec<Step> {
        table
            .iter()
            .filter(|(yes, _)| *yes)
            .map(|(_, step)| *step)
            .collect()
    };
    let steps = match standing.state {
        State::Unseen | State::Bleeding | State::Pressing | State::HandsStay => allowed(&open),
        State::PackPressing => allowed(&open[2..4]),
        State::DressingUnchecked | State::DressingHolds | State::DressingTight => allowed(&[
            (place.distal_check, Step::CheckBeyond),
            (true, Step::LookAtDressing),
            (
                standing
                    .stain
                    .is_none_or(|(_, stain)| stain != Stain::Soaked),
                Step::LoosenDressing,
            ),
            (true, Step::ReinforceDressing),
            (place.tourniquet, Step::Tourniquet),
        ]),
        State::TourniquetUnchecked | State::TourniquetFails | State::Converting => {
            vec![Step::CheckTourniquet, Step::TightenOrSecond]
        }
        State::TourniquetHolds => allowed(&[
            (true, Step::CheckTourniquet),
            (true, Step::AskIfStillNeeded),
            (true, Step::LeaveTourniquet),
            (may_move, Step::MoveTourniquet),
        ]),
        State::Stopped | State::Cleaned => vec![Step::DressSimply, Step::PressDirectly],
        State::Covered => vec![Step::Cover, Step::LiftCover],
        State::HandedOver | State::Void => Vec::new(),
    };
    steps
        .into_iter()
        .filter(|step| *step != standing.next)
        .collect()
}

fn standing_warnings(wound: &Wound, standing: &Standing) -> Vec<Warning> {
    let unclean = wound.contamination != Contamination::Clean
        || wound.mechanism == Mechanism::Bite
        || (wound.mechanism == Mechanism::Puncture && wound.depth != Depth::Shallow);
    let next = standing.next;
    [
        (matches!(next, Step::Pack | Step::Repack), Warning::PackDeep),
        (next == Step::Tourniquet, Warning::PlaceTourniquet),
        (
            matches!(
                next,
                Step::CheckBeyond
                    | Step::CheckTourniquet
                    | Step::FeelForPulse
                    | Step::TightenOrSecond
            ),
            Warning::OppositePulses,
        ),
        (standing.state == State::DressingTight, Warning::TooTight),
        (standing.state.is_under_tourniquet(), Warning::NeverLoosen),
        (wound.region == Region::ChestOpen, Warning::LiftCoverIfWorse),
        (wound.region == Region::Evisceration, Warning::OrgansOutside),
        (wound.region == Region::Eye, Warning::NoPressureOnEye),
        (
            wound.region == Region::SkullFractureSuspected,
            Warning::NoPressureOnSkull,
        ),
        (wound.impaled, Warning::LeaveObjectIn),
        (unclean && standing.state.is_stopped(), Warning::DoNotClose),
    ]
    .into_iter()
    .filter_map(|(shown, warning)| shown.then_some(warning))
    .collect()
}

/// What comes when a hold of this wound is up and it bleeds on: to be read while pressing, also out of range. The
/// same ways as the fold goes (`pressing`, `packing`).
pub fn after_hold(policy: &Policy, wound: &Wound, standing: &Standing, held: State) -> Step {
    let place = wound.region.capability();
    if held == State::PackPressing {
        return if place.tourniquet {
            Step::Tourniquet
        } else if standing.repacks < policy.dressings.most_repacks && place.packing != Allowed::No {
            Step::Repack
        } else {
            Step::HoldByHand
        };
    }
    let pinches = wound.region == Region::Nose;
    if pinches && standing.repeats + 1 < policy.holds.nose_times {
        return Step::KeepPressing;
    }
    let straight_up = policy.switches.first_for_limb == FirstForLimb::PressureThenTourniquet
        && standing.risk.dangerous
        && place.tourniquet;
    if straight_up {
        Step::Tourniquet
    } else if place.packing == Allowed::Yes && wound.depth != Depth::Shallow {
        Step::Pack
    } else if place.pressure_dressing == Allowed::Yes {
        Step::WrapDressing
    } else {
        Step::HoldByHand
    }
}
