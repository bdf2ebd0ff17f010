//! Starting from somewhere else: a plan shaken, and the plan on screen taken up again.
//!
//! Owns the two other starting points of a layer. Promises: no chance decides; the numbers come from a fixed seed.

use super::local::insert_all;
use super::model::Model;
use super::state::{Place, State};

/// Takes a few blocks out and puts them back, `rounds` times; keeps what is not worse and answers with the best.
/// The numbers come from a fixed seed: the same problem is shaken the same way.
pub(super) fn shake(model: &Model<'_>, state: &mut State, blocks: &[usize], rounds: u32) -> u64 {
    let mut evaluations = 0;
    if blocks.len() < 2 {
        return evaluations;
    }
    let mut random = Shift(0x9E37_79B9_7F4A_7C15);
    let mut best = state.clone();
    for _ in 0..rounds {
        let mut trial = best.clone();
        let mut taken: Vec<usize> = if random.below(3) == 0 {
            let van = random.below(model.vans.len());
            let on = |block: &usize| trial.van_of[*block] == Some(van);
            blocks.iter().copied().filter(on).collect()
        } else {
            let wanted = 2 + random.below(4);
            (0..wanted)
                .map(|_| blocks[random.below(blocks.len())])
                .collect()
        };
        taken.extend(
            blocks
                .iter()
                .copied()
                .filter(|block| trial.van_of[*block].is_none())
                .take(2),
        );
        taken.sort_unstable();
        taken.dedup();
        for block in &taken {
            trial.remove(model, *block);
        }
        if random.below(2) == 0 && !taken.is_empty() {
            let by = random.below(taken.len());
            taken.rotate_left(by);
        }
        evaluations += insert_all(model, &mut trial, &taken);
        if trial.total <= best.total {
            best = trial;
        }
    }
    if best.total < state.total {
        *state = best;
    }
    evaluations
}

/// Xorshift, 64 bits (Marsaglia, Journal of Statistical Software 2003;8(14)).
struct Shift(u64);

impl Shift {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the remainder is below a usize"
    )]
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % limit.max(1) as u64) as usize
    }
}

/// A plan that is possible by itself: places blocks where an earlier plan had them, as far as that still goes.
pub(super) fn restore(model: &Model<'_>, state: &mut State, blocks: &[usize]) -> u64 {
    let mut choices = Vec::new();
    let mut evaluations = 0;
    let mut rest = Vec::new();
    let slot = |block: usize| {
        let members = &model.blocks[block].members;
        members[0]
            .shown
            .filter(|slot| members.iter().all(|m| m.shown == Some(*slot)))
    };
    let mut shown: Vec<(usize, usize, usize, usize)> = Vec::new();
    for block in blocks {
        match slot(*block) {
            Some((van, number, destination)) => shown.push((van, number, destination, *block)),
            None => rest.push(*block),
        }
    }
    shown.sort_unstable();
    let mut last: Option<(usize, usize)> = None;
    for (van, number, destination, block) in shown {
        let rides = state.rides[van].len();
        let same_trip =
            last == Some((van, number)) || (number == 0 && rides == 1 && !model.seeds.is_empty());
        let fits = |v: usize, place: Place| {
            v == van
                && match place {
                    Place::Join(at) => {
                        same_trip
                            && at + 1 == rides
                            && state.rides[v][at].destination == destination
                    }
                    Place::New(at, to, _) => !same_trip && at == rides && to == destination,
                    Place::Out => false,
                }
        };
        evaluations += state.choices(model, block, &mut choices, fits);
        if let Some(choice) = choices.iter().find(|choice| choice.place != Place::Out) {
            state.place(model, block, *choice);
            last = Some((van, number));
        } else {
            rest.push(block);
        }
    }
    rest.sort_unstable();
    evaluations + insert_all(model, state, &rest)
}
