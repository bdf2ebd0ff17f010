//! Kinds of places that take people in, and how many each is assumed to take while nobody has said.

use serde::{Deserialize, Serialize};

/// What kind of place takes people in: says what to assume while it has not said how many.
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
pub enum DestinationKind {
    /// A centre for the badly injured.
    TraumaCentre,
    /// A local hospital.
    LocalHospital,
    /// A place for minor injuries.
    MinorInjuries,
    /// A meeting point, a hut, a road head.
    MeetingPoint,
}

impl DestinationKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [
        Self::TraumaCentre,
        Self::LocalHospital,
        Self::MinorInjuries,
        Self::MeetingPoint,
    ];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::TraumaCentre => "trauma centre",
            Self::LocalHospital => "local hospital",
            Self::MinorInjuries => "minor injuries",
            Self::MeetingPoint => "meeting point",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::TraumaCentre => "trauma_centre",
            Self::LocalHospital => "local_hospital",
            Self::MinorInjuries => "minor_injuries",
            Self::MeetingPoint => "meeting_point",
        }
    }

    /// Places to assume for the first hour while it has not said how many: for who leave first, soon, and who can wait.
    /// A default of this board, no published number was found; to be shown as "assumed".
    pub const fn assumed(self) -> [u16; 3] {
        match self {
            Self::TraumaCentre => [2, 4, 6],
            Self::LocalHospital => [1, 2, 4],
            Self::MinorInjuries => [0, 0, 10],
            // Nobody is treated at a meeting point: it takes whoever is brought.
            Self::MeetingPoint => [200, 200, 200],
        }
    }
}
