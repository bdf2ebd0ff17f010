//! Everything a person can report about bleeding, and when, by whom, about what.
//!
//! Owns the acts the ladder is folded over. Two shapes of report live side by side: the full ones that say
//! exactly what was seen, and the thin ones a phone sends with two taps, which mean what the wound was
//! waiting for.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::conversion::Criteria;
use super::observation::{Beyond, Findings, HoldSeen, Pulse, Stain};
use super::terms::{Look, Measure};
use crate::rules::supplies::Item;

/// What a helper is trained for. Roles decide what is offered, never what is recorded.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// First-aid knowledge.
    #[default]
    FirstAider,
    /// Named at the start as trained in packing and in taking a tourniquet off again.
    TrainedLead,
    /// Clinician or paramedic.
    Medic,
}

impl Role {
    /// Trained beyond first aid.
    pub fn is_trained(self) -> bool {
        self != Self::FirstAider
    }
}

/// What an act is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// A wound, by its place in the casualty's list; limb acts name any wound of that limb.
    Wound(usize),
    /// The whole person.
    Casualty,
}

/// Where on the limb a tourniquet sits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Above the wound, in millimetres. Source: TCCC Guidelines (50 to 75).
    AboveWound(u16),
    /// As high as it goes, because the site was not seen or the threat was immediate.
    /// Source: TCCC Guidelines.
    HighAndTight,
    /// Not said; taken as above the wound.
    #[default]
    NotSaid,
}

/// How a tourniquet was put on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "what a person ticks about one tourniquet"
)]
pub struct Application {
    /// Where.
    pub level: Level,
    /// Steps from the trunk, when the place is known better than "above the wound".
    pub down_the_limb: Option<u8>,
    /// Over clothes: to be moved to the skin when there is time. Source: TCCC Guidelines.
    pub over_clothes: bool,
    /// The helper does not know when it went on (somebody else did it).
    pub time_unknown: bool,
    /// Not a made tourniquet. Source: IFRC 2020 prefers manufactured ones.
    pub improvised: bool,
    /// The time is written on it. Source: JTS curriculum.
    pub time_written: bool,
}

impl Application {
    /// High up or over clothes: to be moved to the skin above the wound when there is time. Source: TCCC
    /// Guidelines; proposed TCCC change 25-2.
    pub fn is_for_the_first_minutes(&self) -> bool {
        self.over_clothes || self.level == Level::HighAndTight
    }
}

/// What was said later about how a tourniquet sits; what is none was not said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Correction {
    /// Where.
    pub level: Option<Level>,
    /// Over clothes.
    pub over_clothes: Option<bool>,
    /// Not a made one.
    pub improvised: Option<bool>,
    /// The time is written on it.
    pub time_written: Option<bool>,
}

/// One report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// The wound was noticed.
    Found,
    /// It was looked at.
    Assessed(Findings),
    /// Hands press.
    PressureStarted,
    /// Hands were lifted early, and are back (or not).
    PressureLapsed { resumed: bool },
    /// A look at the end of a hold.
    HoldEnded(HoldSeen),
    /// Packed.
    Packed {
        material: Option<Item>,
        expired: bool,
    },
    /// A pressure dressing went on.
    DressingApplied,
    /// The dressing, the part beyond it, or both were looked at.
    DressingChecked {
        stain: Option<Stain>,
        beyond: Option<Beyond>,
    },
    /// One firm layer more.
    DressingReinforced,
    /// Loosened a little.
    DressingLoosened,
    /// Left tight because it bleeds when loosened.
    DressingKeptTight,
    /// A tourniquet went on.
    TourniquetApplied(Application),
    /// The bleeding, the pulse beyond, or both were looked at.
    TourniquetChecked {
        bleeding: Option<bool>,
        pulse: Option<Pulse>,
    },
    /// Tightened.
    TourniquetTightened,
    /// A second one beside the first, nearer the trunk.
    SecondTourniquet(Application),
    /// Moved to a better place; the new one went on before the old one came off.
    TourniquetMoved(Application),
    /// The time at which it really went on.
    TourniquetTimeTold(Timestamp),
    /// How it sits was told.
    TourniquetDescribed(Correction),
    /// "Is it still needed?" was asked.
    TourniquetReviewed,
    /// Somebody begins to replace it by pack and dressing.
    ConversionStarted(Criteria),
    /// It held, or it did not.
    ConversionEnded { held: bool },
    /// Tightened again after it had been loosened.
    Retightened,
    /// Hands press and stay until handover.
    ManualHold,
    /// Covered as the region needs.
    Covered,
    /// The cover was looked at and is in order.
    CoverChecked,
    /// Breathing was looked at.
    BreathingChecked { worse: bool },
    /// A plain dressing on a wound that stopped.
    SimplyDressed,
    /// A stopped wound was looked at.
    BleedChecked { dry: bool },
    /// Rinsed.
    Cleaned,
    /// A plain dressing was changed and the wound looked at.
    DressingChanged,
    /// A quiet wound was looked at for infection.
    InfectionLooked,
    /// Closed in the field, which the board never offers.
    Closed,
    /// The casualty was moved.
    Moved,
    /// Shock is suspected, or no longer.
    Shock { on: bool },
    /// Vital signs were taken.
    Observed,
    /// Insulated and covered.
    Warmed,
    /// Tranexamic acid was given or decided against.
    TranexamicAcidSettled,
    /// Handed over.
    HandedOver,
    /// Entered by mistake.
    Void,
    /// Thin report: a look.
    Looked(Look),
    /// Thin report: a measure, and what it used.
    Did {
        measure: Measure,
        material: Option<Item>,
        expired: bool,
    },
    /// Thin report: the check beyond a dressing or tourniquet.
    BeyondLooked {
        flow: Option<Pulse>,
        result: Option<Beyond>,
    },
}

impl Act {
    /// About a tourniquet that is on: it counts for the limb, whichever of its wounds it is told at.
    pub const fn is_about_the_limb(&self) -> bool {
        matches!(
            self,
            Self::TourniquetChecked { .. }
                | Self::TourniquetTightened
                | Self::TourniquetTimeTold(_)
                | Self::TourniquetDescribed(_)
                | Self::TourniquetReviewed
        )
    }
}

/// An act with its circumstances.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dated {
    /// When it happened.
    pub at: Timestamp,
    /// Position in the journal: decides between acts of the same instant.
    pub order: u64,
    /// What it is about.
    pub about: About,
    /// Who did it.
    pub by: Option<String>,
    /// What they are trained for.
    pub role: Role,
    /// The person was asked about an unusual act and said that it is so.
    pub confirmed: bool,
    /// What was done or seen.
    pub act: Act,
}
