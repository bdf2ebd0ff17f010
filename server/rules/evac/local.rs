//! Making a plan better step by step.
//!
//! Owns insertion and the neighbourhoods: move a block, swap two blocks, change a trip's destination, exchange two
//! trips. Promises: accepts only what is strictly
//! smaller, in a fixed order, so that the same problem always gives the same plan.

use super::model::Model;
use super::state::{Choice, State};

/// Rounds of improvement before it is left at that.
const ROUNDS: usize = 8;

/// Puts each block at its best place, in order.
pub(super) fn insert_all(model: &Model<'_>, state: &mut State, blocks: &[usize]) -> u64 {
    let mut choices = Vec::new();
    let mut evaluations = 0;
    for block in blocks {
        evaluations += insert(model, state, *block, &mut choices);
    }
    evaluations
}

/// Puts a block that counts nowhere yet at its best place.
fn insert(model: &Model<'_>, state: &mut State, block: usize, choices: &mut Vec<Choice>) -> u64 {
    let evaluations = state.choices(model, block, choices, |_, _| true);
    let mut best: Option<Choice> = None;
    for choice in choices.iter() {
        if best.is_none_or(|best| choice.total < best.total) {
            best = Some(*choice);
        }
    }
    if let Some(best) = best {
        state.place(model, block, best);
    }
    evaluations
}

/// Improves a plan until nothing changes. `blocks` are those that count.
pub(super) fn improve(model: &Model<'_>, state: &mut State, blocks: &[usize]) -> u64 {
    let mut evaluations = 0;
    for _ in 0..ROUNDS {
        let before = state.total;
        evaluations += moves(model, state, blocks);
        evaluations += swaps(model, state, blocks);
        evaluations += destinations(model, state);
        evaluations += exchanges(model, state);
        if state.total == before {
            break;
        }
    }
    evaluations
}

fn moves(model: &Model<'_>, state: &mut State, blocks: &[usize]) -> u64 {
    let mut choices = Vec::new();
    let mut evaluations = 0;
    for block in blocks {
        let total = state.total;
        let before =
            state.van_of[*block].map(|van| (van, state.rides[van].clone(), state.scores[van]));
        let beds = before.as_ref().map(|_| state.beds.clone());
        state.remove(model, *block);
        evaluations += state.choices(model, *block, &mut choices, |_, _| true);
        let better = choices
            .iter()
            .filter(|choice| choice.total < total)
            .min_by_key(|choice| choice.total);
        if let Some(choice) = better {
            state.place(model, *block, *choice);
            continue;
        }
        if let (Some((van, rides, score)), Some(beds)) = (before, beds) {
            state.rides[van] = rides;
            state.scores[van] = score;
            state.beds = beds;
            state.van_of[*block] = Some(van);
        }
        state.total = total;
    }
    evaluations
}

fn swaps(model: &Model<'_>, state: &mut State, blocks: &[usize]) -> u64 {
    let mut evaluations = 0;
    for (at, a) in blocks.iter().enumerate() {
        for b in &blocks[at + 1..] {
            evaluations += u64::from(swap(model, state, *a, *b));
        }
    }
    evaluations
}

/// Two blocks change places; one of them may be waiting without a trip.
fn swap(model: &Model<'_>, state: &mut State, a: usize, b: usize) -> bool {
    let (from, to) = (state.number_of(a), state.number_of(b));
    if from == to {
        return false;
    }
    let allowed = |block: usize, slot: Option<(usize, usize)>| {
        slot.is_none_or(|(van, number)| {
            let destination = state.rides[van][number].destination;
            model.blocks[block].routes[van]
                .iter()
                .any(|(to, _)| *to == destination)
        })
    };
    if !allowed(a, to) || !allowed(b, from) {
        return false;
    }
    let before = Snapshot::take(state, from.map(|s| s.0), to.map(|s| s.0));
    let beds = state.beds.clone();
    for (slot, goes, comes) in [(from, a, b), (to, b, a)] {
        let other = if goes == a { to } else { from };
        let Some((van, number)) = slot else {
            // Whoever came from nowhere leaves the other one waiting.
            state.van_of[comes] = None;
            state.total = state.total - model.blocks[goes].out + model.blocks[comes].out;
            continue;
        };
        let ride = &mut state.rides[van][number];
        for block in &mut ride.blocks {
            if *block == goes {
                *block = comes;
            }
        }
        let destination = ride.destination;
        State::load(model, ride);
        for class in 0..4 {
            state.beds[destination][class] +=
                model.blocks[goes].count[class] - model.blocks[comes].count[class];
        }
        state.van_of[comes] = Some(van);
        if other.is_none() {
            state.van_of[goes] = None;
        }
    }
    let vans = [from.map(|s| s.0), to.map(|s| s.0)];
    if settle(model, state, vans, before.total) {
        return true;
    }
    before.put_back(state);
    state.beds = beds;
    state.van_of[a] = from.map(|s| s.0);
    state.van_of[b] = to.map(|s| s.0);
    true
}

