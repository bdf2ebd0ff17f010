//! Whether a tourniquet may come off again.
//!
//! Owns the criteria and the time bands. Promises: it never says "take it off"; it says what speaks against
//! it. Sources: TCCC Guidelines; JTS curriculum, conversion module; Drew et al., J Spec Oper Med 2015; a 2023
//! journal article (PMC10662576) for the reasons to leave it on.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::act::Role;
use super::ladder::Case;
use super::limb::{Grip, LimbStanding};
use super::minutes::Minutes;
use super::policy::{Conversion, Policy};
use super::warning::Warning;

/// One point of the list that a person ticks before a tourniquet comes off. Sources: TCCC Guidelines and JTS
/// curriculum (shock, watching, amputation, time); PMC10662576 (a failed try); the rest is our default.
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
pub enum ReleasePoint {
    /// No sign of shock.
    NoShock,
    /// Somebody watches the wound and nothing else.
    Watched,
    /// No part of the limb is lost.
    NoAmputation,
    /// Less than two hours; a medic less than six.
    InTime,
    /// Gauze and a pressure dressing lie ready.
    MaterialReady,
    /// It stopped the bleeding and the pulse until now.
    WorkedUntilNow,
    /// No failed try that forbids another.
    NoFailedTry,
}

impl ReleasePoint {
    /// Every point, in the order in which they are asked.
    pub const ALL: [Self; 7] = [
        Self::NoShock,
        Self::NoAmputation,
        Self::WorkedUntilNow,
        Self::InTime,
        Self::NoFailedTry,
        Self::MaterialReady,
        Self::Watched,
    ];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoShock => "no_shock",
            Self::Watched => "watched",
            Self::NoAmputation => "no_amputation",
            Self::InTime => "in_time",
            Self::MaterialReady => "material_ready",
            Self::WorkedUntilNow => "worked_until_now",
            Self::NoFailedTry => "no_failed_try",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoShock => "no sign of shock",
            Self::Watched => "one person watches this wound and nothing else",
            Self::NoAmputation => "no part of the limb is lost",
            Self::InTime => "on for less than 2 hours (a medic: less than 6)",
            Self::MaterialReady => "gauze and a pressure dressing lie ready",
            Self::WorkedUntilNow => "it held until now: no blood, no pulse",
            Self::NoFailedTry => "it was not tried before, or a medic tries once more",
        }
    }
}

/// What a person ticks before beginning; the rest the board knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Criteria {
    /// Somebody, by name, watches the wound for bleeding from now on.
    pub watched: bool,
    /// Gauze and a pressure dressing lie ready (our default).
    pub material_ready: bool,
}

impl Criteria {
    /// Moving a tourniquet needs no gauze and leaves a tight one on.
    pub const fn not_needed_for_moving() -> Self {
        Self {
            watched: true,
            material_ready: true,
        }
    }

    /// From what was ticked on the list.
    pub fn from_ticked(ticked: &[ReleasePoint]) -> Self {
        let has = |point: &ReleasePoint| ticked.contains(point);
        Self {
            watched: has(&ReleasePoint::Watched),
            material_ready: ReleasePoint::ALL.iter().all(has),
        }
    }

    /// Everything ticked.
    pub const fn all() -> Self {
        Self {
            watched: true,
            material_ready: true,
        }
    }
}

/// One attempt to take it off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Attempt {
    /// When.
    pub at: Timestamp,
    /// By whom.
    pub role: Role,
    /// What was ticked.
    pub criteria: Criteria,
    /// Shock is suspected.
    pub in_shock: bool,
}

/// One line of the list shown before a conversion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Criterion {
    /// In words.
    pub words: &'static str,
    /// Source.
    pub source: &'static str,
    /// Whether it is true now.
    pub met: bool,
    /// The warning if it is not.
    pub otherwise: Warning,
}

/// The list, in the order in which its points stop an attempt.
pub fn checklist(policy: &Policy, limb: &LimbStanding, attempt: &Attempt) -> Vec<Criterion> {
    let mut list = about_the_limb(policy, limb, attempt);
    list.extend(about_the_attempt(policy, limb, attempt));
    list
}

