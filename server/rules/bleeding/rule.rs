//! The rules of the ladder, each with its words, its source and how well the source is known.
//!
//! Owns the one table that answers "why does the board say this?". Promises: every change of a wound's
//! standing names one of these rules, and no rule is without a source or an open word that there is none.

use serde::{Deserialize, Serialize};

/// How well a source is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Read in the publisher's own text or a verbatim copy.
    Read,
    /// Read in a page that relays it.
    Relayed,
    /// From memory; to be checked before it is quoted.
    Memory,
    /// Common practice, no source.
    CommonPractice,
    /// A default chosen for this board.
    OurDefault,
}

macro_rules! rules {
    ($($name:ident: $words:literal, $source:literal, $evidence:ident;)+) => {
        /// A rule of the ladder.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "snake_case")]
        #[expect(missing_docs, reason = "`words` says what each one is")]
        pub enum Rule { $($name,)+ }

        impl Rule {
            /// Every rule.
            pub const ALL: &[Self] = &[$(Self::$name,)+];

            /// The rule in plain words.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// Where it comes from.
            pub const fn source(self) -> &'static str {
                match self { $(Self::$name => $source,)+ }
            }

            /// How well the source is known.
            pub const fn evidence(self) -> Evidence {
                match self { $(Self::$name => Evidence::$evidence,)+ }
            }
        }
    };
}

