//! A wound as drawn.

use serde_json::json;

use super::ladder::Ladder;
use super::time::Moment;
use super::wound_notes;
use crate::incident::{About, Incident, Seq, Wound};
use crate::rules::bleeding::{Evidence, State};

/// A wound in a row or on its casualty's page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WoundView {
    /// Its id.
    pub(crate) id: String,
    /// "forearm, left".
    pub(crate) place: String,
    /// "hands pressing".
    pub(crate) hold: &'static str,
    /// Whose hands press, where that was said.
    pub(crate) whose: String,
    /// Its ladder.
    pub(crate) ladder: Ladder,
    /// Since when a running time is shown, if one is.
    pub(crate) since: Option<Moment>,
    /// Since when the tourniquet is on.
    pub(crate) tourniquet_since: Option<Moment>,
    /// Bleeds, or needs a hand.
    pub(crate) is_urgent: bool,
    /// The suggested step, one line.
    pub(crate) next: &'static str,
    /// Why: the rule in words, its source, and how well the source is known.
    pub(crate) why: [&'static str; 3],
    /// To be read now.
    pub(crate) warnings: Vec<&'static str>,
    /// How it is done at this place.
    pub(crate) how: Vec<&'static str>,
    /// What is known beside the ladder.
    pub(crate) notes: Vec<Note>,
    /// Something can be felt beyond it before it is dressed.
    pub(crate) feels_before: bool,
    /// Unusual reports to be confirmed or struck, once each.
    pub(crate) questions: Vec<Question>,
}

/// What is known beside the ladder, one line, and from and until when it holds where that is not always.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Note {
    pub(crate) words: String,
    pub(crate) from: Option<Moment>,
    pub(crate) until: Option<Moment>,
}

impl From<String> for Note {
    fn from(words: String) -> Self {
        Self {
            words,
            from: None,
            until: None,
        }
    }
}

/// "This is unusual here: is it so?"
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Question {
    /// What is unusual.
    pub(crate) words: &'static str,
    /// What was reported.
    pub(crate) reported: String,
    /// The report that says that it is so.
    pub(crate) confirm: String,
    /// The report that strikes it.
    pub(crate) strike: String,
}

/// How many warnings are shown at once; the rest come when these are dealt with.
const WARNINGS: usize = 3;

impl WoundView {
    /// Draws a wound of an incident.
    pub(crate) fn of(wound: &Wound, incident: &Incident) -> Self {
        let standing = &wound.standing;
        let casualty = incident
            .casualty_of(&About::Wound(wound.id))
            .and_then(|casualty| incident.casualty(casualty));
        let since = match standing.state {
            State::Pressing | State::PackPressing => standing.hold.map(|hold| hold.started_at),
            State::HandsStay => standing.hands.since,
            State::Bleeding => standing.next_since,
            _ => None,
        };
        Self {
            id: wound.id.to_string(),
            place: wound.place(),
            hold: standing.state.words(),
            whose: standing
                .hands
                .whose
                .clone()
                .filter(|_| standing.hands.pressing)
                .unwrap_or_default(),
            ladder: Ladder::of(standing, wound.region),
            since: since
                .filter(|_| wound.tourniquet_since.is_none())
                .map(Moment::from),
            tourniquet_since: wound.tourniquet_since.map(Moment::from),
            is_urgent: wound.needs_hands(),
            next: wound.next_line(),
            why: [
                standing.rule.words(),
                standing.rule.source(),
                evidence_words(standing.rule.evidence()),
            ],
            warnings: standing
                .warnings
                .iter()
                .take(WARNINGS)
                .map(|warning| warning.text())
                .collect(),
            how: wound_notes::how(wound),
            notes: casualty
                .map(|casualty| {
                    wound_notes::notes(&incident.settings().now().policy, casualty, wound)
                })
                .unwrap_or_default(),
            feels_before: wound_notes::feels_before(wound),
            questions: standing
                .questions
                .iter()
                .filter_map(|unusual| question(unusual.order, unusual.warning.text(), incident))
                .collect(),
        }
    }
}

fn question(order: u64, words: &'static str, incident: &Incident) -> Option<Question> {
    let entry = incident.entry(Seq(order))?;
    let report = |mut fact: serde_json::Value| {
        fact["entry"] = json!(entry.id);
        json!({ "about": entry.about, "fact": fact }).to_string()
    };
    Some(Question {
        words,
        reported: crate::incident::sentence(entry, incident),
        confirm: report(json!({ "kind": "report.confirmed/1" })),
        strike: report(json!({ "kind": "entry.struck/1", "reason": "it was not done" })),
    })
}

/// How well a source is known, in words.
const fn evidence_words(evidence: Evidence) -> &'static str {
    match evidence {
        Evidence::Read => "read in the source",
        Evidence::Relayed => "relayed by another page",
        Evidence::Memory => "from memory, to be checked",
        Evidence::CommonPractice => "common practice",
        Evidence::OurDefault => "this board's own choice",
    }
}