fn about_the_limb(policy: &Policy, limb: &LimbStanding, attempt: &Attempt) -> Vec<Criterion> {
    let times = &policy.tourniquets;
    let reached = |limit: Minutes| {
        limb.without_blood_since()
            .is_some_and(|since| limit.passed(since, attempt.at))
    };
    vec![
        Criterion {
            words: "no part of the limb is lost",
            source: "TCCC Guidelines",
            met: !limb.stump,
            otherwise: Warning::NoConversionOnStump,
        },
        Criterion {
            words: "no sign of shock",
            source: "TCCC Guidelines",
            met: !attempt.in_shock,
            otherwise: Warning::NoConversionInShock,
        },
        Criterion {
            words: "less than six hours",
            source: "TCCC Guidelines; Drew et al. 2015",
            met: !reached(times.convert_medic),
            otherwise: Warning::SixHours,
        },
        Criterion {
            words: "less than two hours, or a medic",
            source: "TCCC Guidelines; proposed TCCC change 25-2",
            met: attempt.role == Role::Medic || !reached(times.convert_lead),
            otherwise: Warning::TwoHours,
        },
    ]
}

fn about_the_attempt(policy: &Policy, limb: &LimbStanding, attempt: &Attempt) -> Vec<Criterion> {
    vec![
        Criterion {
            words: "your role may do it in this incident",
            source: "our default",
            met: role_may(policy, attempt.role),
            otherwise: Warning::NoConversionByYou,
        },
        Criterion {
            words: "no failed try that forbids another",
            source: "JTS curriculum; PMC10662576 differs",
            met: retry_may(policy, limb, attempt),
            otherwise: Warning::NoConversionByYou,
        },
        Criterion {
            words: "the tourniquet worked until now",
            source: "our default",
            met: limb.grip == Grip::Works,
            otherwise: Warning::NobodyWatching,
        },
        Criterion {
            words: "somebody watches, and gauze and dressing lie ready",
            source: "TCCC Guidelines; our default",
            met: attempt.criteria.watched && attempt.criteria.material_ready,
            otherwise: Warning::NobodyWatching,
        },
    ]
}

/// The first point that speaks against it.
pub fn conversion_question(
    policy: &Policy,
    limb: &LimbStanding,
    attempt: &Attempt,
) -> Option<Warning> {
    checklist(policy, limb, attempt)
        .iter()
        .find(|line| !line.met)
        .map(|line| line.otherwise)
}

fn role_may(policy: &Policy, role: Role) -> bool {
    match policy.switches.conversion {
        Conversion::TrainedUnderTwoHours => role.is_trained(),
        Conversion::MedicOnly => role == Role::Medic,
        Conversion::Never => false,
    }
}

fn retry_may(policy: &Policy, limb: &LimbStanding, attempt: &Attempt) -> bool {
    let times = &policy.tourniquets;
    let Some(last) = limb.failed_at.last() else {
        return true;
    };
    let allowed = match attempt.role {
        Role::Medic => times.failures_medic,
        Role::TrainedLead | Role::FirstAider => times.failures_lead,
    };
    limb.failed_at.len() <= usize::from(allowed) && !times.retry_within.passed(*last, attempt.at)
}

/// Whether a hospital is so near that the tourniquet stays on until then. Source: JTS curriculum (consider leaving
/// it); counting the two hours from the limb's start is our default.
pub fn hospital_is_near(
    policy: &Policy,
    limb: &LimbStanding,
    hospital_at: Option<Timestamp>,
) -> bool {
    let within = policy.tourniquets.leave_if_hospital_within;
    let since = limb.without_blood_since();
    since
        .zip(hospital_at)
        .is_some_and(|(since, hospital)| within.after(since) >= hospital)
}

/// Whether a review says "leave it on" without going through the list.
pub(super) fn advises_leaving(case: &Case<'_>, limb: &LimbStanding, at: (bool, Timestamp)) -> bool {
    let (in_shock, now) = at;
    let policy = case.policy;
    let times = &policy.tourniquets;
    let Some(since) = limb.without_blood_since() else {
        return false;
    };
    // A time told for the hospital that has passed no longer speaks for waiting: they are still here.
    let hospital_at = case.casualty.hospital_at.filter(|at| *at > now);
    hospital_is_near(policy, limb, hospital_at)
        || limb.stump
        || in_shock
        || policy.switches.conversion == Conversion::Never
        || times.convert_medic.passed(since, now)
}

/// The steps of a conversion, in order. Source: JTS curriculum; the loose second tourniquet: Drew et al.
/// 2015; the times of the last step: our default.
pub const CONVERSION_STEPS: [&str; 7] = [
    "Leave it tight. Lay a second one loosely beside it, ready.",
    "Pack the wound and press for the gauze's full time.",
    "Wrap a pressure bandage, keeping the pressure up.",
    "Ease it off slowly, over at least a minute, eyes on the wound.",
    "Blood? Tight again at once, and tell the board it failed.",
    "Dry? Open it fully, slide it down to the dressing, leave it there. Write down the time.",
    "The pulse must come back. Check after 5 and 10 minutes, then every 10, and after each move.",
];
