//! What is reported about alarms and about the helpers themselves.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::incident::ids::EntryId;
use crate::incident::text::Words;
use crate::rules::bleeding::exposure::Route;

/// Somebody saw that a duty is overdue: it is quiet for a while. Nothing else changes, and it does not count as
/// done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AlarmSeen {
    /// Which duty, by its code.
    #[schema(value_type = String, max_length = 80)]
    pub duty: Words,
    /// When that duty was due: the next one of its kind calls again.
    #[schema(value_type = String, format = DateTime)]
    pub due_at: Timestamp,
}

/// A helper got blood on broken skin, in the eyes or mouth, or was stuck. Seen by the lead only.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ExposureReported {
    /// How it got in.
    pub route: Route,
}

/// A doctor has seen whoever reported it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ExposureSeen {
    /// Which report.
    pub report: EntryId,
}
