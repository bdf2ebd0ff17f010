//! All the algorithms as one choice, and which of them fits whom.
//!
//! Owns the stored codes, the apparent ages and the advice by age. Promises: the advice goes by appearance,
//! as the published rules do, and asks rather than guesses when the age is not known.

use serde::{Deserialize, Serialize};

use super::jump_start::JumpStartVariant;
use super::mitt::MittAnswers;
use super::salt::SaltAnswers;
use super::start::StartVariant;
use super::table::Table;
use super::ten_second::TenSecondAnswers;

/// One algorithm in one variant.
///
/// Stored as `algorithm.variant`, e.g. `start.radial_then_crt`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Algorithm {
    /// START, for adults.
    Start(StartVariant),
    /// `JumpSTART`, for children.
    JumpStart(JumpStartVariant),
    /// SALT, for all ages.
    Salt,
    /// Ten Second Triage, for all ages and any responder.
    TenSecond,
    /// The Major Incident Triage Tool, for clinicians.
    Mitt,
}

impl Algorithm {
    /// Every algorithm in every variant, defaults first.
    pub const ALL: [Self; 9] = [
        Self::Start(StartVariant::RadialThenCrt),
        Self::Start(StartVariant::Radial),
        Self::Start(StartVariant::Crt),
        Self::Start(StartVariant::Either),
        Self::JumpStart(JumpStartVariant::Standard),
        Self::JumpStart(JumpStartVariant::NeverWalked),
        Self::Salt,
        Self::TenSecond,
        Self::Mitt,
    ];

    /// The questions. The table also names the stored codes of algorithm and variant.
    pub const fn table(self) -> &'static Table {
        match self {
            Self::Start(variant) => variant.table(),
            Self::JumpStart(variant) => variant.table(),
            Self::Salt => SaltAnswers::table(),
            Self::TenSecond => TenSecondAnswers::table(),
            Self::Mitt => MittAnswers::table(),
        }
    }

    /// The algorithm stored under these codes.
    pub fn from_codes(algorithm: &str, variant: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| {
            let table = one.table();
            table.algorithm == algorithm && table.variant == variant
        })
    }

    /// The stored code of algorithm and variant together.
    pub fn code(self) -> String {
        let table = self.table();
        format!("{}.{}", table.algorithm, table.variant)
    }

    /// The name people know it by.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Start(_) => "START",
            Self::JumpStart(_) => "JumpSTART",
            Self::Salt => "SALT",
            Self::TenSecond => "Ten Second Triage",
            Self::Mitt => "Major Incident Triage Tool",
        }
    }

    /// Whether it suits somebody of this apparent age.
    ///
    /// Source: `JumpSTART` chart text ("appears to be a child" / "a young adult"; secondary) for the first
    /// two; SALT and Ten Second Triage are for all ages (the latter from memory); MITT's age rules as in its
    /// table.
    pub const fn fits(self, age: ApparentAge) -> Fit {
        use ApparentAge::{Adult, Child, Infant, Unknown};
        match (self, age) {
            (Self::Start(_), Infant | Child) => Fit::No("looks like a child: JumpSTART"),
            (Self::JumpStart(_), Adult) => Fit::No("looks grown up: START"),
            (Self::Start(_) | Self::JumpStart(_), Unknown) => {
                Fit::Ask("looks like a child, or grown up?")
            }
            (Self::JumpStart(JumpStartVariant::Standard), Infant) => {
                Fit::Note("an infant does not walk: ask the version for those who never walked")
            }
            (Self::Salt, Infant | Child) => Fit::Note("not breathing: consider 2 rescue breaths"),
            (Self::Mitt, Infant) => Fit::Note("under 2 and not walking is immediate"),
            (Self::Mitt, Unknown) => Fit::Note("age matters if not breathing, or if maybe under 2"),
            _ => Fit::Yes,
        }
    }
}

impl From<Algorithm> for String {
    fn from(algorithm: Algorithm) -> Self {
        algorithm.code()
    }
}

impl TryFrom<String> for Algorithm {
    type Error = String;

    fn try_from(code: String) -> Result<Self, Self::Error> {
        let known = code
            .split_once('.')
            .and_then(|(algorithm, variant)| Self::from_codes(algorithm, variant));
        known.ok_or_else(|| "no triage system of this name".to_owned())
    }
}

/// Whether an algorithm suits somebody, with the reason for people to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Yes.
    Yes,
    /// Yes; mind this.
    Note(&'static str),
    /// No; use that.
    No(&'static str),
    /// Cannot be said without an answer to this.
    Ask(&'static str),
}

/// How old somebody looks. The published rules fall back on appearance, so it is stored beside any age.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ApparentAge {
    /// Looks under one year.
    Infant,
    /// Looks like a child.
    Child,
    /// Looks like a young adult or older.
    Adult,
    /// Not said.
    #[default]
    Unknown,
}

impl ApparentAge {
    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Infant => "infant",
            Self::Child => "child",
            Self::Adult => "adult",
            Self::Unknown => "unknown",
        }
    }
}