rules! {
    // First measure.
    AmputationOrJets: "jets, or part of the limb lost: tourniquet first", "TCCC Guidelines", Read;
    DangerOnLimb: "a danger sign on a bleeding limb: tourniquet first", "Stop the Bleed booklet 2017; TCCC Guidelines", Read;
    FastAndHandsShort: "fast, and too few hands or out of reach: tourniquet, review soon", "review of prehospital tourniquets", Relayed;
    PressureBeforeTourniquet: "this incident presses first, tourniquet if that fails", "IFRC 2020; ANZCOR 9.1.1", Read;
    FastPack: "fast, and the place can be packed: pack at once", "trade practice", CommonPractice;
    DangerPack: "dangerous, and no tourniquet can work here: pack at once", "TCCC Guidelines", Read;
    DangerPressHard: "dangerous, neither tourniquet nor packing: press hard within a minute", "our default", OurDefault;
    OwnWay: "this place has its own measure", "TCCC Guidelines; ILCOR 2015", Read;
    NothingToPress: "the blood is inside: nothing to press on, leave early", "TCCC Guidelines", Read;
    Gradual: "no danger sign: press first", "IFRC 2020; ANZCOR 9.1.1; AHA / American Red Cross 2024", Read;
    NotBleeding: "not bleeding: dress it", "common practice", CommonPractice;
    // Found, pressed.
    FoundUnseen: "somebody must look at it", "our default", OurDefault;
    PressUnlifted: "press without lifting until the time is up", "UK first-aid practice; AHA / American Red Cross 2015", Relayed;
    LiftedRestarts: "pressure was off: the time begins again", "AHA / American Red Cross 2015", Relayed;
    HandsGone: "nobody is pressing any more", "our default", OurDefault;
    LookedTooSoon: "looked before the time was up: it begins again", "AHA / American Red Cross 2015", Relayed;
    StoppedUnderPressure: "stopped under pressure: dress it", "US Army FM 4-25.11", Read;
    OozeOnceMore: "only oozing: one more hold", "our default", OurDefault;
    PinchOnceMore: "nose still bleeds: pinch again, three times in all", "UK public advice", Memory;
    PressureFailedTourniquet: "pressure did not hold a dangerous limb bleed: tourniquet", "ANZCOR 9.1.1; IFRC 2020", Read;
    PressureFailedPack: "pressure did not stop it: pack", "TCCC Guidelines; trade practice", CommonPractice;
    PressureFailedWrap: "pressure did not stop it and it cannot be packed: wrap", "common practice", CommonPractice;
    PressureFailedHands: "pressure did not stop it and it cannot be wrapped: hands stay on", "our default", OurDefault;
    HandsStay: "hands stay on until handover, relieved in turn", "our default", OurDefault;
    HandsReplaced: "hands replaced by pack or dressing", "our default", OurDefault;
    // Packed.
    PackHold: "packed: press on it for its time", "TCCC Guidelines (3 min haemostatic); 10 min plain common practice", Read;
    PackHeldWrap: "the pack holds: wrap a pressure dressing", "JTS curriculum", Read;
    PackHeldHands: "the pack holds, nothing may be wrapped here: hands stay on", "common practice", CommonPractice;
    PackFailedTourniquet: "the pack does not hold on a limb: tourniquet", "TCCC Guidelines", Read;
    PackFailedRepack: "the pack does not hold: fresh gauze, once", "TCCC Guidelines", Read;
    PackFailedHands: "the fresh pack does not hold either: hands stay on", "our default", OurDefault;
    // Dressed.
    DressingNeedsCheck: "dressing on: look at it and beyond it", "St John Ambulance; JTS curriculum", Read;
    HalfChecked: "one half of the check is missing", "JTS curriculum", Read;
    DressingHolds: "dry or no larger, and alive beyond it: again in 10", "UK training providers", Relayed;
    NoneBefore: "no pulse before the dressing either: limb at risk", "our default", OurDefault;
    JunctionNoPulse: "controlled but no pulse below a junction: do not undo, leave soon", "our default", OurDefault;
    DressingTooTight: "no life beyond the dressing: loosen a little", "St John Ambulance; JTS curriculum", Read;
    GrowsReinforce: "the stain grows: one firm layer on top", "ANZCOR 9.1.1; St John Ambulance", Read;
    ThroughTourniquet: "bleeds through on a limb: tourniquet, do not undress", "trade practice; TCCC Guidelines", CommonPractice;
    ThroughRepack: "bleeds through, no tourniquet here: take down, repack once", "TCCC Guidelines", Read;
    ThroughHands: "bleeds through again: hands stay on", "our default", OurDefault;
    ThroughUndress: "bleeds through the second time: take it down, begin again", "St John Ambulance", Read;
    ThroughAdd: "this incident never removes a dressing: add", "old teaching", CommonPractice;
    ReinforcedCheck: "a layer more: check again", "ANZCOR 9.1.1", Read;
    LoosenedCheck: "loosened: check again", "St John Ambulance; JTS curriculum", Read;
    KeptTightTourniquet: "bleeds when loosened: tourniquet; the limb's clock runs from the dressing", "our default", OurDefault;
    // Tourniquet.
    TourniquetNeedsCheck: "tourniquet on: bleeding stopped, pulse gone?", "JTS curriculum", Read;
    TourniquetWorks: "no bleeding, no pulse: again in 10 and after every move", "JTS curriculum", Read;
    TourniquetFails: "bleeding or a pulse: tighten, then a second one", "TCCC Guidelines; JTS curriculum", Read;
    TightenedCheck: "tightened or doubled: check again, the clock keeps its start", "TCCC Guidelines", Read;
    MovedCheck: "moved: check again, the clock keeps its start", "proposed TCCC change 25-2, JSOM 2026", Read;
    ReviewConvert: "still needed? try the list before two hours", "TCCC Guidelines; JTS curriculum", Read;
    ReviewLeave: "leave it on", "JTS curriculum; TCCC Guidelines", Read;
    TimeTold: "the time was told: every limit counts from it", "JTS curriculum", Read;
    ConvertByList: "replace it by pack and dressing, step by step", "JTS curriculum; Drew et al., JSOM 2015", Read;
    ConversionHeld: "it held without the tourniquet: check, watch closely", "JTS curriculum", Read;
    ConversionFailed: "it bled: tight again, the clock keeps its start", "JTS curriculum", Read;
    RetightenedKeepsStart: "tight again: limits count from the first time", "our default", OurDefault;
    LookAfterRelease: "the tourniquet above is off: look at this wound too", "our default", OurDefault;
    UnderTourniquet: "below a tourniquet: it shares that tourniquet's check", "our default", OurDefault;
    // Stopped, covered, all.
    StoppedDressed: "dressed: look again", "JTS Clinical Practice Guideline 62", Read;
    StillDry: "still dry", "our default", OurDefault;
    BleedsAgain: "bleeds again: press", "our default", OurDefault;
    CleanedWatch: "rinsed and dressed: change and look daily", "JTS CPG 62; WMS 2014", Read;
    ChangedWatch: "dressing changed: change and look daily", "JTS CPG 62", Read;
    ClosedWatch: "closed out here: look for infection twice a day, tell the hospital", "our default; what stays open: Wilderness Medical Society 2005", OurDefault;
    CoveredWatch: "covered: watch it", "ILCOR 2015; TCCC Guidelines", Read;
    CoverInOrder: "in order: again later", "our default", OurDefault;
    BreathingWorse: "breathing is worse", "US Army FM 4-25.11", Read;
    MoveChecksAll: "after a move everything is checked", "JTS curriculum", Read;
    ShockChecksAll: "shock suspected: every bleed is checked now", "TCCC Guidelines", Read;
    HandedOver: "handed over", "our default", OurDefault;
    EnteredByMistake: "entered by mistake", "our default", OurDefault;
    KeptAsReported: "kept as reported; changes nothing here", "our default", OurDefault;
}
