//! What is reported about the incident as a whole, and about the journal itself.

use serde::{Deserialize, Serialize};

use crate::incident::ids::{BoardId, EntryId, EpochId, Seq};
use crate::incident::role::Role;
use crate::incident::text::{Note, Words};
use crate::rules::triage::retriage::Event;

/// The board was opened.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct IncidentOpened {
    /// This board.
    pub board: BoardId,
    /// The incident's name, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub name: Words,
    /// Practice, not real.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub practice: bool,
}

/// The board goes on from a copy of its record: another machine keeps it from here on. Written by the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BoardContinued {
    /// The stretch that begins with this entry.
    pub epoch: EpochId,
    /// What it goes on from.
    pub from: ContinuedFrom,
    /// Whose copy it was, where a device's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub by: Option<Words>,
}

/// What a board goes on from when its own machine is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ContinuedFrom {
    /// A second machine that followed it.
    Standby,
    /// A device that kept the record.
    Witness,
    /// A copy of its file, made while it ran.
    Copy,
}

/// What and where the incident is; what is left out stays as it was.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct IncidentDescribed {
    /// A better name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub name: Option<Words>,
    /// Where it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub place: Option<Words>,
    /// What happened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub note: Option<Note>,
}

/// The incident was closed: everybody handed over or dead, every trip ended. Written by the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct IncidentClosed {}

/// What a helper has learnt.
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
pub enum Skill {
    /// No training.
    None,
    /// First aider.
    FirstAider,
    /// Clinician or paramedic.
    Medic,
}

/// A device joined the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HelperJoined {
    /// What the person calls themselves, at most 80 characters: attribution, not proof.
    #[schema(value_type = String, max_length = 80)]
    pub name: Words,
    /// What they have learnt.
    pub skill: Skill,
    /// In which role.
    pub role: Role,
}

/// Something changed for everybody at once: who was set aside or moved on is looked at again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CircumstancesChanged {
    /// What.
    pub change: Circumstance,
    /// More about it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub note: Option<Note>,
}

/// What can change for everybody at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Circumstance {
    /// More people, material or transport came.
    MoreHelp,
    /// The weather or the shelter is another one.
    Shelter,
}

impl Circumstance {
    /// The words of the record.
    pub const fn words(self) -> &'static str {
        match self {
            Self::MoreHelp => "more help came",
            Self::Shelter => "weather or shelter changed",
        }
    }

    /// What it means for looking again.
    pub const fn event(self) -> Event {
        match self {
            Self::MoreHelp => Event::MoreResources,
            Self::Shelter => Event::ShelterChanged,
        }
    }
}

/// How long the record is kept, counted from when this was said. Nothing is removed by itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordKept {
    /// Days after which it may be removed, 1 to 90.
    #[schema(minimum = 1, maximum = 90)]
    pub days: u32,
}

/// The whole record was taken out of the board. Written by the board, in the name of whoever took it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordTaken {
    /// The last entry in it.
    pub seq: Seq,
    /// The check that stands with that entry.
    #[schema(value_type = String, max_length = 80)]
    pub check: Words,
    /// As a file, or to be kept by a device.
    pub how: Taken,
}

/// In which way the record was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Taken {
    /// Saved as a file.
    File,
    /// Read by a device or another machine.
    Device,
}

/// A copy of the record in an open standard was taken out. Written by the board, in the name of whoever took it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RecordCopied {
    /// The last entry in it.
    pub seq: Seq,
    /// The check that stands with that entry.
    #[schema(value_type = String, max_length = 80)]
    pub check: Words,
    /// In which standard, by its code: a later program may know more of them.
    #[schema(value_type = String, max_length = 80)]
    pub form: Words,
}

/// A remark about anything.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NoteAdded {
    /// At most 280 characters.
    #[schema(value_type = String, max_length = 280)]
    pub text: Note,
}

/// An earlier entry was a mistake; it stays readable in the log. Striking a strike restores.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EntryStruck {
    /// Which.
    pub entry: EntryId,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

impl Skill {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "no training",
            Self::FirstAider => "first aider",
            Self::Medic => "medic",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::FirstAider => "first_aider",
            Self::Medic => "medic",
        }
    }

    /// The skill with this stored code.
    pub fn from_code(code: &str) -> Option<Self> {
        [Self::None, Self::FirstAider, Self::Medic]
            .into_iter()
            .find(|skill| skill.code() == code)
    }
}
