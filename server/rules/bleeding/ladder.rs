//! Where a wound stands on the ladder of bleeding control, whether it holds, and what is due next.
//!
//! Owns the fold over one wound's acts in the order they happened. Promises: no timer ends a bleed, only a
//! person's look does; an act that is unusual for the region is still taken as done; the tourniquet's time
//! never moves later.

use jiff::{SignedDuration, Timestamp};

use super::first_measure::first_measure;
use super::region::{Allowed, Region};
use super::terms::{Flow, Look, Measure};

/// Minutes of uninterrupted direct pressure before looking. Source: UK first-aid training providers relaying
/// St John Ambulance (10 min); *common practice*.
pub const PRESSURE_HOLD_MIN: i64 = 10;
/// Minutes of pressure on haemostatic gauze. Source: CoTCCC/JTS, *TCCC Guidelines* (2024): at least 3 min.
pub const HAEMOSTATIC_HOLD_MIN: i64 = 3;
/// Minutes of pressure on plain gauze. *Common practice*; Taillac et al., JEMS 2017, says at least 3.
pub const PLAIN_GAUZE_HOLD_MIN: i64 = 10;
/// Minutes within which the circulation beyond a new dressing is checked. JTS combat paramedic curriculum:
/// check after applying; the two minutes are a design choice.
pub const FIRST_DISTAL_CHECK_MIN: i64 = 2;
/// Minutes between looks at a dressing or tourniquet. Source: UK training providers relaying St John
/// Ambulance (circulation check every 10 min); *common practice*.
pub const LOOK_AGAIN_MIN: i64 = 10;
/// Minutes to start the next measure on a bleed that goes on. Source: JTS combat paramedic curriculum: control
/// of life-threatening bleeding ideally within 1 min of recognising it.
pub const ACT_NOW_MIN: i64 = 1;
/// Minutes to start pressure on a slow bleed. Design choice.
pub const START_PRESSURE_MIN: i64 = 5;
/// Minutes after which a tourniquet's risk to the limb grows. Source: *TCCC Guidelines* (2024): convert in
/// under 2 h where the criteria are met.
pub const TOURNIQUET_REVIEW_MIN: i64 = 120;

/// Something done to or seen on a wound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// First seen.
    Found {
        /// How it bleeds.
        flow: Flow,
        /// All or part of the limb is gone.
        amputation: bool,
    },
    /// A measure taken.
    Step {
        /// Which.
        measure: Measure,
        /// With haemostatic gauze (shorter hold).
        haemostatic: bool,
    },
    /// Looked at again.
    Looked(Look),
    /// Blood flow beyond the dressing checked.
    DistalCheck {
        /// Pulse or refill, movement and feeling are as they should be.
        passed: bool,
    },
}

/// How the wound is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Bleeds; the next measure is due.
    Bleeding,
    /// A hand must press; its time runs.
    HandPressing,
    /// A dressing or tourniquet is on and nobody has looked yet.
    NotLooked,
    /// A look found it held.
    Holding,
    /// The dressing cuts the circulation off.
    TooTight,
    /// Not bleeding and nothing presses.
    Stopped,
}

/// A timed duty on a wound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clock {
    /// What is to be done.
    pub duty: Duty,
    /// Since when it runs.
    pub started_at: Timestamp,
    /// When it is due.
    pub due_at: Timestamp,
}

/// What is to be done about a wound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Duty {
    /// Start this measure.
    Start(StartMeasure),
    /// The hold has run: look under the pressure.
    LookUnderPressure,
    /// Check pulse or refill, movement and feeling beyond the dressing.
    CheckBeyond,
    /// Loosen the dressing a little, keep the pressure on the wound.
    Loosen,
    /// Look at the dressing again.
    LookAgain,
    /// Look at the tourniquet: stopped?
    LookAtTourniquet,
    /// The tourniquet reaches two hours.
    TourniquetTwoHours,
}

