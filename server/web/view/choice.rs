//! The answers that a tap can give to a duty.
//!
//! Owns which reports stand on the big buttons, the likely one first. A button reports one fact, or opens a form
//! that stands in the page.

use serde_json::{Value, json};

use super::duty::DutyView;
use super::look_again::look_choices;
use crate::incident::Task;
use crate::incident::fact::{Deed, Used};
use crate::rules::bleeding::{ClockKind, State, Step};
use crate::rules::supplies::Item;

/// A button that reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// What it says.
    pub(crate) label: &'static str,
    /// One line more, or nothing.
    pub(crate) hint: &'static str,
    /// The fact it reports, as JSON for the page's script; empty where it opens a form.
    pub(crate) report: String,
    /// What the undo bar says: "7: packed".
    pub(crate) said: String,
    /// The form it opens instead.
    pub(crate) opens: &'static str,
}

const NEXT: &str = "next: one rung up";
const LOOSEN: &str = "loosen a little, press on the wound";

/// The answers a tap can give, the likely one first.
pub(crate) fn choices(duty: &DutyView, task: Task) -> Vec<Choice> {
    use ClockKind as Kind;
    let (kind, step) = match task {
        Task::Sort => return Vec::new(),
        Task::LookAgain(_) => return look_choices(duty),
        Task::Care(kind, step) => (kind, step),
    };
    match kind {
        Kind::FirstLook => vec![opens(duty, "See how it bleeds", "flow")],
        Kind::BeginTourniquet
        | Kind::BeginPacking
        | Kind::BeginPressure
        | Kind::BeginOwnWay
        | Kind::Wrap => begin(duty, step),
        hold if hold.is_hold() => after_hold(duty),
        Kind::DressingFirstCheck | Kind::DressingRecheck | Kind::WatchAfterRelease => {
            dressing(duty)
        }
        Kind::CheckAfterMove if duty.state.is_some_and(State::is_dressed) => dressing(duty),
        Kind::TourniquetFirstCheck | Kind::TourniquetRecheck => tourniquet(duty),
        Kind::CheckAfterMove if duty.state.is_some_and(State::is_under_tourniquet) => {
            tourniquet(duty)
        }
        Kind::LoosenDressing => {
            vec![
                deed(duty, Deed::Loosen),
                deed(duty, Deed::KeepTight),
                deed(duty, Deed::Tourniquet),
            ]
        }
        Kind::FixTourniquet => vec![
            deed(duty, Deed::Tighten),
            deed(duty, Deed::SecondTourniquet),
        ],
        Kind::TourniquetTimeMissing => vec![opens(duty, "Tell the time", "tourniquet-time")],
        Kind::TourniquetReview => vec![deed(duty, Deed::LeaveTourniquet)],
        later => after_control(duty, later),
    }
}

/// What is asked once the bleed is under control, and of the person as a whole.
fn after_control(duty: &DutyView, kind: ClockKind) -> Vec<Choice> {
    use ClockKind as Kind;
    match kind {
        Kind::Breathing => vec![
            looked(
                duty,
                "Breathing as before",
                "",
                &json!({ "kind": "breathing.checked/1", "worse": false }),
            ),
            looked(
                duty,
                "Breathing worse",
                "",
                &json!({ "kind": "breathing.checked/1", "worse": true }),
            ),
        ],
        Kind::StoppedRecheck | Kind::CheckAfterMove => vec![
            look(duty, "Still dry", "", "stopped"),
            look(duty, "Bleeds again", "next: press on it", "still_bleeding"),
        ],
        Kind::OrganCover => vec![deed(duty, Deed::CheckCover)],
        Kind::RelieveHands => vec![deed(duty, Deed::HoldByHand)],
        Kind::RinseBefore => vec![deed(duty, Deed::Rinse)],
        Kind::DressingChange | Kind::InfectionLook => vec![deed(duty, Deed::ChangeDressing)],
        Kind::ObserveShock | Kind::ObserveStable => vec![opens(duty, "Vital signs", "vitals")],
        Kind::Warmth => vec![warmed(duty)],
        // A limb's own time, and what only medics or the lead act on: shown with its clock, nothing to tap.
        _ => Vec::new(),
    }
}

