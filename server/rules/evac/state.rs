//! A plan in the making: which blocks ride on which trips, and what that is worth.
//!
//! Owns the one evaluation the searches share: what a transport's day is worth with one change to it. Promises:
//! undoing a change restores every number.

use super::model::{Model, contribution};
use super::vector::{Score, TRIP};

/// A trip in the making.
#[derive(Clone, Debug)]
pub(super) struct Ride {
    pub(super) destination: usize,
    pub(super) travel: i32,
    pub(super) blocks: Vec<usize>,
    pub(super) lying: u16,
    pub(super) sitting: u16,
    pub(super) escort: u16,
    /// Latest minute at which somebody who still has to get on is ready.
    pub(super) ready: i32,
    /// Being loaded: the minute at which it can leave.
    pub(super) loading: Option<i32>,
}

/// Where a block can go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Place {
    /// On the trip of this number.
    Join(usize),
    /// On a new trip of this number, to that destination in so many minutes.
    New(usize, usize, i32),
    /// Stays here.
    Out,
}

/// A way to place a block, and what the plan is worth then.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Choice {
    pub(super) total: Score,
    pub(super) van: usize,
    pub(super) place: Place,
}

/// What `undo` needs.
pub(super) struct Undo {
    choice: Choice,
    block: usize,
    total: Score,
    van_score: Score,
    ready: i32,
}

/// The plan in the making.
#[derive(Clone)]
pub(super) struct State {
    pub(super) rides: Vec<Vec<Ride>>,
    pub(super) scores: Vec<Score>,
    pub(super) beds: Vec<[i32; 4]>,
    /// Which transport each block is on.
    pub(super) van_of: Vec<Option<usize>>,
    /// Everything so far: what is fixed, the transports, and blocks that were left out.
    pub(super) total: Score,
}

impl State {
    /// Only what is being loaded.
    pub(super) fn new(model: &Model<'_>) -> Self {
        let mut state = Self {
            rides: vec![Vec::new(); model.vans.len()],
            scores: vec![Score::default(); model.vans.len()],
            beds: model.beds.clone(),
            van_of: vec![None; model.blocks.len()],
            total: model.base,
        };
        for seed in &model.seeds {
            let block = &model.blocks[seed.block];
            state.rides[seed.van].push(Ride {
                destination: seed.destination,
                travel: seed.travel,
                blocks: vec![seed.block],
                lying: block.lying,
                sitting: block.sitting,
                escort: block.escort,
                ready: i32::MIN,
                loading: Some(seed.departs),
            });
            state.van_of[seed.block] = Some(seed.van);
            let score = state.value(model, seed.van, None).unwrap_or_default();
            state.scores[seed.van] = score;
            state.total = state.total + score;
        }
        state
    }

    /// What a transport's trips are worth, with a block placed on them; `None` when time forbids it.
    pub(super) fn value(
        &self,
        model: &Model<'_>,
        van: usize,
        with: Option<(usize, Place)>,
    ) -> Option<Score> {
        let mut score = Score::default();
        let possible = self.drive(model, van, with, |number, destination, block, arrives| {
            for member in &model.blocks[block].members {
                score.0[member.class] += contribution(member.deadline, arrives);
                if model.calm && !model.blocks[block].aboard {
                    score.0[4] += u64::from(member.shown != Some((van, number, destination)));
                }
            }
        })?;
        score.0[4] += possible as u64 * TRIP;
        Some(score)
    }

