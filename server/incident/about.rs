//! What a fact is about.

use serde::{Deserialize, Serialize};

use super::ids::{CasualtyId, DestinationId, KitId, TransportId, WoundId};

/// The thing a fact is about: `"incident"`, or one of casualty, wound, kit, transport and destination with its id,
/// as `{"casualty": id}`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// The incident as a whole.
    Incident,
    /// A casualty.
    Casualty(CasualtyId),
    /// A wound of a casualty.
    Wound(WoundId),
    /// A bag or box.
    Kit(KitId),
    /// What carries people.
    Transport(TransportId),
    /// A place that takes people in.
    Destination(DestinationId),
}

/// Which kind of thing, without its id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names mirror About")]
pub enum AboutKind {
    Incident,
    Casualty,
    Wound,
    Kit,
    Transport,
    Destination,
}

impl About {
    /// Which kind of thing.
    pub const fn kind(&self) -> AboutKind {
        match self {
            Self::Incident => AboutKind::Incident,
            Self::Casualty(_) => AboutKind::Casualty,
            Self::Wound(_) => AboutKind::Wound,
            Self::Kit(_) => AboutKind::Kit,
            Self::Transport(_) => AboutKind::Transport,
            Self::Destination(_) => AboutKind::Destination,
        }
    }
}
