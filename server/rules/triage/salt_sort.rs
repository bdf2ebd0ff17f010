//! SALT before the category: who is assessed first, and what is done on the way.
//!
//! Owns the order from the two calls to everybody, and the four lifesaving interventions. Sources: Lerner's
//! SALT lecture, Medical College of Wisconsin; the Model Uniform Core Criteria, DMPHP 2011;5(2):125–8, for
//! "everybody individually in the end" and "quick, and the responder need not stay" (from memory). Promises:
//! the order is never a category.

use serde::{Deserialize, Serialize};

/// What a casualty did when everybody was called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CallResponse {
    /// "If you can hear me, come to me": came.
    Walked,
    /// "If you need help, wave or move a leg": did, or moved with purpose.
    Waved,
    /// Neither.
    Still,
}

impl CallResponse {
    /// All three, in the order they are asked.
    pub const ALL: [Self; 3] = [Self::Walked, Self::Waved, Self::Still];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Walked => "walked",
            Self::Waved => "waved",
            Self::Still => "still",
        }
    }

    /// What is shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Walked => "walked on the call",
            Self::Waved => "waved or moved",
            Self::Still => "lies still",
        }
    }
}

/// When to assess somebody individually, 1 (first) to 3 (last). Walkers too are assessed in the end.
///
/// An obvious threat to life, such as heavy bleeding, comes first whatever the response.
pub const fn assessment_order(response: CallResponse, obvious_life_threat: bool) -> u8 {
    match (response, obvious_life_threat) {
        (_, true) | (CallResponse::Still, false) => 1,
        (CallResponse::Waved, false) => 2,
        (CallResponse::Walked, false) => 3,
    }
}

/// What may be done before the category is assigned, if it is quick and the responder need not stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum LifesavingIntervention {
    /// Stop heavy bleeding: tourniquet, or direct pressure by anyone.
    BleedingControl,
    /// Open the airway; for a child, consider two rescue breaths.
    AirwayOpening,
    /// Needle decompression of the chest.
    ChestDecompression,
    /// An antidote from an auto-injector.
    AutoInjectorAntidote,
}

impl LifesavingIntervention {
    /// All four, in the published order.
    pub const ALL: [Self; 4] = [
        Self::BleedingControl,
        Self::AirwayOpening,
        Self::ChestDecompression,
        Self::AutoInjectorAntidote,
    ];

    /// Whether only somebody trained for it may do it, so that a first aider is not offered it.
    ///
    /// The protocol says "only if trained and equipped"; that the first two are within a first aider's
    /// training is *common practice*.
    pub const fn needs_training(self) -> bool {
        matches!(self, Self::ChestDecompression | Self::AutoInjectorAntidote)
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::BleedingControl => "bleeding_control",
            Self::AirwayOpening => "airway_opening",
            Self::ChestDecompression => "chest_decompression",
            Self::AutoInjectorAntidote => "auto_injector_antidote",
        }
    }

    /// What was done, for the record.
    pub const fn done(self) -> &'static str {
        match self {
            Self::BleedingControl => "heavy bleeding treated",
            Self::AirwayOpening => "airway opened",
            Self::ChestDecompression => "chest decompressed",
            Self::AutoInjectorAntidote => "auto-injector given",
        }
    }

    /// What a button says.
    pub const fn words(self) -> &'static str {
        match self {
            Self::BleedingControl => "Stop heavy bleeding",
            Self::AirwayOpening => "Open the airway",
            Self::ChestDecompression => "Decompress the chest",
            Self::AutoInjectorAntidote => "Give the auto-injector",
        }
    }
}
