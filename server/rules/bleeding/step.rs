//! The next thing to do for a wound.
//!
//! Owns the list of suggested steps, their short line, and which of them make a casualty leave sooner.
//! Wording is ours and may be changed without changing any rule.

use serde::{Deserialize, Serialize};

use super::region::Region;

/// A suggested step.
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
#[expect(missing_docs, reason = "`line` says what each one is")]
pub enum Step {
    Look,
    PressDirectly,
    KeepPressing,
    Pack,
    WrapDressing,
    CheckBeyond,
    LookAtDressing,
    LoosenDressing,
    ReinforceDressing,
    Repack,
    Tourniquet,
    CheckTourniquet,
    FeelForPulse,
    TightenOrSecond,
    AskIfStillNeeded,
    ConvertStepByStep,
    LeaveTourniquet,
    MoveTourniquet,
    HoldByHand,
    Cover,
    LiftCover,
    HelpAirway,
    DressSimply,
    Recheck,
    LeaveEarly,
    Nothing,
}

impl Step {
    /// The line shown to the helper.
    pub const fn line(self) -> &'static str {
        match self {
            Self::Look => "look at it: how fast does it bleed?",
            Self::PressDirectly => "press hard on the point that bleeds",
            Self::KeepPressing => "keep pressing, do not look",
            Self::Pack => "pack to the bottom, ball the rest on top, press",
            Self::WrapDressing => "wrap a pressure dressing without letting go",
            Self::CheckBeyond => "check beyond it: pulse, colour, feeling, movement",
            Self::LookAtDressing => "look at the dressing: is the stain growing?",
            Self::LoosenDressing => "too tight: loosen a little, keep pressing on the wound",
            Self::ReinforceDressing => "one firm layer on top, press",
            Self::Repack => "take it down, find the point, pack fresh, press",
            Self::Tourniquet => "tourniquet now, above the wound, no joint, note the time",
            Self::CheckTourniquet => "has it stopped? is the pulse beyond gone?",
            Self::FeelForPulse => "feel for the pulse beyond: it must be gone",
            Self::TightenOrSecond => {
                "tighten; if that fails a second one beside it, nearer the body"
            }
            Self::AskIfStillNeeded => "is the tourniquet still needed? go through the list",
            Self::ConvertStepByStep => "replace it step by step, watching",
            Self::LeaveTourniquet => "leave it on, get them out",
            Self::MoveTourniquet => {
                "one on the skin, 5 to 7 cm above the wound, tight; then ease the high one off slowly"
            }
            Self::HoldByHand => "hands stay on until handover, swap in turn",
            Self::Cover => "cover it as this place needs",
            Self::LiftCover => "breathing is worse: lift an edge of the cover now",
            Self::HelpAirway => "breathing is worse: help the airway, call a medic",
            Self::DressSimply => "stopped: dress it",
            Self::Recheck => "look again when the clock says so",
            Self::LeaveEarly => "nothing to press on: lie flat, keep warm, leave early",
            Self::Nothing => "nothing more to do here",
        }
    }

    /// The line where the place changes what the step means: nothing is pressed where bone is broken, a nose is
    /// pinched, each cover is another. Sources: `place_rules`.
    pub const fn line_at(self, region: Region) -> &'static str {
        match (self, region) {
            (Self::PressDirectly, Region::SkullFractureSuspected) => {
                "pads around it, nothing presses on the bone, a light cover"
            }
            (Self::PressDirectly, Region::Nose) => {
                "sit, lean forward, pinch the soft part, do not let go"
            }
            (Self::PressDirectly, Region::Neck | Region::NeckBase) => {
                "press on the point with one hand, one side only; lie flat"
            }
            (Self::PressDirectly, Region::Face | Region::Mouth) => {
                "sit, lean forward; they hold a pad on it; airway first"
            }
            (Self::HoldByHand, Region::SkullFractureSuspected) => {
                "the pads stay in place until handover, do not press on the bone"
            }
            (Self::KeepPressing, Region::Nose) => "keep pinching, do not look",
            (Self::KeepPressing, Region::SkullFractureSuspected) => {
                "keep the pads in place, do not press on the bone"
            }
            (Self::Cover, Region::ChestOpen) => {
                "leave it open, or a dry cover that lets air through; nothing inside"
            }
            (Self::Cover, Region::Abdomen) => "light dressing on the surface, pull nothing out",
            (Self::Cover, Region::Evisceration) => {
                "moist cover or clear film over it, push nothing back"
            }
            (Self::Cover, Region::Eye) => "stiff shield resting on bone, no pressure on the eye",
            (Self::Cover, Region::Ear) => "loose pad, do not plug, that side down",
            (Self::LiftCover, Region::ChestOpen) => {
                "breathing is worse: lift an edge, let air out, cover again"
            }
            (step, _) => step.line(),
        }
    }

    /// Whether needing this step makes the casualty leave sooner.
    pub const fn hastens_evacuation(self) -> bool {
        matches!(
            self,
            Self::Pack
                | Self::Repack
                | Self::Tourniquet
                | Self::TightenOrSecond
                | Self::LeaveTourniquet
                | Self::HoldByHand
                | Self::Cover
                | Self::LiftCover
                | Self::HelpAirway
                | Self::LeaveEarly
        )
    }
}