    /// Goes through a transport's trips in order and says when each block arrives; answers how many trips there are.
    pub(super) fn drive(
        &self,
        model: &Model<'_>,
        van: usize,
        with: Option<(usize, Place)>,
        mut arrives_at: impl FnMut(usize, usize, usize, i32),
    ) -> Option<usize> {
        let times = &model.vans[van];
        let rides = &self.rides[van];
        let (new_at, join_at, block) = match with {
            Some((block, Place::New(at, ..))) => (at, usize::MAX, block),
            Some((block, Place::Join(at))) => (usize::MAX, at, block),
            _ => (usize::MAX, usize::MAX, 0),
        };
        let count = rides.len() + usize::from(new_at != usize::MAX);
        let mut clock = times.start;
        let mut next = 0;
        for number in 0..count {
            let (arrives, travel) = if let (true, Some((_, Place::New(_, destination, travel)))) =
                (number == new_at, with)
            {
                let departs = clock.max(model.blocks[block].ready) + times.load;
                if departs > times.last_departure || departs + travel > model.horizon {
                    return None;
                }
                arrives_at(number, destination, block, departs + travel);
                (departs + travel, travel)
            } else {
                let ride = &rides[next];
                let extra = next == join_at;
                next += 1;
                let ready = if extra {
                    ride.ready.max(model.blocks[block].ready)
                } else {
                    ride.ready
                };
                let departs = match ride.loading {
                    Some(departs) if ready > 0 => departs.max(ready + times.load),
                    Some(departs) => departs,
                    None => clock.max(ready) + times.load,
                };
                let arrives = departs + ride.travel;
                let somebody_joins = ride.loading.is_none() || extra || ride.blocks.len() > 1;
                if somebody_joins && (departs > times.last_departure || arrives > model.horizon) {
                    return None;
                }
                for block in &ride.blocks {
                    arrives_at(number, ride.destination, *block, arrives);
                }
                if extra {
                    arrives_at(number, ride.destination, block, arrives);
                }
                (arrives, ride.travel)
            };
            clock = arrives + times.unload + travel;
        }
        Some(count)
    }

    fn has_beds(&self, model: &Model<'_>, block: usize, destination: usize) -> bool {
        let count = &model.blocks[block].count;
        count
            .iter()
            .zip(&self.beds[destination])
            .all(|(n, beds)| n <= beds)
    }

    /// Every way to place a block, in order, staying here included; `filter` looks at transport and place first.
    pub(super) fn choices(
        &self,
        model: &Model<'_>,
        block: usize,
        found: &mut Vec<Choice>,
        filter: impl Fn(usize, Place) -> bool,
    ) -> u64 {
        found.clear();
        let who = &model.blocks[block];
        let mut evaluations = 0;
        let mut try_place = |van: usize, place: Place| {
            if !filter(van, place) {
                return;
            }
            evaluations += 1;
            if let Some(score) = self.value(model, van, Some((block, place))) {
                let total = self.total - self.scores[van] + score;
                found.push(Choice { total, van, place });
            }
        };
        for van in 0..model.vans.len() {
            let routes = &who.routes[van];
            if routes.is_empty() {
                continue;
            }
            let times = &model.vans[van];
            let rides = &self.rides[van];
            for (number, ride) in rides.iter().enumerate() {
                if who.next_trip && number > 0 {
                    break;
                }
                let room = times.fits(
                    ride.lying + who.lying,
                    ride.sitting + who.sitting,
                    ride.escort + who.escort,
                );
                if room
                    && routes.iter().any(|(to, _)| *to == ride.destination)
                    && self.has_beds(model, block, ride.destination)
                {
                    try_place(van, Place::Join(number));
                }
            }
            if rides.len() >= times.trips {
                continue;
            }
            let first_is_fixed = rides.first().is_some_and(|ride| {
                ride.loading.is_some() || ride.blocks.iter().any(|b| model.blocks[*b].next_trip)
            });
            let last = if who.next_trip { 0 } else { rides.len() };
            for number in usize::from(first_is_fixed)..=last {
                for (destination, travel) in routes {
                    if self.has_beds(model, block, *destination) && model.ways[van][*destination] {
                        try_place(van, Place::New(number, *destination, *travel));
                    }
                }
            }
        }
        let total = self.total + who.out;
        found.push(Choice {
            total,
            van: usize::MAX,
            place: Place::Out,
        });
        evaluations + 1
    }