fn destinations(model: &Model<'_>, state: &mut State) -> u64 {
    let mut evaluations = 0;
    for van in 0..model.vans.len() {
        for number in 0..state.rides[van].len() {
            if state.rides[van][number].loading.is_some() {
                continue;
            }
            let first = state.rides[van][number].blocks[0];
            for at in 0..model.blocks[first].routes[van].len() {
                let (to, travel) = model.blocks[first].routes[van][at];
                let ride = &state.rides[van][number];
                let everybody = ride
                    .blocks
                    .iter()
                    .all(|b| model.blocks[*b].routes[van].iter().any(|(d, _)| *d == to));
                if to == ride.destination || !everybody || !model.ways[van][to] {
                    continue;
                }
                evaluations += 1;
                let before = Snapshot::take(state, Some(van), None);
                let beds = state.beds.clone();
                let from = ride.destination;
                let counts: Vec<[i32; 4]> =
                    ride.blocks.iter().map(|b| model.blocks[*b].count).collect();
                for count in counts {
                    for (class, number) in count.iter().enumerate() {
                        state.beds[from][class] += number;
                        state.beds[to][class] -= number;
                    }
                }
                state.rides[van][number].destination = to;
                state.rides[van][number].travel = travel;
                if !settle(model, state, [Some(van), None], before.total) {
                    before.put_back(state);
                    state.beds = beds;
                }
            }
        }
    }
    evaluations
}

fn exchanges(model: &Model<'_>, state: &mut State) -> u64 {
    let mut evaluations = 0;
    let slots: Vec<(usize, usize)> = (0..model.vans.len())
        .flat_map(|van| (0..state.rides[van].len()).map(move |number| (van, number)))
        .collect();
    for (at, one) in slots.iter().enumerate() {
        for other in &slots[at + 1..] {
            evaluations += u64::from(exchange(model, state, *one, *other));
        }
    }
    evaluations
}

/// Two trips change transport or turn, each with its people and its destination.
fn exchange(
    model: &Model<'_>,
    state: &mut State,
    one: (usize, usize),
    other: (usize, usize),
) -> bool {
    let (x, y) = (&state.rides[one.0][one.1], &state.rides[other.0][other.1]);
    if x.loading.is_some() || y.loading.is_some() {
        return false;
    }
    let minutes = |van: usize, ride: &super::state::Ride| {
        if !model.ways[van][ride.destination] {
            return None;
        }
        let mut travel = None;
        for block in &ride.blocks {
            let way = model.blocks[*block].routes[van]
                .iter()
                .find(|(d, _)| *d == ride.destination)?;
            travel = Some(way.1);
        }
        travel
    };
    let (Some(to_other), Some(to_one)) = (minutes(other.0, x), minutes(one.0, y)) else {
        return false;
    };
    let before = Snapshot::take(state, Some(one.0), Some(other.0));
    let mut x = x.clone();
    let mut y = y.clone();
    x.travel = to_other;
    y.travel = to_one;
    for (ride, van) in [(&x, other.0), (&y, one.0)] {
        for block in &ride.blocks {
            state.van_of[*block] = Some(van);
        }
    }
    state.rides[one.0][one.1] = y;
    state.rides[other.0][other.1] = x;
    if settle(model, state, [Some(one.0), Some(other.0)], before.total) {
        return true;
    }
    before.put_back(state);
    for van in [one.0, other.0] {
        let State { rides, van_of, .. } = state;
        for block in rides[van].iter().flat_map(|ride| &ride.blocks) {
            van_of[*block] = Some(van);
        }
    }
    true
}

/// The transports a step touches, as they were.
struct Snapshot {
    vans: Vec<(usize, Vec<super::state::Ride>, super::vector::Score)>,
    total: super::vector::Score,
}

impl Snapshot {
    fn take(state: &State, one: Option<usize>, other: Option<usize>) -> Self {
        Self {
            vans: one
                .into_iter()
                .chain(other.filter(|van| Some(*van) != one))
                .map(|van| (van, state.rides[van].clone(), state.scores[van]))
                .collect(),
            total: state.total,
        }
    }

    fn put_back(self, state: &mut State) {
        for (van, rides, score) in self.vans {
            state.rides[van] = rides;
            state.scores[van] = score;
        }
        state.total = self.total;
    }
}

/// After a change to these transports: keeps it when every limit holds and the plan is better than `than`.
fn settle(
    model: &Model<'_>,
    state: &mut State,
    vans: [Option<usize>; 2],
    than: super::vector::Score,
) -> bool {
    if state.beds.iter().flatten().any(|left| *left < 0) {
        return false;
    }
    let mut total = state.total;
    let mut scores = [None; 2];
    let same = vans[0] == vans[1];
    for (at, van) in vans.into_iter().enumerate() {
        let Some(van) = van.filter(|_| at == 0 || !same) else {
            continue;
        };
        if !legal(model, state, van) {
            return false;
        }
        let Some(score) = state.value(model, van, None) else {
            return false;
        };
        total = total - state.scores[van] + score;
        scores[at] = Some((van, score));
    }
    if total >= than {
        return false;
    }
    for (van, score) in scores.into_iter().flatten() {
        state.scores[van] = score;
    }
    state.total = total;
    true
}

fn legal(model: &Model<'_>, state: &State, van: usize) -> bool {
    state.rides[van].iter().enumerate().all(|(number, ride)| {
        let untouched = ride.loading.is_some() && ride.blocks.len() == 1;
        let next_trip = number > 0 && ride.blocks.iter().any(|b| model.blocks[*b].next_trip);
        (untouched || model.vans[van].fits(ride.lying, ride.sitting, ride.escort)) && !next_trip
    })
}
