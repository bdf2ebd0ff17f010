//! From a sheet of answers, possibly with gaps, to a category, or to what is still possible.
//!
//! Owns the one rule for missing answers, used for every algorithm: try every completion of the gaps; if all
//! end in the same category it is final, else the most urgent one stands provisionally. *Common practice*: no
//! published primary triage algorithm says what to do with a missing answer.
//! Promises: dead, not breathing and expectant never come from gaps (expectant stands provisionally only
//! against dead); a provisional category is never less urgent than the final one; another answer never
//! widens what is possible, except where a better sign corrects the one that stood in for it.

use std::collections::BTreeSet;

use serde::Serialize;

use super::answer::Answers;
use super::category::Category;
use super::table::{Edge, Step, StepId, Table};

/// What the answers so far amount to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum Outcome {
    /// Nothing that says anything was recorded. Not a "provisional immediate".
    Untriaged,
    /// More than one category is possible; the most urgent one is shown, marked incomplete.
    Provisional {
        /// The most urgent category possible.
        category: Category,
        /// The first question still worth asking; `None` when all that is left was tried ("can't tell").
        open_step: Option<StepId>,
    },
    /// Whatever the gaps hide, this is the category.
    Final {
        /// The category.
        category: Category,
        /// The step that decided it: where several remain possible, the last of them.
        step: StepId,
    },
}

/// The outcome together with everything still possible and the next question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Assessment {
    /// What the answers so far amount to.
    #[serde(flatten)]
    pub outcome: Outcome,
    /// The categories that some completion of the answers ends in, most urgent first; never empty.
    pub possible: BTreeSet<Category>,
    /// The question to ask next; `None` once decided or when all that is left was tried.
    pub next: Option<StepId>,
}

impl Assessment {
    /// The suggested category, provisional or final.
    pub const fn category(&self) -> Option<Category> {
        match self.outcome {
            Outcome::Untriaged => None,
            Outcome::Provisional { category, .. } | Outcome::Final { category, .. } => {
                Some(category)
            }
        }
    }

    /// Whether the category is decided.
    pub const fn is_final(&self) -> bool {
        matches!(self.outcome, Outcome::Final { .. })
    }
}

/// Runs `answers` through `table`.
pub fn assess(table: &Table, answers: &dyn Answers) -> Assessment {
    let reach = Reach::of(table, answers);
    let recorded = table.steps.iter().any(|step| {
        step.answered_by(answers)
            .is_some_and(|answer| answer.known().is_some())
    });
    let outcome = match (recorded, reach.decided()) {
        (false, _) => Outcome::Untriaged,
        (true, Some((category, step))) => Outcome::Final { category, step },
        (true, None) => Outcome::Provisional {
            category: *reach
                .possible
                .first()
                .expect("OK because every walk ends in a category"),
            open_step: reach.open_step,
        },
    };
    let next = if matches!(outcome, Outcome::Final { .. }) {
        None
    } else {
        reach.open_step
    };
    Assessment {
        outcome,
        possible: reach.possible,
        next,
    }
}

/// Everything the answers can still lead to.
struct Reach {
    /// Steps some completion arrives at, in any order.
    steps: BTreeSet<StepId>,
    possible: BTreeSet<Category>,
    /// The last step, in table order, that ended in a category.
    last_to_end: Option<StepId>,
    open_step: Option<StepId>,
}

impl Reach {
    fn of(table: &Table, answers: &dyn Answers) -> Self {
        let mut reach = Self {
            steps: table
                .steps
                .first()
                .map(|step| step.id)
                .into_iter()
                .collect(),
            possible: BTreeSet::new(),
            last_to_end: None,
            open_step: None,
        };
        // Edges only lead forward, so one pass in table order sees every step after all that lead to it.
        for step in table.steps {
            if reach.steps.contains(step.id) {
                reach.pass(table, step, answers);
            }
        }
        reach
    }

    fn pass(&mut self, table: &Table, step: &Step, answers: &dyn Answers) {
        let answer = step.answered_by(answers);
        match (answer.and_then(super::Answer::known), step.unknown) {
            (Some(true), _) => self.follow(step, step.yes),
            (Some(false), _) => self.follow(step, step.no),
            (None, Some(edge)) => self.follow(step, edge),
            (None, None) => {
                self.follow(step, step.yes);
                self.follow(step, step.no);
            }
        }
        if answer.is_none() && self.open_step.is_none() && !stood_in_for(table, step, answers) {
            self.open_step = Some(step.id);
        }
    }

    fn follow(&mut self, step: &Step, edge: Edge) {
        match edge {
            Edge::Step(next) => {
                self.steps.insert(next);
            }
            Edge::Category(category) => {
                self.possible.insert(category);
                self.last_to_end = Some(step.id);
            }
        }
    }

    fn decided(&self) -> Option<(Category, StepId)> {
        let only = (self.possible.len() == 1)
            .then(|| self.possible.first().copied())
            .flatten()?;
        Some((only, self.last_to_end?))
    }
}

/// Whether the sign that stands in for this one is already known, so that this one need not be asked.
fn stood_in_for(table: &Table, step: &Step, answers: &dyn Answers) -> bool {
    let Some(Edge::Step(stand_in)) = step.unknown else {
        return false;
    };
    table
        .step(stand_in)
        .and_then(|stand_in| stand_in.answered_by(answers))
        .is_some_and(|answer| answer.known().is_some())
}
