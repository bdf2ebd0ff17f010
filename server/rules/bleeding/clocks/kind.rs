//! The kinds of clock: words, severity, source, who sees them.
//!
//! Owns the table. The lengths are the policy's; here is what each clock is called and how bad it is when
//! nobody comes.

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::warning::Warning;

/// How bad it is when a clock is late.
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
pub enum Severity {
    /// A note.
    Low,
    /// Worth a look.
    Medium,
    /// Loud.
    High,
    /// As loud as it gets, with sound.
    Critical,
}

/// Who is shown a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Audience {
    /// Everybody.
    Everyone,
    /// Medics.
    Medic,
    /// The lead.
    Lead,
}

macro_rules! kinds {
    ($($name:ident: $words:literal, $severity:ident, $source:literal;)+) => {
        /// A duty with a time.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "snake_case")]
        #[expect(missing_docs, reason = "`words` says what each one is")]
        pub enum ClockKind { $($name,)+ }

        impl ClockKind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name,)+];

            /// The duty in a few words.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// How bad when late.
            pub const fn severity(self) -> Severity {
                match self { $(Self::$name => Severity::$severity,)+ }
            }

            /// Where the duty and its length come from.
            pub const fn source(self) -> &'static str {
                match self { $(Self::$name => $source,)+ }
            }
        }
    };
}

kinds! {
    FirstLook: "look at the wound", High, "our default";
    BeginTourniquet: "tourniquet", Critical, "JTS curriculum (within 1 min)";
    BeginPacking: "pack or hold", Critical, "our default";
    BeginPressure: "press", High, "our default";
    BeginOwnWay: "cover or press as this place needs", Critical, "our default";
    PressureHold: "look under the pressure", Medium, "UK first-aid practice (relayed)";
    HaemostaticHold: "look under the pack", Medium, "TCCC Guidelines (at least 3 min)";
    PlainPackHold: "look under the pack", Medium, "common practice";
    NosePinch: "look at the nose", Medium, "UK public advice (from memory)";
    Wrap: "wrap it", High, "our default";
    DressingFirstCheck: "check the new dressing", High, "St John Ambulance; JTS curriculum; 2 min our default";
    DressingRecheck: "check the dressing", High, "UK training providers (relayed)";
    LoosenDressing: "loosen the dressing", Critical, "St John Ambulance; JTS curriculum; 1 min our default";
    TourniquetFirstCheck: "check the tourniquet", Critical, "JTS curriculum";
    FixTourniquet: "tighten the tourniquet", Critical, "TCCC Guidelines";
    TourniquetRecheck: "check the tourniquet", High, "JTS curriculum; 10 min our default";
    TourniquetTimeMissing: "when did the tourniquet go on?", High, "JTS curriculum";
    TourniquetReview: "still needed?", Medium, "TCCC Guidelines; times our default";
    TwoHoursSoon: "two hours of tourniquet soon", High, "TCCC Guidelines";
    TwoHours: "two hours of tourniquet", High, "TCCC Guidelines; proposed change 25-2";
    FourHours: "four hours: serious harm to the limb possible", High, "J Spec Oper Med, spring 2024";
    SixHoursSoon: "six hours of tourniquet soon", High, "our default";
    SixHours: "six hours: not released here", Critical, "TCCC Guidelines 2024";
    WatchAfterRelease: "watch after release", High, "JTS curriculum; times our default";
    CheckAfterMove: "check after the move", High, "JTS curriculum; 2 min our default";
    ObserveShock: "vital signs, shock suspected", High, "from memory (5 min when unstable)";
    ObserveStable: "vital signs", Medium, "from memory (15 min when stable)";
    Warmth: "warm and insulate", Medium, "TCCC change 20-01 (2020); times our default";
    Breathing: "check the breathing", Critical, "our default; need: US Army FM 4-25.11";
    OrganCover: "look at the cover, keep it moist", Medium, "our default";
    RinseBefore: "rinse before", Medium, "JTS, wound care in prolonged casualty care (6 h)";
    DressingChange: "change the dressing", Medium, "JTS Clinical Practice Guideline 62";
    InfectionLook: "look for infection", Medium, "Wilderness Medical Society 2005 (daily)";
    PackingStays: "packing in place for a day", Medium, "from memory (product labels)";
    TranexamicAcid: "window for tranexamic acid closes", High, "JTS, damage control resuscitation";
    RelieveHands: "relieve the hands", Medium, "our default";
    LimbStarves: "limb without blood for two hours", High, "our default";
    Stock: "stock", Medium, "our default";
    ExposureDoctor: "see a doctor after blood contact", High, "NIOSH 2008-116";
    StoppedRecheck: "look at the stopped wound", Medium, "our default";
}

impl ClockKind {
    /// Who is shown it.
    pub const fn audience(self) -> Audience {
        match self {
            Self::TranexamicAcid => Audience::Medic,
            Self::ExposureDoctor => Audience::Lead,
            _ => Audience::Everyone,
        }
    }

    /// Hands press until it is up: looking earlier undoes what the pressing has done.
    pub const fn is_hold(self) -> bool {
        matches!(
            self,
            Self::PressureHold | Self::HaemostaticHold | Self::PlainPackHold | Self::NosePinch
        )
    }

    /// One round on a casualty, a single form, may answer all of these (our default).
    pub const fn answered_by_one_round(self) -> bool {
        matches!(
            self,
            Self::DressingRecheck
                | Self::TourniquetRecheck
                | Self::CheckAfterMove
                | Self::ObserveShock
                | Self::ObserveStable
        )
    }

    /// The warning shown with it once it is due.
    pub const fn warning(self) -> Option<Warning> {
        match self {
            Self::TwoHoursSoon | Self::TwoHours | Self::FourHours => Some(Warning::TwoHours),
            Self::SixHoursSoon | Self::SixHours => Some(Warning::SixHours),
            Self::TourniquetTimeMissing => Some(Warning::WriteTime),
            Self::Warmth => Some(Warning::KeepWarm),
            Self::ExposureDoctor => Some(Warning::BloodOnHelper),
            Self::TranexamicAcid => Some(Warning::MedicsOnly),
            _ => None,
        }
    }

    /// A line of the limb's own time, counted from its start.
    pub const fn is_limb_line(self) -> bool {
        matches!(
            self,
            Self::TwoHoursSoon
                | Self::TwoHours
                | Self::FourHours
                | Self::SixHoursSoon
                | Self::SixHours
                | Self::LimbStarves
        )
    }
}
