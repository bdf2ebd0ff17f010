//! Where on the body a wound is, and which measures can work there.
//!
//! Owns the region list and the capability matrix. Source of the matrix: Committee on TCCC / Joint Trauma
//! System, *TCCC Guidelines* (2021, 2024) for limb, junctional and neck-base sites; ACS *Stop the Bleed*
//! booklet (2017) for joints and shoulder; Taillac et al., JEMS 2017 (relayed) for "do not pack chest,
//! belly or pelvis". Rows without a source are *common practice*.

use serde::{Deserialize, Serialize};

/// A body region, as chosen on the outline or from the list.
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
#[expect(missing_docs, reason = "the names are the trade's own and say it all")]
pub enum Region {
    Scalp,
    Face,
    Eye,
    Nose,
    Mouth,
    Ear,
    SkullFractureSuspected,
    Neck,
    NeckBase,
    Shoulder,
    Axilla,
    UpperArm,
    Elbow,
    Forearm,
    Wrist,
    Hand,
    Digit,
    ChestWall,
    ChestOpen,
    Abdomen,
    Evisceration,
    Back,
    Buttock,
    Groin,
    Perineum,
    PelvisSuspected,
    ProximalLimb,
    Thigh,
    Knee,
    LowerLeg,
    Ankle,
    Foot,
    InternalSuspected,
}

/// The casualty's own left or right.
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
pub enum Side {
    /// The casualty's left.
    Left,
    /// The casualty's right.
    Right,
    /// On or across the middle line.
    Middle,
    /// Not said.
    #[default]
    Unspecified,
}

/// The kind of place a region is; it decides which rungs of the ladder exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names are the trade's own and say it all")]
pub enum Class {
    Limb,
    Junction,
    Neck,
    Torso,
    Chest,
    Abdomen,
    Head,
    Eye,
    Internal,
}

/// Whether a measure can be used at a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowed {
    /// Yes.
    Yes,
    /// Trained person and stated reason only.
    Restricted,
    /// No.
    No,
}

/// One row of the capability matrix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Capability {
    /// What kind of place this is.
    pub class: Class,
    /// A limb tourniquet can stop a bleed here.
    pub tourniquet: bool,
    /// The wound can be packed.
    pub packing: Allowed,
    /// A pressure dressing can hold here.
    pub pressure_dressing: Allowed,
    /// Blood flow beyond the dressing can and must be checked.
    pub distal_check: bool,
}

const fn row(
    class: Class,
    tourniquet: bool,
    packing: Allowed,
    pressure_dressing: Allowed,
    distal_check: bool,
) -> Capability {
    Capability {
        class,
        tourniquet,
        packing,
        pressure_dressing,
        distal_check,
    }
}

impl Region {
    /// Which measures can work here: the one table.
    pub const fn capability(self) -> Capability {
        use Allowed::{No, Restricted, Yes};
        use Class::{Abdomen, Chest, Eye, Head, Internal, Junction, Limb, Neck, Torso};
        match self {
            Self::UpperArm
            | Self::Elbow
            | Self::Forearm
            | Self::Wrist
            | Self::Hand
            | Self::Thigh
            | Self::Knee
            | Self::LowerLeg
            | Self::Ankle
            | Self::Foot => row(Limb, true, Yes, Yes, true),
            Self::Digit => row(Limb, false, No, Yes, true),
            Self::ProximalLimb | Self::Groin | Self::Axilla | Self::Shoulder => {
                row(Junction, false, Yes, Yes, true)
            }
            Self::Buttock | Self::Perineum => row(Junction, false, Yes, Yes, false),
            Self::NeckBase => row(Junction, false, Restricted, Restricted, false),
            Self::Neck => row(Neck, false, Restricted, No, false),
            Self::ChestWall => row(Torso, false, No, Yes, false),
            Self::ChestOpen => row(Chest, false, No, No, false),
            Self::Abdomen => row(Abdomen, false, No, Yes, false),
            Self::Evisceration => row(Abdomen, false, No, No, false),
            Self::Back => row(Torso, false, Restricted, Yes, false),
            Self::Scalp | Self::Face | Self::Mouth | Self::Ear => row(Head, false, No, Yes, false),
            Self::Nose | Self::SkullFractureSuspected => row(Head, false, No, No, false),
            Self::Eye => row(Eye, false, No, No, false),
            Self::PelvisSuspected | Self::InternalSuspected => row(Internal, false, No, No, false),
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Scalp => "scalp",
            Self::Face => "face",
            Self::Eye => "eye",
            Self::Nose => "nose",
            Self::Mouth => "mouth",
            Self::Ear => "ear",
            Self::SkullFractureSuspected => "skull_fracture_suspected",
            Self::Neck => "neck",
            Self::NeckBase => "neck_base",
            Self::Shoulder => "shoulder",
            Self::Axilla => "axilla",
            Self::UpperArm => "upper_arm",
            Self::Elbow => "elbow",
            Self::Forearm => "forearm",
            Self::Wrist => "wrist",
            Self::Hand => "hand",
            Self::Digit => "digit",
            Self::ChestWall => "chest_wall",
            Self::ChestOpen => "chest_open",
            Self::Abdomen => "abdomen",
            Self::Evisceration => "evisceration",
            Self::Back => "back",
            Self::Buttock => "buttock",
            Self::Groin => "groin",
            Self::Perineum => "perineum",
            Self::PelvisSuspected => "pelvis_suspected",
            Self::ProximalLimb => "proximal_limb",
            Self::Thigh => "thigh",
            Self::Knee => "knee",
            Self::LowerLeg => "lower_leg",
            Self::Ankle => "ankle",
            Self::Foot => "foot",
            Self::InternalSuspected => "internal_suspected",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SkullFractureSuspected => "head, skull maybe broken",
            Self::NeckBase => "base of the neck",
            Self::Axilla => "armpit",
            Self::UpperArm => "upper arm",
            Self::Digit => "finger or toe",
            Self::ChestWall => "chest, skin only",
            Self::ChestOpen => "chest, through the wall",
            Self::Abdomen => "belly or flank",
            Self::Evisceration => "belly, organs outside",
            Self::PelvisSuspected => "pelvis, suspected",
            Self::ProximalLimb => "limb, too high for a tourniquet",
            Self::LowerLeg => "lower leg",
            Self::InternalSuspected => "inside, suspected",
            other => other.code(),
        }
    }
}

impl Side {
    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Middle => "middle",
            Self::Unspecified => "unspecified",
        }
    }
}
