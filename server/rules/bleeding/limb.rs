//! Where a limb stands: its tourniquets and the time without blood.
//!
//! Owns the rule that a tourniquet belongs to a limb. Promises: the limb's start is the earliest start ever
//! reported; tightening, doubling, moving, a failed conversion or tightening again never move it later; only
//! a told time can. Source: JTS curriculum (six hours count from the original tourniquet); TCCC proposed
//! change 25-2, J Spec Oper Med 2026; the rest is our default.

use jiff::Timestamp;

use super::act::{Application, Level};
use super::wound::{Limb, Wound};

/// One tourniquet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tourniquet {
    /// When it went on, or the earliest it can have.
    pub applied_at: Timestamp,
    /// Whether that time was told; otherwise it is an estimate.
    pub time_known: bool,
    /// When it was reported.
    pub reported_at: Timestamp,
    /// Where and how.
    pub application: Application,
    /// The wound it was put on for.
    pub for_wound: usize,
    /// Who put it on.
    pub by: Option<String>,
    /// When it was loosened.
    pub loosened_at: Option<Timestamp>,
}

/// What the tourniquets of a limb do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grip {
    /// None on, or all loose.
    #[default]
    Off,
    /// On or changed, not yet checked.
    Unchecked,
    /// No bleeding, no pulse.
    Works,
    /// Bleeding or a pulse.
    Fails,
    /// Being replaced.
    Converting,
}

/// Where one limb stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LimbStanding {
    /// All tourniquets ever on it, in order.
    pub tourniquets: Vec<Tourniquet>,
    /// What they do.
    pub grip: Grip,
    /// Since when they do it.
    pub grip_since: Option<Timestamp>,
    /// A dressing too tight, kept on purpose, stops the blood since.
    pub dressing_since: Option<Timestamp>,
    /// A dressing that stopped the blood before the tourniquet did and was never seen to let it through: a limb tied
    /// again after a release counts from it too.
    pub earlier_dressing: Option<Timestamp>,
    /// Half of a check: still bleeding?
    pub bleeding: Option<(Timestamp, bool)>,
    /// The other half: pulse beyond felt?
    pub pulse_felt: Option<(Timestamp, bool)>,
    /// Last complete check.
    pub checked_at: Option<Timestamp>,
    /// Last time somebody asked whether it is still needed.
    pub reviewed_at: Option<Timestamp>,
    /// Conversions that failed.
    pub failed_at: Vec<Timestamp>,
    /// Times without blood that have ended.
    pub ended: Vec<(Timestamp, Timestamp)>,
    /// Tightened again after a release.
    pub retightened_at: Option<Timestamp>,
    /// Part of the limb is lost.
    pub stump: bool,
}

impl LimbStanding {
    /// A tourniquet is tight.
    pub fn is_tight(&self) -> bool {
        self.grip != Grip::Off
    }

    /// Since when the limb is without blood.
    pub fn without_blood_since(&self) -> Option<Timestamp> {
        let tied = [self.first_tourniquet_at(), self.earlier_dressing];
        let tied = tied.into_iter().flatten().filter(|_| self.is_tight());
        tied.chain(self.dressing_since).min()
    }

    /// When the first tourniquet ever went on.
    pub fn first_tourniquet_at(&self) -> Option<Timestamp> {
        self.tourniquets.iter().map(|one| one.applied_at).min()
    }

    /// The tourniquet the limb's time counts from, if its time is only an estimate.
    pub fn time_missing(&self) -> Option<&Tourniquet> {
        let first = self.tourniquets.iter().min_by_key(|one| one.applied_at)?;
        (self.is_tight() && !first.time_known).then_some(first)
    }

    /// Whether a tight tourniquet lies above this wound of the limb.
    pub fn covers(&self, index: usize, wounds: &[Wound]) -> bool {
        self.is_tight()
            && self
                .tourniquets
                .iter()
                .filter(|one| one.loosened_at.is_none())
                .any(|one| one.is_above(index, wounds))
    }
}

impl Tourniquet {
    /// Whether it lies above this wound: its own wound, and every one farther from the trunk. A wound in
    /// the same region is only taken as below when the places are known exactly, because nobody has said
    /// that the bleeding there stopped.
    fn is_above(&self, index: usize, wounds: &[Wound]) -> bool {
        let (Some(wound), Some(own)) = (wounds.get(index), wounds.get(self.for_wound)) else {
            return false;
        };
        if index == self.for_wound {
            return true;
        }
        match (self.application.down_the_limb, self.application.level) {
            (Some(place), _) => wound.place_on_limb() > place,
            (None, Level::HighAndTight) => wound.place_on_limb() > 0,
            (None, _) => wound.place_on_limb() > own.place_on_limb(),
        }
    }
}

/// How a limb is named when it is read out.
pub fn limb_words(limb: Limb) -> String {
    match limb {
        Limb::Known(extremity, side) => {
            let extremity = match extremity {
                super::wound::Extremity::Arm => "arm",
                super::wound::Extremity::Leg => "leg",
            };
            format!("{} {extremity}", side.code())
        }
        Limb::OfWound(_) => "limb, side not said".to_owned(),
    }
}
