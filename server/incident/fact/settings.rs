//! What is reported about how the incident works: settings changed, people named as trained.

use serde::{Deserialize, Serialize};

use crate::incident::ids::DeviceId;
use crate::incident::setting::{Setting, SettingValue};
use crate::incident::text::Words;

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
