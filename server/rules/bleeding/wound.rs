//! What is known about a wound, a limb and a casualty before anything is done.
//!
//! Owns the plain values the ladder is given. They come from facts, are never changed by the ladder, and
//! every one of them may be unknown.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::region::{Class, Region, Side};

/// Arm or leg.
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
#[expect(missing_docs, reason = "the names say it all")]
pub enum Extremity {
    Arm,
    Leg,
}

/// The limb a tourniquet belongs to. A tourniquet is a limb's, not a wound's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Limb {
    /// A limb whose side is known.
    Known(Extremity, Side),
    /// The limb of this wound, by index, when the side was not said: two such wounds are never taken for
    /// one limb.
    OfWound(usize),
}

/// How deep a wound goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Depth {
    /// Cannot be packed: there is nothing to fill.
    Shallow,
    /// Can be packed.
    Deep,
    /// A hollow, can be packed.
    Cavity,
    /// Not said; taken as deep.
    #[default]
    Unknown,
}

/// Whether part of the limb is lost at this wound.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Amputation {
    #[default]
    None,
    Partial,
    Complete,
}

/// How dirty a wound is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Contamination {
    /// Clean.
    #[default]
    Clean,
    /// Dirt in it.
    Dirty,
    /// Earth, dung, debris ground in.
    Gross,
}

/// How the wound came about, as far as it changes its care.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Mechanism {
    Cut,
    Graze,
    Puncture,
    Crush,
    Bite,
    Burst,
    #[default]
    Unknown,
}

/// A wound as described.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wound {
    /// Where.
    pub region: Region,
    /// Which side.
    pub side: Side,
    /// Arm or leg where the region does not say (a digit, a limb too high for a tourniquet).
    pub extremity: Option<Extremity>,
    /// How far down the limb, in steps from the trunk; the region's own place when not said.
    pub down_the_limb: Option<u8>,
    /// How deep.
    pub depth: Depth,
    /// Part of the limb lost.
    pub amputation: Amputation,
    /// How it came about.
    pub mechanism: Mechanism,
    /// How dirty.
    pub contamination: Contamination,
    /// Length in millimetres.
    pub length_mm: Option<u32>,
    /// Something sticks in it.
    pub impaled: bool,
    /// Broken bone under it.
    pub open_fracture: bool,
}

impl Wound {
    /// A wound of which only the place is known.
    pub const fn at(region: Region, side: Side) -> Self {
        Self {
            region,
            side,
            extremity: None,
            down_the_limb: None,
            depth: Depth::Unknown,
            amputation: Amputation::None,
            mechanism: Mechanism::Unknown,
            contamination: Contamination::Clean,
            length_mm: None,
            impaled: false,
            open_fracture: false,
        }
    }

    /// The limb this wound is on; `index` is the wound's place in the casualty's list.
    pub fn limb(&self, index: usize) -> Option<Limb> {
        let extremity = self.region.extremity().or(self.extremity);
        match (extremity, self.side) {
            (Some(extremity), Side::Left | Side::Right) => Some(Limb::Known(extremity, self.side)),
            (Some(_), _) => Some(Limb::OfWound(index)),
            (None, _) if self.region.on_a_limb() => Some(Limb::OfWound(index)),
            (None, _) => None,
        }
    }

    /// Steps from the trunk, for "is the tourniquet above it".
    pub fn place_on_limb(&self) -> u8 {
        self.down_the_limb.unwrap_or(self.region.steps_from_trunk())
    }

    /// Lost above the wrist or ankle, however high. Source: ANZCOR 9.1.1.
    pub fn is_limb_lost(&self) -> bool {
        let place = self.region.capability();
        let on_it = place.tourniquet || place.class == Class::Junction;
        self.amputation != Amputation::None
            && on_it
            && !matches!(self.region, Region::Hand | Region::Foot)
    }

    /// Lost where a tourniquet can still sit above it.
    pub fn is_major_amputation(&self) -> bool {
        self.is_limb_lost() && self.region.capability().tourniquet
    }

    /// Whether infection is looked for twice a day. Our default; the regions and causes are *common
    /// practice*.
    pub fn is_high_risk(&self) -> bool {
        self.open_fracture
            || self.contamination == Contamination::Gross
            || matches!(
                self.mechanism,
                Mechanism::Bite | Mechanism::Puncture | Mechanism::Crush
            )
            || matches!(
                self.region,
                Region::Hand
                    | Region::Foot
                    | Region::Digit
                    | Region::Elbow
                    | Region::Wrist
                    | Region::Knee
                    | Region::Ankle
            )
    }
}

impl Region {
    /// Arm or leg, where the region says so.
    pub const fn extremity(self) -> Option<Extremity> {
        match self {
            Self::UpperArm | Self::Elbow | Self::Forearm | Self::Wrist | Self::Hand => {
                Some(Extremity::Arm)
            }
            Self::Shoulder | Self::Axilla => Some(Extremity::Arm),
            Self::Thigh | Self::Knee | Self::LowerLeg | Self::Ankle | Self::Foot | Self::Groin => {
                Some(Extremity::Leg)
            }
            _ => None,
        }
    }

    /// Whether the region lies on some limb.
    pub const fn on_a_limb(self) -> bool {
        self.extremity().is_some() || matches!(self, Self::Digit | Self::ProximalLimb)
    }

    /// Steps from the trunk: 0 where limb and trunk meet, 60 at the tip.
    pub const fn steps_from_trunk(self) -> u8 {
        match self {
            Self::UpperArm | Self::Thigh => 10,
            Self::Elbow | Self::Knee => 20,
            Self::Forearm | Self::LowerLeg => 30,
            Self::Wrist | Self::Ankle => 40,
            Self::Hand | Self::Foot => 50,
            Self::Digit => 60,
            _ => 0,
        }
    }

    /// Places where breathing must be watched. Source: Taillac et al., JEMS 2017 (relayed) for the neck;
    /// US Army FM 4-25.11 for the chest.
    pub const fn threatens_breathing(self) -> bool {
        matches!(self, Self::ChestOpen | Self::Neck | Self::NeckBase)
    }

    /// Places that are covered, not pressed or packed.
    pub const fn is_covered(self) -> bool {
        matches!(
            self.capability().class,
            Class::Chest | Class::Abdomen | Class::Eye
        ) || matches!(self, Self::Ear)
    }
}

/// What is known about the person.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Casualty {
    /// When the injury happened.
    pub injured_at: Option<Timestamp>,
    /// When the board first heard of the person.
    pub met_at: Option<Timestamp>,
    /// Takes blood thinners; unknown counts as no.
    pub anticoagulant: Option<bool>,
    /// When a hospital or a surgeon is reached.
    pub hospital_at: Option<Timestamp>,
    /// Dead or expectant: clocks are hidden, not deleted.
    pub clocks_hidden: bool,
}
