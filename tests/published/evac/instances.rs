//! The solved instances of `tests/fixtures/evac/instances.json` as problems.
//!
//! Owns the reading of the file. Three oracles agree on EV-01 to EV-13 (a program over subsets, a mixed-integer
//! program, branch and bound); for the two large ones the first priority is proven, the rest is best known.

use std::collections::BTreeMap;

use holdfast::rules::evac::{
    Ability, Casualty, CasualtyId, Destination, DestinationId, Layout, Posture, Priority, Problem,
    Transport, TransportId, Trip, Vector,
};
use serde::Deserialize;

pub(crate) const TEXT: &str = include_str!("../../fixtures/evac/instances.json");

#[derive(Deserialize)]
pub(crate) struct File {
    pub(crate) objective: Vec<String>,
    pub(crate) instances: Vec<Instance>,
    pub(crate) invalid_plans: Vec<Invalid>,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Instance {
    pub(crate) id: String,
    pub(crate) horizon: i32,
    pub(crate) casualties: Vec<Person>,
    pub(crate) vehicles: Vec<Vehicle>,
    pub(crate) destinations: Vec<Place>,
    pub(crate) travel: BTreeMap<String, BTreeMap<String, i32>>,
    pub(crate) optimum: Optimum,
    pub(crate) baseline_greedy_vector: [u32; 10],
}

#[derive(Clone, Deserialize)]
pub(crate) struct Optimum {
    pub(crate) vector: [u32; 10],
    pub(crate) proven_levels: usize,
    #[serde(default)]
    pub(crate) plan: Vec<Turn>,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Turn {
    pub(crate) vehicle: String,
    pub(crate) dest: String,
    pub(crate) casualties: Vec<String>,
    #[serde(default)]
    pub(crate) depart: i32,
    #[serde(default)]
    pub(crate) arrive: i32,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Person {
    pub(crate) id: String,
    pub(crate) posture: String,
    pub(crate) class: usize,
    pub(crate) ready: i32,
    pub(crate) deadline: Option<i32>,
    pub(crate) needs: Vec<String>,
    pub(crate) escort: u16,
    pub(crate) group: Option<String>,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Vehicle {
    pub(crate) id: String,
    pub(crate) configs: Vec<(u16, u16)>,
    pub(crate) available: i32,
    pub(crate) load: i32,
    pub(crate) unload: i32,
    pub(crate) attendants: u16,
    pub(crate) max_trips: u32,
    pub(crate) last_depart: Option<i32>,
}

#[derive(Clone, Deserialize)]
pub(crate) struct Place {
    pub(crate) id: String,
    pub(crate) caps: BTreeMap<String, u32>,
    pub(crate) tags: Vec<String>,
}

#[derive(Deserialize)]
pub(crate) struct Invalid {
    pub(crate) instance: String,
    pub(crate) expect_error: String,
    pub(crate) plan: Vec<Turn>,
    #[serde(default, rename = "override")]
    pub(crate) changed: BTreeMap<String, i32>,
}

pub(crate) fn read() -> File {
    serde_json::from_str(TEXT).expect("the instances are readable")
}

pub(crate) fn instance(id: &str) -> Instance {
    let mut all = read().instances;
    let at = all
        .iter()
        .position(|one| one.id == id)
        .expect("an instance of this name");
    all.swap_remove(at)
}

/// The number of a name in a list; a name that is not in it gets a number nobody has.
fn number<'a>(names: impl IntoIterator<Item = &'a String>, name: &str) -> u32 {
    let at = names.into_iter().position(|known| known == name);
    at.map_or(999, |at| u32::try_from(at).expect("a short list"))
}

impl Instance {
    #[expect(clippy::too_many_lines, reason = "one field after the other")]
    pub(crate) fn problem(&self) -> Problem {
        let groups: Vec<&String> = self
            .casualties
            .iter()
            .filter_map(|c| c.group.as_ref())
            .collect();
        Problem {
            horizon: self.horizon,
            casualties: self
                .casualties
                .iter()
                .map(|c| Casualty {
                    id: self.casualty(&c.id),
                    priority: Priority::ALL[c.class - 1],
                    posture: if c.posture == "stretcher" {
                        Posture::Lying
                    } else {
                        Posture::Sitting
                    },
                    ready: c.ready,
                    deadline: c.deadline,
                    needs: c.needs.iter().map(|need| ability(need)).collect(),
                    aboard: Vec::new(),
                    escort: c.escort,
                    group: c
                        .group
                        .as_ref()
                        .map(|group| number(groups.iter().copied(), group)),
                })
                .collect(),
            transports: self
                .vehicles
                .iter()
                .map(|v| Transport {
                    id: self.transport(&v.id),
                    layouts: v
                        .configs
                        .iter()
                        .map(|(lying, sitting)| Layout::new(*lying, *sitting))
                        .collect(),
                    on_foot: false,
                    attendants: v.attendants,
                    equipment: Vec::new(),
                    available: v.available,
                    load: v.load,
                    unload: v.unload,
                    last_departure: v.last_depart,
                    trips: v.max_trips,
                    travel: self.travel[&v.id]
                        .iter()
                        .map(|(to, minutes)| (self.destination(to), *minutes))
                        .collect(),
                })
                .collect(),
            destinations: self
                .destinations
                .iter()
                .map(|d| Destination {
                    id: self.destination(&d.id),
                    places: [d.caps["1"], d.caps["2"], d.caps["3"], 0],
                    abilities: d.tags.iter().map(|tag| ability(tag)).collect(),
                })
                .collect(),
            ..Problem::default()
        }
    }

    pub(crate) fn casualty(&self, name: &str) -> CasualtyId {
        CasualtyId(number(self.casualties.iter().map(|c| &c.id), name))
    }

    pub(crate) fn transport(&self, name: &str) -> TransportId {
        TransportId(number(self.vehicles.iter().map(|v| &v.id), name))
    }

    pub(crate) fn destination(&self, name: &str) -> DestinationId {
        DestinationId(number(self.destinations.iter().map(|d| &d.id), name))
    }

    pub(crate) fn trips(&self, turns: &[Turn]) -> Vec<Trip> {
        turns
            .iter()
            .map(|turn| Trip {
                transport: self.transport(&turn.vehicle),
                destination: self.destination(&turn.dest),
                casualties: turn
                    .casualties
                    .iter()
                    .map(|name| self.casualty(name))
                    .collect(),
            })
            .collect()
    }
}

fn ability(tag: &str) -> Ability {
    match tag {
        "surgery" => Ability::Surgery,
        "burns" => Ability::Burns,
        "children" => Ability::Children,
        "neuro" => Ability::Neurosurgery,
        other => panic!("an ability without a name here: {other}"),
    }
}

/// The ten levels of the file; the fourth priority must not occur in it.
pub(crate) fn ten(vector: &Vector) -> [u32; 10] {
    let levels = vector.levels();
    assert_eq!(levels[9..12], [0, 0, 0]);
    let mut ten = [0; 10];
    ten[..9].copy_from_slice(&levels[..9]);
    ten[9] = levels[12];
    ten
}
