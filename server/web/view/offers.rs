//! Which buttons stand at a wound and at a duty, the likely one first.
//!
//! Owns the offer: the suggested step, then the others the place and the state allow; nothing that breaks a rule.
//! Promises: a wound that is not closed always has something to tap that moves it on; the same buttons stand on the
//! casualty's page and on a helper's own.

use serde_json::json;

use super::checks;
use super::choice::{Choice, Target, opens};
use super::look_again::look_choices;
use super::materials::dressings;
use super::places::{cover, pack, press};
use crate::incident::fact::Deed;
use crate::incident::{Casualty, Duty, Incident, Task, Wound};
use crate::rules::bleeding::{ClockKind, Policy, State, Step};

/// What offers are made from.
#[derive(Clone, Copy)]
pub(super) struct At<'a> {
    pub(super) policy: &'a Policy,
    pub(super) casualty: &'a Casualty,
    pub(super) wound: &'a Wound,
    pub(super) target: &'a Target,
}

/// The buttons of a wound.
pub(crate) fn wound_offers(incident: &Incident, casualty: &Casualty, wound: &Wound) -> Vec<Choice> {
    let policy = &incident.settings().now().policy;
    let target = Target::wound(casualty, wound).with(incident.stock_left());
    let at = At {
        policy,
        casualty,
        wound,
        target: &target,
    };
    let mut all = by_state(at);
    all.extend(checks::breathing(at));
    for kind in own_answers(casualty, wound) {
        all.extend(for_clock(at, kind));
    }
    without_repeats(all)
}

/// The buttons of a duty.
pub(crate) fn duty_offers(incident: &Incident, duty: &Duty) -> Vec<Choice> {
    let Some(casualty) = incident.casualty(duty.casualty) else {
        return Vec::new();
    };
    let kind = match duty.task {
        Task::Sort => return Vec::new(),
        Task::LookAgain(_) => return look_choices(casualty),
        Task::Care(kind, _) => kind,
    };
    let wound = casualty
        .wounds
        .iter()
        .find(|wound| Some(wound.id) == duty.wound);
    let Some(wound) = wound else {
        return person_offers(casualty, kind);
    };
    let policy = &incident.settings().now().policy;
    let target = Target::wound(casualty, wound).with(incident.stock_left());
    let at = At {
        policy,
        casualty,
        wound,
        target: &target,
    };
    let own = for_clock(at, kind);
    if own.is_empty() {
        let mut all = by_state(at);
        if wound.standing.times.breathing_worse.is_some() {
            all.extend(checks::breathing(at));
        }
        without_repeats(all)
    } else {
        own
    }
}

/// The buttons of a duty towards the whole person.
pub(crate) fn person_offers(casualty: &Casualty, kind: ClockKind) -> Vec<Choice> {
    let target = Target::person(casualty);
    match kind {
        ClockKind::ObserveShock | ClockKind::ObserveStable => {
            vec![opens("Vital signs", "vitals"), opens("Signs of shock", "shock")]
        }
        ClockKind::Warmth => vec![
            target
                .reports(
                    "Wrapped up warm",
                    &json!({ "kind": "casualty.warmed/1", "used": [{ "item": "blanket", "count": 1 }] }),
                )
                .hint("one blanket"),
            opens("How to keep them warm", "warm"),
        ],
        // What only medics or the lead act on: shown with its clock, nothing to tap.
        _ => Vec::new(),
    }
}

fn without_repeats(all: Vec<Choice>) -> Vec<Choice> {
    let mut kept: Vec<Choice> = Vec::new();
    for choice in all {
        let same = |other: &Choice| {
            (other.label, &other.report, other.opens, other.offered)
                == (choice.label, &choice.report, choice.opens, choice.offered)
        };
        if !kept.iter().any(same) {
            kept.push(choice);
        }
    }
    kept
}

/// Clocks of this wound that the buttons of its state do not answer.
fn own_answers(casualty: &Casualty, wound: &Wound) -> impl Iterator<Item = ClockKind> {
    casualty
        .clocks
        .iter()
        .filter(|clock| clock.wound == Some(wound.id))
        .map(|clock| clock.kind)
        .filter(|kind| *kind != ClockKind::Breathing)
}

