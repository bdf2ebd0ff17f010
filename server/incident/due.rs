//! What is due, for whom, and who has it: the *next up* list.
//!
//! Owns the merge of all clocks of the incident, soonest first. Promises: nothing here is stored and nothing
//! depends on the present moment; a duty is overdue when its time has passed, wherever it is looked at.

use std::cmp::Reverse;

use jiff::{SignedDuration, Timestamp};

use super::alarms::{self, Calling, Quiet};
use super::casualty::{CareClock, Casualty};
use super::evac::Whereabouts;
use super::ids::{CasualtyId, DeviceId, WoundId};
use super::settings::InForce;
use super::state::Incident;
use super::watch::{Watch, Why, sort_by};
use crate::rules::bleeding::clocks::Audience;
use crate::rules::bleeding::{ClockKind, Severity, Step};
use crate::rules::triage::Category;

/// A timed duty towards a casualty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Duty {
    /// Towards whom.
    pub casualty: CasualtyId,
    /// Their number.
    pub number: u32,
    /// About which wound.
    pub wound: Option<WoundId>,
    /// What is to be done.
    pub task: Task,
    /// Since when the clock runs.
    pub started_at: Timestamp,
    /// When it is due.
    pub due_at: Timestamp,
    /// From when it is shown, where it is a long one.
    pub shown_from: Option<Timestamp>,
    /// Until when it is shown: of a limb's lines only the newest that is due.
    pub shown_until: Option<Timestamp>,
    /// How bad when late.
    pub severity: Severity,
    /// When it becomes worse if nobody comes, and how bad then.
    pub worse: Option<(Timestamp, Severity)>,
    /// Who has the casualty.
    pub helpers: Vec<DeviceId>,
    /// Overdue and seen: quiet for now.
    pub quiet: Option<Quiet>,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Task {
    /// A duty of bleeding care, with the step the ladder suggests for its wound.
    Care(ClockKind, Option<Step>),
    /// No category yet.
    Sort,
    /// Sorted, and to be looked at again.
    LookAgain(Why),
}

impl Task {
    /// Hands press until it is up.
    pub const fn is_hold(self) -> bool {
        matches!(self, Self::Care(kind, _) if kind.is_hold())
    }
}

/// How long before it is due a long duty is shown. Design choice: a list of what is due in a day hides what
/// is due in a minute.
const SHOWN_BEFORE: SignedDuration = SignedDuration::from_mins(20);
/// Duties longer than this are long.
const LONG: SignedDuration = SignedDuration::from_mins(25);

/// How long a duty that harms nobody for a while lets others pass, though it is due. Design choice.
const PATIENCE: SignedDuration = SignedDuration::from_mins(15);

impl Duty {
    /// Somebody bleeds until it is done: before everything else, however long that has waited (the order of
    /// severity within one casualty, *our default* for all of them). Pressing counts where the bleed is dangerous or
    /// nobody presses any more.
    pub const fn stops_bleeding(&self) -> bool {
        match self.task {
            Task::Care(
                ClockKind::BeginTourniquet
                | ClockKind::BeginPacking
                | ClockKind::BeginOwnWay
                | ClockKind::FixTourniquet,
                _,
            ) => true,
            Task::Care(ClockKind::BeginPressure, _) => {
                matches!(self.severity, Severity::Critical)
            }
            _ => false,
        }
    }

    /// Whether it harms nobody if it waits a while: all but holds that have run, and what is high or critical or will
    /// be.
    pub fn can_wait(&self) -> bool {
        self.worst() <= Severity::Medium && !self.task.is_hold()
    }

    fn worst(&self) -> Severity {
        self.worse
            .map_or(self.severity, |(_, worse)| worse.max(self.severity))
    }

    /// The moment by which duties are put in line: when they are due; where it can wait, with patience, and where it
    /// gets worse, by then at the latest. So the order holds what waiting will make of them without asking the time.
    fn in_line_at(&self) -> Timestamp {
        let patience = if self.severity <= Severity::Medium && !self.task.is_hold() {
            PATIENCE
        } else {
            SignedDuration::ZERO
        };
        let by_patience = self.due_at.checked_add(patience).unwrap_or(self.due_at);
        self.worse
            .map_or(by_patience, |(at, _)| at.max(self.due_at).min(by_patience))
    }
}

impl Incident {
    /// Whether somebody is on the way, or with somebody else: the interval for who waits here is over.
    pub fn has_left(&self, id: CasualtyId) -> bool {
        matches!(
            self.evacuation().whereabouts(id),
            Some(Whereabouts::Gone { .. } | Whereabouts::HandedOver { .. })
        )
    }

