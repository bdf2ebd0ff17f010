//! What a person should mind beside a suggested category, and when an own decision needs a reason.
//!
//! Owns the notes. Promises: a note never changes a category; it is shown beside it.

use serde::Serialize;

use super::answer::{Answer, Input};
use super::assess::Assessment;
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

    /// Whether it belongs on the board: that walkers can hide something is true of each of them, and would hide the
    /// rest; what an expectant casualty lacks is told there in its own words.
    pub const fn is_told_on_the_board(self) -> bool {
        !matches!(
            self,
            Self::OnlyWalkingWasAsked | Self::ExpectantNeedsGrounds
        )
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

/// When a note is to be minded: everything that is set must hold.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Rule {
    /// Which note; left out of what a phone is given, which gets its words.
    #[serde(skip)]
    pub note: Note,
    /// The systems it is about; empty is any.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pub systems: &'static [&'static str],
    /// The category that the answers settle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settled: Option<Category>,
    /// Questions answered yes.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    pub yes: &'static [Input],
    /// A number that lies over this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above: Option<(Input, u16)>,
    /// A number that lies under this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub below: Option<(Input, u16)>,
    /// A number that is just this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exactly: Option<(Input, u16)>,
}

/// Nothing set: what the rules below are written on.
const ANY: Rule = Rule {
    note: Note::SlowBreathing,
    systems: &[],
    settled: None,
    yes: &[],
    above: None,
    below: None,
    exactly: None,
};
/// Minor because of walking.
const WALKER: Rule = Rule {
    settled: Some(Category::Minor),
    yes: &[Input::Walks],
    ..ANY
};

/// Every rule, drawn on the board and walked by a phone: one table for both.
pub const RULES: [Rule; 9] = [
    Rule {
        note: Note::SlowBreathing,
        systems: &["start"],
        below: Some((Input::BreathsPerMinute, 10)),
        ..ANY
    },
    Rule {
        note: Note::WalkerBreathesFast,
        systems: &["start"],
        yes: &[Input::Walks, Input::BreathingOver30],
        ..WALKER
    },
    Rule {
        note: Note::WalkerBreathesFast,
        systems: &["start"],
        above: Some((Input::BreathsPerMinute, 30)),
        ..WALKER
    },
    Rule {
        note: Note::WalkerBreathesFast,
        systems: &["jumpstart"],
        above: Some((Input::BreathsPerMinute, 45)),
        ..WALKER
    },
    Rule {
        note: Note::WalkerBreathesFast,
        systems: &["mitt"],
        above: Some((Input::BreathsPerMinute, 23)),
        ..WALKER
    },
    Rule {
        note: Note::WalkerBleeds,
        yes: &[Input::Walks, Input::SevereBleeding],
        ..WALKER
    },
    Rule {
        note: Note::OnlyWalkingWasAsked,
        ..WALKER
    },
    Rule {
        note: Note::AgeExactlyTwo,
        exactly: Some((Input::AgeYears, 2)),
        ..ANY
    },
    Rule {
        note: Note::ExpectantNeedsGrounds,
        settled: Some(Category::Expectant),
        ..ANY
    },
];

impl Rule {
    fn holds(&self, sheet: &Sheet, assessment: &Assessment) -> bool {
        let answers = sheet.answers();
        let number = |limit: Option<(Input, u16)>, meets: fn(u16, u16) -> bool| {
            limit.is_none_or(|(input, limit)| {
                answers.number(input).is_some_and(|one| meets(one, limit))
            })
        };
        let is_settled =
            |category| assessment.is_final() && assessment.category() == Some(category);
        let system = sheet.algorithm().table().algorithm;
        (self.systems.is_empty() || self.systems.contains(&system))
            && self.settled.is_none_or(is_settled)
            && self
                .yes
                .iter()
                .all(|input| answers.answer(*input) == Some(Answer::Yes))
            && number(self.above, |one, limit| one > limit)
            && number(self.below, |one, limit| one < limit)
            && number(self.exactly, |one, limit| one == limit)
    }
}

/// What to mind about this sheet, in no order of weight.
pub fn notes(sheet: &Sheet) -> Vec<Note> {
    let assessment = sheet.assess();
    let mut notes: Vec<Note> = Vec::new();
    for rule in RULES.iter().filter(|rule| rule.holds(sheet, &assessment)) {
        if !notes.contains(&rule.note) {
            notes.push(rule.note);
        }
    }
    notes
}

/// Whether a person who assigns `assigned` must say why.
///
/// An own decision against the suggestion needs a reason, and expectant always does. *Common practice*; a
/// suggestion never assigns anything by itself.
pub fn reason_needed(suggested: Option<Category>, assigned: Category) -> bool {
    assigned == Category::Expectant || suggested.is_some_and(|suggested| suggested != assigned)
}
