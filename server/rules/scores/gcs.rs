//! The Glasgow Coma Scale, by its components.
//!
//! Owns the components, the total and the words for adults and small children. Sources: Teasdale & Jennett,
//! Lancet 1974;2:81–4; Teasdale et al., Nursing Times 2014;110(42):12–16 (wording; secondary) and Lancet Neurol
//! 2014;13:844–54 (show components, sum for groups); Archives of Disease in Childhood, modified scale for
//! children under 5. Promises: the best response counts; a component that cannot be tested means no total at
//! all; one nobody recorded makes the total a range. Acknowledged use; the words here are ours.

use serde::{Deserialize, Serialize};

use super::bounds::Bounds;
use crate::rules::triage::ApparentAge;

/// Eye opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Eye {
    /// By themselves (4).
    Spontaneous,
    /// When spoken to (3).
    ToSound,
    /// On pressure (2).
    ToPressure,
    /// Not (1).
    None,
    /// Cannot be tested, e.g. swollen shut.
    NotTestable,
}

/// Speech.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verbal {
    /// Knows name, place and date (5).
    Orientated,
    /// Talks, but confused (4).
    Confused,
    /// Single words (3).
    Words,
    /// Only sounds (2).
    Sounds,
    /// Nothing (1).
    None,
    /// Cannot be tested, e.g. a tube, a tracheostomy.
    NotTestable,
}

/// Best movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Motor {
    /// Does what is asked, in two parts (6).
    Obeys,
    /// Reaches for the spot (5).
    Localising,
    /// Pulls away, bending normally (4).
    Withdrawal,
    /// Bends abnormally (3).
    AbnormalFlexion,
    /// Stretches (2).
    Extension,
    /// Nothing (1).
    None,
    /// Cannot be tested, e.g. paralysed by a drug.
    NotTestable,
}

macro_rules! component {
    ($name:ident { $($level:ident = $score:literal),* }) => {
        impl $name {
            /// The score; none if it cannot be tested.
            pub const fn score(self) -> Option<u8> {
                match self {
                    $(Self::$level => Some($score),)*
                    Self::NotTestable => None,
                }
            }

            /// The level with that score.
            pub const fn from_score(score: u8) -> Option<Self> {
                match score {
                    $($score => Some(Self::$level),)*
                    _ => None,
                }
            }
        }
    };
}

component!(Eye { Spontaneous = 4, ToSound = 3, ToPressure = 2, None = 1 });
component!(Verbal { Orientated = 5, Confused = 4, Words = 3, Sounds = 2, None = 1 });
component!(Motor { Obeys = 6, Localising = 5, Withdrawal = 4, AbnormalFlexion = 3, Extension = 2, None = 1 });

/// The three components; `None` where nobody recorded one.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(deny_unknown_fields)]
pub struct Gcs {
    /// Eye opening.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub eye: Option<Eye>,
    /// Speech.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub verbal: Option<Verbal>,
    /// Best movement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motor: Option<Motor>,
}

/// The usual grading of a total (secondary texts agree).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// 13 to 15.
    Mild,
    /// 9 to 12.
    Moderate,
    /// 3 to 8.
    Severe,
}

impl Grade {
    /// The grade of a total from 3 to 15.
    pub const fn of(total: u8) -> Option<Self> {
        match total {
            13..=15 => Some(Self::Mild),
            9..=12 => Some(Self::Moderate),
            3..=8 => Some(Self::Severe),
            _ => None,
        }
    }
}

impl Gcs {
    /// From component scores; `None` if one is out of its range (E 1–4, V 1–5, M 1–6).
    pub fn from_scores(eye: u8, verbal: u8, motor: u8) -> Option<Self> {
        Some(Self {
            eye: Some(Eye::from_score(eye)?),
            verbal: Some(Verbal::from_score(verbal)?),
            motor: Some(Motor::from_score(motor)?),
        })
    }

    /// The total, 3 to 15, as a range where components were not recorded; `None` if one cannot be tested.
    pub fn total(self) -> Option<Bounds> {
        let part = |recorded: Option<Option<u8>>, most: u8| match recorded {
            Some(None) => None,
            Some(score) => Some(Bounds::of(score, 1, most)),
            None => Some(Bounds::of(None, 1, most)),
        };
        let eye = part(self.eye.map(Eye::score), 4)?;
        let verbal = part(self.verbal.map(Verbal::score), 5)?;
        let motor = part(self.motor.map(Motor::score), 6)?;
        Some(eye.plus(verbal).plus(motor))
    }

    /// The total, if all three components are known.
    pub fn exact_total(self) -> Option<u8> {
        self.total()
            .and_then(Bounds::exact)
            .and_then(|total| u8::try_from(total).ok())
    }

    /// The components as people write them: `E4 VNT M6`, `?` for what nobody recorded.
    pub fn components(self) -> String {
        let part = |letter: char, recorded: Option<Option<u8>>| match recorded {
            None => format!("{letter}?"),
            Some(None) => format!("{letter}NT"),
            Some(Some(score)) => format!("{letter}{score}"),
        };
        format!(
            "{} {} {}",
            part('E', self.eye.map(Eye::score)),
            part('V', self.verbal.map(Verbal::score)),
            part('M', self.motor.map(Motor::score)),
        )
    }
}

/// Which words to ask with. Three families of paediatric scales are in print; this is one of them, unmixed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Wording {
    /// From five years on. The published headings leave exactly five open; here five is "adult".
    Adult,
    /// Under five, after Archives of Disease in Childhood. Movement carries most weight (Merck Manual).
    UnderFive,
}

impl Wording {
    /// The words for somebody of this age; years, where known, decide over looks. A child of unknown age is
    /// `None`: ask.
    pub const fn for_age(years: Option<u16>, apparent: ApparentAge) -> Option<Self> {
        match (years, apparent) {
            (Some(0..5), _) | (None, ApparentAge::Infant) => Some(Self::UnderFive),
            (Some(5..), _) | (None, ApparentAge::Adult) => Some(Self::Adult),
            (None, ApparentAge::Child | ApparentAge::Unknown) => None,
        }
    }

    /// What the level of speech looks like.
    pub const fn verbal(self, level: Verbal) -> &'static str {
        match (self, level) {
            (_, Verbal::None) => "silent",
            (_, Verbal::NotTestable) => "cannot be tested",
            (Self::Adult, Verbal::Orientated) => "knows name, place, date",
            (Self::Adult, Verbal::Confused) => "talks, but confused",
            (Self::Adult, Verbal::Words) => "single words",
            (Self::Adult, Verbal::Sounds) => "only sounds",
            (Self::UnderFive, Verbal::Orientated) => "babbles or talks as usual",
            (Self::UnderFive, Verbal::Confused) => "less than usual, cries irritably",
            (Self::UnderFive, Verbal::Words) => "cries when it hurts",
            (Self::UnderFive, Verbal::Sounds) => "moans when it hurts",
        }
    }

    /// What the level of movement looks like.
    pub const fn motor(self, level: Motor) -> &'static str {
        match (self, level) {
            (_, Motor::None) => "does not move",
            (_, Motor::NotTestable) => "cannot be tested",
            (Self::Adult, Motor::Obeys) => "does what you ask",
            (Self::UnderFive, Motor::Obeys) => "moves as usual, or draws back when touched",
            (_, Motor::Localising) => "reaches for the spot",
            (_, Motor::Withdrawal) => "pulls away",
            (_, Motor::AbnormalFlexion) => "bends stiffly",
            (_, Motor::Extension) => "stretches stiffly",
        }
    }
}