/// The measure that is due, in climbing order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StartMeasure {
    /// Press.
    Pressure,
    /// Pack and press.
    Pack,
    /// Wrap a pressure dressing.
    Dressing,
    /// Tourniquet.
    Tourniquet,
    /// Cover or hold as the region needs; no rung of the ladder fits.
    RegionCare,
}

/// What a wound's acts add up to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Rung it stands on: 0 none, 1 direct pressure, 2 packing or pressure dressing, 3 tourniquet.
    pub rung: u8,
    /// Whether it holds.
    pub hold: Hold,
    /// Since when it is so.
    pub since: Timestamp,
    /// When the first tourniquet went on.
    pub tourniquet_since: Option<Timestamp>,
    /// What is due, soonest first.
    pub clocks: Vec<Clock>,
}

/// Folds a wound's acts, given in the order they happened.
///
/// Returns `None` when there is nothing to stand on (no acts at all).
pub fn standing(region: Region, acts: &[(Timestamp, Act)]) -> Option<Standing> {
    let (first_at, _) = *acts.first()?;
    let mut wound = Climb::new(region, first_at);
    for (at, act) in acts {
        wound.take(*at, *act);
    }
    Some(wound.into_standing())
}

struct Climb {
    region: Region,
    rung: u8,
    hold: Hold,
    since: Timestamp,
    tourniquet_since: Option<Timestamp>,
    needs_distal_check: bool,
    oozed_once: bool,
    hold_min: i64,
    next: StartMeasure,
    start_within_min: i64,
}

impl Climb {
    fn new(region: Region, at: Timestamp) -> Self {
        Self {
            region,
            rung: 0,
            hold: Hold::Bleeding,
            since: at,
            tourniquet_since: None,
            needs_distal_check: false,
            oozed_once: false,
            hold_min: PRESSURE_HOLD_MIN,
            next: first_measure(region, Flow::Steady, false),
            start_within_min: START_PRESSURE_MIN,
        }
    }

    fn take(&mut self, at: Timestamp, act: Act) {
        match act {
            Act::Found { flow, amputation } => self.found(at, flow, amputation),
            Act::Step {
                measure,
                haemostatic,
            } => self.step(at, measure, haemostatic),
            Act::Looked(look) => self.looked(at, look),
            Act::DistalCheck { passed } => self.checked_beyond(at, passed),
        }
    }

    fn found(&mut self, at: Timestamp, flow: Flow, amputation: bool) {
        self.since = at;
        self.next = first_measure(self.region, flow, amputation);
        self.start_within_min = match (flow, amputation) {
            (Flow::High | Flow::Spurting, _) | (_, true) => ACT_NOW_MIN,
            _ => START_PRESSURE_MIN,
        };
        self.hold = if flow == Flow::None && !amputation {
            Hold::Stopped
        } else {
            Hold::Bleeding
        };
    }

    fn step(&mut self, at: Timestamp, measure: Measure, haemostatic: bool) {
        self.since = at;
        self.needs_distal_check = false;
        match measure {
            Measure::DirectPressure => {
                self.rung = self.rung.max(1);
                self.hold = Hold::HandPressing;
                self.hold_min = PRESSURE_HOLD_MIN;
            }
            Measure::Packing => {
                self.rung = self.rung.max(2);
                self.hold = Hold::HandPressing;
                self.hold_min = if haemostatic {
                    HAEMOSTATIC_HOLD_MIN
                } else {
                    PLAIN_GAUZE_HOLD_MIN
                };
            }
            Measure::PressureDressing => {
                self.rung = self.rung.max(2);
                self.hold = Hold::NotLooked;
                self.needs_distal_check = self.region.capability().distal_check;
            }
            Measure::Tourniquet => {
                self.rung = 3;
                self.hold = Hold::NotLooked;
                // A second band does not start the limb's time anew (JTS curriculum: counted from the first).
                self.tourniquet_since.get_or_insert(at);
            }
        }
    }

