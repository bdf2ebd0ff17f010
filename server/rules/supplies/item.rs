//! The things a bag holds, under generic names.
//!
//! Owns the stored codes, the words and which of them a measure usually takes. The usual amounts are
//! design choices calibrated on ANSI/ISEA Z308.1-2014; the helper corrects them with one tap.

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::Measure;

/// A supply item.
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
pub enum Item {
    /// Haemostatic gauze, pieces.
    HaemostaticGauze,
    /// Plain gauze for packing, pieces.
    PackingGauze,
    /// Roller gauze, rolls.
    GauzeRoll,
    /// Pressure bandage with or without a bar, each.
    PressureBandage,
    /// Elastic bandage, rolls.
    ElasticBandage,
    /// Trauma pad, each.
    LargePad,
    /// Small sterile pad, each.
    SmallPad,
    /// Tourniquet, each.
    Tourniquet,
    /// Triangular bandage, each.
    TriangularBandage,
    /// Clean cloth, pieces.
    Cloth,
    /// Examination gloves, pairs.
    Gloves,
    /// Insulating blanket, each.
    Blanket,
}

impl Item {
    /// All items, in the order of the bag list.
    pub const ALL: [Self; 12] = [
        Self::HaemostaticGauze,
        Self::PackingGauze,
        Self::GauzeRoll,
        Self::PressureBandage,
        Self::ElasticBandage,
        Self::LargePad,
        Self::SmallPad,
        Self::Tourniquet,
        Self::TriangularBandage,
        Self::Cloth,
        Self::Gloves,
        Self::Blanket,
    ];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::HaemostaticGauze => "haemostatic_gauze",
            Self::PackingGauze => "packing_gauze",
            Self::GauzeRoll => "gauze_roll",
            Self::PressureBandage => "pressure_bandage",
            Self::ElasticBandage => "elastic_bandage",
            Self::LargePad => "large_pad",
            Self::SmallPad => "small_pad",
            Self::Tourniquet => "tourniquet",
            Self::TriangularBandage => "triangular_bandage",
            Self::Cloth => "cloth",
            Self::Gloves => "gloves",
            Self::Blanket => "blanket",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::HaemostaticGauze => "haemostatic gauze",
            Self::PackingGauze => "packing gauze",
            Self::GauzeRoll => "gauze roll",
            Self::PressureBandage => "pressure bandage",
            Self::ElasticBandage => "elastic bandage",
            Self::LargePad => "large pad",
            Self::SmallPad => "small pad",
            Self::Tourniquet => "tourniquet",
            Self::TriangularBandage => "triangular bandage",
            Self::Cloth => "clean cloth",
            Self::Gloves => "gloves",
            Self::Blanket => "blanket",
        }
    }

    /// Whether it counts as a dressing: what lies on or around a wound.
    pub const fn is_dressing(self) -> bool {
        !matches!(self, Self::Gloves | Self::Blanket)
    }

    /// What a measure usually takes. Design choice; pads after ANZCOR Guideline 9.1.1 ("one or two pads").
    pub const fn usual_for(measure: Measure) -> &'static [(Self, u32)] {
        match measure {
            Measure::DirectPressure => &[(Self::LargePad, 1)],
            Measure::Packing => &[(Self::PackingGauze, 1)],
            Measure::PressureDressing => &[(Self::PressureBandage, 1)],
            Measure::Tourniquet => &[(Self::Tourniquet, 1)],
        }
    }
}
