//! How a casualty was sorted, as drawn: what was decided, by which step of which system, and what to mind.

use serde_json::json;

use super::category::CategoryView;
use super::time::Moment;
use crate::incident::{Casualty, Decision, Incident};
use crate::rules::triage::notes::notes;
use crate::rules::triage::{Answer, Input, Outcome, Sheet, Step};

/// A decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DecisionView {
    pub(crate) category: CategoryView,
    pub(crate) at: Moment,
    pub(crate) by: String,
    /// "START, S4: Pulse at the wrist? no".
    pub(crate) decided: String,
    /// Where the decision was another one: what was suggested.
    pub(crate) instead_of: String,
    pub(crate) reason: String,
    pub(crate) short_of: String,
    /// Each question with its answer, in the order of the table.
    pub(crate) answers: Vec<String>,
    /// Who published the deciding step.
    pub(crate) source: &'static str,
    /// What to mind, with who says so.
    pub(crate) notes: Vec<(&'static str, &'static str)>,
    /// Of several that stand: the report that this one holds.
    pub(crate) settle: String,
}

/// An assessment that nobody ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct BegunView {
    pub(crate) at: Moment,
    pub(crate) by: String,
    pub(crate) system: &'static str,
    pub(crate) possible: String,
    pub(crate) next: &'static str,
    pub(crate) answers: Vec<String>,
}

impl DecisionView {
    pub(crate) fn of(decision: &Decision, casualty: &Casualty, incident: &Incident) -> Self {
        let words = incident.profile();
        let text = |note: Option<&crate::incident::Note>| {
            note.map(ToString::to_string).unwrap_or_default()
        };
        let sheet = decision.sheet.as_ref();
        let deciding = sheet.and_then(deciding_step);
        let suggested = sheet.and_then(|sheet| sheet.assess().category());
        let mut fact = json!({ "kind": "category.assigned/2", "category": decision.category,
            "reason": format!("{} was right", decision.by) });
        if let Some(short_of) = &decision.short_of {
            fact["short_of"] = json!(short_of);
        }
        Self {
            category: CategoryView::of(Some(decision.category), words),
            at: decision.at.into(),
            by: decision.by.to_string(),
            decided: sheet.map(decided_words).unwrap_or_default(),
            instead_of: suggested
                .filter(|suggested| *suggested != decision.category)
                .map(|suggested| words.shown(suggested))
                .unwrap_or_default(),
            reason: text(decision.reason.as_ref()),
            short_of: text(decision.short_of.as_ref()),
            answers: sheet.map(answer_lines).unwrap_or_default(),
            source: deciding.map_or("", |step| step.source),
            notes: sheet
                .map(notes)
                .unwrap_or_default()
                .into_iter()
                .map(|note| (note.words(), note.source()))
                .collect(),
            settle: json!({ "about": { "casualty": casualty.id }, "fact": fact }).to_string(),
        }
    }
}

impl BegunView {
    pub(crate) fn of(casualty: &Casualty, incident: &Incident) -> Option<Self> {
        let begun = casualty.sorting.begun.as_ref()?;
        let possible = begun.sheet.assess().possible;
        let words = incident.profile();
        let possible: Vec<String> = possible.into_iter().map(|one| words.shown(one)).collect();
        Some(Self {
            at: begun.at.into(),
            by: begun.by.to_string(),
            system: begun.sheet.algorithm().name(),
            possible: possible.join(" or "),
            next: begun.sheet.next_step().map_or("", |step| step.question),
            answers: answer_lines(&begun.sheet),
        })
    }
}

fn deciding_step(sheet: &Sheet) -> Option<&'static Step> {
    match sheet.assess().outcome {
        Outcome::Final { step, .. } => sheet.algorithm().table().step(step),
        _ => None,
    }
}

fn decided_words(sheet: &Sheet) -> String {
    let name = sheet.algorithm().name();
    match deciding_step(sheet) {
        Some(step) => format!("{name}, {}: {}", step.id, line(step, sheet)),
        None => format!("{name}, not everything was answered"),
    }
}

fn answer_lines(sheet: &Sheet) -> Vec<String> {
    let steps = sheet.algorithm().table().steps.iter();
    steps
        .filter(|step| step.answered_by(sheet.answers()).is_some())
        .map(|step| format!("{} {}", step.id, line(step, sheet)))
        .collect()
}

/// A question with its answer, and with the number where one decided it.
fn line(step: &Step, sheet: &Sheet) -> String {
    let number = step.measure.and_then(|measure| {
        let value = sheet.answers().number(measure.input)?;
        Some(match measure.input {
            Input::RefillTenths => format!(" ({}.{} s)", value / 10, value % 10),
            Input::AgeYears => format!(" ({value} years)"),
            _ => format!(" ({value} a minute)"),
        })
    });
    let said = match step.answered_by(sheet.answers()) {
        Some(Answer::Yes) => "yes",
        Some(Answer::No) => "no",
        Some(Answer::CannotTell) => "can't tell",
        None => "either way",
    };
    format!("{} {said}{}", step.question, number.unwrap_or_default())
}
