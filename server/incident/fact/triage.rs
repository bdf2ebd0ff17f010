//! What is reported about sorting: the systems chosen, the call to everybody, each answer of an assessment, the
//! category with its answer sheet, and what was done on the way. Vital signs with all their parts.

use serde::{Deserialize, Serialize};

use crate::incident::ids::AssessmentId;
use crate::incident::text::Note;
use crate::rules::scores::news2::OxygenScale;
use crate::rules::scores::readings::Counted;
use crate::rules::scores::{Consciousness, Gcs};
use crate::rules::triage::salt_sort::{CallResponse, LifesavingIntervention};
use crate::rules::triage::wording::Profile;
use crate::rules::triage::{Algorithm, Answer, Category, Input, Sheet};

use super::VitalsMeasured;

/// Which systems the incident works with. A later choice replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TriageChosen {
    /// For those who look grown up, e.g. `start.radial_then_crt`.
    #[schema(value_type = String, max_length = 40)]
    pub adult: Algorithm,
    /// For those who look like a child, e.g. `jumpstart.standard`.
    #[schema(value_type = String, max_length = 40)]
    pub child: Algorithm,
    /// Whose words are shown; left out, those of the adult system.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<Profile>,
    /// Whether the triage revised trauma score is shown as a second look.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub trauma_score: bool,
}

/// What a casualty did when everybody was called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CallAnswered {
    /// Walked, waved or lies still.
    pub response: CallResponse,
    /// An obvious threat to life, such as heavy bleeding.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub life_threat: bool,
}

/// One answer of an assessment, kept as it was given.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AssessmentAnswered {
    /// Which assessment; the id is made on the phone.
    pub assessment: AssessmentId,
    /// By which system, e.g. `salt.standard`.
    #[schema(value_type = String, max_length = 40)]
    pub system: Algorithm,
    /// Which question.
    pub input: Input,
    /// The answer to a yes/no question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub answer: Option<Answer>,
    /// A counted or measured value, in the input's unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub number: Option<u16>,
    /// How it was counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counted: Option<Counted>,
    /// A level of consciousness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level: Option<Consciousness>,
}

/// A person assigned a category, with the answers of any system that led to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CategoryDecided {
    /// What the person decided.
    pub category: Category,
    /// The answer sheet, with what was suggested; none where no system was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheet: Option<Sheet>,
    /// The assessment whose answers were saved one by one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub assessment: Option<AssessmentId>,
    /// Why it differs from the suggestion, or why no system was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
    /// Of expectant: what is short.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub short_of: Option<Note>,
}

/// A lifesaving intervention was done while sorting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LifesavingDone {
    /// Which.
    pub intervention: LifesavingIntervention,
    /// Rescue breaths given, 0 to 20.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 20)]
    pub rescue_breaths: Option<u16>,
}

/// What a casualty, or somebody with them, told about them; what is left out stays as it was.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyTold {
    /// Age in completed years, 0 to 130.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 130)]
    pub years: Option<u16>,
    /// Pregnant: scores of deterioration do not fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pregnant: Option<bool>,
    /// Which oxygen scale: two only for documented carbon dioxide retention with a target of 88 to 92 %.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxygen_scale: Option<OxygenScale>,
    /// Takes a beta blocker or has a pacemaker: the pulse misleads.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulse_misleads: Option<bool>,
}

/// How the skin looks and feels.
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
pub enum Skin {
    /// Warm and dry, usual colour.
    Usual,
    /// Pale.
    Pale,
    /// Blue at lips or nails.
    Blue,
    /// Flushed.
    Flushed,
    /// Cold.
    Cold,
    /// Sweaty.
    Sweaty,
}

impl Skin {
    /// All, the usual first.
    pub const ALL: [Self; 6] = [
        Self::Usual,
        Self::Pale,
        Self::Blue,
        Self::Flushed,
        Self::Cold,
        Self::Sweaty,
    ];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Pale => "pale",
            Self::Blue => "blue",
            Self::Flushed => "flushed",
            Self::Cold => "cold",
            Self::Sweaty => "sweaty",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Usual => "warm and dry",
            Self::Pale => "pale",
            Self::Blue => "blue lips or nails",
            Self::Flushed => "flushed",
            Self::Cold => "cold",
            Self::Sweaty => "sweaty",
        }
    }
}

/// Vital signs measured together, with all their parts; what was not measured is left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignsMeasured {
    /// Breaths per minute, 0 to 120.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 120)]
    pub breaths_per_minute: Option<u16>,
    /// How the breaths were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaths_counted: Option<Counted>,
    /// Heart beats per minute, 0 to 300.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub pulse_per_minute: Option<u16>,
    /// How the beats were counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulse_counted: Option<Counted>,
    /// A pulse at the wrist.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radial_pulse: Option<Answer>,
    /// A pulse at the neck.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carotid_pulse: Option<Answer>,
    /// Systolic blood pressure in mmHg, 0 to 300; 0 means no circulation, not a failed reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 300)]
    pub systolic_mmhg: Option<u16>,
    /// Tried, and no pressure to be had.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub systolic_unrecordable: bool,
    /// Oxygen saturation in percent, 0 to 100.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 100)]
    pub oxygen_saturation_percent: Option<u16>,
    /// Whether on any supplementary oxygen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_oxygen: Option<bool>,
    /// How awake.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consciousness: Option<Consciousness>,
    /// Coma scale, by its components.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gcs: Option<Gcs>,
    /// Capillary refill in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_tenths: Option<u16>,
    /// Body temperature in tenths of a degree Celsius, 100 to 450.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 100, maximum = 450)]
    pub temperature_tenths_c: Option<u16>,
    /// Pain as they say it, 0 to 10.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 10)]
    pub pain: Option<u16>,
    /// How the skin looks and feels, at most 6.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 6)]
    pub skin: Vec<Skin>,
}

impl From<&VitalsMeasured> for SignsMeasured {
    fn from(first: &VitalsMeasured) -> Self {
        Self {
            breaths_per_minute: first.breaths_per_minute,
            pulse_per_minute: first.pulse_per_minute,
            systolic_mmhg: first.systolic_mmhg,
            oxygen_saturation_percent: first.oxygen_saturation_percent,
            consciousness: first.consciousness,
            refill_tenths: first.refill_tenths,
            temperature_tenths_c: first.temperature_tenths_c,
            ..Self::default()
        }
    }
}

impl SignsMeasured {
    /// Breaths a minute: the number given, else what was counted.
    pub fn breaths(&self) -> Option<u16> {
        let counted = || self.breaths_counted.and_then(Counted::per_minute);
        self.breaths_per_minute.or_else(counted)
    }

    /// Heart beats a minute: the number given, else what was counted.
    pub fn pulse(&self) -> Option<u16> {
        let counted = || self.pulse_counted.and_then(Counted::per_minute);
        self.pulse_per_minute.or_else(counted)
    }
}
