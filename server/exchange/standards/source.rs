//! What a copy is made from: the incident, as of when, and how an entry is told outside.
//!
//! Owns the sealing: what is told to the lead alone goes out without its author and without its kind.

use jiff::Timestamp;

use super::AsOf;
use crate::incident::{About, CasualtyId, Entry, Incident, sentence};

/// The incident and as of when it is told.
pub(super) struct Source<'a> {
    pub(super) incident: &'a Incident,
    pub(super) as_of: &'a AsOf,
    /// Whether codes of SNOMED CT are asked for.
    pub(super) snomed: bool,
}

/// An entry as it goes out.
pub(super) struct Told<'a> {
    pub(super) entry: &'a Entry,
    /// The casualty it is about, by the record that stands.
    pub(super) casualty: Option<CasualtyId>,
    /// Their number.
    pub(super) number: Option<u32>,
    pub(super) words: String,
    /// Who said it; nobody where it is sealed.
    pub(super) by: String,
    /// What kind of report; only that it is private, where it is sealed.
    pub(super) kind: &'static str,
    pub(super) is_sealed: bool,
    pub(super) is_struck: bool,
}

impl Source<'_> {
    /// Whether nothing in it is real.
    pub(super) fn is_exercise(&self) -> bool {
        self.incident.description().practice
    }

    /// What the incident is called.
    pub(super) fn name(&self) -> String {
        let name = self.incident.description().name.as_ref();
        name.map_or_else(|| "Incident".to_owned(), ToString::to_string)
    }

    /// The board's own id, under which its numbers are unique.
    pub(super) fn board(&self) -> String {
        let board = self.incident.description().board;
        board.map(|id| id.to_string()).unwrap_or_default()
    }

    /// "As of entry 212, check 7K3F-Q2, made 2026-11-25T14:03:00Z".
    pub(super) fn as_of_words(&self) -> String {
        let exercise = if self.is_exercise() {
            "EXERCISE, not a real incident. "
        } else {
            ""
        };
        format!(
            "{exercise}As of entry {}, check {}, made {}",
            self.as_of.seq, self.as_of.check, self.as_of.at
        )
    }

    /// `holdfast-csv-entry-212-20261125T140300Z.zip`; says so where it is an exercise.
    pub(super) fn file_name(&self, what: &str, ending: &str) -> String {
        let exercise = if self.is_exercise() { "EXERCISE-" } else { "" };
        let at = self.as_of.at.strftime("%Y%m%dT%H%M%SZ");
        format!(
            "{exercise}holdfast-{what}-entry-{}-{at}.{ending}",
            self.as_of.seq
        )
    }

    /// Every entry, in the order in which they arrived.
    pub(super) fn entries(&self) -> impl Iterator<Item = Told<'_>> {
        self.incident.entries().iter().map(|entry| self.told(entry))
    }

    /// An entry as it goes out.
    pub(super) fn told<'e>(&self, entry: &'e Entry) -> Told<'e> {
        let is_sealed = self.incident.is_private(entry);
        let casualty = self.incident.casualty_of(&entry.about);
        Told {
            entry,
            casualty,
            number: casualty.and_then(|id| self.incident.number(id)),
            // Its sentence is discreet by itself: it says that there was a private report, and no more.
            words: sentence(entry, self.incident),
            by: if is_sealed {
                String::new()
            } else {
                entry.by.to_string()
            },
            kind: if is_sealed {
                "private"
            } else {
                entry.fact.kind()
            },
            is_sealed,
            is_struck: self.incident.is_struck(entry.seq),
        }
    }

    /// Where a wound is, in words; nothing where that is not known any more.
    pub(super) fn wound_place(&self, about: &About) -> String {
        let About::Wound(id) = about else {
            return String::new();
        };
        let casualty = self.incident.casualty_of(about);
        let casualty = casualty.and_then(|one| self.incident.casualty(one));
        casualty
            .and_then(|one| one.wounds.iter().find(|wound| wound.id == *id))
            .map(crate::incident::Wound::place)
            .unwrap_or_default()
    }
}

/// The stored code of something that is stored as a word.
pub(super) fn code(of: impl serde::Serialize) -> String {
    serde_json::to_value(of)
        .ok()
        .and_then(|code| code.as_str().map(str::to_owned))
        .unwrap_or_default()
}

impl Told<'_> {
    /// When it happened.
    pub(super) fn at(&self) -> Timestamp {
        self.entry.happened_at
    }
}
