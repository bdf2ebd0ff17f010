//! A duty as drawn, and the answers that a tap can give to it.

use serde_json::{Value, json};

use super::category::CategoryView;
use super::ladder::Ladder;
use super::time::Moment;
use crate::incident::{Duty, Incident, Task, Wound};
use crate::rules::bleeding::{self, Measure, StartMeasure};
use crate::rules::supplies::Item;

/// A row of the *next up* list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DutyView {
    pub(crate) casualty: String,
    pub(crate) number: u32,
    pub(crate) wound: String,
    /// What to do, at most a few words.
    pub(crate) task: &'static str,
    /// "forearm, left".
    pub(crate) at: String,
    /// Who has the casualty.
    pub(crate) who: String,
    pub(crate) ladder: Option<Ladder>,
    pub(crate) category: CategoryView,
    pub(crate) start: Moment,
    pub(crate) due: Moment,
    /// Why it is due, with the source.
    pub(crate) why: &'static str,
    /// Casualty's words, for the band above forms.
    pub(crate) words: String,
    pub(crate) region: &'static str,
    pub(crate) side: &'static str,
}

/// A button that reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// What it says.
    pub(crate) label: &'static str,
    /// One line more, or nothing.
    pub(crate) hint: &'static str,
    /// The fact it reports, as JSON for the page's script.
    pub(crate) report: String,
    /// What the undo bar says: "7: packed".
    pub(crate) said: String,
}

impl DutyView {
    /// Draws a duty of an incident.
    pub(crate) fn of(duty: &Duty, incident: &Incident) -> Self {
        let casualty = incident.casualty(duty.casualty);
        let wound: Option<&Wound> = casualty.and_then(|casualty| {
            casualty
                .wounds
                .iter()
                .find(|wound| Some(wound.id) == duty.wound)
        });
        let view = casualty.map(|casualty| super::CasualtyView::of(casualty, incident));
        Self {
            casualty: duty.casualty.to_string(),
            number: duty.number,
            wound: duty
                .wound
                .map(|wound| wound.to_string())
                .unwrap_or_default(),
            task: task_words(duty.task),
            at: wound.map_or_else(
                || {
                    view.as_ref()
                        .map(|view| view.place.clone())
                        .unwrap_or_default()
                },
                Wound::place,
            ),
            who: view
                .as_ref()
                .map(|view| view.helpers.clone())
                .unwrap_or_default(),
            ladder: wound.map(|wound| Ladder::of(&wound.standing, wound.region)),
            category: view
                .as_ref()
                .map_or_else(|| CategoryView::of(None), |view| view.category.clone()),
            start: duty.started_at.into(),
            due: duty.due_at.into(),
            why: why(duty.task),
            words: view.map(|view| view.words).unwrap_or_default(),
            region: wound
                .and_then(|wound| wound.region)
                .map_or("", bleeding::Region::code),
            side: wound.map_or("unspecified", |wound| wound.side.code()),
        }
    }
}

/// What is to be done, in a few words.
pub(crate) const fn task_words(task: Task) -> &'static str {
    use bleeding::Duty as Wound;
    match task {
        Task::Sort => "Not sorted yet",
        Task::Wound(Wound::Start(StartMeasure::Pressure)) => "Bleeds: press on it",
        Task::Wound(Wound::Start(StartMeasure::Pack)) => "Bleeds: pack it and press",
        Task::Wound(Wound::Start(StartMeasure::Dressing)) => "Bleeds: pressure dressing",
        Task::Wound(Wound::Start(StartMeasure::Tourniquet)) => "Bleeds: tourniquet",
        Task::Wound(Wound::Start(StartMeasure::RegionCare)) => "Cover it, keep watch, ask a medic",
        Task::Wound(Wound::LookUnderPressure) => "Look under the pressure",
        Task::Wound(Wound::CheckBeyond) => "Feel beyond the dressing",
        Task::Wound(Wound::Loosen) => "Too tight: loosen a little",
        Task::Wound(Wound::LookAgain) => "Look at the dressing",
        Task::Wound(Wound::LookAtTourniquet) => "Look at the tourniquet",
        Task::Wound(Wound::TourniquetTwoHours) => "Tourniquet reaches 2 h",
    }
}

