//! Which of several wounds comes first.
//!
//! Owns the order of severity between wounds of one casualty (our default): a bleeding wound that needs a
//! tourniquet, a tourniquet that fails, a bleeding wound that needs packing or its own measure, a dressing
//! too tight, an overdue first check, hands that must stay, everything else.

use jiff::Timestamp;

use super::{Case, Picture};
use crate::rules::bleeding::clocks::{ClockAbout, clocks};
use crate::rules::bleeding::standing::Standing;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;

/// How urgent a wound is, 0 (first) to 7 (closed). `overdue` says whether its own clock is past due.
pub fn urgency(standing: &Standing, overdue: bool) -> u8 {
    match standing.state {
        State::Bleeding if standing.next == Step::Tourniquet => 0,
        State::TourniquetFails => 1,
        State::Bleeding if standing.next != Step::PressDirectly || standing.risk.dangerous => 2,
        _ if standing.times.breathing_worse.is_some() => 2,
        State::DressingTight => 3,
        State::DressingUnchecked | State::TourniquetUnchecked if overdue => 4,
        State::HandsStay => 5,
        State::HandedOver | State::Void => 7,
        _ => 6,
    }
}

/// The wound whose next step is shown for the casualty: highest severity, then earliest due.
pub fn most_urgent(case: &Case<'_>, picture: &Picture, now: Timestamp) -> Option<usize> {
    let all = clocks(case, picture, now);
    let first_due = |index: usize| {
        all.iter()
            .filter(|clock| clock.about == ClockAbout::Wound(index))
            .map(|clock| clock.due_at)
            .min()
            .unwrap_or(Timestamp::MAX)
    };
    (0..picture.wounds.len())
        .filter(|index| picture.wounds[*index].times.known.is_some())
        .filter(|index| !picture.wounds[*index].state.is_closed())
        .min_by_key(|index| {
            let due = first_due(*index);
            (urgency(&picture.wounds[*index], due <= now), due, *index)
        })
}
