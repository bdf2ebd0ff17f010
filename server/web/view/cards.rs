//! The reference cards: the charts of the systems in use, drawn from the tables that the program runs; the coma
//! scale; what is usual by age; the classes of blood loss.
//!
//! Promises: no second copy of a chart: what is shown is what is run.

use super::category::CategoryView;
use crate::rules::scores::children::{AgeRow, hypotensive_below};
use crate::rules::scores::haemorrhage::{CLASSIC, Card, TENTH_EDITION};
use crate::rules::triage::wording::Profile;
use crate::rules::triage::{Algorithm, Edge, JumpStartVariant, Limit, Systems};

/// Where an answer leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Way {
    pub(crate) answer: &'static str,
    /// The category, where the chart ends.
    pub(crate) category: Option<CategoryView>,
    /// The next step, where it goes on.
    pub(crate) step: &'static str,
}

/// A step of a chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ChartStep {
    pub(crate) id: &'static str,
    pub(crate) question: &'static str,
    pub(crate) help: &'static str,
    /// When a count means yes: "yes: over 30".
    pub(crate) limit: String,
    pub(crate) ways: Vec<Way>,
}

/// One system as a chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Chart {
    pub(crate) name: String,
    pub(crate) steps: Vec<ChartStep>,
    /// Who published it, each once.
    pub(crate) sources: Vec<&'static str>,
}

/// What is usual at one age: words, then pulse awake, pulse asleep, breaths, pressure, low pressure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct AgeLine {
    pub(crate) age: &'static str,
    pub(crate) values: [String; 5],
}

/// Every card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cards {
    pub(crate) charts: Vec<Chart>,
    pub(crate) ages: Vec<AgeLine>,
    pub(crate) losses: [&'static Card; 2],
}

impl Cards {
    pub(crate) fn of(systems: Systems, words: Profile) -> Self {
        let mut in_use = vec![systems.adult];
        if systems.child != systems.adult {
            in_use.push(systems.child);
        }
        if let Algorithm::JumpStart(_) = systems.child {
            in_use.push(Algorithm::JumpStart(JumpStartVariant::NeverWalked));
        }
        Self {
            charts: in_use.into_iter().map(|one| chart(one, words)).collect(),
            ages: AgeRow::ALL.map(age_line).to_vec(),
            losses: [&TENTH_EDITION, &CLASSIC],
        }
    }
}

fn chart(algorithm: Algorithm, words: Profile) -> Chart {
    let table = algorithm.table();
    let way = |answer, edge: Edge| Way {
        answer,
        category: match edge {
            Edge::Category(category) => Some(CategoryView::of(Some(category), words)),
            Edge::Step(_) => None,
        },
        step: match edge {
            Edge::Step(step) => step,
            Edge::Category(_) => "",
        },
    };
    let mut sources: Vec<&'static str> = Vec::new();
    let steps = table
        .steps
        .iter()
        .map(|step| {
            if !sources.contains(&step.source) {
                sources.push(step.source);
            }
            let unknown = step.unknown.map(|edge| way("can't tell", edge));
            ChartStep {
                id: step.id,
                question: step.question,
                help: step.help,
                limit: step
                    .measure
                    .map(|one| limit(one.yes_when))
                    .unwrap_or_default(),
                ways: [way("yes", step.yes), way("no", step.no)]
                    .into_iter()
                    .chain(unknown)
                    .collect(),
            }
        })
        .collect();
    let name = match algorithm {
        Algorithm::JumpStart(JumpStartVariant::NeverWalked) => {
            "JumpSTART, for those who never walked".to_owned()
        }
        other => other.name().to_owned(),
    };
    Chart {
        name,
        steps,
        sources,
    }
}

fn limit(limit: Limit) -> String {
    match limit {
        Limit::Above(most) => format!("yes: over {most}"),
        Limit::Below(least) => format!("yes: under {least}"),
        Limit::AtLeast(least) => format!("yes: {least} or more"),
        Limit::Outside(low, high) => format!("yes: under {low} or over {high}"),
    }
}

fn age_line(row: AgeRow) -> AgeLine {
    let (age, years, newborn) = match row {
        AgeRow::Neonate => ("under 28 days", 0, true),
        AgeRow::Infant => ("1 to 12 months", 0, false),
        AgeRow::Toddler => ("1 and 2 years", 1, false),
        AgeRow::Preschool => ("3 to 5 years", 3, false),
        AgeRow::School => ("6 to 9 years", 6, false),
        AgeRow::Preadolescent => ("10 and 11 years", 10, false),
        AgeRow::Adolescent => ("12 to 15 years", 12, false),
    };
    let normal = row.normal();
    let range = |(low, high): (u16, u16)| format!("{low}–{high}");
    AgeLine {
        age,
        values: [
            range(normal.pulse_awake),
            range(normal.pulse_asleep),
            range(normal.breaths),
            range(normal.systolic),
            format!("under {}", hypotensive_below(years, newborn)),
        ],
    }
}
