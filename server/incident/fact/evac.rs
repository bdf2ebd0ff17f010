//! What is reported about people leaving: requests, pins and holds, loading, handing over.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::casualty::{EvacPriority, EvacRequested, Posture};
use crate::incident::ids::{CasualtyId, DestinationId, TransportId};
use crate::incident::text::{Note, Words};

/// What somebody needs on the way or where they are taken.
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
pub enum Need {
    /// An operating theatre.
    Surgery,
    /// A place that treats burns.
    Burns,
    /// A place that treats children.
    Children,
    /// A place that treats injured brains and spines.
    Neuro,
    /// Oxygen on the way.
    Oxygen,
    /// The spine is to be kept still.
    SpineStill,
    /// Somebody who cares for them all the way.
    Escort,
}

/// Evacuation was asked for, in full. A later request replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacAsked {
    /// How soon: a person's decision.
    pub priority: EvacPriority,
    /// Lying, sitting or walking.
    pub posture: Posture,
    /// What they need, at most 7.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 7)]
    pub needs: Vec<Need>,
    /// Goes in the same trip as this casualty: a child with a parent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together_with: Option<CasualtyId>,
    /// What endangers those who fetch or carry them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub hazards: Option<Note>,
    /// From where, when that is not where they lie.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub from: Option<Words>,
    /// When they will be ready at the loading place; ready now when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub ready_at: Option<Timestamp>,
    /// Anything else the crew must know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub note: Option<Note>,
}

/// The coordinator wants this casualty on this transport; the plan keeps to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacPinned {
    /// On which.
    pub transport: TransportId,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

/// This casualty is to stay for now; the plan leaves them out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacHeld {
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

/// Neither pinned nor held any more.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EvacFreed {}

/// The casualty is on the transport, which has not left yet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyLoaded {
    /// On which.
    pub transport: TransportId,
}

/// The casualty was taken off again before it left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyUnloaded {
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 280)]
    pub reason: Option<Note>,
}

/// Somebody else has the casualty now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyHandedOver {
    /// To whom, at most 80 characters.
    #[schema(value_type = String, max_length = 80)]
    pub to: Words,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub destination: Option<DestinationId>,
}

/// The coordinator asked for the plan anew, as of now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanAsked {}

impl Need {
    /// All needs.
    pub const ALL: [Self; 7] = [
        Self::Surgery,
        Self::Burns,
        Self::Children,
        Self::Neuro,
        Self::Oxygen,
        Self::SpineStill,
        Self::Escort,
    ];

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Surgery => "surgery",
            Self::Burns => "burns care",
            Self::Children => "children's care",
            Self::Neuro => "brain and spine care",
            Self::Oxygen => "oxygen",
            Self::SpineStill => "spine kept still",
            Self::Escort => "escort",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Surgery => "surgery",
            Self::Burns => "burns",
            Self::Children => "children",
            Self::Neuro => "neuro",
            Self::Oxygen => "oxygen",
            Self::SpineStill => "spine_still",
            Self::Escort => "escort",
        }
    }
}

impl EvacAsked {
    /// A request of the first shape, whose needs were words.
    pub fn from_first(first: &EvacRequested) -> Self {
        Self {
            priority: first.priority,
            posture: first.posture,
            needs: Vec::new(),
            together_with: None,
            hazards: None,
            from: None,
            ready_at: None,
            note: first.needs.clone(),
        }
    }

    /// Needs and the note in one line: "surgery, oxygen, penicillin allergy".
    pub fn needs_words(&self) -> String {
        let needs = self.needs.iter().map(|need| need.words().to_owned());
        needs
            .chain(self.note.as_ref().map(ToString::to_string))
            .collect::<Vec<_>>()
            .join(", ")
    }
}
