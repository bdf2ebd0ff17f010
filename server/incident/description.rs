//! What the incident is called, where it is, and how its board was opened. Pure.

use jiff::Timestamp;

use super::entry::Entry;
use super::fact::{Fact, TriageChosen};
use super::ids::{BoardId, KitId};
use super::text::{Note, Words};

/// What the incident is called and where it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Description {
    /// This board; none before the first entry.
    pub board: Option<BoardId>,
    /// The incident's name.
    pub name: Option<Words>,
    /// Where.
    pub place: Option<Words>,
    /// What happened.
    pub note: Option<Note>,
    /// When the board was opened.
    pub opened_at: Option<Timestamp>,
    /// Practice, not real.
    pub practice: bool,
    /// The triage systems, where the lead chose any.
    pub triage: Option<TriageChosen>,
    /// How many days the record is kept, and from when.
    pub kept: Option<(Timestamp, u32)>,
}

impl Description {
    /// The common bag: a board starts with one, named after itself.
    pub fn common_bag(&self) -> Option<KitId> {
        self.board.map(|board| KitId::new(board.uuid()))
    }

    /// With what one more entry says of it.
    pub(super) fn with(mut self, entry: &Entry) -> Self {
        match &entry.fact {
            Fact::IncidentOpened(opened) => {
                self.board = Some(opened.board);
                self.name.get_or_insert_with(|| opened.name.clone());
                self.opened_at = Some(entry.happened_at);
                self.practice = opened.practice;
            }
            Fact::IncidentDescribed(described) => {
                self.name = described.name.clone().or(self.name);
                self.place = described.place.clone().or(self.place);
                self.note = described.note.clone().or(self.note);
            }
            Fact::TriageChosen(chosen) => self.triage = Some(chosen.clone()),
            Fact::RecordKept(kept) => self.kept = Some((entry.happened_at, kept.days)),
            _ => {}
        }
        self
    }
}
