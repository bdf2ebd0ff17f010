//! What is reported about destinations: how many they take, what they can do, how long it takes to get there.

use serde::{Deserialize, Serialize};

use crate::incident::ids::TransportId;
use crate::incident::text::Words;
pub use crate::rules::evac::DestinationKind;
use crate::rules::evac::on_foot::Ground;

/// What a destination can do.
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
pub enum Ability {
    /// An operating theatre.
    Surgery,
    /// Burns.
    Burns,
    /// Children.
    Children,
    /// Brains and spines.
    Neuro,
}

/// How many a destination takes, by how soon they leave; what was not said is left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Places {
    /// Immediate, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub immediate: Option<u16>,
    /// Delayed, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub delayed: Option<u16>,
    /// Minor, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub minor: Option<u16>,
}

/// Minutes one way, by how one travels; no way when left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Minutes {
    /// By road, 0 to 1440.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 1440)]
    pub road: Option<u16>,
    /// By air, 0 to 1440.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 1440)]
    pub air: Option<u16>,
    /// On foot, carrying, 0 to 1440.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 1440)]
    pub foot: Option<u16>,
    /// By water, 0 to 1440.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 1440)]
    pub water: Option<u16>,
}

/// A place that takes people in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DestinationAdded {
    /// What it is called, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub name: Words,
    /// What kind of place.
    pub place: DestinationKind,
    /// How many it takes.
    #[serde(default, skip_serializing_if = "Places::says_nothing")]
    pub places: Places,
    /// What it can do, at most 4.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 4)]
    pub abilities: Vec<Ability>,
    /// How long it takes to get there.
    #[serde(default, skip_serializing_if = "Minutes::says_nothing")]
    pub minutes: Minutes,
}

/// Better knowledge of a destination; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DestinationChanged {
    /// What it is called, at most 80 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub name: Option<Words>,
    /// How many it takes, counted from now on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub places: Option<Places>,
    /// What it can do, at most 4.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 4)]
    pub abilities: Option<Vec<Ability>>,
    /// How long it takes to get there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<Minutes>,
    /// Takes nobody any more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed: Option<bool>,
}

/// How long one transport takes to this destination, where it differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TravelTold {
    /// Which transport.
    pub transport: TransportId,
    /// Minutes one way, 0 to 1440.
    #[schema(maximum = 1440)]
    pub minutes: u16,
}

/// The way on foot to this destination, and who goes it: how long it takes follows from that. The later of this and a
/// told time stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WayOnFootTold {
    /// Which transport: a stretcher party or people who walk.
    pub transport: TransportId,
    /// How far, in metres, 0 to 30000.
    #[schema(maximum = 30000)]
    pub metres: u32,
    /// Height lost or gained on the way, in metres, 0 to 4000.
    #[serde(default)]
    #[schema(maximum = 4000)]
    pub height: u32,
    /// The ground.
    pub ground: Ground,
    /// How many carry, 0 to 60; nobody where people walk.
    #[serde(default)]
    #[schema(maximum = 60)]
    pub bearers: u16,
    /// A wheel under the stretcher.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub wheel: bool,
}

impl Places {
    /// Whether nothing was said.
    pub fn says_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl Minutes {
    /// Whether nothing was said.
    pub fn says_nothing(&self) -> bool {
        *self == Self::default()
    }
}

impl Ability {
    /// All abilities.
    pub const ALL: [Self; 4] = [Self::Surgery, Self::Burns, Self::Children, Self::Neuro];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Surgery => "surgery",
            Self::Burns => "burns",
            Self::Children => "children",
            Self::Neuro => "brain and spine",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Surgery => "surgery",
            Self::Burns => "burns",
            Self::Children => "children",
            Self::Neuro => "neuro",
        }
    }
}