    /// Places a block.
    pub(super) fn place(&mut self, model: &Model<'_>, block: usize, choice: Choice) -> Undo {
        let who = &model.blocks[block];
        let mut undo = Undo {
            choice,
            block,
            total: self.total,
            van_score: Score::default(),
            ready: 0,
        };
        let destination = match choice.place {
            Place::Out => {
                self.total = choice.total;
                return undo;
            }
            Place::Join(number) => {
                let ride = &mut self.rides[choice.van][number];
                undo.ready = ride.ready;
                ride.blocks.push(block);
                ride.lying += who.lying;
                ride.sitting += who.sitting;
                ride.escort += who.escort;
                ride.ready = ride.ready.max(who.ready);
                ride.destination
            }
            Place::New(number, destination, travel) => {
                let ride = Ride {
                    destination,
                    travel,
                    blocks: vec![block],
                    lying: who.lying,
                    sitting: who.sitting,
                    escort: who.escort,
                    ready: who.ready,
                    loading: None,
                };
                self.rides[choice.van].insert(number, ride);
                destination
            }
        };
        for (beds, count) in self.beds[destination].iter_mut().zip(&who.count) {
            *beds -= count;
        }
        undo.van_score = self.scores[choice.van];
        self.scores[choice.van] = choice.total - (self.total - undo.van_score);
        self.total = choice.total;
        self.van_of[block] = Some(choice.van);
        undo
    }

    /// Takes the last placing back.
    pub(super) fn undo(&mut self, model: &Model<'_>, undo: &Undo) {
        let who = &model.blocks[undo.block];
        self.total = undo.total;
        let van = undo.choice.van;
        let destination = match undo.choice.place {
            Place::Out => return,
            Place::Join(number) => {
                let ride = &mut self.rides[van][number];
                ride.blocks.pop();
                ride.lying -= who.lying;
                ride.sitting -= who.sitting;
                ride.escort -= who.escort;
                ride.ready = undo.ready;
                ride.destination
            }
            Place::New(number, ..) => self.rides[van].remove(number).destination,
        };
        for (beds, count) in self.beds[destination].iter_mut().zip(&who.count) {
            *beds += count;
        }
        self.scores[van] = undo.van_score;
        self.van_of[undo.block] = None;
    }

    /// The number of the trip a block is on.
    pub(super) fn number_of(&self, block: usize) -> Option<(usize, usize)> {
        let van = self.van_of[block]?;
        let number = self.rides[van]
            .iter()
            .position(|ride| ride.blocks.contains(&block))?;
        Some((van, number))
    }

    /// Takes a block off its trip; a trip without anybody vanishes. The block counts nowhere until it is placed.
    pub(super) fn remove(&mut self, model: &Model<'_>, block: usize) {
        let who = &model.blocks[block];
        let Some((van, number)) = self.number_of(block) else {
            self.total = self.total - who.out;
            return;
        };
        let ride = &mut self.rides[van][number];
        ride.blocks.retain(|other| *other != block);
        for (beds, count) in self.beds[ride.destination].iter_mut().zip(&who.count) {
            *beds += count;
        }
        if ride.blocks.is_empty() {
            self.rides[van].remove(number);
        } else {
            Self::load(model, ride);
        }
        self.van_of[block] = None;
        let score = self.value(model, van, None).unwrap_or_default();
        self.total = self.total - self.scores[van] + score;
        self.scores[van] = score;
    }

    /// Counts a trip's places, attendants and readiness anew.
    pub(super) fn load(model: &Model<'_>, ride: &mut Ride) {
        (ride.lying, ride.sitting, ride.escort, ride.ready) = (0, 0, 0, i32::MIN);
        for block in &ride.blocks {
            let who = &model.blocks[*block];
            ride.lying += who.lying;
            ride.sitting += who.sitting;
            ride.escort += who.escort;
            if !who.aboard {
                ride.ready = ride.ready.max(who.ready);
            }
        }
    }
}
