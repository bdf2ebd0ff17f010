//! The problem as the planner works on it: blocks of people who go together, transports, places left.
//!
//! Owns the translation of the question into numbers. Promises: what can never be planned (held, no way, no
//! place at all) is sorted out here once, and what people have decided is a limit that no search can pass.

use super::problem::Problem;
use super::vector::{LATE, LEFT_BEHIND, Score};

/// A slot in the plan on screen: transport, number of the trip, destination.
pub(super) type Slot = (usize, usize, usize);

/// One person of a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Member {
    /// Place in the problem's list.
    pub(super) casualty: usize,
    pub(super) class: usize,
    /// `i32::MAX` without one.
    pub(super) deadline: i32,
    pub(super) shown: Option<Slot>,
}

/// People who go on one trip or not at all.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub(super) members: Vec<Member>,
    /// Of the most urgent member.
    pub(super) class: usize,
    pub(super) lying: u16,
    pub(super) sitting: u16,
    pub(super) escort: u16,
    pub(super) ready: i32,
    pub(super) count: [i32; 4],
    /// What it costs to leave them out.
    pub(super) out: Score,
    /// Ways by transport: destination and minutes.
    pub(super) routes: Vec<Vec<(usize, i32)>>,
    pub(super) next_trip: bool,
    /// Already aboard: stays where it is.
    pub(super) aboard: bool,
    /// The block before this one in the order that differs in nothing a proof looks at.
    pub(super) twin: Option<usize>,
}

/// A transport.
#[derive(Clone, Debug)]
pub(super) struct Van {
    pub(super) start: i32,
    pub(super) load: i32,
    pub(super) unload: i32,
    pub(super) attendants: u16,
    pub(super) last_departure: i32,
    pub(super) trips: usize,
    pub(super) layouts: Vec<(u16, u16)>,
    /// The transport before this one that differs in nothing.
    pub(super) twin: Option<usize>,
}

impl Van {
    pub(super) fn fits(&self, lying: u16, sitting: u16, escort: u16) -> bool {
        escort <= self.attendants
            && self
                .layouts
                .iter()
                .any(|(l, s)| lying <= *l && sitting <= *s)
    }
}

/// A trip being loaded: transport, its block, destination, minutes one way, minute of departure.
pub(super) struct Seed {
    pub(super) van: usize,
    pub(super) block: usize,
    pub(super) destination: usize,
    pub(super) travel: i32,
    pub(super) departs: i32,
}

/// The problem in numbers.
pub(super) struct Model<'a> {
    pub(super) problem: &'a Problem,
    pub(super) horizon: i32,
    /// Free blocks first, in the order of urgency; then those aboard.
    pub(super) blocks: Vec<Block>,
    /// How many blocks are free.
    pub(super) free: usize,
    pub(super) vans: Vec<Van>,
    pub(super) seeds: Vec<Seed>,
    /// Places left by destination and class.
    pub(super) beds: Vec<[i32; 4]>,
    /// What no plan changes: those who have left, those who are held.
    pub(super) base: Score,
    /// There is a plan on screen to keep to.
    pub(super) calm: bool,
    /// Is a way known, by transport and destination? A trip that is being loaded may go where none is.
    pub(super) ways: Vec<Vec<bool>>,
}

impl<'a> Model<'a> {
    pub(super) fn new(problem: &'a Problem) -> Self {
        let mut model = Self {
            problem,
            horizon: problem.horizon,
            blocks: Vec::new(),
            free: 0,
            vans: vans(problem),
            seeds: Vec::new(),
            beds: beds(problem),
            base: Score::default(),
            calm: !problem.shown.is_empty(),
            ways: problem
                .transports
                .iter()
                .map(|t| {
                    problem
                        .destinations
                        .iter()
                        .map(|d| t.minutes_to(d.id).is_some())
                        .collect()
                })
                .collect(),
        };
        let mut groups: Vec<(u32, Vec<usize>)> = Vec::new();
        let mut blocks: Vec<Vec<usize>> = Vec::new();
        for (at, casualty) in problem.casualties.iter().enumerate() {
            if let Some(trip) = problem
                .left
                .iter()
                .find(|t| t.casualties.contains(&casualty.id))
            {
                model.base.0[casualty.priority.index()] +=
                    contribution(casualty.deadline.unwrap_or(i32::MAX), trip.arrives);
            } else if problem.is_aboard(casualty.id) {
            } else if problem.is_held(casualty) {
                model.base.0[casualty.priority.index()] += LEFT_BEHIND;
            } else if let Some(group) = casualty.group {
                match groups.iter_mut().find(|(known, _)| *known == group) {
                    Some((_, members)) => members.push(at),
                    None => groups.push((group, vec![at])),
                }
            } else {
                blocks.push(vec![at]);
            }
        }
        blocks.extend(groups.into_iter().map(|(_, members)| members));
        model.blocks = blocks.iter().map(|members| model.block(members)).collect();
        model.blocks.sort_by_key(|block| {
            let deadline = block.members.iter().map(|m| m.deadline).min();
            let id = block.members.iter().map(|m| m.casualty).min();
            (block.class, deadline, block.ready, id)
        });
        model.free = model.blocks.len();
        model.seed();
        model.twins();
        model
    }

