//! Whole minutes, and what they do to an instant.
//!
//! Owns the one duration type of the bleeding rules, so that minutes never get mixed with seconds or with
//! counts. Promises: arithmetic never fails; at the ends of time it stays there.

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

/// A number of whole minutes.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(transparent)]
pub struct Minutes(pub u32);

impl Minutes {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// The instant this long after `start`.
    pub fn after(self, start: Timestamp) -> Timestamp {
        start
            .saturating_add(self.duration())
            .expect("OK because a signed duration has no calendar units")
    }

    /// The instant this long before `end`.
    pub fn before(self, end: Timestamp) -> Timestamp {
        end.saturating_sub(self.duration())
            .expect("OK because a signed duration has no calendar units")
    }

    /// Whether this much time has passed between `start` and `now`.
    pub fn passed(self, start: Timestamp, now: Timestamp) -> bool {
        now.duration_since(start) >= self.duration()
    }

    const fn duration(self) -> SignedDuration {
        SignedDuration::from_secs(self.0 as i64 * 60)
    }
}

/// Elapsed time as hours and minutes, for reading out: `1:05`. Never negative.
pub fn hours_and_minutes(from: Timestamp, to: Timestamp) -> String {
    let minutes = to.duration_since(from).as_mins().max(0);
    format!("{}:{:02}", minutes / 60, minutes % 60)
}
