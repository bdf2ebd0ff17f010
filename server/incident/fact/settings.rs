//! What is reported about how the incident works: settings changed, people named as trained.

use serde::{Deserialize, Serialize};

use crate::incident::ids::DeviceId;
use crate::incident::setting::{Setting, SettingValue};
use crate::incident::text::Words;
use crate::rules::bleeding::act::Role as Training;

/// One setting was changed. It holds from when that happened until it is changed again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PolicyChanged {
    /// Which.
    pub setting: Setting,
    /// Its value: a number in the setting's own unit, or the code of a choice.
    pub value: SettingValue,
    /// Who decided it; needed where a medical adviser decides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub decided_by: Option<Words>,
}

/// The lead named somebody as trained in packing and in releasing a tourniquet, or took that back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HelperTrained {
    /// Whose device.
    pub helper: DeviceId,
    /// Trained or not.
    pub trained: bool,
}

/// What the lead may name somebody as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NamedAs {
    /// First-aid knowledge and no more, whatever they said when they joined.
    FirstAider,
    /// Trained in packing and in releasing a tourniquet.
    Trained,
    /// Clinician or paramedic.
    Medic,
}

impl NamedAs {
    /// As the rules of bleeding read it.
    pub const fn training(self) -> Training {
        match self {
            Self::FirstAider => Training::FirstAider,
            Self::Trained => Training::TrainedLead,
            Self::Medic => Training::Medic,
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::FirstAider => "first_aider",
            Self::Trained => "trained",
            Self::Medic => "medic",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::FirstAider => "first aider",
            Self::Trained => "trained in packing and releasing",
            Self::Medic => "medic",
        }
    }
}

/// The lead named what somebody counts as. Second shape: also as a medic, or as less than they said themselves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HelperNamed {
    /// Whose device.
    pub helper: DeviceId,
    /// As what; none takes a naming back: then what they said when they joined counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub named_as: Option<NamedAs>,
}

/// The lead named a deputy, or took that back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DeputyNamed {
    /// Whose device.
    pub helper: DeviceId,
    /// Deputy or not.
    pub deputy: bool,
}

/// The lead chose whether a device keeps the whole record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WitnessChosen {
    /// Which device.
    pub helper: DeviceId,
    /// Keeps it or not.
    pub witness: bool,
}
