//! Why a fact is not taken: it cannot be understood, may not be done, or refers to nothing.
//!
//! Owns every expected "no", each with a stable code and a sentence that says what to do. The world having
//! moved on is never a reason.

use super::text::TextError;

/// An expected "no".
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// Not a fact of a known shape.
    #[error(
        "this report could not be understood: {0}. Reload the page to get its newest version and report again"
    )]
    NotUnderstood(String),
    /// A number outside what the field holds.
    #[error("{what} must be {min} to {max}, not {given}. Correct the number and report again")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// Least.
        min: u32,
        /// Most.
        max: u32,
        /// What was sent.
        given: u32,
    },
    /// No such choice of a setting.
    #[error("{what}: no such choice. Choose one of: {known}")]
    NoSuchChoice {
        /// Which setting.
        what: &'static str,
        /// What it can be.
        known: String,
    },
    /// A medical adviser decides this, and the report does not say who did.
    #[error(
        "{0}: a medical adviser decides this. Ask them, write down who decided it, and report again"
    )]
    NeedsDecider(&'static str),
    /// Nothing in the report.
    #[error("this report says nothing; give at least one value")]
    SaysNothing,
    /// The fact does not fit what it is about.
    #[error("a report of this kind cannot be about this. Reload the page and report again")]
    DoesNotFit,
    /// Refers to something the board has never heard of.
    #[error(
        "this report is about a {0} the board does not know. Report the {0} first, then this again"
    )]
    RefersToNothing(&'static str),
    /// The role may not do it.
    #[error("your role does not allow this; ask the lead to do it")]
    NotAllowed,
    /// Whoever is called expectant must be told what they are short of.
    #[error(
        "say what is short, so that it can be asked again when more arrives; then report again"
    )]
    NeedsGrounds,
    /// What somebody else reported is taken back for a reason that the record keeps.
    #[error("say why you take back what somebody else reported; then report again")]
    NeedsReason,
    /// The id was used for another fact before.
    #[error("this report carries the id of another one. Report it again from the start")]
    IdUsedTwice,
    /// Written by the board alone.
    #[error("only the board itself reports this")]
    BoardOnly,
}

impl Refusal {
    /// Stable code, also the last part of the problem's type.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotUnderstood(_) => "not-understood",
            Self::OutOfRange { .. } => "out-of-range",
            Self::NoSuchChoice { .. } => "no-such-choice",
            Self::NeedsDecider(_) => "needs-decider",
            Self::SaysNothing => "says-nothing",
            Self::DoesNotFit => "does-not-fit",
            Self::RefersToNothing(_) => "refers-to-nothing",
            Self::NotAllowed => "not-allowed",
            Self::NeedsGrounds => "needs-grounds",
            Self::NeedsReason => "needs-reason",
            Self::IdUsedTwice => "id-used-twice",
            Self::BoardOnly => "board-only",
        }
    }
}

impl From<TextError> for Refusal {
    fn from(error: TextError) -> Self {
        Self::NotUnderstood(error.to_string())
    }
}
