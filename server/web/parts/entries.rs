//! Entries as parts: the list of changes on the board, and the log.

use std::collections::{BTreeMap, HashSet};
use std::sync::Arc;

use askama::Template;

use super::super::view::EntryView;
use super::{Stage, draw};
use crate::incident::{DeviceId, Entry, Fact, Seq};
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
        let earlier = &self.incident.entries()[..start];
        // Nothing is earlier than the beginning: five hundred pages that ask for everything must not look twice at it.
        let reworded: Vec<&Entry> = if earlier.is_empty() {
            Vec::new()
        } else {
            let wounds = touched
                .values()
                .copied()
                .flat_map(|entry| self.told_of_wound(entry));
            let taken = self.told_of_people(touched.values().copied(), earlier);
            wounds.chain(taken).collect()
        };
        touched.extend(reworded.into_iter().map(|entry| (entry.seq, entry)));
        touched.into_values()
    }

    /// Entries that name a wound, where this one says where it is.
    fn told_of_wound(&self, entry: &Entry) -> Vec<&Entry> {
        let Some(casualty) = entry.fact.founds_wound_of() else {
            return Vec::new();
        };
        let thread = self.incident.timeline(casualty).into_iter();
        thread.filter(|other| other.about == entry.about).collect()
    }

    /// Earlier entries that name people, where these say what they call themselves; and the strikes that repeat them.
    fn told_of_people<'e>(
        &'e self,
        told: impl Iterator<Item = &'e Entry>,
        earlier: &'e [Arc<Entry>],
    ) -> Vec<&'e Entry> {
        let joined = told.filter(|entry| matches!(entry.fact, Fact::HelperJoined(_)));
        let joined: HashSet<DeviceId> = joined.map(|entry| entry.device).collect();
        if joined.is_empty() {
            return Vec::new();
        }
        let names = |entry: &&Entry| match &entry.fact {
            Fact::CasualtyTaken(taken) => taken.helper.is_some_and(|who| joined.contains(&who)),
            _ => false,
        };
        let taken: Vec<&Entry> = earlier.iter().map(Arc::as_ref).filter(names).collect();
        let struck: Vec<&Entry> = taken.iter().flat_map(|one| self.strikes_of(one)).collect();
        taken.into_iter().chain(struck).collect()
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
