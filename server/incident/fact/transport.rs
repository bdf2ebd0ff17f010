//! What is reported about transports.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::incident::ids::DestinationId;
use crate::incident::text::{Note, Words};
pub use crate::rules::evac::TransportKind;

/// So many places at once, of which one arrangement is used per trip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// Lying, 0 to 20.
    #[serde(default)]
    #[schema(maximum = 20)]
    pub lying: u16,
    /// Sitting, 0 to 80.
    #[serde(default)]
    #[schema(maximum = 80)]
    pub sitting: u16,
}

/// What a transport has on board.
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
pub enum Carried {
    /// Oxygen for the way.
    Oxygen,
    /// A board or mattress that keeps the spine still.
    SpineBoard,
}

impl Carried {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Oxygen => "oxygen",
            Self::SpineBoard => "board for the spine",
        }
    }
}

/// A transport is coming or here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportAdded {
    /// What it is called, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub name: Words,
    /// What it is.
    pub means: TransportKind,
    /// How many lie, how many sit: 1 to 4 arrangements, of which one is used per trip.
    #[schema(max_items = 4)]
    pub layouts: Vec<Layout>,
    /// How many unstable people its crew can care for at once, 0 to 9.
    #[schema(maximum = 9)]
    pub attendants: u16,
    /// What it has on board, at most 2.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 2)]
    pub carries: Vec<Carried>,
    /// When it is at the loading place; now when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub available_at: Option<Timestamp>,
    /// Minutes to load, 0 to 240.
    #[schema(maximum = 240)]
    pub load_minutes: u16,
    /// Minutes to unload, 0 to 240.
    #[schema(maximum = 240)]
    pub unload_minutes: u16,
    /// It leaves here no later than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub last_departure: Option<Timestamp>,
    /// A helicopter that flies in the dark.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub night: bool,
    /// Trips it will make, 1 to 9; as many as fit when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 9)]
    pub trips: Option<u16>,
    /// What else its crew said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub note: Option<Note>,
}

/// Better knowledge of a transport; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportChanged {
    /// What it is called, at most 80 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub name: Option<Words>,
    /// How many lie, how many sit: 1 to 4 arrangements.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 4)]
    pub layouts: Option<Vec<Layout>>,
    /// How many unstable people its crew can care for at once, 0 to 9.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 9)]
    pub attendants: Option<u16>,
    /// When it is at the loading place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub available_at: Option<Timestamp>,
    /// Minutes to load, 0 to 240.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 240)]
    pub load_minutes: Option<u16>,
    /// Minutes to unload, 0 to 240.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 240)]
    pub unload_minutes: Option<u16>,
    /// It leaves here no later than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub last_departure: Option<Timestamp>,
    /// Whether a helicopter flies in the dark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub night: Option<bool>,
    /// Trips it will make, 1 to 9.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 9)]
    pub trips: Option<u16>,
    /// What else its crew said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub note: Option<Note>,
}

/// How a transport stands, as people say it; loading and gone follow from loading and leaving.
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
pub enum TransportSaid {
    /// On its way here.
    Expected,
    /// At the loading place.
    Here,
    /// Back at the loading place after a trip.
    Back,
    /// Not to be counted on: broken, called away.
    Out,
}

/// A transport came, came back or dropped out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportStands {
    /// How it stands.
    pub state: TransportSaid,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

/// A transport left with everybody who was on it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportLeft {
    /// For where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub destination: Option<DestinationId>,
}

/// A transport arrived where it went.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransportArrived {}

impl TransportSaid {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Expected => "expected",
            Self::Here => "here",
            Self::Back => "back",
            Self::Out => "out of use",
        }
    }
}
