//! Which evacuation priority to suggest, and by when somebody should be there.
//!
//! Owns the suggestion; a person decides. Category says how sick, priority who goes on the next free place: two
//! different things (US ATP 5-0.2-1, table G-30; Mills, Argon & Ziya, M&SOM 2013;15(3):361–377).

use super::problem::Priority;
use crate::rules::triage::Category;

/// What the suggestion looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Condition {
    /// The category a person assigned, if any.
    pub category: Option<Category>,
    /// Minutes since the oldest tourniquet that still runs was put on.
    pub tourniquet_minutes: Option<i32>,
    /// The last look was worse than the one before.
    pub getting_worse: bool,
}

/// A suggestion and what it rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// Which priority; none for the dead.
    pub priority: Option<Priority>,
    /// Why.
    pub because: &'static str,
}

/// Suggests a priority. A running tourniquet and getting worse raise it, nothing lowers it (our default).
pub const fn suggest(condition: Condition) -> Suggestion {
    let (priority, because) = match condition.category {
        Some(Category::Dead) => (None, "dead: is not evacuated"),
        Some(Category::NotBreathing) => (None, "not breathing: is not evacuated"),
        Some(Category::Expectant) => (Some(Priority::Last), "comfort care here; look again"),
        Some(Category::Immediate) => (Some(Priority::First), "immediate"),
        None => (
            Some(Priority::First),
            "not triaged yet: goes as first until somebody looks",
        ),
        Some(_) if condition.tourniquet_minutes.is_some() => {
            (Some(Priority::First), "a tourniquet is running")
        }
        Some(Category::Delayed) if condition.getting_worse => {
            (Some(Priority::First), "delayed, and getting worse")
        }
        Some(Category::Delayed) => (Some(Priority::Second), "delayed"),
        Some(Category::Minor) if condition.getting_worse => {
            (Some(Priority::Second), "minor, and getting worse")
        }
        Some(Category::Minor) => (Some(Priority::Third), "minor"),
    };
    Suggestion { priority, because }
}

/// Minutes after injury by which the first priority should be there: "urgent, at most 1 hour" (US ATP 5-0.2-1, table
/// G-30; older texts say 2 hours).
pub const FIRST_BY: i32 = 60;
/// Minutes after injury for the second: "priority, within 4 hours" (same table).
pub const SECOND_BY: i32 = 240;
/// Minutes under a tourniquet within which it is safe: under 2 hours (*Tourniquet conversion*, PMC10662576; Journal of
/// Special Operations Medicine, spring 2026, pp. 110–111).
pub const TOURNIQUET_BY: i32 = 120;

/// The minute after which arrival is late, all in minutes from the same zero: for the first priority the earlier of
/// an hour after injury and two hours of tourniquet, for the second four hours after injury and the same tourniquet,
/// else only the tourniquet (our default).
pub fn deadline(
    priority: Priority,
    injured_at: Option<i32>,
    tourniquet_since: Option<i32>,
) -> Option<i32> {
    let injury = match priority {
        Priority::First => injured_at.map(|at| at + FIRST_BY),
        Priority::Second => injured_at.map(|at| at + SECOND_BY),
        Priority::Third | Priority::Last => None,
    };
    let tourniquet = tourniquet_since.map(|at| at + TOURNIQUET_BY);
    match (injury, tourniquet) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}
