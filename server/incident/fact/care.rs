//! What is reported about wounds and vital signs.

use serde::{Deserialize, Serialize};

use crate::incident::ids::CasualtyId;
use crate::rules::bleeding::{Flow, Look, Measure, Region, Side};
pub use crate::rules::scores::Consciousness;
use crate::rules::supplies::Item;

/// A wound was found. The id is made on the phone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundFound {
    /// Whose wound.
    pub casualty: CasualtyId,
    /// Where.
    pub region: Region,
    /// The casualty's own side.
    #[serde(default)]
    pub side: Side,
    /// How it bleeds.
    pub flow: Flow,
    /// All or part of the limb is gone.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub amputation: bool,
}

/// A measure was taken on a wound.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StepTaken {
    /// Which measure.
    pub step: Measure,
    /// What it took from the bag, at most 12 kinds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 12)]
    pub used: Vec<Used>,
}

/// So many of one item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Used {
    /// Of what.
    pub item: Item,
    /// How many, 1 to 50.
    #[schema(minimum = 1, maximum = 50)]
    pub count: u32,
}

/// Somebody looked at a wound again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundLooked {
    /// What they saw.
    pub bleeding: Look,
}

/// Blood flow beyond the dressing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Circulation {
    /// Pulse felt or colour back within two seconds.
    Present,
    /// Clearly weaker than on the other side.
    Weaker,
    /// No pulse, colour does not come back.
    Absent,
    /// Could not be told.
    CannotTell,
}

/// Movement or feeling beyond the dressing, compared with before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Compared {
    /// As before.
    AsBefore,
    /// Worse than before.
    Worse,
    /// Could not be told.
    CannotTell,
}

/// Circulation, movement and feeling beyond a dressing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DistalChecked {
    /// Pulse or refill.
    pub circulation: Circulation,
    /// Fingers or toes move.
    pub movement: Compared,
    /// Touch is felt.
    pub feeling: Compared,
}

impl DistalChecked {
    /// Whether the dressing lets enough blood through. Sources: St John Ambulance public advice (refill within
    /// two seconds) and JTS combat paramedic curriculum (pulse absent, cool, blue, numb: too tight). "Cannot
    /// tell" does not fail a check: nobody saw a fault.
    pub fn passed(&self) -> bool {
        !matches!(self.circulation, Circulation::Absent | Circulation::Weaker)
            && self.movement != Compared::Worse
            && self.feeling != Compared::Worse
    }
}

/// Vital signs measured together; what was not measured is left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VitalsMeasured {
    /// Breaths per minute, 0 to 120.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 120)]
    pub breaths_per_minute: Option<u16>,
    /// Heart beats per minute, 0 to 300.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub pulse_per_minute: Option<u16>,
    /// Systolic blood pressure in mmHg, 0 to 300.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub systolic_mmhg: Option<u16>,
    /// Oxygen saturation in percent, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 100)]
    pub oxygen_saturation_percent: Option<u16>,
    /// How awake.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consciousness: Option<Consciousness>,
    /// Capillary refill in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_tenths: Option<u16>,
    /// Body temperature in tenths of a degree Celsius, 150 to 450.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 150, maximum = 450)]
    pub temperature_tenths_c: Option<u16>,
}
