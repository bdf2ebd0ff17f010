//! The level of consciousness in five words: alert, newly confused, voice, pain, unresponsive.
//!
//! Owns the levels and their order. Sources: AVPU as taught in first aid; "new confusion" between alert and
//! voice from the Royal College of Physicians' NEWS2 (2017). Promises: a level is never turned into a coma
//! score. The two only correlate: in three studies (Ann Emerg Med 2004;44:108–13, Anaesthesia 2004, APJMT) the
//! median coma score was 15 for alert, 13 for voice, 8 for pain, but 3 or 6 for unresponsive.

use serde::{Deserialize, Serialize};

use super::gcs::{Eye, Gcs, Motor, Verbal};

/// How awake somebody is, best first.
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
#[serde(rename_all = "snake_case")]
pub enum Consciousness {
    /// Awake, as usual.
    Alert,
    /// Awake, but confused as they were not before.
    Confused,
    /// Reacts to a voice.
    Voice,
    /// Reacts to pain only.
    Pain,
    /// Does not react.
    Unresponsive,
}

impl Consciousness {
    /// All levels, best first.
    pub const ALL: [Self; 5] = [
        Self::Alert,
        Self::Confused,
        Self::Voice,
        Self::Pain,
        Self::Unresponsive,
    ];

    /// What is shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Alert => "alert",
            Self::Confused => "newly confused",
            Self::Voice => "reacts to voice",
            Self::Pain => "reacts to pain",
            Self::Unresponsive => "does not react",
        }
    }

    /// The level a coma score hints at, to prefill a form with; `None` where the eyes or, with closed eyes,
    /// the rest are not known. *Common practice*; the way back does not exist.
    pub const fn hint_from(gcs: Gcs) -> Option<Self> {
        match (gcs.eye, gcs.verbal, gcs.motor) {
            (Some(Eye::Spontaneous), ..) => Some(Self::Alert),
            (Some(Eye::ToSound), ..) => Some(Self::Voice),
            (Some(Eye::ToPressure), ..) => Some(Self::Pain),
            (Some(Eye::None), Some(Verbal::None), Some(Motor::None)) => Some(Self::Unresponsive),
            (Some(Eye::None), Some(verbal), Some(motor)) => {
                let reacts = !matches!(verbal, Verbal::None | Verbal::NotTestable)
                    || !matches!(motor, Motor::None | Motor::NotTestable);
                if reacts { Some(Self::Pain) } else { None }
            }
            _ => None,
        }
    }
}
