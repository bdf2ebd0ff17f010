//! Which reasons hold for a block of a finished plan.
//!
//! Owns the look at what else would have been possible: the block is taken out and every other place is tried, with
//! everybody else where the plan has them.

use super::checker::Checked;
use super::model::Model;
use super::problem::{Casualty, Posture};
use super::state::{Choice, Place, State};
use super::why::{Why, arrival};

/// Why a block goes on this trip; at most three reasons.
pub(super) fn planned(
    model: &Model<'_>,
    state: &State,
    checked: &Checked,
    block: usize,
    trip: usize,
) -> Vec<Why> {
    let problem = model.problem;
    let timed = &checked.trips[trip];
    let Some((van, _)) = state.number_of(block) else {
        return Vec::new();
    };
    let people = people(model, block);
    let mut why = Vec::new();
    if problem
        .pins
        .iter()
        .any(|pin| people.iter().any(|c| c.id == pin.casualty))
    {
        why.push(Why::Pinned);
    }
    let mut without = state.clone();
    without.remove(model, block);
    let mut choices = Vec::new();
    without.choices(model, block, &mut choices, |_, _| true);
    let soonest = soonest(model, &without, &choices, (block, van), timed.arrives);
    why.push(soonest);
    why.extend(destination(
        model,
        &without,
        block,
        van,
        timed.trip.destination,
    ));
    why.extend(circumstances(model, state, checked, block, trip));
    why.truncate(3);
    why
}

/// Waiting for somebody, attendants, last light.
fn circumstances(
    model: &Model<'_>,
    state: &State,
    checked: &Checked,
    block: usize,
    trip: usize,
) -> Vec<Why> {
    let problem = model.problem;
    let timed = &checked.trips[trip];
    let who = &model.blocks[block];
    let Some((van, number)) = state.number_of(block) else {
        return Vec::new();
    };
    let mut why = Vec::new();
    let latest = timed
        .trip
        .casualties
        .iter()
        .filter_map(|id| problem.casualty(*id))
        .filter(|c| c.ready > timed.starts.max(0))
        .max_by_key(|c| c.ready);
    if let Some(latest) = latest {
        why.push(Why::WaitsFor(latest.id, latest.ready));
    }
    let no_attendant = who.escort > 0
        && number > 0
        && state.rides[van][..number].iter().any(|ride| {
            ride.escort + who.escort > model.vans[van].attendants
                && model.vans[van]
                    .layouts
                    .iter()
                    .any(|(l, s)| ride.lying + who.lying <= *l && ride.sitting + who.sitting <= *s)
        });
    if no_attendant {
        why.push(Why::Attendant);
    }
    if let Some(last) = problem.transports[van].last_departure {
        why.push(Why::LastLight(last));
    }
    why
}

/// Why there and not nearer.
fn destination(
    model: &Model<'_>,
    without: &State,
    block: usize,
    van: usize,
    to: super::problem::DestinationId,
) -> Option<Why> {
    let problem = model.problem;
    let transport = &problem.transports[van];
    let minutes = transport.minutes_to(to)?;
    let who = &model.blocks[block];
    let people = people(model, block);
    let mut nearer: Vec<(i32, usize)> = problem
        .destinations
        .iter()
        .enumerate()
        .filter_map(|(d, place)| Some((transport.minutes_to(place.id)?, d)))
        .filter(|(way, _)| *way < minutes)
        .collect();
    nearer.sort_unstable();
    for (_, d) in nearer {
        let place = &problem.destinations[d];
        let lacking = people
            .iter()
            .flat_map(|c| &c.needs)
            .find(|need| !place.abilities.contains(need));
        if let Some(need) = lacking {
            return Some(Why::Capability(*need));
        }
        if who
            .count
            .iter()
            .zip(&without.beds[d])
            .any(|(n, beds)| n > beds)
        {
            return Some(Why::BedFull(place.id));
        }
    }
    None
}

/// What a block needs and what is here.
struct Chances<'a, 'p> {
    model: &'a Model<'p>,
    block: usize,
    people: Vec<&'p Casualty>,
    /// Destinations that can do what is needed.
    will_do: Vec<usize>,
    /// Transports that could take them.
    can_take: Vec<usize>,
}

/// Why a block is on no trip.
pub(super) fn not_planned(model: &Model<'_>, state: &State, block: usize) -> Vec<Why> {
    let chances = Chances::new(model, block);
    vec![
        chances
            .nobody_can()
            .or_else(|| chances.no_way(state))
            .or_else(|| chances.no_time(state))
            .unwrap_or(Why::CostsOthers),
    ]
}

