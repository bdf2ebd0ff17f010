//! An exact program for small problems: transport by transport, over all sets of casualties already delivered.
//!
//! Owns an answer that shares nothing with the planner: no insertion, no bounds, no layers. The state is the set
//! delivered and the places used; its value the smallest vector. Vectors add, and dictionary order survives it.

use std::collections::BTreeMap;

use holdfast::rules::evac::{Posture, Problem, Transport};

type Levels = [i64; 13];
/// Who is delivered, and places used by destination and class.
type Delivered = (u32, Vec<[u32; 4]>);

struct Program<'a> {
    problem: &'a Problem,
    /// Who may be planned at all.
    free: u32,
}

/// One transport on its way: what it can still do from here.
struct Road<'a> {
    transport: &'a Transport,
    trips: u32,
    clock: i32,
}

/// The smallest vector of all plans. Trips that have left or are being loaded are not known here.
pub(crate) fn best(problem: &Problem) -> Levels {
    assert!(problem.left.is_empty() && problem.loading.is_empty());
    let mut free = 0;
    for (at, casualty) in problem.casualties.iter().enumerate() {
        let held = problem.casualties.iter().any(|c| {
            problem.holds.contains(&c.id)
                && (c.id == casualty.id || (c.group.is_some() && c.group == casualty.group))
        });
        free |= u32::from(!held) << at;
    }
    let program = Program { problem, free };
    let nothing = (0, vec![[0; 4]; problem.destinations.len()]);
    let mut states: BTreeMap<Delivered, Levels> = BTreeMap::from([(nothing, [0; 13])]);
    for transport in &problem.transports {
        let mut next: BTreeMap<Delivered, Levels> = BTreeMap::new();
        for (state, value) in states {
            let road = Road {
                transport,
                trips: 0,
                clock: transport.available.max(0),
            };
            program.go(&state, value, &road, &mut next);
        }
        states = next;
    }
    states
        .into_iter()
        .map(|((delivered, _), mut value)| {
            for (at, casualty) in problem.casualties.iter().enumerate() {
                value[3 * casualty.priority.index()] += i64::from(delivered >> at & 1 == 0);
            }
            value
        })
        .min()
        .expect("the empty plan is one")
}

impl Program<'_> {
    fn go(
        &self,
        state: &Delivered,
        value: Levels,
        road: &Road<'_>,
        found: &mut BTreeMap<Delivered, Levels>,
    ) {
        let known = found.entry(state.clone()).or_insert(value);
        *known = value.min(*known);
        if road.trips == road.transport.trips {
            return;
        }
        let waiting = self.free & !state.0;
        let mut set = waiting;
        while set != 0 {
            for (d, destination) in self.problem.destinations.iter().enumerate() {
                let travel = road
                    .transport
                    .travel
                    .iter()
                    .find(|(to, _)| *to == destination.id);
                if let Some((_, travel)) = travel {
                    self.ride(state, value, road, set, d, *travel, found);
                }
            }
            set = (set - 1) & waiting;
        }
    }

    #[expect(
        clippy::too_many_arguments,
        clippy::too_many_lines,
        reason = "one trip is that many things"
    )]
    fn ride(
        &self,
        state: &Delivered,
        mut value: Levels,
        road: &Road<'_>,
        set: u32,
        d: usize,
        travel: i32,
        found: &mut BTreeMap<Delivered, Levels>,
    ) {
        let problem = self.problem;
        let transport = road.transport;
        let destination = &problem.destinations[d];
        let (mut lying, mut sitting, mut escort, mut ready) = (0, 0, 0, road.clock);
        let mut used = state.1.clone();
        for (at, casualty) in problem.casualties.iter().enumerate() {
            let aboard = set >> at & 1 == 1;
            if casualty.group.is_some() {
                let split = problem.casualties.iter().enumerate().any(|(other, c)| {
                    c.group == casualty.group && (set >> other & 1 == 1) != aboard
                });
                if split {
                    return;
                }
            }
            if !aboard {
                continue;
            }
            lying += u16::from(casualty.posture == Posture::Lying);
            sitting += u16::from(casualty.posture != Posture::Lying);
            escort += casualty.escort;
            ready = ready.max(casualty.ready);
            used[d][casualty.priority.index()] += 1;
            let pin = problem.pins.iter().find(|pin| pin.casualty == casualty.id);
            let against_pin = pin.is_some_and(|pin| {
                pin.transport != transport.id
                    || pin.destination.is_some_and(|to| to != destination.id)
                    || (pin.next_trip && road.trips > 0)
            });
            let cannot = casualty
                .needs
                .iter()
                .any(|need| !destination.abilities.contains(need))
                || casualty
                    .aboard
                    .iter()
                    .any(|need| !transport.equipment.contains(need))
                || (transport.on_foot && casualty.posture == Posture::Sitting);
            if against_pin || cannot {
                return;
            }
        }
        let full = used[d]
            .iter()
            .zip(destination.places)
            .any(|(used, places)| *used > places);
        let room = transport
            .layouts
            .iter()
            .any(|l| lying <= l.lying && sitting <= l.sitting);
        let departs = ready + transport.load;
        let arrives = departs + travel;
        let too_late = transport.last_departure.is_some_and(|last| departs > last)
            || arrives > problem.horizon;
        if full || !room || escort > transport.attendants || too_late {
            return;
        }
        for (at, casualty) in problem.casualties.iter().enumerate() {
            if set >> at & 1 == 1 {
                let levels = &mut value[3 * casualty.priority.index()..][..3];
                levels[1] += i64::from(casualty.deadline.is_some_and(|by| arrives > by));
                levels[2] += i64::from(arrives);
            }
        }
        value[12] += 1;
        let road = Road {
            transport,
            trips: road.trips + 1,
            clock: arrives + transport.unload + travel,
        };
        self.go(&(state.0 | set, used), value, &road, found);
    }
}
