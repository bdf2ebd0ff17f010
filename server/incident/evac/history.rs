//! What a casualty told, each answer by itself.
//!
//! Owns how answers about history stand beside each other. Promises: an allergy, a medicine or an illness that somebody
//! told stands until a report says that it does not, or it is struck: whoever tells of another one has seldom read the
//! first. Other answers hold as single answers do. The age stands elsewhere, in `told`.

use jiff::Timestamp;

use crate::incident::answers::Answers;
use crate::incident::fact::{Fact, HistoryTold, Sex};
use crate::incident::identity::Standing;
use crate::incident::text::Note;

/// The answer "we asked, and there is nothing"; it differs from not having asked.
pub const NONE_KNOWN: &str = "none known";

/// What a casualty or somebody beside them told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    /// Sex.
    pub sex: Answers<Sex>,
    /// When they were hurt.
    pub injured_at: Answers<Timestamp>,
    /// How they were hurt.
    pub mechanism: Answers<Note>,
    /// Other injuries than the wounds on the board, and what they feel.
    pub complaints: Answers<Note>,
    /// Allergies.
    pub allergies: Answers<Note>,
    /// Medicines they take.
    pub medicines: Answers<Note>,
    /// Illnesses they have or had.
    pub background: Answers<Note>,
    /// Anything else: a relative, belongings.
    pub other: Answers<Note>,
}

impl History {
    pub(in crate::incident) fn of(standing: &Standing<'_>) -> Self {
        let ends = |fact: &Fact| matches!(fact, Fact::HistoryTold(told) if told.instead);
        macro_rules! told {
            ($field:ident) => {
                |fact: &Fact| match fact {
                    Fact::HistoryTold(HistoryTold { $field, .. }) => $field.clone(),
                    _ => None,
                }
            };
        }
        Self {
            sex: standing.of(told!(sex)),
            injured_at: standing.of(told!(injured_at)),
            mechanism: standing.of(told!(mechanism)),
            complaints: standing.of(told!(complaints)),
            allergies: standing.adding(told!(allergies), ends),
            medicines: standing.adding(told!(medicines), ends),
            background: standing.adding(told!(background), ends),
            other: standing.of(told!(other)),
        }
    }

    /// When they were hurt: of several times that stand the earliest, so that no limit counted from it comes too late.
    pub fn injured_at(&self) -> Option<Timestamp> {
        self.injured_at.all().iter().map(|given| given.value).min()
    }

    /// Their sex, where those who told it agree.
    pub fn sex(&self) -> Option<Sex> {
        (!self.sex.is_disputed())
            .then(|| self.sex.value().copied())
            .flatten()
    }
}

/// Everything that was told in answer to one question, as one line; "none known" never hides what else was told.
pub fn in_words(told: &Answers<Note>) -> Option<String> {
    let some = something(told);
    let none = told.all().iter().any(|given| is_none(&given.value));
    match (some, none) {
        (Some(some), true) => Some(format!("{some}; also told: {NONE_KNOWN}")),
        (None, true) => Some(NONE_KNOWN.to_owned()),
        (some, false) => some,
    }
}

/// What was told but for "none known", as one line.
pub fn something(told: &Answers<Note>) -> Option<String> {
    let some = told.all().iter().map(|given| &given.value);
    let some: Vec<&str> = some
        .filter(|said| !is_none(said))
        .map(Note::as_str)
        .collect();
    (!some.is_empty()).then(|| some.join("; "))
}

/// As a keyboard writes it, too: "None known."
pub fn is_none(said: &Note) -> bool {
    let said = said.as_str().trim_end_matches('.');
    [NONE_KNOWN, "none"]
        .iter()
        .any(|none| said.eq_ignore_ascii_case(none))
}

/// Whether one was told "none known" and another was told of something: somebody should ask again.
pub fn contradict(told: &Answers<Note>) -> bool {
    something(told).is_some() && told.all().iter().any(|given| is_none(&given.value))
}
