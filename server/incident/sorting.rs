//! How a casualty was sorted, from their entries: the call, every decision with its answers, an assessment that
//! somebody began and nobody ended, and what was done on the way.
//!
//! Owns the reading of both shapes of a category. Promises: pure; nothing that was answered is left out; an
//! answer sheet is worked out again here and never taken from the phone.

use jiff::Timestamp;

use super::entry::Entry;
use super::fact::{Assessment, AssessmentAnswered, CallAnswered, CasualtyTold, Fact};
use super::ids::{AssessmentId, DeviceId, Seq};
use super::text::{Note, Words};
use super::told::told;
use crate::rules::triage::salt_sort::LifesavingIntervention;
use crate::rules::triage::{Algorithm, Category, Filled, Sheet, StartVariant};

/// Everything about how a casualty was sorted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sorting {
    /// What they did when everybody was called, with its time.
    pub call: Option<(Timestamp, CallAnswered)>,
    /// Every category ever assigned and not struck, oldest first.
    pub decisions: Vec<Decision>,
    /// An assessment begun after the last decision.
    pub begun: Option<Begun>,
    /// Lifesaving interventions, oldest first, with who did them.
    pub lifesaving: Vec<(Timestamp, LifesavingIntervention, Words)>,
    /// Age and health, as told.
    pub told: CasualtyTold,
}

/// A category as somebody assigned it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// When.
    pub at: Timestamp,
    /// At which position.
    pub seq: Seq,
    /// Who.
    pub by: Words,
    /// On which device.
    pub device: DeviceId,
    /// What.
    pub category: Category,
    /// The answers that led to it.
    pub sheet: Option<Sheet>,
    /// Why other than suggested, or without a system.
    pub reason: Option<Note>,
    /// Of expectant: what is short.
    pub short_of: Option<Note>,
    assessment: Option<AssessmentId>,
}

/// An assessment that is not finished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Begun {
    /// When the last answer was given.
    pub at: Timestamp,
    /// Who asks.
    pub by: Words,
    /// The answers so far.
    pub sheet: Sheet,
}

impl Sorting {
    /// From a casualty's unstruck entries in the order they happened.
    pub(super) fn of(ordered: &[&Entry]) -> Self {
        let mut sorting = Self {
            told: told(ordered),
            ..Self::default()
        };
        for entry in ordered {
            match &entry.fact {
                Fact::CallAnswered(call) => sorting.call = Some((entry.happened_at, *call)),
                Fact::LifesavingDone(done) => {
                    let done = (entry.happened_at, done.intervention, entry.by.clone());
                    sorting.lifesaving.push(done);
                }
                fact => sorting.decisions.extend(decision(entry, fact)),
            }
        }
        sorting.begun = begun(ordered, &sorting.decisions);
        sorting
    }

    /// The decision that an answer at this position stands for.
    pub fn decision_at(&self, seq: Seq) -> Option<&Decision> {
        self.decisions.iter().find(|decision| decision.seq == seq)
    }
}

impl Decision {
    /// Whether questions were left open and the suggestion was taken as it stood then.
    pub fn is_provisional(&self) -> bool {
        self.sheet.as_ref().is_some_and(|sheet| {
            let assessment = sheet.assess();
            !assessment.is_final() && assessment.category() == Some(self.category)
        })
    }
}

fn decision(entry: &Entry, fact: &Fact) -> Option<Decision> {
    let (sheet, reason, short_of, assessment) = match fact {
        Fact::CategoryAssigned(assigned) => (
            assigned.assessment.as_ref().map(sheet_of),
            assigned.reason.clone(),
            None,
            None,
        ),
        Fact::CategoryDecided(decided) => (
            decided.sheet.clone(),
            decided.reason.clone(),
            decided.short_of.clone(),
            decided.assessment,
        ),
        _ => return None,
    };
    Some(Decision {
        at: entry.happened_at,
        seq: entry.seq,
        by: entry.by.clone(),
        device: entry.device,
        category: fact.category()?,
        sheet,
        reason,
        short_of,
        assessment,
    })
}

/// The first shape knew START alone and named its variant in any words.
fn sheet_of(assessment: &Assessment) -> Sheet {
    let Assessment::Start {
        variant,
        answers,
        suggested,
        step,
        complete,
    } = assessment;
    let variant = match Algorithm::from_codes("start", variant) {
        Some(Algorithm::Start(variant)) => variant,
        _ => StartVariant::default(),
    };
    Sheet::Start(Filled {
        variant,
        answers: *answers,
        suggested: *suggested,
        step: step.clone(),
        complete: *complete,
    })
}

/// The assessment that was answered last, unless a decision came of it or came later.
fn begun(ordered: &[&Entry], decisions: &[Decision]) -> Option<Begun> {
    let answers = || {
        ordered.iter().filter_map(|entry| match &entry.fact {
            Fact::AssessmentAnswered(answered) => Some((*entry, answered)),
            _ => None,
        })
    };
    let (last, latest) = answers().next_back()?;
    let ended = |decision: &Decision| {
        decision.assessment == Some(latest.assessment)
            || (decision.at, decision.seq) > (last.happened_at, last.seq)
    };
    if decisions.iter().any(ended) {
        return None;
    }
    let mut sheet = Sheet::new(latest.system);
    for (_, answered) in answers().filter(|(_, one)| one.assessment == latest.assessment) {
        write(&mut sheet, answered);
    }
    Some(Begun {
        at: last.happened_at,
        by: last.by.clone(),
        sheet,
    })
}

/// An answer that the system has no place for stays in the log and moves nothing here.
fn write(sheet: &mut Sheet, answered: &AssessmentAnswered) {
    if answered.answer.is_some() {
        sheet.record(answered.input, answered.answer);
    }
    if answered.number.is_some() {
        sheet.record_number(answered.input, answered.number);
    }
    if answered.level.is_some() {
        sheet.record_level(answered.level);
    }
}
