//! The states a wound can be in.
//!
//! Owns the list and what groups of states have in common. Promises: the stored codes never change.

use serde::{Deserialize, Serialize};

/// The state of a wound.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
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
pub enum State {
    /// Known of, not looked at.
    #[default]
    Unseen,
    /// Bleeding, the next measure is due (also when one just failed and is still in place).
    Bleeding,
    /// Hands press.
    Pressing,
    /// Packed, hands press on it.
    PackPressing,
    /// Pressure dressing on, not yet checked.
    DressingUnchecked,
    /// Pressure dressing on, dry or no larger, alive beyond it.
    DressingHolds,
    /// Pressure dressing on, too tight.
    DressingTight,
    /// Tourniquet on or changed, not yet checked.
    TourniquetUnchecked,
    /// Tourniquet on, no bleeding, no pulse.
    TourniquetHolds,
    /// Tourniquet on, bleeding or a pulse.
    TourniquetFails,
    /// The tourniquet is being replaced.
    Converting,
    /// Stopped; nothing or a plain dressing on it.
    Stopped,
    /// Hands must stay until handover.
    HandsStay,
    /// Covered as the place needs.
    Covered,
    /// Rinsed and dressed.
    Cleaned,
    /// Handed over.
    HandedOver,
    /// Entered by mistake.
    Void,
}

impl State {
    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Unseen => "unseen",
            Self::Bleeding => "bleeding",
            Self::Pressing => "pressing",
            Self::PackPressing => "pack_pressing",
            Self::DressingUnchecked => "dressing_unchecked",
            Self::DressingHolds => "dressing_holds",
            Self::DressingTight => "dressing_tight",
            Self::TourniquetUnchecked => "tourniquet_unchecked",
            Self::TourniquetHolds => "tourniquet_holds",
            Self::TourniquetFails => "tourniquet_fails",
            Self::Converting => "converting",
            Self::Stopped => "stopped",
            Self::HandsStay => "hands_stay",
            Self::Covered => "covered",
            Self::Cleaned => "cleaned",
            Self::HandedOver => "handed_over",
            Self::Void => "void",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unseen => "not looked at yet",
            Self::Bleeding => "bleeding",
            Self::Pressing => "hands pressing",
            Self::PackPressing => "packed, hands pressing",
            Self::DressingUnchecked => "dressing not checked yet",
            Self::DressingHolds => "dressing holds",
            Self::DressingTight => "dressing too tight",
            Self::TourniquetUnchecked => "tourniquet not checked yet",
            Self::TourniquetHolds => "tourniquet holds",
            Self::TourniquetFails => "tourniquet does not hold",
            Self::Converting => "tourniquet being replaced",
            Self::Stopped => "stopped",
            Self::HandsStay => "hands must stay",
            Self::Covered => "covered",
            Self::Cleaned => "rinsed and dressed",
            Self::HandedOver => "handed over",
            Self::Void => "entered by mistake",
        }
    }

    /// Nothing is expected any more.
    pub const fn is_closed(self) -> bool {
        matches!(self, Self::HandedOver | Self::Void)
    }

    /// A pressure dressing is the measure in force.
    pub const fn is_dressed(self) -> bool {
        matches!(
            self,
            Self::DressingUnchecked | Self::DressingHolds | Self::DressingTight
        )
    }

    /// A tourniquet is the measure in force.
    pub const fn is_under_tourniquet(self) -> bool {
        matches!(
            self,
            Self::TourniquetUnchecked | Self::TourniquetHolds | Self::TourniquetFails
        )
    }

    /// The bleeding was seen stopped and no compression is needed.
    pub const fn is_stopped(self) -> bool {
        matches!(self, Self::Stopped | Self::Cleaned)
    }

    /// A move or the onset of shock calls for a check here.
    pub const fn is_rechecked(self) -> bool {
        self.is_stopped()
            || matches!(
                self,
                Self::DressingUnchecked
                    | Self::DressingHolds
                    | Self::TourniquetUnchecked
                    | Self::TourniquetHolds
                    | Self::HandsStay
                    | Self::Covered
            )
    }
}
