//! A lower bound for the proof: everybody on the cheapest turn of a transport, with no turn used by more than fit.
//!
//! Owns the relaxed problem (turns of transports as places, one destination per person instead of per trip).
//! Promises: never more than what the best completion of a plan is worth.

use super::matching::{NEVER, NOBODY, Solved, packed, unpacked};
use super::model::{Model, contribution};
use super::state::State;
use super::turns::{Turn, turns};
use super::vector::{LEFT_BEHIND, Score};

/// How often prices are tried, with how big a first step in minutes, and how much work may go into it.
const PRICE_ROUNDS: usize = 48;
const PRICE_STEP: u8 = 16;
const PRICE_WORK: usize = 500_000;
/// People who compete for the same places: with an escort, lying, sitting.
struct Kind {
    rows: Vec<usize>,
    turns: Vec<Turn>,
    /// The turn of each column: every turn once for every person it holds, then staying out, for each row its own.
    turn_of: Vec<usize>,
}

/// The relaxed problem of a layer.
pub(super) struct Bound {
    kinds: Vec<Kind>,
    /// Blocks in the matching.
    matched: Vec<bool>,
    /// The least each block can be worth.
    alone: Vec<Score>,
    /// What a bed costs on top, in minutes, by destination and class: people who would crowd a near place see a
    /// price there, and the beds paid for are given back (Lagrange multipliers; any price gives a valid bound).
    prices: Vec<[i128; 3]>,
    /// What is given back.
    paid: i128,
}

/// An assignment with its potentials, by kind.
#[derive(Clone, Default)]
pub(super) struct Matching {
    kinds: Vec<Solved>,
}

/// Where a block is in the plan so far: transport, number of the trip, destination, minute of arrival.
type Arrival = (usize, usize, usize, i32);

/// The plan so far, as the relaxed problem sees it.
struct Look<'a, 'p> {
    model: &'a Model<'p>,
    state: &'a State,
    prices: &'a [[i128; 3]],
    open: Vec<bool>,
    arrival: Vec<Option<Arrival>>,
}

impl Bound {
    /// The relaxed problem for these blocks; `None` when nothing is gained by it.
    pub(super) fn new(model: &Model<'_>, blocks: &[usize], alone: &[Score]) -> Option<Self> {
        let mut matched = vec![false; model.blocks.len()];
        let mut rows: [Vec<usize>; 3] = Default::default();
        for block in blocks {
            let who = &model.blocks[*block];
            if who.members.len() == 1 && who.class < 3 {
                let kind = if who.escort > 0 {
                    0
                } else if who.lying > 0 {
                    1
                } else {
                    2
                };
                rows[kind].push(*block);
                matched[*block] = true;
            }
        }
        let kinds: Vec<Kind> = rows
            .into_iter()
            .enumerate()
            .filter(|(_, rows)| rows.len() > 1)
            .map(|(kind, rows)| Kind::new(turns(model, blocks, kind, &rows), rows))
            .collect();
        for (block, is_in) in matched.iter_mut().enumerate() {
            *is_in &= kinds.iter().any(|kind| kind.rows.contains(&block));
        }
        if kinds.is_empty() {
            return None;
        }
        let mut bound = Self {
            kinds,
            matched,
            alone: alone.to_vec(),
            prices: vec![[0; 3]; model.beds.len()],
            paid: 0,
        };
        bound.set_prices(model);
        Some(bound)
    }

