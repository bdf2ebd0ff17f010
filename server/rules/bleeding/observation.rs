//! What a person saw or felt.
//!
//! Owns the words for danger signs, for a look at a dressing, and for the pulse
//! beyond it. Promises: only these values, said by a person, ever end a bleed.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::terms::Flow;

/// Something seen along with the bleeding.
///
/// Source of the danger signs: American College of Surgeons, *Stop the Bleed* booklet (2017, relayed);
/// ANZCOR Guideline 9.1.1 for shock signs and great force.
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
pub enum Sign {
    /// Blood pools on the ground.
    Pooling,
    /// Clothes are soaked.
    ClothesSoaked,
    /// A bandage is soaked.
    DressingSoaked,
    /// It will not stop.
    WillNotStop,
    /// The bleeding person is confused or unconscious.
    ConfusedOrUnconscious,
    /// Pale and sweaty with a fast pulse, slow refill, or clouded.
    ShockSigns,
    /// Large animal, propeller, or a like force.
    GreatForce,
    /// Not a danger sign: one helper has several casualties.
    HandsShort,
    /// Not a danger sign: the wound cannot be reached or seen.
    OutOfReach,
}

impl Sign {
    /// Whether the sign means danger to life.
    pub const fn is_danger(self) -> bool {
        !matches!(self, Self::HandsShort | Self::OutOfReach)
    }

    /// Whether the sign alone makes a bleeding limb a case for a tourniquet. Great force does not: it is a
    /// danger to the whole person.
    pub const fn calls_for_tourniquet(self) -> bool {
        self.is_danger() && !matches!(self, Self::GreatForce)
    }
}

/// One look at a wound: flow and signs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Findings {
    /// How fast it bleeds.
    pub flow: Flow,
    /// What else was seen.
    pub signs: BTreeSet<Sign>,
}

impl Findings {
    /// A look with no signs.
    pub const fn flow(flow: Flow) -> Self {
        Self {
            flow,
            signs: BTreeSet::new(),
        }
    }

    /// Any danger sign, jets included.
    pub fn is_dangerous(&self) -> bool {
        self.flow == Flow::Spurting || self.signs.iter().any(|sign| sign.is_danger())
    }
}

/// What is seen at the end of a hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum HoldSeen {
    Stopped,
    Ooze,
    Continues,
}

/// The blood on a dressing, judged against an outline drawn on it (*common practice*).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Stain {
    Dry,
    Stable,
    Growing,
    Soaked,
    Flowing,
}

impl Stain {
    /// Dry, or no larger than before.
    pub const fn is_quiet(self) -> bool {
        matches!(self, Self::Dry | Self::Stable)
    }

    /// Through the dressing.
    pub const fn is_through(self) -> bool {
        matches!(self, Self::Soaked | Self::Flowing)
    }
}

/// Result of the check beyond a dressing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Beyond {
    /// Blood, feeling and movement as they should be.
    Pass,
    /// Something is wrong beyond the dressing.
    Fail,
    /// There was no pulse before the dressing either: the dressing is not blamed, the limb is at risk.
    NoneBefore,
    /// Nothing to check here.
    NotApplicable,
}

/// Pulse beyond a tourniquet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pulse {
    /// Gone: what a tourniquet must do.
    Absent,
    /// Felt: the tourniquet does not work, whatever the bleeding looks like.
    Present,
    /// The limb beyond is lost.
    NotApplicable,
}
