//! Entries as parts: the list of changes on the board, and the log.

use std::sync::Arc;

use askama::Template;

use super::super::view::EntryView;
use super::{Stage, draw};
use crate::incident::{Entry, Fact, Seq};
use crate::live::Part;

/// How many changes the board lists when it is opened.
const CHANGES: usize = 30;
/// Larger than any position: subtracting from it sorts the newest first as text.
const LAST: u64 = 9_999_999_999;

#[derive(Template)]
#[template(path = "parts/change.html")]
struct Change {
    entry: EntryView,
    order: String,
}

#[derive(Template)]
#[template(path = "parts/entry.html")]
struct LogEntry {
    entry: EntryView,
    order: String,
}

impl Stage<'_> {
    pub(super) fn entries_since(&self, since: Seq) -> Vec<Arc<Part>> {
        self.touched_entries(since)
            .map(|entry| Arc::new(self.log_entry(entry)))
            .collect()
    }

    /// Entries after a position, and earlier ones that a later strike names (or a later restoration un-names).
    pub(super) fn touched_entries(&self, since: Seq) -> impl Iterator<Item = &Entry> {
        let start = usize::try_from(since.0)
            .unwrap_or(usize::MAX)
            .min(self.incident.entries().len());
        let struck = self
            .incident
            .strikes()
            .iter()
            .filter(move |(strike, named)| *strike > since && *named <= since)
            .flat_map(|(_, named)| self.named_by(*named));
        self.incident.entries()[start..]
            .iter()
            .map(Arc::as_ref)
            .chain(struck.filter(move |entry| entry.seq <= since))
    }

    /// An entry and, where it is a strike, what it names in turn: restoring shows there.
    fn named_by(&self, seq: Seq) -> Vec<&Entry> {
        let mut named = Vec::new();
        let mut at = Some(seq);
        while let Some(entry) = at.and_then(|seq| self.incident.entry(seq)) {
            named.push(entry);
            at = match &entry.fact {
                Fact::EntryStruck(strike) => self.incident.position(strike.entry),
                _ => None,
            };
        }
        named
    }

    pub(in crate::web) fn changes(&self) -> Vec<String> {
        let entries = self.incident.entries();
        entries[entries.len().saturating_sub(CHANGES)..]
            .iter()
            .rev()
            .map(|entry| self.change(entry).html)
            .collect()
    }

    pub(super) fn change(&self, entry: &Entry) -> Part {
        let order = format!("{:010}", LAST - entry.seq.0);
        let html = draw(&Change {
            entry: EntryView::of(entry, self.incident),
            order,
        });
        Part {
            id: format!("change-{}", entry.seq),
            into: Some("changes"),
            html,
        }
    }

    pub(in crate::web) fn log_entry(&self, entry: &Entry) -> Part {
        let order = format!("{:010}", LAST - entry.seq.0);
        let html = draw(&LogEntry {
            entry: EntryView::of(entry, self.incident),
            order,
        });
        Part {
            id: format!("entry-{}", entry.seq),
            into: Some("log-rows"),
            html,
        }
    }
}
