//! What a fact is about.

use serde::{Deserialize, Serialize};

use super::ids::{CasualtyId, KitId, WoundId};

/// The thing a fact is about: `"incident"`, `{"casualty": id}`, `{"wound": id}` or `{"kit": id}`.
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
}

/// Which kind of thing, without its id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names mirror About")]
pub enum AboutKind {
    Incident,
    Casualty,
    Wound,
    Kit,
}

impl About {
    /// Which kind of thing.
    pub const fn kind(&self) -> AboutKind {
        match self {
            Self::Incident => AboutKind::Incident,
            Self::Casualty(_) => AboutKind::Casualty,
            Self::Wound(_) => AboutKind::Wound,
            Self::Kit(_) => AboutKind::Kit,
        }
    }
}
