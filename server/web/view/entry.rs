//! An entry in words, for the log, a casualty's timeline and the list of changes.

use super::time::Moment;
use crate::incident::{Entry, Fact, Incident, sentence};

/// An entry as drawn.
#[expect(
    clippy::struct_excessive_bools,
    reason = "a template asks each of them by name"
)]
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct EntryView {
    pub(crate) seq: u64,
    pub(crate) id: String,
    /// The casualty's number, where it is about one.
    pub(crate) number: Option<u32>,
    /// The casualty's id, for the link.
    pub(crate) casualty: String,
    /// "forearm, left: packed, 2 packing gauze".
    pub(crate) words: String,
    pub(crate) by: String,
    pub(crate) device: String,
    pub(crate) at: Moment,
    /// When it arrived, where that was much later.
    pub(crate) arrived: Option<Moment>,
    /// The phone was not sure of its clock.
    pub(crate) is_unsure: bool,
    /// The phone's time lay in the future and was cut back.
    pub(crate) is_clamped: bool,
    pub(crate) is_struck: bool,
    pub(crate) is_strike: bool,
    pub(crate) kind: &'static str,
    /// What it is about as JSON, for the strike button.
    pub(crate) about: String,
}

impl EntryView {
    /// Draws an entry of an incident.
    pub(crate) fn of(entry: &Entry, incident: &Incident) -> Self {
        let casualty = incident.casualty_of(&entry.about);
        // Told to the lead alone: everybody else sees that there was a report, and no more.
        let private = incident.is_private(entry);
        Self {
            seq: entry.seq.0,
            id: entry.id.to_string(),
            number: casualty.and_then(|id| incident.number(id)),
            casualty: casualty.map(|id| id.to_string()).unwrap_or_default(),
            words: sentence(entry, incident),
            by: if private {
                String::new()
            } else {
                entry.by.to_string()
            },
            device: if private {
                String::new()
            } else {
                entry.device.to_string()
            },
            at: entry.happened_at.into(),
            arrived: entry.is_late().then(|| entry.recorded_at.into()),
            is_unsure: entry.time_unsure,
            is_clamped: entry.claimed_at.is_some(),
            is_struck: incident.is_struck(entry.seq),
            is_strike: matches!(entry.fact, Fact::EntryStruck(_)),
            kind: entry.fact.kind(),
            about: serde_json::to_string(&entry.about).unwrap_or_default(),
        }
    }
}