const fn why(task: Task) -> &'static str {
    use bleeding::Duty as Wound;
    match task {
        Task::Sort => {
            "No category yet. Within 5 minutes: this board's own choice, no published interval."
        }
        Task::Wound(Wound::Start(StartMeasure::Tourniquet)) => {
            "5 to 7 cm above the wound, not on a joint; note the time. TCCC Guidelines 2024."
        }
        Task::Wound(Wound::Start(StartMeasure::Pack)) => {
            "To the bottom of the wound, then press: 3 min haemostatic gauze, 10 min plain. TCCC Guidelines 2024; common practice."
        }
        Task::Wound(Wound::Start(StartMeasure::Pressure)) => {
            "Both hands, straight on the bleeding point. AHA / American Red Cross 2024."
        }
        Task::Wound(Wound::Start(StartMeasure::Dressing)) => {
            "Wrap firmly without letting go. JTS curriculum."
        }
        Task::Wound(Wound::Start(StartMeasure::RegionCare)) => {
            "No packing and no tourniquet here. Taillac et al. 2017 (relayed); common practice."
        }
        Task::Wound(Wound::LookUnderPressure) => {
            "The hold has run. Only your look decides. Training providers relaying St John Ambulance; common practice."
        }
        Task::Wound(Wound::CheckBeyond) => {
            "A dressing must not become a tourniquet: pulse there, moves, feels. St John Ambulance; JTS curriculum."
        }
        Task::Wound(Wound::Loosen) => {
            "Keep the pressure on the wound. St John Ambulance; JTS curriculum."
        }
        Task::Wound(Wound::LookAgain) => {
            "Every 10 minutes. Training providers relaying St John Ambulance."
        }
        Task::Wound(Wound::LookAtTourniquet) => "Stopped, and no pulse beyond? JTS curriculum.",
        Task::Wound(Wound::TourniquetTwoHours) => {
            "The limb's risk grows after 2 h. TCCC Guidelines 2024."
        }
    }
}

/// The answers a tap can give, the likely one first.
pub(crate) fn choices(duty: &DutyView, task: Task) -> Vec<Choice> {
    use bleeding::Duty as Wound;
    match task {
        Task::Sort => Vec::new(),
        Task::Wound(Wound::Start(measure)) => start_choices(duty, measure),
        Task::Wound(Wound::LookUnderPressure) => {
            vec![
                still(duty),
                oozing(duty),
                looked(duty, "Stopped", "", "stopped"),
            ]
        }
        Task::Wound(Wound::LookAgain) => {
            vec![
                looked(duty, "Dry, it holds", "", "stopped"),
                oozing(duty),
                through(duty),
            ]
        }
        Task::Wound(Wound::LookAtTourniquet | Wound::TourniquetTwoHours) => {
            vec![
                looked(duty, "Stopped", "no pulse beyond it", "stopped"),
                still(duty),
            ]
        }
        Task::Wound(Wound::CheckBeyond | Wound::Loosen) => beyond_choices(duty),
    }
}

fn still(duty: &DutyView) -> Choice {
    looked(
        duty,
        "Still bleeding",
        "next: one rung up",
        "still_bleeding",
    )
}

fn through(duty: &DutyView) -> Choice {
    looked(
        duty,
        "Bleeds through",
        "next: one rung up",
        "still_bleeding",
    )
}

fn oozing(duty: &DutyView) -> Choice {
    looked(duty, "Only oozing", "", "slowed")
}

fn looked(duty: &DutyView, label: &'static str, hint: &'static str, bleeding: &str) -> Choice {
    let fact = json!({ "kind": "wound.looked/1", "bleeding": bleeding });
    choice(duty, label, hint, &fact)
}

fn beyond_choices(duty: &DutyView) -> Vec<Choice> {
    let check = |circulation: &str, rest: &str| json!({ "kind": "distal.checked/1", "circulation": circulation, "movement": rest, "feeling": rest });
    let loosen = "loosen a little, press on the wound";
    vec![
        choice(
            duty,
            "Pulse there, moves, feels",
            "",
            &check("present", "as_before"),
        ),
        choice(
            duty,
            "No pulse, or weaker",
            loosen,
            &check("absent", "as_before"),
        ),
        choice(
            duty,
            "Numb or cannot move",
            loosen,
            &check("present", "worse"),
        ),
    ]
}

fn choice(duty: &DutyView, label: &'static str, hint: &'static str, fact: &Value) -> Choice {
    Choice {
        label,
        hint,
        report: json!({ "about": { "wound": duty.wound }, "fact": fact }).to_string(),
        said: format!("{}: {}", duty.number, label.to_lowercase()),
    }
}

fn start_choices(duty: &DutyView, first: StartMeasure) -> Vec<Choice> {
    let mut measures = Measure::ALL.to_vec();
    let likely = match first {
        StartMeasure::Pressure | StartMeasure::RegionCare => Measure::DirectPressure,
        StartMeasure::Pack => Measure::Packing,
        StartMeasure::Dressing => Measure::PressureDressing,
        StartMeasure::Tourniquet => Measure::Tourniquet,
    };
    measures.sort_by_key(|measure| *measure != likely);
    measures
        .into_iter()
        .map(|measure| step_choice(duty, measure))
        .collect()
}

fn step_choice(duty: &DutyView, measure: Measure) -> Choice {
    let used: Vec<Value> = Item::usual_for(measure)
        .iter()
        .map(|(item, count)| json!({ "item": item.code(), "count": count }))
        .collect();
    Choice {
        label: step_label(measure),
        hint: "",
        report: json!({ "about": { "wound": duty.wound },
            "fact": { "kind": "step.taken/1", "step": measure.code(), "used": used } })
        .to_string(),
        said: format!("{}: {}", duty.number, measure.words()),
    }
}

/// What the button says that reports a measure.
pub(crate) const fn step_label(measure: Measure) -> &'static str {
    match measure {
        Measure::DirectPressure => "Pressing now",
        Measure::Packing => "Packed, pressing",
        Measure::PressureDressing => "Pressure dressing on",
        Measure::Tourniquet => "Tourniquet on",
    }
}
