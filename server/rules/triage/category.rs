//! The triage category, in the words the published systems share.
//!
//! Owns the stored codes, the rank used for ordering and the words shown by default. Keeps `expectant` and
//! `dead` apart even where a service paints them alike.

use serde::{Deserialize, Serialize};

/// How urgently a casualty needs care, as assigned by a person or suggested by an algorithm.
///
/// Source of the meanings: US HHS CHEMM, "START Adult Triage Algorithm"; `expectant` as in SALT and the
/// Model Uniform Core Criteria (Lerner et al., DMPHP 2011;5(2):125–137). The order of the variants is the
/// order of urgency.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
pub enum Category {
    /// Life-threatening and salvageable.
    #[serde(rename = "immediate")]
    Immediate,
    /// Serious; can wait.
    #[serde(rename = "delayed")]
    Delayed,
    /// Minor; the walking wounded.
    #[serde(rename = "minor")]
    Minor,
    /// Alive, unlikely to survive with what is here today.
    #[serde(rename = "expectant")]
    Expectant,
    /// Not breathing, and not pronounced dead: the label of Ten Second Triage, which leaves death to clinicians
    /// (Vassallo et al., Trauma 2023; from secondary texts).
    #[serde(rename = "not_breathing")]
    NotBreathing,
    /// Dead.
    #[serde(rename = "dead")]
    Dead,
}

impl Category {
    /// All categories, most urgent first.
    pub const ALL: [Self; 6] = [
        Self::Immediate,
        Self::Delayed,
        Self::Minor,
        Self::Expectant,
        Self::NotBreathing,
        Self::Dead,
    ];

    /// Sort rank, 1 (soonest) to 5; expectant and not breathing share the fourth.
    pub const fn rank(self) -> u8 {
        match self {
            Self::Immediate => 1,
            Self::Delayed => 2,
            Self::Minor => 3,
            Self::Expectant | Self::NotBreathing => 4,
            Self::Dead => 5,
        }
    }

    /// The stored code, as in the journal and the state tables.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Immediate => "immediate",
            Self::Delayed => "delayed",
            Self::Minor => "minor",
            Self::Expectant => "expectant",
            Self::NotBreathing => "not_breathing",
            Self::Dead => "dead",
        }
    }

    /// The word shown to people (the US START and SALT wording).
    pub const fn word(self) -> &'static str {
        match self {
            Self::Immediate => "IMMEDIATE",
            Self::Delayed => "DELAYED",
            Self::Minor => "MINOR",
            Self::Expectant => "EXPECTANT",
            Self::NotBreathing => "NOT BREATHING",
            Self::Dead => "DEAD",
        }
    }
}
