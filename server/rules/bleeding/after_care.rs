//! Care of a wound once it has stopped bleeding.
//!
//! Owns the gate to rinsing, how much water, how often a dressing is changed, and what must never be closed.
//! Promises: a wound that may bleed again is not opened on the board's advice.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::act::Role;
use super::ladder::{Case, Picture};
use super::limb::LimbStanding;
use super::minutes::Minutes;
use super::policy::Policy;
use super::region::Class;
use super::standing::Standing;
use super::state::State;
use super::wound::{Contamination, Depth, Limb, Mechanism, Wound};

/// Whether rinsing is offered to this role. Source: *Wilderness and Rescue Medicine* (2018) for what
/// laypeople do not clean; removing packing restarts bleeding (*common practice*).
pub fn cleaning_offered(case: &Case<'_>, picture: &Picture, index: usize, role: Role) -> bool {
    let (Some(wound), Some(standing)) = (case.wounds.get(index), picture.wounds.get(index)) else {
        return false;
    };
    let limb = picture
        .limbs
        .get(&wound.limb(index).unwrap_or(Limb::OfWound(index)));
    standing.state.is_stopped()
        && standing.times.packed.is_none()
        && !limb.is_some_and(LimbStanding::is_tight)
        && !standing.risk.dangerous
        && picture.person.shock_since.is_none()
        && (role == Role::Medic || !needs_a_medic(wound))
}

/// Wounds only a medic opens.
fn needs_a_medic(wound: &Wound) -> bool {
    let inside = matches!(
        wound.region.capability().class,
        Class::Chest | Class::Abdomen | Class::Eye | Class::Internal
    );
    let deep_puncture = wound.mechanism == Mechanism::Puncture && wound.depth != Depth::Shallow;
    inside || deep_puncture
}

/// Whether the "rinse before" clock runs: stopped, never rinsed, nothing in it, never dangerous.
pub(super) fn rinsing_expected(case: &Case<'_>, standing: &Standing, index: usize) -> bool {
    standing.state == State::Stopped
        && standing.times.cleaned.is_none()
        && standing.times.packed.is_none()
        && !standing.risk.dangerous
        && !needs_a_medic(&case.wounds[index])
}

/// How much clean water to rinse with, in millilitres, rounded up to a hundred.
///
/// Source: *Atlas of Emergency Medicine*, ch. 18 (60 per cm, or 500 to 1000 in all); College of Urgent Care
/// Medicine note (50 to 100 per cm, relayed); the function itself is our default.
pub fn rinse_ml(policy: &Policy, length_mm: Option<u32>, contamination: Contamination) -> u32 {
    let care = &policy.care;
    let (per_cm, least) = match contamination {
        Contamination::Clean => (care.rinse_ml_per_cm_clean, care.rinse_least_ml),
        Contamination::Dirty => (care.rinse_ml_per_cm_dirty, care.rinse_least_ml),
        Contamination::Gross => (
            care.rinse_ml_per_cm_dirty,
            care.rinse_least_gross_ml.max(care.rinse_least_ml),
        ),
    };
    let by_length = u64::from(length_mm.unwrap_or(0)) * u64::from(per_cm) / 10;
    let rounded = by_length.div_ceil(100) * 100;
    u32::try_from(rounded).unwrap_or(u32::MAX).max(least)
}

/// How to rinse. Source: WMS practice guidelines 2014; JTS CPG 62; *Wilderness and Rescue Medicine*; a study
/// of improvised irrigation in *Wilderness & Environmental Medicine* (abstract).
pub const RINSING: [&str; 4] = [
    "Drinking water will do; else water boiled for 3 minutes and cooled.",
    "A large syringe with a blunt tip, or a bottle squeezed hard. A bag with holes is too weak.",
    "Clean gloves. Pick out only what comes easily.",
    "No peroxide, alcohol, strong iodine or soap in the wound.",
];

