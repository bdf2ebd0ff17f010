//! What is reported when somebody looks: under a hold, at a dressing, at a tourniquet, at a quiet wound, at the
//! breathing.
//!
//! Owns those answers and the way into taking a tourniquet off. Promises: a release is offered only where nothing
//! the board knows speaks against it, to those who may, and no longer than they may.

use jiff::Timestamp;
use serde_json::json;

use super::choice::{Choice, Target, opens};
use super::offers::At;
use crate::incident::fact::Deed;
use crate::rules::bleeding::after_care::{not_to_be_closed, rinse_ml};
use crate::rules::bleeding::conversion::hospital_is_near;
use crate::rules::bleeding::policy::Conversion;
use crate::rules::bleeding::standing::HoldKind;
use crate::rules::bleeding::wound::Amputation;
use crate::rules::bleeding::{Class, Minutes, Step};

const LOOSEN: &str = "loosen a little, press on the wound";

/// Under a hold that has run, or runs.
pub(super) fn after_hold(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let standing = &at.wound.standing;
    let pressing = standing
        .hold
        .is_none_or(|hold| matches!(hold.kind, HoldKind::Pressure | HoldKind::Nose));
    let next = at.if_it_bleeds_on(pressing);
    let mut all = vec![
        target
            .looked("Still bleeding", "still_bleeding")
            .hint(format!("next: {next}")),
        target.looked("Only oozing", "slowed"),
        target.looked("Stopped", "stopped"),
        target.did(Deed::PressureLifted),
    ];
    if let Some(hold) = standing.hold {
        let count = opens("Count down on the whole screen", "hold")
            .telling("hold", hold.lasts.0.to_string())
            .telling("at", hold.started_at.to_string())
            .telling("next", next)
            .telling("line", at.keep_line());
        all.push(count);
    }
    all
}

/// At a pressure dressing: its stain and the part beyond.
pub(super) fn dressing(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let beyond = at
        .wound
        .region
        .is_none_or(|region| region.capability().distal_check);
    let check = |stain: &str, circulation: &str, rest: &str| {
        let mut fact = json!({ "kind": "dressing.checked/1", "stain": stain });
        if beyond {
            fact["circulation"] = json!(circulation);
            fact["movement"] = json!(rest);
            fact["feeling"] = json!(rest);
        }
        fact
    };
    let label = if beyond {
        "Dry. Pulse there, moves, feels"
    } else {
        "Dry"
    };
    let mut all = vec![target.reports(label, &check("dry", "present", "as_before"))];
    if beyond {
        all.push(
            target
                .reports(
                    "Dry, but no pulse or weaker",
                    &check("dry", "absent", "as_before"),
                )
                .hint(LOOSEN),
        );
        all.push(
            target
                .reports(
                    "Dry, but numb or does not move",
                    &check("dry", "present", "worse"),
                )
                .hint(LOOSEN),
        );
    }
    all.extend(stained(at));
    if beyond {
        all.push(opens("Check beyond with the seconds", "beyond").telling("before", "false"));
    }
    all
}

/// A dressing with blood on it.
fn stained(at: At<'_>) -> [Choice; 2] {
    let stain = |label, stain: &str| {
        let fact = json!({ "kind": "dressing.checked/1", "stain": stain });
        at.target.reports(label, &fact)
    };
    let next = if at.tourniquet_works() {
        "next: tourniquet"
    } else {
        "next: take it down, pack anew"
    };
    [
        stain("The stain grows", "growing"),
        stain("Soaked or bleeds through", "soaked").hint(next),
    ]
}

/// At a tourniquet: the pulse must be gone.
pub(super) fn tourniquet(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let check = |bleeding: bool, pulse: &str| json!({ "kind": "tourniquet.checked/1", "bleeding": bleeding, "pulse": pulse });
    let fix = "tighten, or a second one";
    if at.wound.described.amputation == Amputation::Complete {
        return vec![
            target.reports("Stopped", &check(false, "not_applicable")),
            target
                .reports("Still bleeding", &check(true, "not_applicable"))
                .hint(fix),
            target.did(Deed::KeepPart),
            opens("How it sits, time written", "tourniquet"),
        ];
    }
    vec![
        target.reports("Stopped, no pulse beyond", &check(false, "absent")),
        target
            .reports("Still bleeding", &check(true, "absent"))
            .hint(fix),
        target
            .reports("Stopped, but pulse felt", &check(false, "present"))
            .hint(fix),
        opens("How it sits, time written", "tourniquet"),
    ]
}

