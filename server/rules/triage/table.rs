//! A triage algorithm as data: an ordered table of yes/no questions.
//!
//! Owns the shape of the table and the JSON the phone's script walks. Promises: the evaluation and the phone
//! run on the very same table; edges only lead forward, so every walk ends.
//!
//! The JSON is `{"algorithm","variant","first","steps":{"S1":{"id","input","question","help","yes","no",
//! "unknown"?,"measure"?,"choice"?,"source"}, …}}`, an edge being `{"step":"S2"}` or `{"category":"minor"}`.
//!
//! How to walk it: take the number named by `measure` if there is one, else the level named by `choice` if it
//! is in one of its lists, else the answer to `input`. Yes and no follow their edges. With neither (not answered, or "can't tell") follow `unknown` where the step has one,
//! and otherwise *both* branches. What the walk can reach is the set of possible categories.
//!
//! `unknown` says "when this sign cannot be had, that other sign stands in for it", as capillary refill does
//! for a radial pulse that nobody could feel. It is not a guess: the stand-in question leads to the same
//! places as the first one, so with no answer to either the walk reaches the same set as both branches.

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::answer::{Answer, Answers, Choice, Input, Limit, Measure};
use super::category::Category;
use crate::rules::scores::Consciousness;

/// The name of a step within its table, as printed in reports ("S3").
pub type StepId = &'static str;

/// Where an answer leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// On to another question further down the table.
    Step(StepId),
    /// The end: this category.
    Category(Category),
}

/// One question of an algorithm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    /// Its name.
    pub id: StepId,
    /// Which answer it reads.
    pub input: Input,
    /// The question, in plain words.
    pub question: &'static str,
    /// One line on how to find out, or what to do on the way.
    pub help: &'static str,
    /// A number that decides the question when it was recorded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measure>,
    /// A level of consciousness that decides the question when it was recorded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub choice: Option<Choice>,
    /// Where a yes leads.
    pub yes: Edge,
    /// Where a no leads.
    pub no: Edge,
    /// Where a missing answer or a "can't tell" leads, if not both ways.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unknown: Option<Edge>,
    /// Who published it.
    pub source: &'static str,
}

impl Step {
    /// Lets a number decide the question.
    #[must_use]
    pub const fn measured(mut self, input: Input, yes_when: Limit) -> Self {
        self.measure = Some(Measure { input, yes_when });
        self
    }

    /// Lets a recorded level of consciousness decide the question.
    #[must_use]
    pub const fn chosen(
        mut self,
        yes: &'static [Consciousness],
        no: &'static [Consciousness],
    ) -> Self {
        self.choice = Some(Choice {
            input: Input::Consciousness,
            yes,
            no,
        });
        self
    }

    /// Names the question that stands in for this one when it has no answer.
    #[must_use]
    pub const fn stood_in_for_by(mut self, step: StepId) -> Self {
        self.unknown = Some(Edge::Step(step));
        self
    }

    /// What is known about this step's question: a number or a level decides before a yes or no does.
    pub fn answered_by(&self, answers: &dyn Answers) -> Option<Answer> {
        let by_number = || {
            let measure = self.measure?;
            let value = answers.number(measure.input)?;
            Some(Answer::from(measure.yes_when.met_by(value)))
        };
        let by_level = || self.choice?.decides(answers.consciousness()?);
        by_number()
            .or_else(by_level)
            .or_else(|| answers.answer(self.input))
    }
}

/// A question before it is said where its answers lead.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// The name of its step.
    pub id: StepId,
    /// Which answer it reads.
    pub input: Input,
    /// In plain words, at most twelve.
    pub question: &'static str,
    /// One line on how to find out, or what to do on the way.
    pub help: &'static str,
    /// Who published it.
    pub source: &'static str,
}

impl Question {
    /// The step with this question; a missing answer leads both ways.
    pub const fn leads(self, yes: Edge, no: Edge) -> Step {
        Step {
            id: self.id,
            input: self.input,
            question: self.question,
            help: self.help,
            measure: None,
            choice: None,
            yes,
            no,
            unknown: None,
            source: self.source,
        }
    }
}

/// A whole algorithm in one of its variants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Table {
    /// The stored code of the algorithm, e.g. `start`.
    pub algorithm: &'static str,
    /// The stored code of the variant, e.g. `radial_then_crt`.
    pub variant: &'static str,
    /// The questions; the first one comes first, and edges only lead forward.
    pub steps: &'static [Step],
}

impl Table {
    /// The step of that name.
    pub fn step(&self, id: &str) -> Option<&'static Step> {
        self.steps.iter().find(|step| step.id == id)
    }
}

impl Serialize for Table {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(4))?;
        map.serialize_entry("algorithm", self.algorithm)?;
        map.serialize_entry("variant", self.variant)?;
        map.serialize_entry("first", self.steps.first().map_or("", |step| step.id))?;
        map.serialize_entry("steps", &StepsById(self.steps))?;
        map.end()
    }
}

/// The steps as a JSON object, in table order.
struct StepsById(&'static [Step]);

impl Serialize for StepsById {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|step| (step.id, step)))
    }
}
