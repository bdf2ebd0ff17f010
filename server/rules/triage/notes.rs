//! What a person should mind beside a suggested category, and when an own decision needs a reason.
//!
//! Owns the notes. Promises: a note never changes a category; it is shown beside it.

use super::algorithm::Algorithm;
use super::answer::{Answer, Input};
use super::category::Category;
use super::sheet::Sheet;

/// Something to mind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Note {
    /// Fewer than 10 breaths a minute, to which START has no lower limit.
    SlowBreathing,
    /// Minor because of walking, but breathing fast.
    WalkerBreathesFast,
    /// Minor because of walking, but bleeding severely.
    WalkerBleeds,
    /// Minor because of walking alone.
    OnlyWalkingWasAsked,
    /// Exactly two years old, where copies of the chart differ.
    AgeExactlyTwo,
    /// Expectant.
    ExpectantNeedsGrounds,
}

impl Note {
    /// What is shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SlowBreathing => "Fewer than 10 breaths a minute: look again soon.",
            Self::WalkerBreathesFast => "Walks, but breathes fast: look again early.",
            Self::WalkerBleeds => "Walks, but bleeds heavily: stop it, look again early.",
            Self::OnlyWalkingWasAsked => {
                "Walkers can hide a burnt airway or a stab wound. You may choose a more urgent category."
            }
            Self::AgeExactlyTwo => {
                "Copies of the chart differ for 2-year-olds: consider immediate."
            }
            Self::ExpectantNeedsGrounds => {
                "Say who decided and what is short. Ask again when more arrives."
            }
        }
    }

    /// Who says so.
    pub const fn source(self) -> &'static str {
        match self {
            Self::SlowBreathing | Self::WalkerBreathesFast | Self::WalkerBleeds => {
                "common practice"
            }
            Self::OnlyWalkingWasAsked => {
                "RCEM Learning, Triage in mass casualty situations (walking airway burn)"
            }
            Self::AgeExactlyTwo => "MITT: a compendium page and memory of the card differ",
            Self::ExpectantNeedsGrounds => {
                "SALT, re-evaluate as resources change; the record: common practice"
            }
        }
    }
}

/// What to mind about this sheet, in no order of weight.
pub fn notes(sheet: &Sheet) -> Vec<Note> {
    let answers = sheet.answers();
    let said_yes = |input| answers.answer(input) == Some(Answer::Yes);
    let breaths = answers.number(Input::BreathsPerMinute);
    let algorithm = sheet.algorithm();
    let category = sheet.assess();
    let minor_by_walking = category.is_final()
        && category.category() == Some(Category::Minor)
        && said_yes(Input::Walks);
    let breathes_fast = match algorithm {
        Algorithm::Start(_) => said_yes(Input::BreathingOver30) || breaths > Some(30),
        Algorithm::JumpStart(_) => breaths > Some(45),
        Algorithm::Mitt => breaths > Some(23),
        Algorithm::Salt | Algorithm::TenSecond => false,
    };
    let mut notes = Vec::new();
    let mut note_if = |applies: bool, note: Note| {
        if applies {
            notes.push(note);
        }
    };
    let is_start = matches!(algorithm, Algorithm::Start(_));
    note_if(
        is_start && breaths.is_some_and(|breaths| breaths < 10),
        Note::SlowBreathing,
    );
    note_if(minor_by_walking && breathes_fast, Note::WalkerBreathesFast);
    note_if(
        minor_by_walking && said_yes(Input::SevereBleeding),
        Note::WalkerBleeds,
    );
    note_if(minor_by_walking, Note::OnlyWalkingWasAsked);
    note_if(
        answers.number(Input::AgeYears) == Some(2),
        Note::AgeExactlyTwo,
    );
    note_if(
        category.possible.contains(&Category::Expectant) && category.is_final(),
        Note::ExpectantNeedsGrounds,
    );
    notes
}

/// Whether a person who assigns `assigned` must say why.
///
/// An own decision against the suggestion needs a reason, and expectant always does. *Common practice*; a
/// suggestion never assigns anything by itself.
pub fn reason_needed(suggested: Option<Category>, assigned: Category) -> bool {
    assigned == Category::Expectant || suggested.is_some_and(|suggested| suggested != assigned)
}