    /// Looks for prices under which no place is crowded (subgradient steps), when that is cheap enough to try.
    fn set_prices(&mut self, model: &Model<'_>) {
        let work: usize = self
            .kinds
            .iter()
            .map(|kind| kind.rows.len() * kind.rows.len() * kind.turn_of.len())
            .sum();
        let rounds = (PRICE_WORK / work.max(1)).min(PRICE_ROUNDS);
        let empty = State::new(model);
        let mut best = (0, self.prices.clone(), 0);
        let mut prices = self.prices.clone();
        for round in 0..rounds {
            let mut paid = 0;
            for (price, beds) in prices.iter().zip(&model.beds) {
                for class in 0..3 {
                    paid += (price[class] * i128::from(beds[class])) << (40 * (2 - class));
                }
            }
            let mut sum = -paid;
            let mut used = vec![[0_i128; 3]; model.beds.len()];
            let look = Look {
                model,
                state: &empty,
                prices: &prices,
                open: self.matched.clone(),
                arrival: vec![None; model.blocks.len()],
            };
            for kind in &self.kinds {
                let mut solved = Solved::default();
                sum += kind.solve(&look, &mut solved);
                for (row, block) in kind.rows.iter().enumerate() {
                    let column = solved.column_of[row];
                    let Some(turn) = kind
                        .turns
                        .get(kind.turn_of.get(column).copied().unwrap_or(NOBODY))
                    else {
                        continue;
                    };
                    let (cost, to) = look.least(*block, turn);
                    if cost < NEVER {
                        used[to][model.blocks[*block].class] += 1;
                    }
                }
            }
            if round == 0 || sum > best.0 {
                best = (sum, prices.clone(), paid);
            }
            let step = 1 + (i128::from(PRICE_STEP) >> (round / 8));
            let mut crowded = false;
            for ((price, beds), used) in prices.iter_mut().zip(&model.beds).zip(&used) {
                for class in 0..3 {
                    let over = used[class] - i128::from(beds[class]);
                    crowded |= over > 0;
                    price[class] = (price[class] + step * over).max(0);
                }
            }
            if round == 0 && !crowded {
                break;
            }
        }
        (_, self.prices, self.paid) = best;
    }

    /// What one bound costs, in evaluations: about as many cells as an evaluation looks at.
    pub(super) fn price(&self) -> u64 {
        let cells: usize = self
            .kinds
            .iter()
            .map(|kind| kind.rows.len() + kind.turn_of.len())
            .sum();
        4 + cells as u64 / 8
    }

    /// A lower bound for every completion of a plan in which the blocks of `rest` are still open, and the matching
    /// to go on from.
    pub(super) fn of(
        &self,
        model: &Model<'_>,
        state: &State,
        rest: &[usize],
        before: &Matching,
    ) -> (Score, Matching) {
        let mut total = state.total;
        let mut arrival: Vec<Option<Arrival>> = vec![None; model.blocks.len()];
        for van in 0..model.vans.len() {
            state.drive(model, van, None, |number, destination, block, arrives| {
                arrival[block] = Some((van, number, destination, arrives));
            });
        }
        let mut open = vec![false; model.blocks.len()];
        for block in rest {
            open[*block] = true;
            if !self.matched[*block] {
                total = total + self.alone[*block];
            }
        }
        let mut matching = before.clone();
        matching
            .kinds
            .resize_with(self.kinds.len(), Solved::default);
        let look = Look {
            model,
            state,
            prices: &self.prices,
            open,
            arrival,
        };
        let mut sum = -self.paid;
        for (kind, solved) in self.kinds.iter().zip(&mut matching.kinds) {
            for block in &kind.rows {
                let who = &model.blocks[*block];
                match look.arrival[*block] {
                    Some((.., arrives)) => {
                        let member = &who.members[0];
                        total.0[member.class] -= contribution(member.deadline, arrives);
                    }
                    None if look.open[*block] => {}
                    None => total.0[who.class] -= LEFT_BEHIND,
                }
            }
            sum += kind.solve(&look, solved);
        }
        (total + unpacked(sum.max(0)), matching)
    }
}

impl Kind {
    fn new(turns: Vec<Turn>, rows: Vec<usize>) -> Self {
        let mut turn_of = Vec::new();
        for (at, turn) in turns.iter().enumerate() {
            turn_of.extend(std::iter::repeat_n(at, turn.places));
        }
        turn_of.extend((0..rows.len()).map(|row| turns.len() + row));
        Self {
            rows,
            turns,
            turn_of,
        }
    }