    fn seed(&mut self) {
        for loading in &self.problem.loading {
            let aboard: Vec<usize> = self
                .problem
                .casualties
                .iter()
                .enumerate()
                .filter(|(_, c)| loading.aboard.contains(&c.id) && !self.problem.has_left(c.id))
                .map(|(at, _)| at)
                .collect();
            let van = self
                .problem
                .transports
                .iter()
                .position(|t| t.id == loading.transport);
            let destination = self
                .problem
                .destinations
                .iter()
                .position(|d| d.id == loading.destination);
            let (Some(van), Some(destination)) = (van, destination) else {
                continue;
            };
            if aboard.is_empty() || self.seeds.iter().any(|seed| seed.van == van) {
                continue;
            }
            let mut block = self.block(&aboard);
            block.aboard = true;
            for member in &mut block.members {
                member.shown = None;
            }
            self.seeds.push(Seed {
                van,
                block: self.blocks.len(),
                destination,
                travel: loading.travel,
                departs: loading.departs.max(0),
            });
            self.blocks.push(block);
            self.vans[van].trips = self.vans[van].trips.max(1);
        }
    }

    fn twins(&mut self) {
        for later in 1..self.free {
            let same = |a: &Block, b: &Block| {
                a.members.len() == 1
                    && b.members.len() == 1
                    && a.members[0].class == b.members[0].class
                    && a.members[0].deadline == b.members[0].deadline
                    && (a.lying, a.escort, a.ready.max(0)) == (b.lying, b.escort, b.ready.max(0))
                    && a.next_trip == b.next_trip
                    && a.routes == b.routes
            };
            self.blocks[later].twin = (0..later)
                .rev()
                .find(|earlier| same(&self.blocks[*earlier], &self.blocks[later]));
        }
        for later in 1..self.vans.len() {
            let same = |a: usize, b: usize| {
                let (x, y) = (&self.vans[a], &self.vans[b]);
                (
                    x.start,
                    x.load,
                    x.unload,
                    x.attendants,
                    x.last_departure,
                    x.trips,
                ) == (
                    y.start,
                    y.load,
                    y.unload,
                    y.attendants,
                    y.last_departure,
                    y.trips,
                ) && x.layouts == y.layouts
                    && self
                        .blocks
                        .iter()
                        .all(|block| block.routes[a] == block.routes[b])
                    && !self.seeds.iter().any(|seed| seed.van == a || seed.van == b)
            };
            self.vans[later].twin = (0..later).rev().find(|earlier| same(*earlier, later));
        }
    }
}

/// What one delivery adds to its class.
#[expect(clippy::cast_sign_loss, reason = "never before now")]
pub(super) fn contribution(deadline: i32, arrives: i32) -> u64 {
    let minutes = arrives.max(0) as u64;
    if arrives > deadline {
        minutes + LATE
    } else {
        minutes
    }
}

fn vans(problem: &Problem) -> Vec<Van> {
    problem
        .transports
        .iter()
        .map(|transport| Van {
            start: problem
                .left
                .iter()
                .filter(|trip| trip.transport == transport.id)
                .map(|trip| trip.arrives + transport.unload + trip.travel)
                .fold(transport.available.max(0), i32::max),
            load: transport.load,
            unload: transport.unload,
            attendants: transport.attendants,
            last_departure: transport.last_departure.unwrap_or(i32::MAX),
            trips: transport.trips as usize,
            layouts: transport
                .layouts
                .iter()
                .map(|l| (l.lying, l.sitting))
                .collect(),
            twin: None,
        })
        .collect()
}

/// Places left once those who have left or are aboard have taken theirs.
fn beds(problem: &Problem) -> Vec<[i32; 4]> {
    problem
        .destinations
        .iter()
        .map(|destination| {
            let mut left = destination
                .places
                .map(|n| i32::try_from(n).unwrap_or(i32::MAX));
            let gone = problem
                .left
                .iter()
                .filter(|t| t.destination == destination.id);
            let aboard = problem
                .loading
                .iter()
                .filter(|t| t.destination == destination.id);
            let taken = gone
                .flat_map(|t| &t.casualties)
                .chain(aboard.flat_map(|t| &t.aboard));
            for casualty in taken.filter_map(|id| problem.casualty(*id)) {
                let places = &mut left[casualty.priority.index()];
                *places = (*places - 1).max(0);
            }
            left
        })
        .collect()
}