    fn looked(&mut self, at: Timestamp, look: Look) {
        self.since = at;
        let was = self.hold;
        self.hold = match look {
            Look::Stopped if self.rung <= 1 => Hold::Stopped,
            Look::Stopped => Hold::Holding,
            // One more hold of the same length for a bleed that only oozes (design choice; *common practice*).
            Look::Slowed if was == Hold::HandPressing && !self.oozed_once => {
                self.oozed_once = true;
                Hold::HandPressing
            }
            Look::Slowed if self.rung >= 2 => Hold::Holding,
            Look::Slowed | Look::StillBleeding => Hold::Bleeding,
        };
        if self.hold == Hold::Bleeding {
            self.next = self.rung_above();
            self.start_within_min = ACT_NOW_MIN;
        }
    }

    fn checked_beyond(&mut self, at: Timestamp, passed: bool) {
        self.needs_distal_check = false;
        // Under a tourniquet no pulse beyond is what is wanted: the check says nothing about tightness.
        if self.rung == 3 {
            return;
        }
        if !passed {
            self.hold = Hold::TooTight;
            self.since = at;
        } else if matches!(self.hold, Hold::TooTight | Hold::NotLooked) {
            self.hold = Hold::Holding;
            self.since = at;
        }
    }

    /// The gradual chain for a bleed that goes on. Source: JTS curriculum and *TCCC Guidelines* for the rungs;
    /// the order pressure → packing → tourniquet is *common practice*.
    fn rung_above(&self) -> StartMeasure {
        let can = self.region.capability();
        match self.rung {
            0 => self.next,
            1 if can.packing == Allowed::Yes => StartMeasure::Pack,
            1 if can.pressure_dressing == Allowed::Yes => StartMeasure::Dressing,
            2 | 3 if can.tourniquet => StartMeasure::Tourniquet,
            2 if can.packing == Allowed::Yes => StartMeasure::Pack,
            1..=3 => StartMeasure::Pressure,
            _ => StartMeasure::RegionCare,
        }
    }

    fn into_standing(self) -> Standing {
        let mut clocks = Vec::new();
        let since = self.since;
        let mut run = |duty, from: Timestamp, minutes| {
            clocks.push(Clock {
                duty,
                started_at: from,
                due_at: from + SignedDuration::from_mins(minutes),
            });
        };
        match self.hold {
            Hold::Bleeding => run(Duty::Start(self.next), since, self.start_within_min),
            Hold::HandPressing => run(Duty::LookUnderPressure, since, self.hold_min),
            Hold::NotLooked if self.rung == 3 => run(Duty::LookAtTourniquet, since, ACT_NOW_MIN),
            Hold::NotLooked if self.needs_distal_check => {
                run(Duty::CheckBeyond, since, FIRST_DISTAL_CHECK_MIN);
            }
            Hold::TooTight => run(Duty::Loosen, since, ACT_NOW_MIN),
            Hold::Holding if self.rung == 3 => run(Duty::LookAtTourniquet, since, LOOK_AGAIN_MIN),
            Hold::NotLooked | Hold::Holding => run(Duty::LookAgain, since, LOOK_AGAIN_MIN),
            Hold::Stopped if self.rung > 0 => run(Duty::LookAgain, since, LOOK_AGAIN_MIN),
            Hold::Stopped => {}
        }
        if self.needs_distal_check && self.hold == Hold::Holding {
            run(Duty::CheckBeyond, since, FIRST_DISTAL_CHECK_MIN);
        }
        if let Some(on) = self.tourniquet_since {
            run(Duty::TourniquetTwoHours, on, TOURNIQUET_REVIEW_MIN);
        }
        clocks.sort_by_key(|clock| (clock.due_at, clock.duty));
        Standing {
            rung: self.rung,
            hold: self.hold,
            since,
            tourniquet_since: self.tourniquet_since,
            clocks,
        }
    }
}