impl<'a, 'p> Chances<'a, 'p> {
    fn new(model: &'a Model<'p>, block: usize) -> Self {
        let problem = model.problem;
        let who = &model.blocks[block];
        let people = people(model, block);
        let will_do = (0..problem.destinations.len())
            .filter(|d| {
                let abilities = &problem.destinations[*d].abilities;
                let mut needs = people.iter().flat_map(|c| &c.needs);
                needs.all(|need| abilities.contains(need))
            })
            .collect();
        let can_take = (0..problem.transports.len())
            .filter(|v| {
                let (van, transport) = (&model.vans[*v], &problem.transports[*v]);
                let equipped = people
                    .iter()
                    .flat_map(|c| &c.aboard)
                    .all(|need| transport.equipment.contains(need));
                let walks =
                    !transport.on_foot || people.iter().all(|c| c.posture != Posture::Sitting);
                van.trips > 0 && van.fits(who.lying, who.sitting, who.escort) && equipped && walks
            })
            .collect();
        Self {
            model,
            block,
            people,
            will_do,
            can_take,
        }
    }

    /// Something is needed that nobody here has.
    fn nobody_can(&self) -> Option<Why> {
        let problem = self.model.problem;
        let lacking = self.people.iter().flat_map(|c| &c.needs).find(|need| {
            !problem
                .destinations
                .iter()
                .any(|d| d.abilities.contains(need))
        });
        if let Some(need) = lacking.filter(|_| !problem.destinations.is_empty()) {
            return Some(Why::NobodyCan(*need));
        }
        let lacking = self.people.iter().flat_map(|c| &c.aboard).find(|need| {
            !problem
                .transports
                .iter()
                .any(|t| t.equipment.contains(need))
        });
        lacking
            .filter(|_| !problem.transports.is_empty())
            .map(|need| Why::NotEquipped(*need))
    }

    /// No transport, no way, no place, or not as it was fixed.
    fn no_way(&self, state: &State) -> Option<Why> {
        let problem = self.model.problem;
        if self.can_take.is_empty() {
            return Some(Why::NoTransport);
        }
        let reachable = self
            .can_take
            .iter()
            .any(|v| self.will_do.iter().any(|d| self.model.ways[*v][*d]));
        if !reachable {
            return Some(Why::NoRoute);
        }
        if self.with_bed(state).is_empty() {
            return Some(Why::NoBed);
        }
        let pinned = problem
            .pins
            .iter()
            .any(|pin| self.people.iter().any(|c| c.id == pin.casualty));
        let routes = &self.model.blocks[self.block].routes;
        (pinned && routes.iter().all(Vec::is_empty)).then_some(Why::PinImpossible)
    }

    fn with_bed(&self, state: &State) -> Vec<usize> {
        let count = &self.model.blocks[self.block].count;
        let free = |d: &&usize| {
            let beds = state.beds[**d].iter();
            count.iter().zip(beds).all(|(n, beds)| n <= beds)
        };
        self.will_do.iter().filter(free).copied().collect()
    }

    /// Alone in the world: does time itself forbid it?
    fn no_time(&self, state: &State) -> Option<Why> {
        let problem = self.model.problem;
        let ready = self.model.blocks[self.block].ready;
        let mut ways = Vec::new();
        for v in &self.can_take {
            for d in self.with_bed(state) {
                let minutes = problem.transports[*v].minutes_to(problem.destinations[d].id);
                if let Some(minutes) = minutes {
                    let van = &self.model.vans[*v];
                    let departs = van.start.max(ready) + van.load;
                    ways.push((departs <= van.last_departure, departs + minutes));
                }
            }
        }
        if ways.is_empty() {
            return Some(Why::NoRoute);
        }
        if ways.iter().all(|(in_light, _)| !in_light) {
            return Some(Why::AfterLastLight);
        }
        let in_time =
            |(in_light, arrives): &(bool, i32)| *in_light && *arrives <= self.model.horizon;
        if ways.iter().any(in_time) {
            return None;
        }
        Some(if ready > 0 {
            Why::NotReady(ready)
        } else {
            Why::NotInTime
        })
    }
}

fn people<'p>(model: &Model<'p>, block: usize) -> Vec<&'p Casualty> {
    let members = &model.blocks[block].members;
    members
        .iter()
        .map(|member| &model.problem.casualties[member.casualty])
        .collect()
}

/// Why this transport and this time.
fn soonest(
    model: &Model<'_>,
    without: &State,
    choices: &[Choice],
    slot: (usize, usize),
    arrives: i32,
) -> Why {
    let (block, van) = slot;
    // Elsewhere without making anybody else worse.
    let others = without.total + model.blocks[block].out;
    let placed = || choices.iter().filter(|c| c.place != Place::Out);
    let elsewhere = placed()
        .filter(|c| c.van != van && c.total < others)
        .filter_map(|c| Some((arrival(model, without, block, c.van, c.place)?, c.van)))
        .min();
    let sooner = placed()
        .filter_map(|c| arrival(model, without, block, c.van, c.place))
        .any(|at| at < arrives);
    let Some((next, other)) = elsewhere else {
        return Why::OnlyPlace;
    };
    let deadline = people(model, block).iter().filter_map(|c| c.deadline).min();
    match deadline {
        Some(by) if arrives <= by && next > by => Why::Deadline(by),
        _ if next > arrives => {
            Why::Earliest(Some((next - arrives, model.problem.transports[other].id)))
        }
        _ if sooner => Why::AfterOthers,
        _ => Why::Earliest(None),
    }
}