/// What kind of dressing a wound has, for how often it is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DressingCare {
    /// Daily, and at once when wet or dirty. Source: JTS CPG 62.
    Daily,
    /// Not opened here; the stain and what lies beyond are checked (*common practice*).
    LeaveClosed,
    /// Left for the hospital, which is told; product labels say a day at most (from memory).
    LeavePackedForHospital,
}

/// How a wound's dressing is cared for.
pub fn dressing_care(standing: &Standing) -> DressingCare {
    if standing.times.packed.is_some() {
        DressingCare::LeavePackedForHospital
    } else if standing.layers > 0 && !standing.state.is_stopped() {
        DressingCare::LeaveClosed
    } else {
        DressingCare::Daily
    }
}

/// Why a wound must not be closed in the field; `None` leaves it to a trained person. The board offers to
/// close nothing. Source: Wilderness Medical Society 2005 (bites, deep punctures, gross dirt); WHO (from
/// memory) for wounds older than six hours; JTS for blast and gunshot.
pub fn not_to_be_closed(
    policy: &Policy,
    wound: &Wound,
    hours_old: Option<u32>,
) -> Option<&'static str> {
    let late = hours_old.is_some_and(|hours| hours.saturating_mul(60) > policy.care.rinse_before.0);
    match wound.mechanism {
        Mechanism::Bite => Some("a bite"),
        Mechanism::Puncture if wound.depth != Depth::Shallow => Some("a deep puncture"),
        Mechanism::Crush => Some("crushed"),
        Mechanism::Burst => Some("a blast or gunshot wound"),
        _ if wound.contamination != Contamination::Clean => Some("dirty"),
        _ if wound.open_fracture => Some("a broken bone under it"),
        _ if late => Some("older than six hours"),
        _ => None,
    }
}

/// What a wound was closed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum ClosedWith {
    Strips,
    Glue,
    Stitches,
    Staples,
}

impl ClosedWith {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Strips, Self::Glue, Self::Stitches, Self::Staples];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Strips => "strips",
            Self::Glue => "glue",
            Self::Stitches => "stitches",
            Self::Staples => "staples",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Strips => "adhesive strips",
            Self::Glue => "glue",
            Self::Stitches => "stitches",
            Self::Staples => "staples",
        }
    }
}

/// A dressing too tight for this long is a reason to leave. Our default.
const TIGHT_TOO_LONG: Minutes = Minutes(10);

/// Why the wound itself is a reason to leave, in words.
///
/// Source: Wilderness Medical Society 2005 for the first four; the rest is our default.
pub fn leave_for_the_wound(
    wound: &Wound,
    standing: &Standing,
    now: Timestamp,
) -> Vec<&'static str> {
    let still_tight = standing.state == State::DressingTight
        && standing
            .times
            .tight
            .is_some_and(|since| TIGHT_TOO_LONG.passed(since, now));
    let joint = matches!(
        wound.region,
        super::Region::Elbow | super::Region::Wrist | super::Region::Knee | super::Region::Ankle
    );
    let deep = matches!(wound.depth, Depth::Deep | Depth::Cavity);
    let class = wound.region.capability().class;
    [
        (wound.open_fracture, "open fracture"),
        (joint && deep, "open joint"),
        (
            deep && wound.contamination == Contamination::Gross,
            "deep and heavily contaminated",
        ),
        (wound.mechanism == Mechanism::Bite && deep, "severe bite"),
        (standing.risk.dangerous, "severe blood loss"),
        (
            standing.state.is_under_tourniquet() || standing.state == State::Converting,
            "tourniquet",
        ),
        (
            class == Class::Junction && standing.times.packed.is_some(),
            "packed at a junction",
        ),
        (
            matches!(class, Class::Chest | Class::Abdomen | Class::Eye),
            "chest, belly or eye",
        ),
        (standing.risk.limb || still_tight, "limb without blood"),
        (standing.state == State::HandsStay, "held by hand"),
    ]
    .into_iter()
    .filter_map(|(true_here, words)| true_here.then_some(words))
    .collect()
}