/// "Is it still needed?"
pub(super) fn review(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let mut all = vec![target.did(Deed::LeaveTourniquet)];
    if release_is_open(at) {
        let open = |offered, limit: Minutes| {
            let since = at
                .wound
                .limb
                .as_ref()
                .and_then(crate::rules::bleeding::LimbStanding::without_blood_since);
            Choice {
                offered,
                from: near_hospital(at)
                    .map(|at| at.to_string())
                    .unwrap_or_default(),
                until: since
                    .map(|since| limit.after(since).to_string())
                    .unwrap_or_default(),
                ..opens("Can it come off? The list", "release")
                    .hint("pack and dressing instead, step by step")
            }
        };
        let times = &at.policy.tourniquets;
        let tries = at
            .wound
            .limb
            .as_ref()
            .map_or(0, |limb| limb.failed_at.len());
        if at.policy.switches.conversion == Conversion::TrainedUnderTwoHours
            && tries <= usize::from(times.failures_lead)
        {
            all.push(open("trained_only", times.convert_lead));
        }
        all.push(open("medic", times.convert_medic));
    }
    if at.wound.standing.others.contains(&Step::MoveTourniquet) {
        let times = &at.policy.tourniquets;
        let above = u16::midpoint(times.distance_least_mm, times.distance_most_mm);
        let moved = target
            .reports(
                "Moved to the skin above the wound",
                &json!({ "kind": "step.taken/2", "step": "move_tourniquet",
                    "tourniquet": { "level": { "above_wound": above } }, "used": Deed::Tourniquet.usual() }),
            )
            .hint("new one tight first, then ease the high one off slowly");
        all.push(Choice {
            offered: "trained",
            ..moved
        });
    }
    all
}

/// When the hospital is reached for which the tourniquet is left on; from then on it is not waited for any longer.
fn near_hospital(at: At<'_>) -> Option<Timestamp> {
    let limb = at.wound.limb.as_ref()?;
    let hospital_at = at.casualty.risks.hospital_at?;
    hospital_is_near(at.policy, limb, Some(hospital_at)).then_some(hospital_at)
}

/// Nothing the board knows speaks against it: not lost, not in shock, holding, no failed try that forbids another, and
/// this incident takes tourniquets off at all.
fn release_is_open(at: At<'_>) -> bool {
    let limb = at.wound.limb.as_ref();
    let most = usize::from(at.policy.tourniquets.failures_medic);
    at.policy.switches.conversion != Conversion::Never
        && at.casualty.shock_since.is_none()
        && limb.is_some_and(|limb| {
            limb.grip == crate::rules::bleeding::limb::Grip::Works
                && !limb.stump
                && limb.failed_at.len() <= most
        })
}

/// While it is being replaced.
pub(super) fn releasing(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    vec![
        target
            .did(Deed::ReleaseFailed)
            .hint("blood: tight again at once"),
        target
            .did(Deed::ReleaseHeld)
            .hint("dry: opened fully, slid down to the dressing"),
        opens("The steps", "releasing"),
    ]
}

/// A wound that stopped.
pub(super) fn quiet(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let dressed = at.wound.standing.times.plain_dressing.is_some();
    let mut all = vec![
        target.looked("Still dry", "stopped"),
        target
            .looked("Bleeds again", "still_bleeding")
            .hint("next: press on it"),
    ];
    if at.wound.standing.next == Step::DressSimply {
        all.insert(0, target.did(Deed::PlainDressing));
    }
    if dressed {
        all.push(opens("Look for infection", "infection"));
    }
    if rinsing_is_open(at) {
        all.push(rinse(at));
    }
    all
}

/// What a first aider may rinse: stopped, never packed, never dangerous, nobody in shock, not into a body cavity.
fn rinsing_is_open(at: At<'_>) -> bool {
    let standing = &at.wound.standing;
    let inside = at.wound.region.is_some_and(|region| {
        matches!(
            region.capability().class,
            Class::Chest | Class::Abdomen | Class::Eye | Class::Internal
        )
    });
    standing.state.is_stopped()
        && standing.times.packed.is_none()
        && !standing.risk.dangerous
        && !inside
        && at.casualty.shock_since.is_none()
        && !at
            .wound
            .limb
            .as_ref()
            .is_some_and(crate::rules::bleeding::LimbStanding::is_tight)
}

/// Rinsing, with the water this wound needs.
pub(super) fn rinse(at: At<'_>) -> Choice {
    let wound = &at.wound.described;
    let ml = rinse_ml(at.policy, wound.length_mm, wound.contamination);
    let stays_open = not_to_be_closed(at.policy, wound, None).unwrap_or_default();
    opens("Rinsed", "rinse")
        .hint(format!("{ml} mL of clean water"))
        .telling("ml", ml.to_string())
        .telling("open", stays_open)
}

/// Where breathing must be watched.
pub(super) fn breathing(at: At<'_>) -> Vec<Choice> {
    let standing = &at.wound.standing;
    if standing.times.breathing.is_none() || standing.state.is_closed() {
        return Vec::new();
    }
    let seen = |target: &Target, label, worse: bool| {
        target.reports(
            label,
            &json!({ "kind": "breathing.checked/1", "worse": worse }),
        )
    };
    vec![
        seen(at.target, "Breathing as before", false),
        seen(at.target, "Breathing worse", true),
    ]
}

impl At<'_> {
    /// Whether a tourniquet can work here.
    pub(super) fn tourniquet_works(&self) -> bool {
        self.wound
            .region
            .is_none_or(|region| region.capability().tourniquet)
    }
}