/// The answers that belong to one clock and not to the wound's state.
fn for_clock(at: At<'_>, kind: ClockKind) -> Vec<Choice> {
    use ClockKind as Kind;
    let target = at.target;
    match kind {
        Kind::TourniquetTimeMissing => vec![opens("Tell the time", "tourniquet-time")],
        Kind::TourniquetReview => checks::review(at),
        Kind::Breathing => checks::breathing(at),
        Kind::OrganCover => vec![target.did(Deed::CheckCover).saying("Cover in order, moist")],
        Kind::RelieveHands => vec![
            target
                .did(Deed::HoldByHand)
                .saying("Hands swapped, still on it"),
        ],
        Kind::RinseBefore => vec![checks::rinse(at)],
        Kind::DressingChange | Kind::InfectionLook => vec![
            opens("Look for infection", "infection"),
            target
                .reports(
                    "Dressing changed, no infection",
                    &json!({ "kind": "infection.looked/1", "dressing_changed": true,
                        "used": Deed::ChangeDressing.usual() }),
                )
                .hint("small pad, gauze roll"),
        ],
        Kind::CheckAfterMove if at.wound.standing.state == State::HandsStay => vec![
            target
                .did(Deed::HoldByHand)
                .saying("Hands still on it, holds"),
        ],
        _ => Vec::new(),
    }
}

fn by_state(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let standing = &at.wound.standing;
    match standing.state {
        State::Unseen => vec![opens("See how it bleeds", "flow")],
        State::Pressing | State::PackPressing if !standing.hands.pressing => {
            without_repeats(press(at).into_iter().chain(steps(at)).collect())
        }
        State::Pressing | State::PackPressing if standing.hold.is_some() => checks::after_hold(at),
        State::Bleeding | State::Pressing | State::PackPressing => steps(at),
        State::HandsStay => std::iter::once(
            target
                .did(Deed::HoldByHand)
                .saying("Hands swapped, still on it"),
        )
        .chain(
            standing
                .others
                .iter()
                .filter(|step| **step != Step::PressDirectly)
                .flat_map(|step| step_done(at, *step)),
        )
        .collect(),
        State::DressingTight => vec![
            target.did(Deed::Loosen),
            target.did(Deed::KeepTight).hint("next: tourniquet"),
        ]
        .into_iter()
        .chain(steps(at))
        .collect(),
        State::DressingUnchecked if standing.next == Step::ReinforceDressing => {
            steps(at).into_iter().chain(checks::dressing(at)).collect()
        }
        State::DressingUnchecked | State::DressingHolds => checks::dressing(at),
        State::TourniquetUnchecked => checks::tourniquet(at),
        State::TourniquetHolds => {
            let mut all = checks::tourniquet(at);
            all.extend(checks::review(at));
            all
        }
        State::TourniquetFails => vec![
            target.did(Deed::Tighten),
            target.did(Deed::SecondTourniquet),
        ],
        State::Converting => checks::releasing(at),
        State::Stopped | State::Cleaned => checks::quiet(at),
        State::Covered => cover(at),
        State::HandedOver | State::Void => Vec::new(),
    }
}

/// The suggested step and the others, each as what is reported when it is done.
fn steps(at: At<'_>) -> Vec<Choice> {
    let standing = &at.wound.standing;
    std::iter::once(standing.next)
        .chain(standing.others.iter().copied())
        .flat_map(|step| step_done(at, step))
        .collect()
}

fn step_done(at: At<'_>, step: Step) -> Vec<Choice> {
    let target = at.target;
    match step {
        Step::PressDirectly | Step::KeepPressing => press(at),
        Step::Pack | Step::Repack => pack(at),
        Step::WrapDressing => wrap(at),
        Step::ReinforceDressing => vec![target.did(Deed::Reinforce)],
        Step::LoosenDressing => vec![target.did(Deed::Loosen)],
        Step::Tourniquet => vec![target.did(Deed::Tourniquet).then("open:tourniquet")],
        Step::TightenOrSecond => vec![target.did(Deed::Tighten)],
        Step::HoldByHand => vec![target.did(Deed::HoldByHand)],
        Step::Cover | Step::LiftCover => cover(at),
        Step::DressSimply => vec![target.did(Deed::PlainDressing)],
        Step::LeaveEarly => vec![opens("Ask for evacuation", "evac")],
        _ => Vec::new(),
    }
}

/// The kinds of pressure dressing. One that is on is checked at once, where there is something beyond it to check.
fn wrap(at: At<'_>) -> Vec<Choice> {
    let beyond = at
        .wound
        .region
        .is_some_and(|region| region.capability().distal_check);
    dressings(&at.target.left)
        .into_iter()
        .map(|(label, made)| {
            let wrapped = at
                .target
                .did_with(Deed::PressureDressing, &made.used)
                .saying(label)
                .hint(made.mind);
            if beyond {
                wrapped.then("open:beyond").telling("before", "false")
            } else {
                wrapped
            }
        })
        .collect()
}
