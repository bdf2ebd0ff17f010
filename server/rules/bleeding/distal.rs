//! The check beyond a dressing, tourniquet or splint.
//!
//! Owns pass and fail, the refill limits by age and sex, and the caveat of cold. Promises: a slow refill
//! alone never fails a check in the cold; an absent pulse always does, unless it was absent before.
//! Sources: St John Ambulance (press 5 s, back within 2 s, else too tight); JTS curriculum and US Army FM
//! 4-25.11 (cool, blue, numb or no pulse: loosen); Schriger & Baraff, Ann Emerg Med 1988 (limits, cold).

use serde::{Deserialize, Serialize};

use super::act::Act;
use super::observation::{Beyond, Pulse};
use super::policy::Policy;

/// Pulse beyond, compared with the other side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum PulseBeyond {
    Present,
    Weaker,
    Absent,
    #[default]
    CannotTell,
}

/// Movement or feeling beyond, compared with before.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Compared {
    AsBefore,
    Worse,
    #[default]
    CannotTell,
}

/// Warmth of the part beyond.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = SkinBeyond)]
pub enum Skin {
    /// Like the other side.
    Same,
    /// Cold on both sides.
    ColdBothSides,
    /// Pale, blue or cold on this side only.
    WorseThisSide,
    /// Nobody looked.
    #[default]
    NotSaid,
}

/// Who the refill limit is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Body {
    /// Age in years.
    pub years: Option<u16>,
    /// An adult woman.
    pub woman: bool,
    /// Out in the cold.
    pub cold: bool,
}

/// One check beyond.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BeyondCheck {
    /// Pulse.
    pub pulse: PulseBeyond,
    /// Whether a pulse was there before the dressing.
    pub pulse_before: Option<bool>,
    /// Refill in tenths of a second.
    pub refill_tenths: Option<u16>,
    /// Refill of the other side.
    pub refill_other_side_tenths: Option<u16>,
    /// Skin.
    pub skin: Skin,
    /// Fingers or toes moving.
    pub movement: Compared,
    /// Light touch.
    pub feeling: Compared,
}

/// What a check says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// Pass, fail, or no pulse before; `None` when nothing could be told.
    pub result: Option<Beyond>,
    /// Slow on both sides or in the cold: say so.
    pub slow_refill_from_cold: bool,
    /// Slow on both sides and not cold: ask about shock.
    pub ask_about_shock: bool,
}

/// The refill limit for a body, in tenths of a second. Children have the general limit.
pub fn refill_limit_tenths(policy: &Policy, body: &Body) -> u16 {
    let care = &policy.care;
    if !policy.switches.refill_limits_by_age {
        care.refill_tenths
    } else if body.years.is_some_and(|years| years >= care.elderly_from) {
        care.refill_tenths_elderly
    } else if body.woman {
        care.refill_tenths_woman
    } else {
        care.refill_tenths
    }
}

/// Judges the check beyond a dressing, splint or boot.
pub fn judge_beyond(policy: &Policy, body: &Body, check: &BeyondCheck) -> Judged {
    let limit = refill_limit_tenths(policy, body);
    let cold = body.cold || check.skin == Skin::ColdBothSides;
    let slow = check.refill_tenths.is_some_and(|tenths| tenths > limit);
    let other_slow = check.refill_other_side_tenths.map(|tenths| tenths > limit);
    let none_before = check.pulse == PulseBeyond::Absent && check.pulse_before == Some(false);
    let hard = (check.pulse == PulseBeyond::Absent && !none_before)
        || check.pulse == PulseBeyond::Weaker
        || check.movement == Compared::Worse
        || check.feeling == Compared::Worse
        || check.skin == Skin::WorseThisSide;
    let soft = slow && (other_slow == Some(false) || (other_slow.is_none() && !cold));
    let told = check.pulse != PulseBeyond::CannotTell
        || check.refill_tenths.is_some()
        || check.movement == Compared::AsBefore
        || check.feeling == Compared::AsBefore;
    let result = if hard || soft && !none_before {
        Some(Beyond::Fail)
    } else if none_before {
        Some(Beyond::NoneBefore)
    } else {
        told.then_some(Beyond::Pass)
    };
    Judged {
        result,
        slow_refill_from_cold: slow && !soft,
        ask_about_shock: slow && other_slow == Some(true) && !cold,
    }
}

/// What the same check says about a tourniquet: the pulse must be gone.
pub const fn judge_below_tourniquet(pulse: PulseBeyond) -> Option<Pulse> {
    match pulse {
        PulseBeyond::Absent => Some(Pulse::Absent),
        PulseBeyond::Present | PulseBeyond::Weaker => Some(Pulse::Present),
        PulseBeyond::CannotTell => None,
    }
}

/// The check as an act for the ladder, which knows whether a dressing or a tourniquet lies above.
pub fn beyond_act(policy: &Policy, body: &Body, check: &BeyondCheck) -> Act {
    Act::BeyondLooked {
        flow: judge_below_tourniquet(check.pulse),
        result: judge_beyond(policy, body, check).result,
    }
}
