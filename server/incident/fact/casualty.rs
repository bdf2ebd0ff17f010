//! What is reported about a casualty as a person: who they are known as, where, how urgent, how they leave.

use serde::{Deserialize, Serialize};

use crate::incident::ids::{CasualtyId, DeviceId, Seq};
use crate::incident::text::{Note, Words};
pub use crate::rules::triage::ApparentAge;
use crate::rules::triage::{Category, StartAnswers};

/// A casualty was met for the first time. The id is made on the phone, the number by the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyRegistered {
    /// Apparent age.
    pub age: ApparentAge,
    /// A few words to know them by, at most 80 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub words: Option<Words>,
    /// Where they are, at most 80 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub place: Option<Words>,
    /// Number of a paper tag they carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub tag: Option<Words>,
}

/// Better words for a casualty; what is left out stays as it was.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyDescribed {
    /// Apparent age.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub age: Option<ApparentAge>,
    /// A few words to know them by, at most 80 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub words: Option<Words>,
    /// Number of a paper tag they carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub tag: Option<Words>,
}

/// Who has the casualty from now on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyTaken {
    /// The helper's device; none when nobody has them.
    pub helper: Option<DeviceId>,
}

/// Where the casualty is now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyMoved {
    /// The place, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub place: Words,
}

/// Where the casualty is, of the places that were said; nobody moved them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyPlaced {
    /// The place, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub place: Words,
}

/// Two records are of one person: decided where the lead says it, proposed where a helper does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtySame {
    /// The other record.
    pub other: CasualtyId,
}

/// Two records are of two people, whatever was said before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyDifferent {
    /// The other record.
    pub other: CasualtyId,
}

/// The lead has seen what came late about a casualty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LateSeen {
    /// Up to this position.
    pub through: Seq,
}

/// A person assigned a category, with or without a guided assessment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CategoryAssigned {
    /// What the person decided.
    pub category: Category,
    /// The guided assessment that led to it, if there was one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub assessment: Option<Assessment>,
    /// Why it differs from the suggestion, or why there was no assessment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

/// A guided assessment, kept raw so that it can be checked later.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(tag = "algorithm", deny_unknown_fields)]
pub enum Assessment {
    /// START for adults.
    #[serde(rename = "start")]
    Start {
        /// Which perfusion variant was asked.
        #[schema(max_length = 40)]
        variant: String,
        /// Each raw answer.
        answers: StartAnswers,
        /// What the phone showed as suggested.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        suggested: Option<Category>,
        /// The step that decided, if the answers decided.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[schema(max_length = 40)]
        step: Option<String>,
        /// Whether the answers decided, or questions stayed open.
        complete: bool,
    },
}

/// How soon somebody should leave; a person's decision, kept apart from the triage category.
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
pub enum EvacPriority {
    /// Leaves on the first free place.
    First,
    /// Leaves soon.
    Soon,
    /// Can wait.
    CanWait,
}

/// How somebody travels; separate from how sick they are.
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
pub enum Posture {
    /// Needs a stretcher.
    Lying,
    /// Needs a seat.
    Sitting,
    /// Walks.
    Walking,
}

/// Evacuation was asked for. A later request replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacRequested {
    /// How soon.
    pub priority: EvacPriority,
    /// Lying, sitting or walking.
    pub posture: Posture,
    /// What they need on the way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub needs: Option<Note>,
}

/// The request was taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacCancelled {
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

impl EvacPriority {
    /// All, soonest first.
    pub const ALL: [Self; 3] = [Self::First, Self::Soon, Self::CanWait];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Soon => "soon",
            Self::CanWait => "can wait",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::First => "first",
            Self::Soon => "soon",
            Self::CanWait => "can_wait",
        }
    }
}

impl Posture {
    /// All postures.
    pub const ALL: [Self; 3] = [Self::Lying, Self::Sitting, Self::Walking];

    /// The stored code, which is also the word.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Lying => "lying",
            Self::Sitting => "sitting",
            Self::Walking => "walking",
        }
    }
}
