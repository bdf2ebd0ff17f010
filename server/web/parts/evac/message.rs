//! A message as drawn: line by line, with what was said of it, what changed since, and which message it is.

use serde_json::json;

use super::super::super::view::{CasualtyView, Moment};
use super::super::Stage;
use super::report;
use crate::incident::Casualty;
use crate::incident::evac::Said;
use crate::incident::fact::Message;
use crate::rules::words::{self, Line, Report};

/// Words that take longer than half a minute at a calm 150 a minute (a default of this board).
const LONG: usize = 80;

/// A line as drawn.
pub(super) struct LineView {
    pub(super) letter: &'static str,
    pub(super) label: &'static str,
    pub(super) text: String,
    pub(super) missing: bool,
    /// As read aloud, at most twelve words at a time: figures and letters as words.
    pub(super) aloud: Vec<String>,
    /// When this very text was last said.
    pub(super) said: Option<Moment>,
    /// Another text was said before.
    pub(super) changed: bool,
    pub(super) report: String,
    key: String,
}

/// A message as drawn.
pub(super) struct MessageView {
    pub(super) title: String,
    /// Which message of its kind: 1 is the first, later ones say what changed.
    pub(super) number: u32,
    /// What is to be said now, and what of this message was said already.
    pub(super) lines: Vec<LineView>,
    /// What an earlier message said and still holds.
    pub(super) unchanged: Vec<LineView>,
    /// The view that asks for what is missing, its label, and whom it is about.
    pub(super) fills: Vec<(&'static str, &'static str)>,
    pub(super) casualty: String,
    pub(super) casualty_number: u32,
    pub(super) words: String,
    pub(super) missing: usize,
    pub(super) to_say: usize,
    pub(super) is_long: bool,
    pub(super) read_back: Option<Moment>,
    pub(super) read_back_report: String,
}

impl MessageView {
    /// The same under another name.
    pub(super) fn called(mut self, name: &str) -> Self {
        let rest = self.title.split_once(' ').map_or("", |(_, rest)| rest);
        self.title = format!("{name}: {rest}");
        self
    }
}

impl Stage<'_> {
    pub(super) fn message(
        &self,
        report_of: &Report,
        message: Message,
        about: Option<&Casualty>,
    ) -> MessageView {
        let id = about.map(|one| one.id);
        let said = &self.incident.evacuation().said;
        let (what, whose) = id.map_or(("", String::new()), |id| ("casualty", id.to_string()));
        let lines: Vec<LineView> = report_of
            .lines
            .iter()
            .filter(|line| !line.letter.is_empty())
            .map(|line| {
                let fact = json!({ "kind": "line.said/1", "message": message.code(), "line": line.key(), "text": line.stable() });
                LineView::of(line, said.line(id, message, &line.key()), report(what, &whose, fact))
            })
            .collect();
        let news: Vec<String> = lines
            .iter()
            .filter(|line| line.is_news())
            .map(|line| line.key.clone())
            .collect();
        let numbered = said.numbered(id, message, &news);
        let back = json!({ "kind": "message.read_back/1", "message": message.code() });
        let missing = lines.iter().filter(|line| line.missing).count();
        let (mut lines, unchanged): (Vec<_>, Vec<_>) = lines.into_iter().partition(|line| {
            numbered.number == 1 || line.said.is_none() || numbered.said.contains(&line.key)
        });
        if numbered.number > 1 {
            // An update says what changed; what nobody knows yet was asked for before.
            lines.retain(|line| !line.missing || line.changed);
        }
        let is_update = numbered.number > 1;
        MessageView {
            title: match (is_update, message) {
                (false, _) => report_of.title.clone(),
                // Its number stands in the title already.
                (true, Message::Methane) => format!("{}: only what changed", report_of.title),
                (true, _) => format!(
                    "{}, no. {}: only what changed",
                    report_of.title, numbered.number
                ),
            },
            number: numbered.number,
            fills: match message {
                Message::Methane => vec![("situation", "Fill in what is missing")],
                Message::NineLine => vec![
                    ("situation", "Place, radio, marking, ground"),
                    ("pickup", "What the aircraft asks"),
                ],
                _ => vec![("history", "Fill in what is missing")],
            },
            casualty: whose.clone(),
            casualty_number: about.map_or(0, |one| one.number),
            words: about
                .map(|one| CasualtyView::of(one, self.incident).words)
                .unwrap_or_default(),
            missing,
            to_say: lines.iter().filter(|line| line.said.is_none()).count(),
            is_long: !is_update && report_of.words() > LONG,
            read_back: said.read_back(id, message).map(Moment::from),
            read_back_report: report(what, &whose, back),
            lines,
            unchanged,
        }
    }
}

impl LineView {
    fn of(line: &Line, last: Option<&Said>, report: String) -> Self {
        let same = last.filter(|last| last.text == line.stable());
        Self {
            letter: line.letter,
            label: line.label,
            text: line.text.clone(),
            missing: line.missing,
            aloud: words::aloud(line),
            said: same.map(|last| last.at.into()),
            changed: last.is_some() && same.is_none(),
            report,
            key: line.key(),
        }
    }

    /// Something to say that was not said: what nobody knows is to be asked for, not said.
    fn is_news(&self) -> bool {
        self.changed || (self.said.is_none() && !self.missing)
    }
}
