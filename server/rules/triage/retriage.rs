//! When somebody is to be triaged again.
//!
//! Owns the default intervals, the events that call for another look whatever the interval, and the order of
//! the green area. Promises: pure functions of what is known now. No published primary algorithm names a fixed
//! interval; the defaults are *common practice*, set after US field teaching ("unstable every 5 minutes,
//! stable every 15"), the Canadian Triage and Acuity Scale (levels 2 to 4: 15, 30, 60 minutes) and the Model
//! Uniform Core Criteria (repeat as often as possible; from memory), and an incident may change them.

use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::algorithm::ApparentAge;
use super::category::Category;
use crate::rules::bleeding::Minutes;

/// Where a casualty stands, as far as the next look is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Registered, nothing assessed.
    Untriaged,
    /// Assessed with questions left open.
    Provisional,
    /// Walked to the green area on the call; nobody has looked at them individually.
    WalkedUnseen,
    /// Assessed.
    Triaged(Category),
}

/// When the next look is due, counted from the last one (from registration, if there was none).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NextLook {
    /// Due after this long, and overdue after that long.
    After {
        /// When it is due.
        due: Duration,
        /// When to raise the alarm.
        overdue: Duration,
    },
    /// As soon as somebody is free, and overdue after this long.
    WhenFree {
        /// When to raise the alarm.
        overdue: Duration,
    },
    /// Once, by another person than the first; then no more.
    OnceByAnother,
}

/// How long after one look the next is due, by category; it is overdue after twice that.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Intervals {
    /// Immediate, and not evacuated yet.
    pub immediate: Minutes,
    /// Delayed.
    pub delayed: Minutes,
    /// Minor: walkers can hide a burnt airway.
    pub minor: Minutes,
    /// Expectant: looked at again as resources change.
    pub expectant: Minutes,
    /// Assessed with questions left open.
    pub open: Minutes,
}

impl Default for Intervals {
    fn default() -> Self {
        Self {
            immediate: Minutes(5),
            delayed: Minutes(15),
            minor: Minutes(30),
            expectant: Minutes(30),
            open: Minutes(5),
        }
    }
}

/// The interval for `standing` by default, for somebody still here.
pub fn next_look(standing: Standing) -> NextLook {
    Intervals::default().next_look(standing)
}

impl Intervals {
    /// The interval for `standing`, for somebody still here.
    pub const fn next_look(&self, standing: Standing) -> NextLook {
        const fn after(due: Minutes) -> NextLook {
            NextLook::After {
                due: Duration::from_mins(due.0 as u64),
                overdue: Duration::from_mins(due.0 as u64 * 2),
            }
        }
        const fn when_free(overdue: u64) -> NextLook {
            NextLook::WhenFree {
                overdue: Duration::from_mins(overdue),
            }
        }
        match standing {
            Standing::Untriaged => NextLook::After {
                due: Duration::ZERO,
                overdue: Duration::from_mins(5),
            },
            Standing::Provisional => after(self.open),
            Standing::Triaged(Category::Immediate) => after(self.immediate),
            Standing::Triaged(Category::Delayed) => after(self.delayed),
            Standing::Triaged(Category::Minor) => after(self.minor),
            Standing::Triaged(Category::Expectant) => after(self.expectant),
            Standing::WalkedUnseen => when_free(30),
            // Ten Second Triage leaves the formal step to clinicians.
            Standing::Triaged(Category::NotBreathing) => when_free(10),
            Standing::Triaged(Category::Dead) => NextLook::OnceByAnother,
        }
    }
}

/// Something that calls for another look whatever the interval.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// Came to a clearing or collecting point.
    Arrived,
    /// Is about to leave it (UK practice: again before leaving the scene, and on arrival).
    Leaving,
    /// Was handed over to somebody else.
    HandedOver,
    /// Had a lifesaving intervention.
    LifesavingIntervention,
    /// Had a tourniquet put on.
    TourniquetApplied,
    /// The level of consciousness changed.
    ConsciousnessChanged,
    /// Vital signs got worse, by one of the rules of `scores::trend`.
    SignsWorse,
    /// Says that breathing is getting harder.
    BreathingWorse,
    /// The weather or the shelter changed.
    ShelterChanged,
    /// More people, material or transport arrived (SALT: the expectant are looked at again).
    MoreResources,
}

impl Event {
    /// All events.
    pub const ALL: [Self; 10] = [
        Self::Arrived,
        Self::Leaving,
        Self::HandedOver,
        Self::LifesavingIntervention,
        Self::TourniquetApplied,
        Self::ConsciousnessChanged,
        Self::SignsWorse,
        Self::BreathingWorse,
        Self::ShelterChanged,
        Self::MoreResources,
    ];

    /// What is shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Arrived => "came to another place",
            Self::Leaving => "is about to leave",
            Self::HandedOver => "was handed over",
            Self::LifesavingIntervention => "had a lifesaving intervention",
            Self::TourniquetApplied => "had a tourniquet put on",
            Self::ConsciousnessChanged => "is more or less awake than before",
            Self::SignsWorse => "signs got worse",
            Self::BreathingWorse => "breathing got worse",
            Self::ShelterChanged => "weather or shelter changed",
            Self::MoreResources => "more help is here",
        }
    }

    /// Whether the event calls for another look at somebody in this standing.
    ///
    /// New resources change nothing for those who have a place in the order already, only for those who were
    /// passed over for want of them, or whom nobody has assessed.
    pub const fn calls_for_a_look(self, standing: Standing) -> bool {
        match (self, standing) {
            (_, Standing::Triaged(Category::Dead)) => false,
            (Self::MoreResources, Standing::Triaged(category)) => {
                matches!(category, Category::Expectant | Category::NotBreathing)
            }
            _ => true,
        }
    }
}

/// In which order the minor are looked at again, 1 first: infants, then other children who were carried, then
/// the rest. Source: `JumpSTART` teaching (secondary texts).
pub const fn green_area_order(age: ApparentAge, was_carried: bool) -> u8 {
    match (age, was_carried) {
        (ApparentAge::Infant, _) => 1,
        (ApparentAge::Child, true) => 2,
        _ => 3,
    }
}
