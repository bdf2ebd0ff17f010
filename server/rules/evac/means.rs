//! What carries people, and by which way it travels.

use serde::{Deserialize, Serialize};

/// What carries people.
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
pub enum TransportKind {
    /// A road ambulance.
    Ambulance,
    /// A helicopter.
    Helicopter,
    /// A minibus.
    Minibus,
    /// A car.
    Car,
    /// A car for rough ground.
    Offroad,
    /// A boat.
    Boat,
    /// People who carry a stretcher.
    StretcherParty,
    /// People who walk with the walking wounded.
    WalkingParty,
}

/// By which way a transport travels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By road.
    Road,
    /// By air.
    Air,
    /// On foot.
    Foot,
    /// By water.
    Water,
}

impl Way {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Road => "by road",
            Self::Air => "by air",
            Self::Foot => "on foot",
            Self::Water => "by water",
        }
    }
}

impl TransportKind {
    /// All kinds.
    pub const ALL: [Self; 8] = [
        Self::Ambulance,
        Self::Helicopter,
        Self::Minibus,
        Self::Car,
        Self::Offroad,
        Self::Boat,
        Self::StretcherParty,
        Self::WalkingParty,
    ];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ambulance => "ambulance",
            Self::Helicopter => "helicopter",
            Self::Minibus => "minibus",
            Self::Car => "car",
            Self::Offroad => "off-road car",
            Self::Boat => "boat",
            Self::StretcherParty => "stretcher party",
            Self::WalkingParty => "walking party",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Ambulance => "ambulance",
            Self::Helicopter => "helicopter",
            Self::Minibus => "minibus",
            Self::Car => "car",
            Self::Offroad => "offroad",
            Self::Boat => "boat",
            Self::StretcherParty => "stretcher_party",
            Self::WalkingParty => "walking_party",
        }
    }

    /// By which way it travels.
    pub const fn way(self) -> Way {
        match self {
            Self::Ambulance | Self::Minibus | Self::Car | Self::Offroad => Way::Road,
            Self::Helicopter => Way::Air,
            Self::Boat => Way::Water,
            Self::StretcherParty | Self::WalkingParty => Way::Foot,
        }
    }
}
