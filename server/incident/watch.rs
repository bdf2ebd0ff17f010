//! When a casualty is to be looked at again: the one clock of triage.
//!
//! Owns the merge of the intervals by category with the events that call for a look whatever the interval.
//! Promises: pure; nothing here changes a category. What counts as a look: a category assigned, whatever it is;
//! for the interval also vital signs, because US field teaching ("unstable every 5 minutes, stable every 15")
//! means them. An event is answered by a category alone.

use std::time::Duration;

use jiff::{SignedDuration, Timestamp};

use super::entry::Entry;
use super::fact::{CallAnswered, Deed, Fact, SignsMeasured};
use super::settings::Settings;
use super::sorting::{Decision, Sorting};
use super::worsening::Flag;
use crate::rules::bleeding::{Measure, Minutes, Severity};
use crate::rules::triage::Category;
use crate::rules::triage::retriage::{Event, NextLook, Standing, next_look};
use crate::rules::triage::salt_sort::CallResponse;

/// How soon somebody who lies still, or whose life is plainly in danger, is to be assessed. Design choice: first,
/// and before anybody else is late; no system names a time.
const FIRST: SignedDuration = SignedDuration::from_mins(2);
/// How soon a look is due after an event. *Common practice*: the shortest interval of `rules::triage::retriage`.
const AFTER_EVENT: SignedDuration = SignedDuration::from_mins(5);
/// When to raise the alarm after an event.
const EVENT_OVERDUE: SignedDuration = SignedDuration::from_mins(10);
/// When the second check of somebody called dead is due. Design choice; none is published.
const SECOND_CHECK: SignedDuration = SignedDuration::from_mins(10);

/// The next look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Watch {
    /// From when it counts.
    pub started_at: Timestamp,
    /// When it is due, and shown.
    pub due_at: Timestamp,
    /// When it is overdue.
    pub overdue_at: Timestamp,
    /// Why.
    pub why: Why,
    /// How bad when late.
    pub severity: Severity,
}

/// Why somebody is to be looked at again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Why {
    /// The interval of their category is up.
    Interval,
    /// Questions were left open.
    Open,
    /// Something happened.
    Event(Event),
    /// Called dead by one person; another is to check once.
    SecondCheck,
}

/// What the clock is worked out from.
pub(super) struct Given<'a> {
    pub(super) ordered: &'a [&'a Entry],
    pub(super) sorting: &'a Sorting,
    pub(super) category: Option<Category>,
    pub(super) vitals: &'a [(Timestamp, SignsMeasured)],
    pub(super) flags: &'a [Flag],
    pub(super) settings: &'a Settings,
}

/// The next look at somebody who has a category. Who has none is to be sorted, which is another duty.
pub(super) fn watch(given: &Given<'_>) -> Option<Watch> {
    let category = given.category?;
    let last = given.sorting.decisions.last()?;
    let standing = if last.is_provisional() {
        Standing::Provisional
    } else {
        Standing::Triaged(category)
    };
    let by_event = || first_event(given, standing, last.at);
    match (by_interval(given, standing, last), by_event()) {
        (Some(interval), Some(event)) if event.overdue_at <= interval.overdue_at => Some(event),
        (None, event) => event,
        (interval, _) => interval,
    }
}

/// When somebody without a category is to be sorted: from when it counts, when it is due, how bad when late.
pub(super) fn sort_by(
    met_at: Timestamp,
    call: Option<(Timestamp, CallAnswered)>,
    within: Minutes,
) -> (Timestamp, Timestamp, Severity) {
    let from = call.map_or(met_at, |(at, _)| at);
    // SALT: those who lie still or bleed heavily first, then those who waved, then those who walked.
    match call.map(|(_, call)| (call.response, call.life_threat)) {
        Some((CallResponse::Still, _) | (_, true)) => (from, from + FIRST, Severity::High),
        Some((CallResponse::Walked, false)) => {
            let NextLook::WhenFree { overdue } = next_look(Standing::WalkedUnseen) else {
                return (from, within.after(from), Severity::Low);
            };
            (from, from + signed(overdue), Severity::Low)
        }
        _ => (from, within.after(from), Severity::High),
    }
}