    /// What the cheapest assignment of the kind is worth, going on from an assignment for lower costs.
    fn solve(&self, look: &Look<'_, '_>, solved: &mut Solved) -> i128 {
        let width = self.turns.len() + self.rows.len();
        let fresh = solved.costs.is_empty();
        if fresh {
            solved.costs = vec![NEVER; self.rows.len() * width];
            solved.rows = vec![0; self.rows.len()];
            solved.columns = vec![0; self.turn_of.len()];
            solved.row_of = vec![NOBODY; self.turn_of.len()];
            solved.column_of = vec![NOBODY; self.rows.len()];
        }
        let full = full(look.state);
        for (row, block) in self.rows.iter().enumerate() {
            let who = &look.model.blocks[*block];
            let costs = &mut solved.costs[row * width..(row + 1) * width];
            // Somebody who is still open only feels that beds run out.
            if !fresh && look.open[*block] && full == solved.full {
                continue;
            }
            for (cost, turn) in costs.iter_mut().zip(&self.turns) {
                (*cost, _) = look.least(*block, turn);
            }
            let mut out = who.out;
            out.0[4] = 0;
            costs[self.turns.len() + row] = if look.arrival[*block].is_none() {
                packed(out)
            } else {
                NEVER
            };
        }
        solved.full = full;
        // Costs only ever rise on the way down: potentials stay valid, and a match stands while it is still tight.
        for row in 0..self.rows.len() {
            let column = solved.column_of[row];
            if column != NOBODY
                && solved.costs[row * width + self.turn_of[column]]
                    != solved.rows[row] + solved.columns[column]
            {
                solved.row_of[column] = NOBODY;
                solved.column_of[row] = NOBODY;
            }
        }
        for row in 0..self.rows.len() {
            if solved.column_of[row] == NOBODY {
                solved.augment(row, width, &self.turn_of);
            }
        }
        // What the potentials say is a bound whatever the matching is (weak duality): a column that a broken match
        // left behind may make it a weaker one, never a wrong one.
        solved.rows.iter().sum::<i128>() + solved.columns.iter().sum::<i128>()
    }
}

/// Which beds are used up, by destination and class.
fn full(state: &State) -> Vec<bool> {
    state.beds.iter().flatten().map(|left| *left <= 0).collect()
}

impl Look<'_, '_> {
    /// The least a block is worth on a turn, and where it goes then.
    fn least(&self, block: usize, turn: &Turn) -> (i128, usize) {
        let (model, state, prices) = (self.model, self.state, self.prices);
        let (open, placed) = (self.open[block], self.arrival[block]);

        let who = &model.blocks[block];
        let member = &who.members[0];
        let van = &model.vans[turn.van];
        let worth = |arrives: i32, destination: usize| {
            let mut score = Score::default();
            score.0[member.class] = contribution(member.deadline, arrives);
            let price = prices[destination][member.class] << (40 * (2 - member.class));
            (packed(score) + price, destination)
        };
        if let Some((on, number, destination, arrives)) = placed {
            if on != turn.van || turn.number < number {
                return (NEVER, 0);
            }
            let routes = &who.routes[on];
            let travel = routes
                .iter()
                .find(|(d, _)| *d == destination)
                .map_or(0, |(_, m)| *m);
            return worth(
                arrives.max(if turn.number > number {
                    turn.from + van.load + travel
                } else {
                    arrives
                }),
                destination,
            );
        }
        if !open || (who.next_trip && turn.number > 0) {
            return (NEVER, 0);
        }
        let seed = model
            .seeds
            .iter()
            .find(|seed| seed.van == turn.van && turn.number == 0);
        let departs = if seed.is_some() {
            turn.from + van.load
        } else {
            turn.from.max(who.ready) + van.load
        };
        if departs > van.last_departure {
            return (NEVER, 0);
        }
        who.routes[turn.van]
            .iter()
            .filter(|(d, _)| state.beds[*d][member.class] > 0)
            .filter_map(|(d, travel)| {
                let loading = seed.filter(|seed| seed.destination == *d);
                let arrives = departs + loading.map_or(*travel, |seed| seed.travel.min(*travel));
                (arrives <= model.horizon).then(|| worth(arrives, *d))
            })
            .min()
            .unwrap_or((NEVER, 0))
    }
}
