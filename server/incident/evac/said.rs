//! What was read out, line by line, and read back.

use std::collections::{BTreeMap, BTreeSet};

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

/// The messages of one kind about the same: how many were begun, and what the last one said so far.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Sent {
    number: u32,
    lines: BTreeSet<String>,
    read_back: bool,
}

impl Sent {
    /// Whether saying this line begins another message: the last one was read back, or has this line already.
    fn is_over_for(&self, line: &str) -> bool {
        self.read_back || self.lines.contains(line)
    }
}

/// The last reading of every line, and the last reading back of every message.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaidBook {
    lines: BTreeMap<(Book, String), Said>,
    read_back: BTreeMap<Book, Timestamp>,
    sent: BTreeMap<Book, Sent>,
}

/// Where a message stands in the row of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Numbered {
    /// 1, 2, 3 …
    pub number: u32,
    /// What of it was said so far.
    pub said: BTreeSet<String>,
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
                let (book, line) = ((about, line.message), line.line.as_str().to_owned());
                let before = self.lines.get(&(book, line.clone()));
                // The same words again on request are no other message.
                let is_news = before.is_none_or(|before| before.text != said.text);
                let sent = self.sent.entry(book).or_default();
                if sent.number == 0 || (is_news && sent.is_over_for(&line)) {
                    sent.number += 1;
                    sent.lines.clear();
                    sent.read_back = false;
                }
                sent.lines.insert(line.clone());
                self.lines.insert((book, line), said);
            }
            Fact::MessageReadBack(back) => {
                let book = (about, back.message);
                self.read_back.insert(book, entry.happened_at);
                if let Some(sent) = self.sent.get_mut(&book) {
                    sent.read_back = true;
                }
            }
            _ => {}
        }
    }

    /// The last reading of a line.
    pub fn line(&self, about: Option<CasualtyId>, message: Message, line: &str) -> Option<&Said> {
        self.lines.get(&((about, message), line.to_owned()))
    }

    /// Which message is to be said, or was said last where none of these lines is news.
    pub fn numbered(
        &self,
        about: Option<CasualtyId>,
        message: Message,
        news: &[String],
    ) -> Numbered {
        let Some(sent) = self.sent.get(&(about, message)) else {
            return Numbered {
                number: 1,
                said: BTreeSet::new(),
            };
        };
        if news.iter().any(|line| sent.is_over_for(line)) {
            return Numbered {
                number: sent.number + 1,
                said: BTreeSet::new(),
            };
        }
        Numbered {
            number: sent.number,
            said: sent.lines.clone(),
        }
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
