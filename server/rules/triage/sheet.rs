//! One filled-in sheet of any algorithm, as a screen drives it and as a fact keeps it.
//!
//! Owns the wire form `{"algorithm","variant","answers",…}`. Promises: each raw answer is kept, so that the
//! suggestion can be worked out again later and compared with what was shown then.

use serde::{Deserialize, Serialize};

use super::algorithm::Algorithm;
use super::answer::{Answer, Answers, Input, Record};
use super::assess::{Assessment, Outcome, assess};
use super::category::Category;
use super::jump_start::{JumpStartAnswers, JumpStartVariant};
use super::mitt::MittAnswers;
use super::salt::SaltAnswers;
use super::start::{StartAnswers, StartVariant};
use super::table::Step;
use super::ten_second::TenSecondAnswers;
use crate::rules::scores::Consciousness;

/// The variant of an algorithm that has only one.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum OnlyVariant {
    /// As published.
    #[default]
    Standard,
}

/// The answers to one algorithm's questions, and what was shown as suggested when they were given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Filled<V, A> {
    /// Which variant was asked.
    #[serde(default)]
    pub variant: V,
    /// Each raw answer.
    pub answers: A,
    /// What was suggested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub suggested: Option<Category>,
    /// The step that decided, if the answers decided.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(max_length = 8)]
    pub step: Option<String>,
    /// Whether the answers decided, or questions stayed open.
    #[serde(default)]
    pub complete: bool,
}

/// A filled-in sheet of one of the algorithms.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(tag = "algorithm")]
pub enum Sheet {
    /// START.
    #[serde(rename = "start")]
    Start(Filled<StartVariant, StartAnswers>),
    /// `JumpSTART`.
    #[serde(rename = "jumpstart")]
    JumpStart(Filled<JumpStartVariant, JumpStartAnswers>),
    /// SALT.
    #[serde(rename = "salt")]
    Salt(Filled<OnlyVariant, SaltAnswers>),
    /// Ten Second Triage.
    #[serde(rename = "ten_second")]
    TenSecond(Filled<OnlyVariant, TenSecondAnswers>),
    /// The Major Incident Triage Tool.
    #[serde(rename = "mitt")]
    Mitt(Filled<OnlyVariant, MittAnswers>),
}

/// The parts of a sheet that do not depend on the algorithm.
struct Shown<'sheet> {
    suggested: &'sheet mut Option<Category>,
    step: &'sheet mut Option<String>,
    complete: &'sheet mut bool,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(algorithm: Algorithm) -> Self {
        match algorithm {
            Algorithm::Start(variant) => Self::Start(Filled {
                variant,
                ..Filled::default()
            }),
            Algorithm::JumpStart(variant) => Self::JumpStart(Filled {
                variant,
                ..Filled::default()
            }),
            Algorithm::Salt => Self::Salt(Filled::default()),
            Algorithm::TenSecond => Self::TenSecond(Filled::default()),
            Algorithm::Mitt => Self::Mitt(Filled::default()),
        }
    }

    /// Which algorithm it is a sheet of.
    pub const fn algorithm(&self) -> Algorithm {
        match self {
            Self::Start(filled) => Algorithm::Start(filled.variant),
            Self::JumpStart(filled) => Algorithm::JumpStart(filled.variant),
            Self::Salt(_) => Algorithm::Salt,
            Self::TenSecond(_) => Algorithm::TenSecond,
            Self::Mitt(_) => Algorithm::Mitt,
        }
    }

    /// The answers so far.
    pub const fn answers(&self) -> &dyn Answers {
        match self {
            Self::Start(filled) => &filled.answers,
            Self::JumpStart(filled) => &filled.answers,
            Self::Salt(filled) => &filled.answers,
            Self::TenSecond(filled) => &filled.answers,
            Self::Mitt(filled) => &filled.answers,
        }
    }

    fn answers_mut(&mut self) -> &mut dyn Record {
        match self {
            Self::Start(filled) => &mut filled.answers,
            Self::JumpStart(filled) => &mut filled.answers,
            Self::Salt(filled) => &mut filled.answers,
            Self::TenSecond(filled) => &mut filled.answers,
            Self::Mitt(filled) => &mut filled.answers,
        }
    }

    fn shown_mut(&mut self) -> Shown<'_> {
        fn of<V, A>(filled: &mut Filled<V, A>) -> Shown<'_> {
            Shown {
                suggested: &mut filled.suggested,
                step: &mut filled.step,
                complete: &mut filled.complete,
            }
        }
        match self {
            Self::Start(filled) => of(filled),
            Self::JumpStart(filled) => of(filled),
            Self::Salt(filled) => of(filled),
            Self::TenSecond(filled) => of(filled),
            Self::Mitt(filled) => of(filled),
        }
    }

    /// Writes an answer, or takes it back with `None`. False if the algorithm has no such question.
    pub fn record(&mut self, input: Input, answer: Option<Answer>) -> bool {
        self.answers_mut().record(input, answer)
    }

    /// Writes a number, or takes it back with `None`. False if the algorithm asks for no such number.
    pub fn record_number(&mut self, input: Input, number: Option<u16>) -> bool {
        self.answers_mut().record_number(input, number)
    }

    /// Writes a level of consciousness, or takes it back. False if the algorithm does not use it.
    pub fn record_level(&mut self, level: Option<Consciousness>) -> bool {
        self.answers_mut().record_level(level)
    }

    /// What the answers so far amount to, worked out afresh.
    pub fn assess(&self) -> Assessment {
        assess(self.algorithm().table(), self.answers())
    }

    /// The question to ask next.
    pub fn next_step(&self) -> Option<&'static Step> {
        self.algorithm().table().step(self.assess().next?)
    }

    /// What was shown as suggested when the answers were given.
    pub const fn suggested(&self) -> Option<Category> {
        match self {
            Self::Start(filled) => filled.suggested,
            Self::JumpStart(filled) => filled.suggested,
            Self::Salt(filled) => filled.suggested,
            Self::TenSecond(filled) => filled.suggested,
            Self::Mitt(filled) => filled.suggested,
        }
    }

    /// The step that was shown as deciding.
    pub fn step(&self) -> Option<&str> {
        match self {
            Self::Start(filled) => filled.step.as_deref(),
            Self::JumpStart(filled) => filled.step.as_deref(),
            Self::Salt(filled) => filled.step.as_deref(),
            Self::TenSecond(filled) => filled.step.as_deref(),
            Self::Mitt(filled) => filled.step.as_deref(),
        }
    }

    /// Whether what was shown then is what these answers give now.
    ///
    /// False means that a phone ran on other tables than this board, which somebody should look at.
    pub fn agrees(&self) -> bool {
        self.suggested() == self.assess().category()
    }

    /// The sheet with the suggestion, the deciding step and completeness filled in from its answers.
    #[must_use]
    pub fn with_suggestion(mut self) -> Self {
        let assessment = self.assess();
        let shown = self.shown_mut();
        *shown.suggested = assessment.category();
        *shown.complete = assessment.is_final();
        *shown.step = match assessment.outcome {
            Outcome::Final { step, .. } => Some(step.to_owned()),
            _ => None,
        };
        self
    }
}
