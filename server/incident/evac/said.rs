//! What was read out, line by line, and read back.

use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::incident::entry::Entry;
use crate::incident::fact::{Fact, Message};
use crate::incident::ids::CasualtyId;
use crate::incident::text::Words;

/// When a line was last read out, and what it said then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// What it said.
    pub text: String,
    /// When.
    pub at: Timestamp,
    /// By whom.
    pub by: Words,
    /// To whom.
    pub to: Option<Words>,
}

/// Which message about whom; nobody for the incident.
type Book = (Option<CasualtyId>, Message);

/// The last reading of every line, and the last reading back of every message.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaidBook {
    lines: BTreeMap<(Book, String), Said>,
    read_back: BTreeMap<Book, Timestamp>,
}

impl SaidBook {
    pub(super) fn take(&mut self, about: Option<CasualtyId>, entry: &Entry) {
        match &entry.fact {
            Fact::LineSaid(line) => {
                let said = Said {
                    text: line.text.as_str().to_owned(),
                    at: entry.happened_at,
                    by: entry.by.clone(),
                    to: line.to.clone(),
                };
                let key = ((about, line.message), line.line.as_str().to_owned());
                self.lines.insert(key, said);
            }
            Fact::MessageReadBack(back) => {
                self.read_back
                    .insert((about, back.message), entry.happened_at);
            }
            _ => {}
        }
    }

    /// The last reading of a line.
    pub fn line(&self, about: Option<CasualtyId>, message: Message, line: &str) -> Option<&Said> {
        self.lines.get(&((about, message), line.to_owned()))
    }

    /// When a message was last read back.
    pub fn read_back(&self, about: Option<CasualtyId>, message: Message) -> Option<Timestamp> {
        self.read_back.get(&(about, message)).copied()
    }

    /// When anything of a message was last read out.
    pub fn last(&self, about: Option<CasualtyId>, message: Message) -> Option<Timestamp> {
        self.lines
            .iter()
            .filter(|((book, _), _)| *book == (about, message))
            .map(|(_, said)| said.at)
            .max()
    }

    /// When anything at all was last read out.
    pub fn last_of_all(&self) -> Option<Timestamp> {
        self.lines.values().map(|said| said.at).max()
    }
}
