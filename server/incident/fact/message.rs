//! What is reported for the messages that are read out, and that they were.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::incident::ids::DeviceId;
use crate::incident::text::{Note, Text, Words};
pub use crate::rules::words::Wording;
use crate::rules::words::{Security, SiteContamination, Special};

/// Whether a major incident was declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Major {
    /// Declared.
    Declared,
    /// Stand by: local use.
    Standby,
    /// Not declared.
    NotDeclared,
}

/// What the incident report needs beside what the board knows; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SituationReported {
    /// Whether it is a major incident, and who says so is the reporter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub major: Option<Major>,
    /// Exact location in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub location: Option<Note>,
    /// Exact location as typed, in any of the known formats.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub position: Option<Words>,
    /// What happened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub what: Option<Note>,
    /// Hazards that are there; "none" is an answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub hazards_present: Option<Note>,
    /// Hazards that may arise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub hazards_potential: Option<Note>,
    /// The way in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub access: Option<Note>,
    /// The way out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub egress: Option<Note>,
    /// Where to meet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub rendezvous: Option<Words>,
    /// What to avoid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub avoid: Option<Note>,
    /// People without injury, 0 to 9999.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 9999)]
    pub uninjured: Option<u16>,
    /// How many are hurt in the reporter's estimate, where the board does not know all of them yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub estimate: Option<Note>,
    /// Services that are here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub services_present: Option<Note>,
    /// Services that are still needed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub services_required: Option<Note>,
    /// Radio channel and call sign at the site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub radio: Option<Words>,
    /// What marks the landing or loading place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub marking: Option<Words>,
    /// The ground at the landing or loading place, and wires.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub terrain: Option<Note>,
}

/// What an aircraft asks of the pick-up beside the situation; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PickUpTold {
    /// What the aircraft must bring, at most 4; "none" is an answer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 4)]
    pub special: Option<Vec<Special>>,
    /// Who the casualties are: "civilians".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub status: Option<Words>,
    /// Which wording lines 6 and 9 have; peacetime until somebody says otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wording: Option<Wording>,
    /// Security at the site, for wartime wording.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub security: Option<Security>,
    /// Contamination at the site, for wartime wording, at most 4.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 4)]
    pub contamination: Option<Vec<SiteContamination>>,
}

/// A casualty's sex, as far as somebody saw or asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Sex {
    /// Female.
    Female,
    /// Male.
    Male,
}

/// What a casualty or somebody beside them told; what is left out stays as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HistoryTold {
    /// Allergies, medicines and illnesses add up; with this, what is told here is all of it, and what its teller knew of
    /// does not hold any more.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub instead: bool,
    /// Sex.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
    /// About how old in years, 0 to 120. Read, and not reported so any more: that is `casualty.told/1`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 120)]
    pub about_years: Option<u16>,
    /// When they were hurt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub injured_at: Option<Timestamp>,
    /// How they were hurt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub mechanism: Option<Note>,
    /// Other injuries than the wounds on the board, and what they feel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub complaints: Option<Note>,
    /// Allergies; "none known" differs from not asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub allergies: Option<Note>,
    /// Medicines they take.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub medicines: Option<Note>,
    /// Illnesses they have or had.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub background: Option<Note>,
    /// Anything else: a relative, belongings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub other: Option<Note>,
}

/// A message that is read out.
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
pub enum Message {
    /// The incident report.
    Methane,
    /// The nine-line request.
    NineLine,
    /// Casualty handover by age, time, mechanism.
    Atmist,
    /// The short one.
    Mist,
    /// The one with pauses for questions.
    ImistAmbo,
    /// Situation, background, assessment, recommendation.
    Sbar,
}

/// One line of a message was read out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LineSaid {
    /// Of which message.
    pub message: Message,
    /// Which line, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub line: Words,
    /// What it said, at most 600 characters.
    #[schema(value_type = String, max_length = 600)]
    pub text: Text<600>,
    /// To whom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub to: Option<Words>,
}

/// The other side read a message back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MessageReadBack {
    /// Which message.
    pub message: Message,
    /// By whom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub by: Option<Words>,
}

/// Command went from one person to another, both having agreed. Written by the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CommandHandedOver {
    /// The device that led.
    pub from: DeviceId,
    /// The device that leads now.
    pub to: DeviceId,
    /// What the one who takes over read back, at most 280 characters.
    #[schema(value_type = String, max_length = 280)]
    pub read_back: Note,
}

impl Message {
    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Methane => "methane",
            Self::NineLine => "nine_line",
            Self::Atmist => "atmist",
            Self::Mist => "mist",
            Self::ImistAmbo => "imist_ambo",
            Self::Sbar => "sbar",
        }
    }

    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Methane => "incident report",
            Self::NineLine => "9-line",
            Self::Atmist => "ATMIST",
            Self::Mist => "MIST",
            Self::ImistAmbo => "IMIST-AMBO",
            Self::Sbar => "SBAR",
        }
    }
}
