//! Who leaves next, on what, to where: a plan, how good it is known to be, and why.
//!
//! Owns the order of work: layer by layer (the most urgent alone first), in each layer insertion, local search and
//! a budgeted proof. Planning all at once makes the most urgent late; layers do not. Promises: no clock and no
//! chance decide, the same problem gives the same plan; every plan has passed the checker; it only proposes.

use super::checker::{Checked, TimedTrip, check};
use super::local;
use super::model::Model;
use super::problem::{CasualtyId, Problem, Trip};
use super::proof::{self, Levels, Verdict};
use super::shake;
use super::state::State;
use super::vector::Vector;
use super::why::{self, Line};

/// How hard to look. Counts, never time: a slow machine finds the same plan later.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Evaluations spent on the proof of each layer.
    pub proof: u64,
    /// Rounds of taking a few people out and putting them back, for layers that were not proven.
    pub shakes: u32,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            proof: 50_000,
            shakes: 60,
        }
    }
}

/// A plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The trips with their times, by transport and in order; trips that have left are not among them.
    pub checked: Checked,
    /// How many levels of the vector, from the first on, no plan can better ([`Vector::LEVELS`] is all).
    pub proven: usize,
    /// One line for every casualty of the problem, in the same order.
    pub lines: Vec<(CasualtyId, Line)>,
    /// Evaluations spent.
    pub evaluations: u64,
}

impl Plan {
    /// Nobody of this priority (0 first to 3 last) or of one above can be served better.
    pub const fn is_proven(&self, class: usize) -> bool {
        self.proven >= 3 * (class + 1)
    }

    /// The line above the plan.
    pub fn standing(&self) -> String {
        let words = ["first", "second", "third", "last"];
        match words
            .iter()
            .enumerate()
            .rev()
            .find(|(class, _)| self.is_proven(*class))
        {
            _ if self.proven >= Vector::LEVELS => "proven best".to_owned(),
            Some((0, _)) => "first priority proven best, the rest best found".to_owned(),
            Some((3, _)) => "proven best for everybody".to_owned(),
            Some((class, _)) => format!(
                "proven best down to {} priority, the rest best found",
                words[class]
            ),
            None => "best found".to_owned(),
        }
    }
}

/// Plans with the usual effort.
pub fn plan(problem: &Problem) -> Plan {
    plan_with(problem, Effort::default())
}

/// Plans.
pub fn plan_with(problem: &Problem, effort: Effort) -> Plan {
    let model = Model::new(problem);
    let mut evaluations = 0;
    let mut state = State::new(&model);
    let mut proven = 0;
    let classes: Vec<usize> = (0..4)
        .filter(|class| model.blocks[..model.free].iter().any(|b| b.class == *class))
        .collect();
    if classes.is_empty() {
        proven = Vector::LEVELS;
    }
    for (at, class) in classes.iter().enumerate() {
        let layer: Vec<usize> = (0..model.free)
            .filter(|b| model.blocks[*b].class <= *class)
            .collect();
        let new: Vec<usize> = layer
            .iter()
            .copied()
            .filter(|b| model.blocks[*b].class == *class)
            .collect();
        evaluations += local::insert_all(&model, &mut state, &new);
        if model.calm {
            let mut shown = State::new(&model);
            evaluations += shake::restore(&model, &mut shown, &layer);
            if shown.total <= state.total {
                state = shown;
            }
        }
        evaluations += local::improve(&model, &mut state, &layer);
        let levels = classes
            .get(at + 1)
            .map_or(Levels::All, |next| Levels::Classes(*next));
        let verdict = proof::prove(&model, &state, &layer, levels, effort.proof);
        evaluations += verdict.evaluations;
        let Verdict {
            best,
            bound,
            proven: mut here,
            ..
        } = verdict;
        if levels.of(best.total) < levels.of(state.total) {
            state = best;
            evaluations += local::improve(&model, &mut state, &layer);
        }
        if here < levels.count() {
            evaluations += shake::shake(&model, &mut state, &layer, effort.shakes);
            evaluations += local::improve(&model, &mut state, &layer);
            here = levels.proven(bound, state.total);
        }
        proven = proven.max(here);
    }
    finish(&model, &state, proven, evaluations)
}

/// Has the plan checked and says why. A plan that fails its check is no plan: then only what is being loaded stands.
fn finish(model: &Model<'_>, state: &State, proven: usize, evaluations: u64) -> Plan {
    let problem = model.problem;
    let trips = &trips(model, state);
    match check(problem, trips) {
        Ok(checked) => Plan {
            lines: why::lines(model, state, &checked),
            checked,
            proven,
            evaluations,
        },
        Err(faults) => {
            debug_assert!(false, "the planner made an impossible plan: {faults:?}");
            Plan {
                lines: problem
                    .casualties
                    .iter()
                    .map(|c| (c.id, Line::default()))
                    .collect(),
                checked: being_loaded(problem),
                proven: 0,
                evaluations,
            }
        }
    }
}

/// What is being loaded, as people said it: it stands whatever the plan.
fn being_loaded(problem: &Problem) -> Checked {
    let trips = problem.loading.iter().map(|loading| TimedTrip {
        trip: Trip {
            transport: loading.transport,
            destination: loading.destination,
            casualties: loading.aboard.clone(),
        },
        starts: 0,
        departs: loading.departs,
        arrives: loading.departs.saturating_add(loading.travel),
    });
    Checked {
        trips: trips.collect(),
        vector: Vector::default(),
    }
}

fn trips(model: &Model<'_>, state: &State) -> Vec<Trip> {
    let problem = model.problem;
    let mut trips = Vec::new();
    for (van, rides) in state.rides.iter().enumerate() {
        for ride in rides {
            let mut members: Vec<usize> = ride
                .blocks
                .iter()
                .flat_map(|block| &model.blocks[*block].members)
                .map(|member| member.casualty)
                .collect();
            members.sort_unstable();
            trips.push(Trip {
                transport: problem.transports[van].id,
                destination: problem.destinations[ride.destination].id,
                casualties: members
                    .iter()
                    .map(|at| problem.casualties[*at].id)
                    .collect(),
            });
        }
    }
    trips
}
