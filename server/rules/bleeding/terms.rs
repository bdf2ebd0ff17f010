//! The words of bleeding control: how it bleeds, what is done, what a look found.
//!
//! Owns the stored codes. Sources stand beside the rules that use them.

use serde::{Deserialize, Serialize};

/// How a wound bleeds when it is first looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Flow {
    /// Not bleeding.
    None,
    /// Slow, no drip.
    Ooze,
    /// Flows without a jet; a pad holds it.
    Steady,
    /// Fast; fills a pad or a cavity while you watch.
    High,
    /// In jets.
    Spurting,
}

/// A measure of bleeding control.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Hands press on the bleeding point.
    DirectPressure,
    /// Gauze packed down to the vessel, hands press.
    Packing,
    /// A bandage that keeps the pressure on.
    PressureDressing,
    /// A band that stops the limb's blood flow.
    Tourniquet,
}

/// What somebody saw when they looked again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// No bleeding.
    Stopped,
    /// Only oozing.
    Slowed,
    /// Bleeds on.
    StillBleeding,
}

impl Flow {
    /// All, slowest first.
    pub const ALL: [Self; 5] = [
        Self::None,
        Self::Ooze,
        Self::Steady,
        Self::High,
        Self::Spurting,
    ];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "not bleeding",
            Self::Ooze => "oozing",
            Self::Steady => "flows steadily",
            Self::High => "flows fast",
            Self::Spurting => "spurting",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Ooze => "ooze",
            Self::Steady => "steady",
            Self::High => "high",
            Self::Spurting => "spurting",
        }
    }
}

impl Measure {
    /// All, lowest rung first.
    pub const ALL: [Self; 4] = [
        Self::DirectPressure,
        Self::Packing,
        Self::PressureDressing,
        Self::Tourniquet,
    ];

    /// The words shown to people, as a thing.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DirectPressure => "direct pressure",
            Self::Packing => "packed",
            Self::PressureDressing => "pressure dressing",
            Self::Tourniquet => "tourniquet",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::DirectPressure => "direct_pressure",
            Self::Packing => "packing",
            Self::PressureDressing => "pressure_dressing",
            Self::Tourniquet => "tourniquet",
        }
    }
}

impl Look {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stopped => "stopped",
            Self::Slowed => "only oozing",
            Self::StillBleeding => "still bleeding",
        }
    }
}