fn by_interval(given: &Given<'_>, standing: Standing, last: &Decision) -> Option<Watch> {
    let measured = given
        .vitals
        .iter()
        .filter(|(_, signs)| {
            signs.breaths().is_some() || signs.pulse().is_some() || signs.consciousness.is_some()
        })
        .map(|(at, _)| *at)
        .max();
    let held = &given.settings.now().looks;
    let (due, overdue, why, from) = match held.next_look(standing) {
        NextLook::After { due, overdue } => {
            let why = if standing == Standing::Provisional {
                Why::Open
            } else {
                Why::Interval
            };
            let from = measured.map_or(last.at, |at| at.max(last.at));
            (signed(due), signed(overdue), why, from)
        }
        NextLook::WhenFree { overdue } => (
            SignedDuration::ZERO,
            signed(overdue),
            Why::Interval,
            last.at,
        ),
        NextLook::OnceByAnother => return second_check(given.sorting),
    };
    Some(Watch {
        started_at: from,
        due_at: from + due,
        overdue_at: from + overdue,
        why,
        severity: severity(standing),
    })
}

fn second_check(sorting: &Sorting) -> Option<Watch> {
    let mut called = sorting
        .decisions
        .iter()
        .rev()
        .take_while(|decision| decision.category == Category::Dead);
    let last = called.next()?;
    if called.any(|earlier| earlier.device != last.device) {
        return None;
    }
    Some(Watch {
        started_at: last.at,
        due_at: last.at,
        overdue_at: last.at + SECOND_CHECK,
        why: Why::SecondCheck,
        severity: Severity::Low,
    })
}

fn first_event(given: &Given<'_>, standing: Standing, since: Timestamp) -> Option<Watch> {
    let mut events: Vec<(Timestamp, Event)> = Vec::new();
    let mut helped = false;
    let mut level = None;
    for entry in given.ordered {
        let change = match &entry.fact {
            Fact::CasualtyTaken(taken) => {
                let handed_over = helped && taken.helper.is_some();
                helped = taken.helper.is_some();
                handed_over.then_some(Event::HandedOver)
            }
            fact => event(fact, &mut level),
        };
        events.extend(change.map(|event| (entry.happened_at, event)));
    }
    events.extend(given.flags.iter().map(|(at, _)| (*at, Event::SignsWorse)));
    events.extend(given.settings.events());
    let (at, event) = events
        .into_iter()
        .filter(|(at, event)| *at > since && event.calls_for_a_look(standing))
        .min()?;
    Some(Watch {
        started_at: at,
        due_at: at,
        overdue_at: at
            // The transport does not wait longer than this either.
            + if matches!(event, Event::SignsWorse | Event::Leaving) {
                AFTER_EVENT
            } else {
                EVENT_OVERDUE
            },
        why: Why::Event(event),
        severity: if is_alarming(event) {
            Severity::High
        } else {
            severity(standing)
        },
    })
}

/// Whether the event itself says that they may be worse, whatever their category.
const fn is_alarming(event: Event) -> bool {
    matches!(
        event,
        Event::SignsWorse | Event::ConsciousnessChanged | Event::BreathingWorse
    )
}

fn event(fact: &Fact, level: &mut Option<crate::rules::scores::Consciousness>) -> Option<Event> {
    match fact {
        Fact::LifesavingDone(_) => Some(Event::LifesavingIntervention),
        Fact::StepTaken(step) if step.step == Measure::Tourniquet => Some(Event::TourniquetApplied),
        Fact::StepDone(step) if matches!(step.step, Deed::Tourniquet | Deed::SecondTourniquet) => {
            Some(Event::TourniquetApplied)
        }
        Fact::BreathingChecked(check) if check.worse => Some(Event::BreathingWorse),
        Fact::CasualtyMoved(_) => Some(Event::Arrived),
        // UK practice: sorted again before leaving the scene.
        Fact::CasualtyLoaded(_) => Some(Event::Leaving),
        fact => {
            let now = fact.signs()?.consciousness?;
            let before = level.replace(now);
            before
                .is_some_and(|before| before != now)
                .then_some(Event::ConsciousnessChanged)
        }
    }
}

const fn severity(standing: Standing) -> Severity {
    match standing {
        Standing::Triaged(Category::Immediate) | Standing::Untriaged | Standing::Provisional => {
            Severity::High
        }
        Standing::Triaged(Category::Delayed | Category::NotBreathing) => Severity::Medium,
        Standing::Triaged(Category::Minor | Category::Expectant | Category::Dead)
        | Standing::WalkedUnseen => Severity::Low,
    }
}

fn signed(duration: Duration) -> SignedDuration {
    SignedDuration::try_from(duration).unwrap_or(SignedDuration::MAX)
}
