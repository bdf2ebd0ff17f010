//! A duty as drawn: a row of the *next up* list, a helper's card.

use serde_json::json;

use super::category::CategoryView;
use super::ladder::Ladder;
use super::look_again::{look_why, look_words};
use super::time::Moment;
use crate::incident::{Casualty, Duty, Incident, Task, Wound};
use crate::rules::bleeding::{ClockKind, Severity, Step, Warning};
use crate::rules::triage::salt_sort::CallResponse;

/// A row of the *next up* list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DutyView {
    pub(crate) casualty: String,
    pub(crate) number: u32,
    pub(crate) wound: String,
    /// What to do, in a few words.
    pub(crate) task: String,
    /// "forearm, left".
    pub(crate) at: String,
    /// Who has the casualty.
    pub(crate) who: String,
    pub(crate) ladder: Option<Ladder>,
    pub(crate) category: CategoryView,
    pub(crate) start: Moment,
    pub(crate) due: Moment,
    /// From when it is shown, where it is a long one.
    pub(crate) from: Option<Moment>,
    /// Until when, where another says more from then on.
    pub(crate) until: Option<Moment>,
    /// The step in one line, or what the clock is for.
    pub(crate) line: &'static str,
    /// What to mind once it is due, or nothing.
    pub(crate) warning: &'static str,
    /// Why it is due, with the source.
    pub(crate) why: String,
    /// Apparent age, for the choice of the system.
    pub(crate) age: &'static str,
    /// Casualty's words, for the band above forms.
    pub(crate) words: String,
    /// How bad when late: its stored code.
    pub(crate) severity: &'static str,
    /// When it becomes worse, and how bad then.
    pub(crate) worse: Option<(Moment, &'static str)>,
    /// Names this occurrence of the duty.
    pub(crate) alarm: String,
    /// The report that somebody saw that it is overdue.
    pub(crate) ack: String,
    /// Until when it is quiet, and who saw it.
    pub(crate) quiet: Option<(Moment, String)>,
    /// A hold: looking before its time undoes it, so that no answer is the likely one until it is up.
    pub(crate) holds: bool,
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
        let place = || {
            view.as_ref()
                .map(|view| view.place.clone())
                .unwrap_or_default()
        };
        let about = duty
            .wound
            .map_or_else(|| duty.casualty.to_string(), |wound| wound.to_string());
        Self {
            casualty: duty.casualty.to_string(),
            number: duty.number,
            wound: duty
                .wound
                .map(|wound| wound.to_string())
                .unwrap_or_default(),
            task: sort_words(duty.task, casualty).unwrap_or_else(|| task_words(duty.task)),
            at: wound.map_or_else(place, Wound::place),
            who: view
                .as_ref()
                .map(|view| view.helpers.clone())
                .unwrap_or_default(),
            ladder: wound.map(|wound| Ladder::of(&wound.standing, wound.region)),
            category: view.as_ref().map_or_else(
                || CategoryView::of(None, incident.profile()),
                |view| view.category.clone(),
            ),
            start: duty.started_at.into(),
            due: duty.due_at.into(),
            from: duty.shown_from.map(Moment::from),
            until: duty.shown_until.map(Moment::from),
            line: wound.map_or("", Wound::next_line),
            warning: warning(duty.task),
            why: why(duty.task, wound),
            age: view.as_ref().map_or("", |view| view.age),
            words: view.map(|view| view.words).unwrap_or_default(),
            severity: severity_code(duty.severity),
            worse: duty
                .worse
                .map(|(at, severity)| (at.into(), severity_code(severity))),
            alarm: format!("{about} {} {}", duty.task.code(), duty.due_at),
            ack: ack(duty),
            quiet: duty
                .quiet
                .as_ref()
                .map(|quiet| (quiet.until.into(), quiet.by.to_string())),
            holds: duty.task.is_hold(),
        }
    }
}

pub(super) const fn severity_code(severity: Severity) -> &'static str {
    match severity {
        Severity::Critical => "critical",
        Severity::High => "high",
        Severity::Medium => "medium",
        Severity::Low => "low",
    }
}

/// The report that somebody saw that a duty is overdue.
fn ack(duty: &Duty) -> String {
    let about = duty.wound.map_or_else(
        || json!({ "casualty": duty.casualty }),
        |wound| json!({ "wound": wound }),
    );
    let fact = json!({ "kind": "alarm.seen/1", "duty": duty.task.code(), "due_at": duty.due_at });
    json!({ "about": about, "fact": fact }).to_string()
}

/// Somebody to be sorted who was met on the call is told by what they did then.
fn sort_words(task: Task, casualty: Option<&Casualty>) -> Option<String> {
    let (_, call) = casualty?.sorting.call.filter(|_| task == Task::Sort)?;
    Some(if call.life_threat {
        "Not sorted: life in danger".to_owned()
    } else if call.response == CallResponse::Walked {
        "Walked, nobody looked yet".to_owned()
    } else {
        format!("Not sorted: {}", call.response.words())
    })
}

/// What is to be done, in a few words.
pub(crate) fn task_words(task: Task) -> String {
    use ClockKind::{BeginOwnWay, BeginPacking, BeginPressure, BeginTourniquet};
    let (kind, step) = match task {
        Task::Sort => return "Not sorted yet".to_owned(),
        Task::LookAgain(why) => return look_words(why),
        Task::Care(kind, step) => (kind, step),
    };
    let words = match (kind, step) {
        (BeginTourniquet, _) => "Bleeds: tourniquet",
        (BeginPressure, _) => "Bleeds: press on it",
        (BeginPacking, Some(Step::Repack)) => "Bleeds: pack it anew",
        (BeginPacking, Some(Step::WrapDressing)) => "Bleeds: pressure dressing",
        (BeginPacking, Some(Step::HoldByHand)) => "Bleeds: hold it by hand",
        (BeginPacking, _) => "Bleeds: pack it and press",
        (BeginOwnWay, Some(Step::Cover)) => "Cover it",
        (BeginOwnWay, _) => "Press as this place needs",
        (kind, _) => kind.words(),
    };
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// What a clock's kind says once it is due.
fn warning(task: Task) -> &'static str {
    match task {
        Task::Care(kind, _) => kind.warning().map_or("", Warning::text),
        Task::Sort | Task::LookAgain(_) => "",
    }
}

fn why(task: Task, wound: Option<&Wound>) -> String {
    match (task, wound) {
        (Task::Sort, _) => {
            "No category yet. How soon is this board's own choice (see Settings), no published interval."
                .to_owned()
        }
        (Task::LookAgain(why), _) => look_why(why).to_owned(),
        (Task::Care(kind, _), Some(wound)) => {
            format!(
                "{}. {} {}. Time: {}.",
                wound.standing.rule.words(),
                "Source:",
                wound.standing.rule.source(),
                kind.source()
            )
        }
        (Task::Care(kind, _), None) => format!("Source: {}.", kind.source()),
    }
}