    /// Every duty, the next one first.
    pub fn duties(&self) -> Vec<Duty> {
        let held = self.settings().now();
        let mut duties: Vec<Duty> = self
            .casualties()
            .flat_map(|one| duties_of(one, held, self.has_left(one.id)))
            .collect();
        duties.sort_by_key(|duty| {
            (
                !duty.stops_bleeding(),
                duty.in_line_at(),
                Reverse(duty.worst()),
                duty.number,
                duty.task,
            )
        });
        duties
    }
}

/// The duties towards one casualty. Those towards the dead are hidden, not lost: they are back when the
/// category is struck. Who `has_left` is sorted and looked at again where they are taken, not here.
pub fn duties_of(casualty: &Casualty, held: &InForce, has_left: bool) -> Vec<Duty> {
    let category = casualty.urgent_category();
    let again = casualty
        .watch
        .as_ref()
        .filter(|_| !has_left)
        .map(|watch| look_again(casualty, watch));
    if category == Some(Category::Dead) {
        return quieted(casualty, held, again.into_iter().collect());
    }
    let mut duties: Vec<Duty> = casualty
        .clocks
        .iter()
        .filter(|clock| clock.kind.audience() == Audience::Everyone)
        .map(|clock| care_duty(casualty, clock))
        .collect();
    fold_limb_lines(&mut duties);
    duties.extend(again);
    if category.is_none() && !has_left {
        duties.push(sort_duty(casualty, held));
    }
    quieted(casualty, held, duties)
}

/// Two, four and six hours of one limb are one thing: the newest that is due says it, none of them is lost.
fn fold_limb_lines(duties: &mut [Duty]) {
    let is_line = |duty: &Duty| matches!(duty.task, Task::Care(kind, _) if kind.is_limb_line());
    let lines: Vec<(Option<WoundId>, Timestamp)> = duties
        .iter()
        .filter(|duty| is_line(duty))
        .map(|duty| (duty.wound, duty.due_at))
        .collect();
    for duty in duties.iter_mut().filter(|duty| is_line(duty)) {
        let later = lines
            .iter()
            .filter(|(wound, due_at)| *wound == duty.wound && *due_at > duty.due_at);
        duty.shown_until = later.map(|(_, due_at)| *due_at).min();
    }
}

fn quieted(casualty: &Casualty, held: &InForce, mut duties: Vec<Duty>) -> Vec<Duty> {
    for duty in &mut duties {
        let calling = Calling {
            code: duty.task.code(),
            wound: duty.wound,
            due_at: duty.due_at,
            severity: duty.severity,
            worse: duty.worse,
        };
        duty.quiet = alarms::quiet(&casualty.silenced, &calling, held);
    }
    duties
}

fn sort_duty(casualty: &Casualty, held: &InForce) -> Duty {
    let (started_at, due_at, severity) =
        sort_by(casualty.met_at, casualty.sorting.call, held.sort_within);
    Duty {
        casualty: casualty.id,
        number: casualty.number,
        wound: None,
        task: Task::Sort,
        started_at,
        due_at,
        shown_from: None,
        shown_until: None,
        severity,
        worse: None,
        helpers: casualty.helpers().collect(),
        quiet: None,
    }
}

/// Shown from when it is due, late from when it is overdue.
fn look_again(casualty: &Casualty, watch: &Watch) -> Duty {
    Duty {
        casualty: casualty.id,
        number: casualty.number,
        wound: None,
        task: Task::LookAgain(watch.why),
        started_at: watch.started_at,
        due_at: watch.overdue_at,
        shown_from: Some(watch.due_at),
        shown_until: None,
        severity: watch.severity,
        worse: None,
        helpers: casualty.helpers().collect(),
        quiet: None,
    }
}

fn care_duty(casualty: &Casualty, clock: &CareClock) -> Duty {
    let wound = casualty
        .wounds
        .iter()
        .find(|wound| Some(wound.id) == clock.wound);
    let is_long = clock.due_at.duration_since(clock.started_at) > LONG;
    let before = || clock.due_at.checked_sub(SHOWN_BEFORE).ok();
    Duty {
        casualty: casualty.id,
        number: casualty.number,
        wound: clock.wound,
        task: Task::Care(clock.kind, wound.map(|wound| wound.standing.next)),
        started_at: clock.started_at,
        due_at: clock.due_at,
        shown_from: if is_long {
            clock.warn_at.or_else(before)
        } else {
            None
        },
        shown_until: None,
        severity: clock.severity,
        worse: clock.worse,
        helpers: casualty.helpers().collect(),
        quiet: None,
    }
}