fn begin(duty: &DutyView, step: Option<Step>) -> Vec<Choice> {
    let steps = step.into_iter().chain(duty.others.iter().copied());
    let mut deeds: Vec<Deed> = Vec::new();
    for deed in steps.filter_map(deed_of) {
        if !deeds.contains(&deed) {
            deeds.push(deed);
        }
    }
    deeds
        .into_iter()
        .flat_map(|deed_done| with_material(duty, deed_done))
        .collect()
}

/// Packing asks which gauze: the hold is three minutes for one and ten for the other.
fn with_material(duty: &DutyView, what: Deed) -> Vec<Choice> {
    if what != Deed::Pack {
        return vec![deed(duty, what)];
    }
    let packed = |label, hint, item| {
        let used = vec![Used { item, count: 1 }];
        Choice {
            label,
            hint,
            ..done(duty, what, &used)
        }
    };
    vec![
        packed(
            "Packed: haemostatic",
            "press 3 minutes",
            Item::HaemostaticGauze,
        ),
        packed(
            "Packed: plain gauze",
            "press 10 minutes",
            Item::PackingGauze,
        ),
    ]
}

const fn deed_of(step: Step) -> Option<Deed> {
    match step {
        Step::PressDirectly | Step::KeepPressing => Some(Deed::Press),
        Step::Pack | Step::Repack => Some(Deed::Pack),
        Step::WrapDressing => Some(Deed::PressureDressing),
        Step::ReinforceDressing => Some(Deed::Reinforce),
        Step::LoosenDressing => Some(Deed::Loosen),
        Step::Tourniquet => Some(Deed::Tourniquet),
        Step::TightenOrSecond => Some(Deed::Tighten),
        Step::LeaveTourniquet | Step::AskIfStillNeeded => Some(Deed::LeaveTourniquet),
        Step::HoldByHand => Some(Deed::HoldByHand),
        Step::Cover | Step::LiftCover => Some(Deed::Cover),
        Step::DressSimply => Some(Deed::PlainDressing),
        _ => None,
    }
}

fn after_hold(duty: &DutyView) -> Vec<Choice> {
    vec![
        look(duty, "Still bleeding", NEXT, "still_bleeding"),
        look(duty, "Only oozing", "", "slowed"),
        look(duty, "Stopped", "", "stopped"),
        Choice {
            label: "Lifted early, pressing again",
            ..deed(duty, Deed::PressureLifted)
        },
    ]
}

fn dressing(duty: &DutyView) -> Vec<Choice> {
    let check = |stain: &str, circulation: &str, rest: &str| {
        let mut fact = json!({ "kind": "dressing.checked/1", "stain": stain });
        if duty.checks_beyond {
            fact["circulation"] = json!(circulation);
            fact["movement"] = json!(rest);
            fact["feeling"] = json!(rest);
        }
        fact
    };
    let mut all = vec![looked(
        duty,
        if duty.checks_beyond {
            "Dry. Pulse there, moves, feels"
        } else {
            "Dry"
        },
        "",
        &check("dry", "present", "as_before"),
    )];
    if duty.checks_beyond {
        all.push(looked(
            duty,
            "Dry, but no pulse or weaker",
            LOOSEN,
            &check("dry", "absent", "as_before"),
        ));
        all.push(looked(
            duty,
            "Dry, but numb or does not move",
            LOOSEN,
            &check("dry", "present", "worse"),
        ));
    }
    all.push(looked(
        duty,
        "The stain grows",
        "",
        &json!({ "kind": "dressing.checked/1", "stain": "growing" }),
    ));
    all.push(looked(
        duty,
        "Soaked or bleeds through",
        NEXT,
        &json!({ "kind": "dressing.checked/1", "stain": "soaked" }),
    ));
    all
}

