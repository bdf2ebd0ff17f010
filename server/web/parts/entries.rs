//! Entries as parts: the list of changes on the board, and the log.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;

use super::super::view::EntryView;
use super::{Stage, draw};
use crate::incident::{Entry, Fact, Seq};
use crate::live::Part;

/// How many changes the board lists when it is opened.
const CHANGES: usize = 30;
/// How many entries one page of the log shows.
pub(in crate::web) const LOG_PAGE: usize = 500;
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
        let touched: Vec<&Entry> = self.touched_entries(since).collect();
        // The newest only: a page that was away for long shows what a fresh one would.
        let surplus = touched.len().saturating_sub(LOG_PAGE);
        touched
            .into_iter()
            .skip(surplus)
            .map(|entry| Arc::new(self.log_entry(entry)))
            .collect()
    }

    /// Entries after a position, and earlier ones that read otherwise since.
    pub(super) fn touched_entries(&self, since: Seq) -> impl Iterator<Item = &Entry> {
        let start = usize::try_from(since.0)
            .unwrap_or(usize::MAX)
            .min(self.incident.entries().len());
        let later = || self.incident.entries()[start..].iter().map(Arc::as_ref);
        let mut touched: BTreeMap<Seq, &Entry> = later().map(|entry| (entry.seq, entry)).collect();
        // A strike shows on what it names, a restoration also on what that had struck.
        let named = self.incident.strikes().iter();
        for (_, named) in named.filter(|(strike, _)| *strike > since) {
            touched.extend(
                self.named_by(*named)
                    .into_iter()
                    .map(|entry| (entry.seq, entry)),
            );
        }
        let reworded: Vec<&Entry> = touched
            .values()
            .flat_map(|entry| self.reworded_by(entry))
            .collect();
        touched.extend(reworded.into_iter().map(|entry| (entry.seq, entry)));
        touched.into_values()
    }

    /// Entries whose words another one supplies: where a wound is, what somebody calls themselves.
    fn reworded_by(&self, entry: &Entry) -> Vec<&Entry> {
        if let Some(casualty) = entry.fact.founds_wound_of() {
            let thread = self.incident.timeline(casualty);
            return thread
                .into_iter()
                .filter(|other| other.about == entry.about)
                .collect();
        }
        match &entry.fact {
            Fact::HelperJoined(_) => {
                let taken_by = |other: &&Entry| matches!(&other.fact, Fact::CasualtyTaken(taken) if taken.helper == Some(entry.device));
                let taken: Vec<&Entry> = self
                    .incident
                    .entries()
                    .iter()
                    .map(Arc::as_ref)
                    .filter(taken_by)
                    .collect();
                let struck = taken
                    .iter()
                    .flat_map(|taken| self.strikes_of(taken))
                    .collect::<Vec<_>>();
                taken.into_iter().chain(struck).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The strikes that name an entry: they repeat its words.
    fn strikes_of(&self, entry: &Entry) -> Vec<&Entry> {
        let strikes = self.incident.strikes().iter();
        strikes
            .filter(|(_, named)| *named == entry.seq)
            .filter_map(|(strike, _)| self.incident.entry(*strike))
            .collect()
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

    /// The list of changes since a position: the newest, as many as a fresh page lists.
    pub(super) fn changes_since(&self, since: Seq) -> impl Iterator<Item = Arc<Part>> {
        let touched: Vec<&Entry> = self.touched_entries(since).collect();
        let surplus = touched.len().saturating_sub(CHANGES);
        touched
            .into_iter()
            .skip(surplus)
            .map(|entry| Arc::new(self.change(entry)))
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
