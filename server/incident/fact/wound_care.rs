//! What is reported around the ladder: the person's history, the check beyond with its numbers, how a tourniquet
//! sits, taking one off, shock, blood loss, and the care of a wound once it is quiet.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::care::{Circulation, Compared, Used};
use crate::incident::text::{Note, Words};
use crate::rules::bleeding::act::Level;
use crate::rules::bleeding::after_care::ClosedWith;
use crate::rules::bleeding::conversion::ReleasePoint;
use crate::rules::bleeding::distal::Skin;
use crate::rules::bleeding::infection::{InfectionSign, TetanusHistory};
use crate::rules::bleeding::observation::Stain;
use crate::rules::bleeding::shock::ShockSign;
use crate::rules::bleeding::wound::{Contamination, Depth, Mechanism};

/// What is known of a person that changes the care of their bleeding; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RisksTold {
    /// Takes blood thinners: hands press longer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blood_thinners: Option<bool>,
    /// When a hospital is reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub hospital_at: Option<Timestamp>,
    /// Out in the cold or wet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cold: Option<bool>,
    /// Shots against tetanus.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tetanus: Option<TetanusHistory>,
}

/// More about a wound; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundDescribed {
    /// How deep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Depth>,
    /// How it came about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mechanism: Option<Mechanism>,
    /// How dirty.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contamination: Option<Contamination>,
    /// Length in millimetres, 1 to 2000.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 2000)]
    pub length_mm: Option<u32>,
    /// Something sticks in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impaled: Option<bool>,
    /// Broken bone under it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open_fracture: Option<bool>,
}

/// The part beyond was looked at, with everything that was seen and measured. Before a dressing it is what later
/// checks are compared with.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BeyondChecked {
    /// Before the dressing went on.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub before: bool,
    /// The blood on the dressing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stain: Option<Stain>,
    /// Pulse beyond.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circulation: Option<Circulation>,
    /// Fingers or toes move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<Compared>,
    /// Touch is felt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub feeling: Option<Compared>,
    /// Colour and warmth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skin: Option<Skin>,
    /// Refill in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_tenths: Option<u16>,
    /// Refill of the other side in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_other_side_tenths: Option<u16>,
}

/// How the tourniquet on this wound's limb sits; what is left out stays as it was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TourniquetDescribed {
    /// Where on the limb.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level: Option<Level>,
    /// Over clothes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_clothes: Option<bool>,
    /// Not a made one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub improvised: Option<bool>,
    /// The time is written on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_written: Option<bool>,
}

/// Somebody begins to take a tourniquet off, with what they ticked before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReleaseBegun {
    /// Who watches the wound from now on, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub watched_by: Words,
    /// What was ticked, at most 7.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 7)]
    pub ticked: Vec<ReleasePoint>,
}

/// A wound was rinsed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundRinsed {
    /// With how much clean water, in millilitres, 1 to 20000.
    #[schema(minimum = 1, maximum = 20000)]
    pub ml: u32,
    /// What it took from the bag besides, at most 12 kinds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 12)]
    pub used: Vec<Used>,
}

/// A wound was closed in the field. The board offers it nowhere, asks about it and keeps it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundClosed {
    /// With what.
    pub with: ClosedWith,
}

/// A quiet wound was looked at for infection.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InfectionLooked {
    /// What was seen, at most 15; empty is "none".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 15)]
    pub signs: Vec<InfectionSign>,
    /// The dressing was changed as well.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dressing_changed: bool,
    /// What it took from the bag, at most 12 kinds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 12)]
    pub used: Vec<Used>,
}

/// Signs that may mean shock.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShockSignsSeen {
    /// What was seen, at most 10; empty is "none".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 10)]
    pub signs: Vec<ShockSign>,
    /// Heart beats per minute, 0 to 300.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub pulse_per_minute: Option<u16>,
}

/// Spilt blood, as far as it was seen: information, never a gate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BloodSeen {
    /// Closed fists that cover it on a hard floor, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub fists: Option<u32>,
    /// Soaked dressings of 10 by 18 cm, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub dressings_10_by_18: Option<u32>,
    /// Soaked dressings of 19 by 20 cm, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub dressings_19_by_20: Option<u32>,
    /// Soaked dressings of 30 by 30 cm, 0 to 200.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 200)]
    pub dressings_30_by_30: Option<u32>,
}

/// Tranexamic acid was given, or decided against.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TranexamicSettled {
    /// Given.
    pub given: bool,
}

/// A wound was entered by mistake: one that has reports on it, which stay readable.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundVoided {
    /// Why, at most 280 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}
