//! A fact on its way in, and a fact as the journal keeps it.

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use super::about::About;
use super::fact::{Fact, Skill};
use super::ids::{DeviceId, EntryId, EpochId, Seq};
use super::role::Role;
use super::text::Words;

/// How far ahead of the board a phone's time may be before it is cut back and marked.
pub const CLOCK_SLACK: SignedDuration = SignedDuration::from_secs(2);

/// How old a report may be before its time is taken for a clock that was never set, and is marked. *Common
/// practice*: no group accident is still reported a month later.
pub(super) const OLDEST: SignedDuration = SignedDuration::from_hours(31 * 24);

/// A fact as a phone sends it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Report {
    /// `UUIDv7` made on the phone; a resend carries the same.
    pub id: EntryId,
    /// What it is about.
    pub about: About,
    /// When it happened, in board time.
    #[schema(value_type = String, format = DateTime)]
    pub happened_at: Timestamp,
    /// The position the person was looking at; 0 when they had seen nothing.
    #[serde(default)]
    pub based_on: Seq,
    /// The epoch that position is of: the same number means another entry on another machine's board. Left out, it is
    /// the present one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub epoch: Option<EpochId>,
    /// The phone did not know the board's time well when this was tapped: the time is "about" then.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub time_unsure: bool,
    /// What happened.
    pub fact: Fact,
}

/// A fact as the journal keeps it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Position in this board's journal.
    pub seq: Seq,
    /// The fact's own id.
    pub id: EntryId,
    /// What it is about.
    pub about: About,
    /// When it happened, in board time.
    #[schema(value_type = String, format = DateTime)]
    pub happened_at: Timestamp,
    /// What the phone said, where that lay in the future or a month back and was not believed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub claimed_at: Option<Timestamp>,
    /// The phone was not sure of its clock: the time is told as "about".
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub time_unsure: bool,
    /// When the board committed it.
    #[schema(value_type = String, format = DateTime)]
    pub recorded_at: Timestamp,
    /// The position the person was looking at.
    pub based_on: Seq,
    /// Who reported it.
    #[schema(value_type = String, max_length = 80)]
    pub by: Words,
    /// On which device.
    pub device: DeviceId,
    /// In which role; none is the board itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// What they have learnt, as they said when they joined.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skill: Option<Skill>,
    /// What happened.
    pub fact: Fact,
}

/// A report that reaches the board later than this after it happened is late, and says so. Design choice.
const LATE: SignedDuration = SignedDuration::from_mins(1);

impl Entry {
    /// Whether it reached the board much later than it happened.
    pub fn is_late(&self) -> bool {
        self.recorded_at.duration_since(self.happened_at) > LATE
    }

    /// How entries are put in order for a fold: as things happened, then as they arrived.
    pub const fn order(&self) -> (Timestamp, Seq) {
        (self.happened_at, self.seq)
    }

    /// Whether a report is a resend of this. The device may differ: a phone that had to join again still sends
    /// what it kept. A strike is kept under what the struck entry is about, whatever the phone thought that was.
    pub(super) fn is_repeated_by(&self, report: &Report) -> bool {
        self.fact == report.fact
            && (self.about == report.about
                || matches!(self.fact, Fact::EntryStruck(_) | Fact::ReportConfirmed(_)))
    }
}

/// A moment cut to whole milliseconds, as the journal keeps it.
pub(super) fn whole_ms(at: Timestamp) -> Timestamp {
    Timestamp::from_millisecond(at.as_millisecond()).unwrap_or(at)
}
