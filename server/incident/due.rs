//! What is due, for whom, and who has it: the *next up* list.
//!
//! Owns the merge of all clocks of the incident, soonest first. Promises: nothing here is stored and nothing
//! depends on the present moment; a duty is overdue when its time has passed, wherever it is looked at.

use jiff::{SignedDuration, Timestamp};

use super::casualty::Casualty;
use super::ids::{CasualtyId, DeviceId, WoundId};
use super::state::Incident;
use crate::rules::bleeding;
use crate::rules::triage::Category;

/// Minutes within which a casualty is to be sorted. Design choice (no published interval found).
pub const SORT_WITHIN_MIN: i64 = 5;

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
    /// Who has the casualty.
    pub helpers: Vec<DeviceId>,
}

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Task {
    /// About a wound.
    Wound(bleeding::Duty),
    /// No category yet.
    Sort,
}

impl Incident {
    /// Every duty, soonest first.
    pub fn duties(&self) -> Vec<Duty> {
        let mut duties: Vec<Duty> = self.casualties().flat_map(duties_of).collect();
        duties.sort_by_key(|duty| (duty.due_at, duty.number, duty.task));
        duties
    }
}

/// The duties towards one casualty. Those towards the dead are hidden, not lost: they are back when the
/// category is struck.
pub fn duties_of(casualty: &Casualty) -> Vec<Duty> {
    let category = casualty.urgent_category();
    if category == Some(Category::Dead) {
        return Vec::new();
    }
    let duty = |wound, task, started_at, due_at| Duty {
        casualty: casualty.id,
        number: casualty.number,
        wound,
        task,
        started_at,
        due_at,
        helpers: casualty.helpers().collect(),
    };
    let mut duties: Vec<Duty> = casualty
        .wounds
        .iter()
        .flat_map(|wound| {
            wound
                .standing
                .clocks
                .iter()
                .map(move |clock| (wound.id, clock))
        })
        .map(|(wound, clock)| {
            duty(
                Some(wound),
                Task::Wound(clock.duty),
                clock.started_at,
                clock.due_at,
            )
        })
        .collect();
    if category.is_none() {
        let due_at = casualty.met_at + SignedDuration::from_mins(SORT_WITHIN_MIN);
        duties.push(duty(None, Task::Sort, casualty.met_at, due_at));
    }
    duties
}
