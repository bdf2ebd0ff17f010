//! What a person can answer to one triage question, and how an algorithm reads a sheet of answers.
//!
//! Owns the three-valued answer, the names of all inputs, and the way a count decides a yes/no question.
//! Promises: a gap and "can't tell" carry no information; a number, when there is one, decides its question;
//! boundaries are strict where the chart says "over" or "under".

use serde::{Deserialize, Serialize};

use crate::rules::scores::Consciousness;

/// One answer to one yes/no question. A question nobody answered has no `Answer` at all.
///
/// "Can't tell" (too dark, limb missing, intubated) carries no more information than a gap, but stops a
/// screen from asking again. *Common practice*: no published primary algorithm defines it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// Seen, and so.
    Yes,
    /// Seen, and not so.
    No,
    /// Looked, and cannot say.
    CannotTell,
}

impl Answer {
    /// The information in the answer: `None` for "can't tell".
    pub const fn known(self) -> Option<bool> {
        match self {
            Self::Yes => Some(true),
            Self::No => Some(false),
            Self::CannotTell => None,
        }
    }
}

impl From<bool> for Answer {
    fn from(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

/// The name of one input, the same in the tables, in the answer sheets and on the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(
    missing_docs,
    reason = "each is explained where an answer sheet declares it"
)]
pub enum Input {
    Walks,
    Breathing,
    BreathingAfterAirway,
    BreathingAfterRescueBreaths,
    #[serde(rename = "breathing_over_30")]
    BreathingOver30,
    #[serde(rename = "breathing_outside_15_to_45")]
    BreathingOutside15To45,
    #[serde(rename = "breathing_outside_12_to_23")]
    BreathingOutside12To23,
    RadialPulse,
    #[serde(rename = "refill_over_2s")]
    RefillOver2s,
    PulseFelt,
    #[serde(rename = "pulse_100_or_more")]
    Pulse100OrMore,
    Obeys,
    ObeysOrMoves,
    RespondsToVoice,
    RespondsAptlyToPain,
    Talking,
    RespiratoryDistress,
    ExternalInjury,
    PenetratingInjury,
    SevereBleeding,
    CatastrophicBleeding,
    BleedingControlled,
    InjuriesMinor,
    LikelyToSurvive,
    #[serde(rename = "under_12")]
    Under12,
    #[serde(rename = "under_2")]
    Under2,
    HypoxicCause,
    BreathsPerMinute,
    PulsePerMinute,
    RefillTenths,
    AgeYears,
    Consciousness,
}

/// A sheet of answers to one algorithm's questions; anything may be missing.
pub trait Answers {
    /// The answer a person gave to a yes/no input.
    fn answer(&self, input: Input) -> Option<Answer>;

    /// The number a person gave for a counted or measured input.
    fn number(&self, _input: Input) -> Option<u16> {
        None
    }

    /// The level of consciousness a person recorded.
    fn consciousness(&self) -> Option<Consciousness> {
        None
    }
}

/// Writing into a sheet by input, for a screen that asks one question at a time. `None` takes an answer back.
///
/// Each returns whether the algorithm has such an input; if not, nothing was written.
pub trait Record {
    /// Writes the answer to a yes/no input.
    fn record(&mut self, input: Input, answer: Option<Answer>) -> bool;

    /// Writes a number.
    fn record_number(&mut self, input: Input, number: Option<u16>) -> bool;

    /// Writes the level of consciousness.
    fn record_level(&mut self, _level: Option<Consciousness>) -> bool {
        false
    }
}

/// How a recorded level of consciousness decides a yes/no question. A level in neither list leaves it open.
///
/// Serialised as `{"input":"consciousness","yes":["alert", …],"no":[…]}`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// Always `consciousness`; named so that a phone finds it as it finds a number.
    pub input: Input,
    /// The levels that mean yes.
    pub yes: &'static [Consciousness],
    /// The levels that mean no.
    pub no: &'static [Consciousness],
}

impl Choice {
    /// What `level` says about the question.
    pub fn decides(&self, level: Consciousness) -> Option<Answer> {
        if self.yes.contains(&level) {
            Some(Answer::Yes)
        } else if self.no.contains(&level) {
            Some(Answer::No)
        } else {
            None
        }
    }
}

/// How a measured value decides a yes/no question.
///
/// Serialised flat, e.g. `{"input":"breaths_per_minute","above":30}`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Measure {
    /// Which number is looked at.
    pub input: Input,
    /// When the number means yes.
    #[serde(flatten)]
    pub yes_when: Limit,
}

/// When a number means *yes*. The units are those of the input.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// Strictly more: the boundary itself is a no.
    Above(u16),
    /// Strictly less: the boundary itself is a no.
    Below(u16),
    /// The boundary itself is a yes.
    AtLeast(u16),
    /// Strictly less than the first or strictly more than the second.
    Outside(u16, u16),
}

impl Limit {
    /// Whether `value` means yes.
    pub const fn met_by(self, value: u16) -> bool {
        match self {
            Self::Above(limit) => value > limit,
            Self::Below(limit) => value < limit,
            Self::AtLeast(limit) => value >= limit,
            Self::Outside(low, high) => value < low || value > high,
        }
    }
}
