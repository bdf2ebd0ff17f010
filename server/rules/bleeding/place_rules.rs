//! What is special about places without a limb tourniquet, as short lists to be shown.
//!
//! Owns the words per region and the chest cover by role. Promises: words only; what is allowed where is in
//! the capability matrix, what follows from it in the ladder.

use super::act::Role;
use super::policy::{ChestCover, Policy};
use super::region::{Class, Region};

/// Steps for a place, in order, in plain words.
///
/// Sources: junctions — TCCC Guidelines, and a trade training resource on packing (relayed); neck — Taillac
/// et al., JEMS 2017 (relayed), the rest from memory; belly and organs — TCCC change 20-02 (2021); scalp and
/// face — *common practice* and from memory; nose — UK public advice (from memory); eye — JTS eye module and
/// the Vision Center of Excellence note (2013).
pub const fn place_steps(region: Region) -> &'static [&'static str] {
    match region {
        Region::Neck | Region::NeckBase => &[
            "One hand, one side, on the point that bleeds. Never both sides.",
            "Nothing around the neck; a bandage runs under the far armpit.",
            "An open vein: airtight cover, lie flat.",
            "Again and again: breathing, voice, swelling.",
        ],
        Region::ChestOpen => &[
            "Press beside the hole, not into it. No gauze inside.",
            "Sitting or as they like; unconscious: hurt side down.",
            "Breathing worse: lift an edge of the cover at once.",
        ],
        Region::Abdomen => &[
            "Pull nothing out. A light dressing on the surface.",
            "Knees bent if that helps; warm; nothing by mouth.",
            "It goes on bleeding inside: leave early.",
        ],
        Region::Evisceration => &[
            "Stop bleeding you can see, gently.",
            "Rinse gross dirt off with clean, warm water.",
            "Moist sterile cover, or clear film; fix it at the edges.",
            "Push nothing back. Nothing by mouth. Moisten every 30 minutes.",
        ],
        Region::Scalp => &["Flat pad, press the full time, then a bandage around the head."],
        Region::SkullFractureSuspected => &[
            "No pressure on soft or broken bone: pads around it, a light cover.",
            "Clear or bloody fluid from ear or nose: do not plug.",
        ],
        Region::Face | Region::Mouth => {
            &["Sitting, leaning forward; a pad they hold themselves; airway first."]
        }
        Region::Ear => &["Loose pad, never plugged; that side down."],
        Region::Nose => {
            &["Sitting, leaning forward; pinch the soft part the full time, three times at most."]
        }
        Region::Eye => &[
            "Stiff shield resting on bone, no pad on the eye; a cup will do.",
            "Only the hurt eye, so that they can still walk.",
            "Chemical in it: rinse first, at once.",
            "Write down what the eye can see.",
        ],
        Region::PelvisSuspected => &["Record the binder: on or not, when, by whom. Leave early."],
        _ => match region.capability().class {
            Class::Junction => &[
                "Press hard into the wound while somebody opens gauze.",
                "Pack to the bottom, haemostatic first, both hands, full time.",
                "Wrap without letting go; a junctional device only if trained.",
                "Bleeds through: take down, repack once, hold again.",
                "Still bleeding: hands stay on until handover.",
            ],
            _ => &[],
        },
    }
}

/// Something sticks in the wound. Sources: St John Ambulance; US Army FM 4-25.11; tourniquet above it: review
/// of prehospital tourniquets (relayed).
pub const IMPALED: [&str; 2] = [
    "Leave it in. Press beside it, pads on both sides, build up around it.",
    "A dangerous bleed on a limb: tourniquet above the object.",
];

/// A lost part (from memory).
pub const AMPUTATED_PART: &str =
    "Clean, wrap, bag, keep cool without touching ice, label with name and time; it travels along.";

/// How an open chest is covered by this person: the vented seal only by the trained and only if there is one.
pub fn chest_cover(policy: &Policy, role: Role, vented_in_kit: bool) -> ChestCover {
    let wanted = if role.is_trained() {
        policy.switches.chest_trained
    } else {
        policy.switches.chest_first_aider
    };
    if wanted == ChestCover::Vented && !vented_in_kit {
        ChestCover::OpenOrDry
    } else {
        wanted
    }
}