fn tourniquet(duty: &DutyView) -> Vec<Choice> {
    let check = |bleeding: bool, pulse: &str| json!({ "kind": "tourniquet.checked/1", "bleeding": bleeding, "pulse": pulse });
    vec![
        looked(
            duty,
            "Stopped, no pulse beyond",
            "",
            &check(false, "absent"),
        ),
        looked(
            duty,
            "Still bleeding",
            "tighten, or a second one",
            &check(true, "absent"),
        ),
        looked(
            duty,
            "Stopped, but pulse felt",
            "tighten, or a second one",
            &check(false, "present"),
        ),
    ]
}

fn warmed(duty: &DutyView) -> Choice {
    let fact = json!({ "kind": "casualty.warmed/1", "used": [{ "item": "blanket", "count": 1 }] });
    Choice {
        report: json!({ "about": { "casualty": duty.casualty }, "fact": fact }).to_string(),
        ..looked(duty, "Wrapped up warm", "", &Value::Null)
    }
}

fn look(duty: &DutyView, label: &'static str, hint: &'static str, bleeding: &str) -> Choice {
    looked(
        duty,
        label,
        hint,
        &json!({ "kind": "wound.looked/1", "bleeding": bleeding }),
    )
}

fn looked(duty: &DutyView, label: &'static str, hint: &'static str, fact: &Value) -> Choice {
    let about = if duty.wound.is_empty() {
        json!({ "casualty": duty.casualty })
    } else {
        json!({ "wound": duty.wound })
    };
    Choice {
        label,
        hint,
        report: json!({ "about": about, "fact": fact }).to_string(),
        said: format!("{}: {}", duty.number, label.to_lowercase()),
        opens: "",
    }
}

fn deed(duty: &DutyView, what: Deed) -> Choice {
    done(duty, what, &what.usual())
}

fn done(duty: &DutyView, what: Deed, used: &[Used]) -> Choice {
    let mut fact = json!({ "kind": "step.taken/2", "step": what });
    if !used.is_empty() {
        fact["used"] = json!(used);
    }
    Choice {
        said: format!("{}: {}", duty.number, what.words()),
        ..looked(duty, deed_label(what), "", &fact)
    }
}

fn opens(duty: &DutyView, label: &'static str, view: &'static str) -> Choice {
    Choice {
        report: String::new(),
        opens: view,
        ..looked(duty, label, "", &Value::Null)
    }
}

/// What the button says that reports a deed.
pub(crate) const fn deed_label(what: Deed) -> &'static str {
    match what {
        Deed::Press => "Pressing now",
        Deed::PressureLifted => "Lifted early, pressing again",
        Deed::HoldByHand => "Hands stay on it",
        Deed::Pack => "Packed, pressing",
        Deed::PressureDressing => "Pressure dressing on",
        Deed::Reinforce => "One layer more on top",
        Deed::Loosen => "Loosened a little",
        Deed::KeepTight => "Bleeds when loosened: left tight",
        Deed::Tourniquet => "Tourniquet on",
        Deed::Tighten => "Tightened",
        Deed::SecondTourniquet => "Second tourniquet on",
        Deed::MoveTourniquet => "Tourniquet moved",
        Deed::LeaveTourniquet => "Still needed: leave it on",
        Deed::BeginRelease => "Begin to replace it",
        Deed::ReleaseHeld => "Released, it holds",
        Deed::ReleaseFailed => "It bled: tightened again",
        Deed::Cover => "Covered",
        Deed::CheckCover => "Cover in order, moist",
        Deed::PlainDressing => "Plain dressing on",
        Deed::Rinse => "Rinsed",
        Deed::ChangeDressing => "Dressing changed, no infection",
    }
}
