//! What the forms in a page need: choices that stand in the page, so that nothing is fetched out of range.

use super::app::App;
use super::care_forms::CareForms;
use super::outline::{self, Place};
use super::parts::{Choices, Stage};
use super::triage_forms::TriageForms;
use crate::incident::Incident;
use crate::incident::fact::{Deed, Need};
use crate::rules::bleeding::{Flow, Region, Sign};
use crate::rules::supplies::Item;

/// The choices.
#[derive(Debug)]
pub(super) struct Forms {
    /// The ones that change while people work.
    pub(super) choices: Choices,
    pub(super) words: &'static [&'static str],
    /// Stored code and words of every need on the way.
    pub(super) needs: Vec<(&'static str, &'static str)>,
    pub(super) regions: &'static [(&'static str, &'static [Region])],
    /// The figure of the body, from the front and from behind.
    pub(super) figures: [(&'static str, &'static [Place]); 2],
    pub(super) flows: [Flow; 5],
    /// Stored code and words of every step.
    pub(super) deeds: Vec<(String, &'static str)>,
    pub(super) signs: &'static [(&'static str, Sign)],
    /// The measures of one tap, as the live part that they are.
    pub(super) step_choices: String,
    /// What is left in the kits, as the live part that it is.
    pub(super) left: String,
    pub(super) items: [Item; Item::COUNT],
    pub(super) dressings: Vec<Item>,
    pub(super) triage: TriageForms,
    pub(super) bag: String,
    pub(super) care: CareForms,
}

const WORDS: [&str; 18] = [
    "man", "woman", "boy", "girl", "old", "beard", "glasses", "red", "blue", "green", "black",
    "white", "yellow", "grey", "coat", "jumper", "hat", "backpack",
];

/// Every step a helper may report by hand; the rest is offered where it makes sense.
const DEEDS: [Deed; 23] = [
    Deed::Press,
    Deed::HandsOff,
    Deed::HoldByHand,
    Deed::Pack,
    Deed::PressureDressing,
    Deed::Reinforce,
    Deed::Loosen,
    Deed::KeepTight,
    Deed::Tourniquet,
    Deed::Tighten,
    Deed::SecondTourniquet,
    Deed::MoveTourniquet,
    Deed::ReleaseHeld,
    Deed::ReleaseFailed,
    Deed::Cover,
    Deed::LeaveOpen,
    Deed::LiftCover,
    Deed::PadAround,
    Deed::RaiseLimb,
    Deed::KeepPart,
    Deed::PlainDressing,
    Deed::Rinse,
    Deed::ChangeDressing,
];
const SIGNS: [(&str, Sign); 9] = [
    ("pooling", Sign::Pooling),
    ("clothes_soaked", Sign::ClothesSoaked),
    ("dressing_soaked", Sign::DressingSoaked),
    ("will_not_stop", Sign::WillNotStop),
    ("confused_or_unconscious", Sign::ConfusedOrUnconscious),
    ("shock_signs", Sign::ShockSigns),
    ("great_force", Sign::GreatForce),
    ("hands_short", Sign::HandsShort),
    ("out_of_reach", Sign::OutOfReach),
];

const REGIONS: [(&str, &[Region]); 5] = [
    (
        "Arm",
        &[
            Region::Shoulder,
            Region::Axilla,
            Region::UpperArm,
            Region::Elbow,
            Region::Forearm,
            Region::Wrist,
            Region::Hand,
            Region::Digit,
        ],
    ),
    (
        "Leg",
        &[
            Region::Groin,
            Region::Buttock,
            Region::Thigh,
            Region::Knee,
            Region::LowerLeg,
            Region::Ankle,
            Region::Foot,
            Region::ProximalLimb,
        ],
    ),
    (
        "Head and neck",
        &[
            Region::Scalp,
            Region::Face,
            Region::Eye,
            Region::Nose,
            Region::Mouth,
            Region::Ear,
            Region::Neck,
            Region::NeckBase,
            Region::SkullFractureSuspected,
        ],
    ),
    (
        "Chest, belly, back",
        &[
            Region::ChestWall,
            Region::ChestOpen,
            Region::Abdomen,
            Region::Evisceration,
            Region::Back,
            Region::Perineum,
        ],
    ),
    (
        "Not seen from outside",
        &[Region::PelvisSuspected, Region::InternalSuspected],
    ),
];

impl Forms {
    /// The choices as things stand.
    pub(super) fn new(app: &App, incident: &Incident) -> Self {
        let policy = &incident.settings().now().policy;
        let stage = Stage { app, incident };
        Self {
            choices: stage.choices(),
            words: &WORDS,
            needs: Need::ALL.map(|need| (need.code(), need.words())).to_vec(),
            regions: &REGIONS,
            figures: [("front", &outline::FRONT), ("back", &outline::BACK)],
            flows: Flow::ALL,
            step_choices: stage.step_choices().html(),
            left: stage.left().html(),
            deeds: DEEDS
                .into_iter()
                .map(|deed| (deed.code(), deed.words()))
                .collect(),
            signs: &SIGNS,
            items: Item::ALL,
            dressings: Item::ALL
                .into_iter()
                .filter(|item| item.is_dressing())
                .collect(),
            bag: app.board.to_string(),
            triage: TriageForms::new(incident),
            care: CareForms::new(policy),
        }
    }
}
