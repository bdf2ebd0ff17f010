//! Choices where the sources disagree.
//!
//! Owns one enum per open question, the default first. Who may change it: the medical adviser, except where
//! said otherwise.

use serde::{Deserialize, Serialize};

/// The choices an incident works with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Switches {
    /// First measure for a dangerous bleed on a limb.
    pub first_for_limb: FirstForLimb,
    /// Who may take a tourniquet off again.
    pub conversion: Conversion,
    /// What a first aider does with an open chest wound.
    pub chest_first_aider: ChestCover,
    /// What a trained person does with it.
    pub chest_trained: ChestCover,
    /// Who may pack a neck.
    pub neck_packing: NeckPacking,
    /// What to do when a dressing bleeds through.
    pub bleed_through: BleedThrough,
    /// Refill limits by age and sex (the lead decides).
    pub refill_limits_by_age: bool,
    /// Whether a casualty may drink.
    pub oral_fluids: OralFluids,
    /// Whether the tranexamic acid panel exists (the lead decides).
    pub tranexamic_acid: MedicPanel,
}

impl Default for Switches {
    fn default() -> Self {
        Self {
            first_for_limb: FirstForLimb::default(),
            conversion: Conversion::default(),
            chest_first_aider: ChestCover::OpenOrDry,
            chest_trained: ChestCover::Vented,
            neck_packing: NeckPacking::default(),
            bleed_through: BleedThrough::default(),
            refill_limits_by_age: true,
            oral_fluids: OralFluids::default(),
            tranexamic_acid: MedicPanel::default(),
        }
    }
}

/// First measure for a dangerous bleed on a limb.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstForLimb {
    /// Tourniquet. Source: TCCC Guidelines; AHA / American Red Cross 2020 (from memory). Default because
    /// there are few hands and many casualties.
    #[default]
    Tourniquet,
    /// Pressure, and a tourniquet when that fails or cannot be done. Source: IFRC 2020; ANZCOR 9.1.1;
    /// AHA / American Red Cross 2024 (headline).
    PressureThenTourniquet,
}

/// Who may take a tourniquet off again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Conversion {
    /// A trained lead before two hours, a medic before six. Source: TCCC Guidelines; JTS curriculum.
    #[default]
    TrainedUnderTwoHours,
    /// Medics only. Our own middle way.
    MedicOnly,
    /// Nobody before the hospital. Source: ANZCOR (relayed by a training page).
    Never,
}

/// How an open chest wound is covered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChestCover {
    /// Left open, or a dry dressing that lets air through. Source: ILCOR 2015; ERC 2015 (relayed).
    OpenOrDry,
    /// A seal with a vent, every hole. From memory: TCCC; AHA / American Red Cross 2024 accepts it.
    Vented,
    /// Taped on three sides: no longer recommended. Source: ERC 2015 (relayed).
    ThreeSides,
}

/// Who may pack a neck. Sources differ: TCCC Guidelines count the base of the neck among junctional sites,
/// Taillac et al., JEMS 2017 (relayed) warn of pressing on the airway.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum NeckPacking {
    /// A trained lead or a medic.
    #[default]
    Trained,
    /// A medic.
    Medic,
    /// Nobody.
    Nobody,
}

/// What to do when a dressing bleeds through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BleedThrough {
    /// One firm layer on top, then the next rung. Our default between the schools below.
    #[default]
    OneLayerThenNextRung,
    /// The second time take it down and begin again. Source: St John Ambulance.
    UndressAtSecond,
    /// Keep adding. *Common practice*, old teaching.
    NeverRemove,
}

/// Whether a casualty may drink.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum OralFluids {
    /// Nothing when a hospital is under two hours away, or with a belly or chest wound or a clouded mind;
    /// else sips if the lead agrees. Our default.
    #[default]
    NothingIfHospitalNear,
    /// Nothing. Source: civilian first-aid teaching (relayed).
    Nothing,
    /// Sips when awake and able to swallow, without a major belly wound. Source: TCCC family.
    SipsIfAwake,
}

/// Whether a panel for medics is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum MedicPanel {
    /// To medics only.
    #[default]
    MedicOnly,
    /// To nobody.
    Off,
}
