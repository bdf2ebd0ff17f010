//! Random small problems, every kind of limit in them.

use holdfast::rules::evac::{
    Ability, Casualty, CasualtyId, Destination, DestinationId, Equipment, Layout, Pin, Posture,
    Priority, Problem, Transport, TransportId,
};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

fn casualty(id: u32) -> impl Strategy<Value = Casualty> {
    let rest = (
        0..4_usize,
        0..3_usize,
        0..4_i32,
        prop::option::of(2..12_i32),
        0..8_u8,
        0..6_u8,
        0..5_u8,
    );
    rest.prop_map(
        move |(class, posture, ready, deadline, needs, aboard, group)| {
            let priority = Priority::ALL[if class == 3 && needs > 3 { 0 } else { class }];
            Casualty {
                id: CasualtyId(id),
                priority,
                posture: [Posture::Lying, Posture::Sitting, Posture::Walking][posture],
                ready: ready * 10,
                deadline: deadline.map(|tens| tens * 10),
                needs: if needs == 0 {
                    vec![Ability::Surgery]
                } else {
                    Vec::new()
                },
                aboard: if aboard == 0 {
                    vec![Equipment::Oxygen]
                } else {
                    Vec::new()
                },
                escort: u16::from(priority == Priority::First),
                group: (group == 0).then_some(1),
            }
        },
    )
}

fn transport(id: u32, places: usize) -> impl Strategy<Value = Transport> {
    let layouts = prop::sample::select(vec![
        vec![Layout::new(1, 1)],
        vec![Layout::new(2, 0), Layout::new(1, 2)],
        vec![Layout::new(0, 3)],
        vec![Layout::new(1, 0)],
    ]);
    let ways = prop::collection::vec(prop::option::weighted(0.8, 1..7_i32), places);
    (
        layouts,
        ways,
        0..4_i32,
        1..3_u32,
        prop::option::weighted(0.3, 2..9_i32),
        0..6_u8,
        0..2_u16,
    )
        .prop_map(
            move |(layouts, ways, available, trips, last, kind, attendants)| Transport {
                id: TransportId(id),
                layouts,
                on_foot: kind == 0,
                attendants: attendants.max(u16::from(kind > 2)),
                equipment: if kind > 1 {
                    vec![Equipment::Oxygen]
                } else {
                    Vec::new()
                },
                available: available * 10,
                load: 5,
                unload: 10,
                last_departure: last.map(|tens| tens * 10),
                trips,
                travel: (0_u32..)
                    .zip(ways)
                    .filter_map(|(d, minutes)| Some((DestinationId(d), minutes? * 10)))
                    .collect(),
            },
        )
}

fn destination(id: u32) -> impl Strategy<Value = Destination> {
    (prop::array::uniform4(0..4_u32), any::<bool>()).prop_map(move |(places, surgery)| {
        Destination {
            id: DestinationId(id),
            places,
            abilities: if surgery {
                vec![Ability::Surgery]
            } else {
                Vec::new()
            },
        }
    })
}

/// A problem of three to six casualties, up to three transports and three destinations.
pub(crate) fn problem() -> impl Strategy<Value = Problem> {
    (3..7_u32, 1..4_u32, 1..4_u32).prop_flat_map(|(people, vans, places)| {
        let casualties: Vec<_> = (0..people).map(casualty).collect();
        let transports: Vec<_> = (0..vans).map(|id| transport(id, places as usize)).collect();
        let destinations: Vec<_> = (0..places).map(destination).collect();
        let pin = prop::option::weighted(0.3, (0..people, 0..vans, any::<bool>()));
        let hold = prop::option::weighted(0.2, 0..people);
        (casualties, transports, destinations, pin, hold, 12..40_i32).prop_map(
            |(casualties, transports, destinations, pin, hold, horizon)| Problem {
                horizon: horizon * 10,
                casualties,
                transports,
                destinations,
                pins: pin
                    .map(|(casualty, transport, next_trip)| Pin {
                        casualty: CasualtyId(casualty),
                        transport: TransportId(transport),
                        destination: None,
                        next_trip,
                    })
                    .into_iter()
                    .collect(),
                holds: hold.map(CasualtyId).into_iter().collect(),
                ..Problem::default()
            },
        )
    })
}

/// A problem of so many casualties with what a valley has for them: ambulances of both kinds, a minibus and a
/// helicopter, two trips each at most, and three destinations that together have room for nearly all.
fn larger(people: u32) -> impl Strategy<Value = Problem> {
    let casualties: Vec<_> = (0..people).map(casualty).collect();
    let vans = prop::collection::vec((0..4_usize, 0..4_i32, 1..3_u32), 3..5);
    let ways = prop::collection::vec(1..7_i32, 12);
    let places = prop::array::uniform3(prop::array::uniform4(1..5_u32));
    (casualties, vans, ways, places).prop_map(|(casualties, vans, ways, places)| Problem {
        horizon: 480,
        casualties,
        transports: (0_u32..)
            .zip(vans)
            .map(|(id, (kind, available, trips))| {
                let layouts = match kind {
                    0 => vec![Layout::new(1, 1)],
                    1 => vec![Layout::new(2, 0), Layout::new(1, 2)],
                    2 => vec![Layout::new(0, 8)],
                    _ => vec![Layout::new(2, 3)],
                };
                Transport {
                    id: TransportId(id),
                    layouts,
                    on_foot: false,
                    attendants: u16::from(kind != 2),
                    equipment: if kind == 2 {
                        Vec::new()
                    } else {
                        vec![Equipment::Oxygen]
                    },
                    available: available * 10,
                    load: 5,
                    unload: 10,
                    last_departure: (kind == 3).then_some(180),
                    trips,
                    travel: (0..3_u32)
                        .map(|to| (DestinationId(to), ways[(id * 3 + to) as usize] * 10))
                        .collect(),
                }
            })
            .collect(),
        destinations: (0_u32..)
            .zip(places)
            .map(|(id, places)| Destination {
                id: DestinationId(id),
                places,
                abilities: if id == 0 {
                    vec![Ability::Surgery]
                } else {
                    Vec::new()
                },
            })
            .collect(),
        ..Problem::default()
    })
}

/// Of each size from 11 to 16 casualties.
const LARGER: usize = 3;

/// The same larger problems each time.
pub(crate) fn larger_ones() -> Vec<Problem> {
    let mut runner = TestRunner::deterministic();
    (11..=16)
        .flat_map(|people| [people; LARGER])
        .map(|people| {
            let drawn = larger(people).new_tree(&mut runner);
            drawn.expect("a problem").current()
        })
        .collect()
}
