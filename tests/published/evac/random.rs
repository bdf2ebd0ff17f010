//! Random small problems, every kind of limit in them: the planner against the exact program.
//!
//! Promises: a level that is called proven is never wrong.

use holdfast::rules::evac::{
    Ability, Casualty, CasualtyId, Destination, DestinationId, Effort, Equipment, Layout,
    LoadingTrip, Pin, Posture, Priority, Problem, Transport, TransportId, check, plan, plan_with,
};
use proptest::prelude::*;

use super::subsets;

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

fn problem() -> impl Strategy<Value = Problem> {
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

/// The levels as the exact program has them.
fn levels(problem: &Problem, effort: Effort) -> ([i64; 13], usize) {
    let planned = plan_with(problem, effort);
    let trips: Vec<_> = planned
        .checked
        .trips
        .iter()
        .map(|t| t.trip.clone())
        .collect();
    assert_eq!(check(problem, &trips).as_ref(), Ok(&planned.checked));
    (
        planned.checked.vector.levels().map(i64::from),
        planned.proven,
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_planner_finds_what_the_exact_program_finds(problem in problem()) {
        let exact = subsets::best(&problem);
        let (planned, proven) = levels(&problem, Effort::default());
        prop_assert_eq!(proven, 13);
        prop_assert_eq!(planned, exact);
        // With hardly any budget it may find less, but what it calls proven is.
        for proof in [0, 30, 200] {
            let (planned, proven) = levels(&problem, Effort { proof, shakes: 3 });
            prop_assert_eq!(&planned[..proven], &exact[..proven]);
            prop_assert!(planned >= exact);
        }
    }

    #[test]
    fn with_a_trip_being_loaded_the_plan_is_still_possible(problem in problem(), to in 0..3_u32, minutes in 0..20_i32) {
        let mut problem = problem;
        let van = &problem.transports[0];
        let destination = DestinationId(to.min(u32::try_from(problem.destinations.len()).expect("few") - 1));
        problem.loading.push(LoadingTrip {
            transport: van.id,
            destination,
            aboard: vec![CasualtyId(0)],
            departs: minutes,
            travel: van.minutes_to(destination).unwrap_or(30),
        });
        let planned = plan(&problem);
        let aboard = planned.checked.trips.iter().find(|t| t.trip.casualties.contains(&CasualtyId(0)));
        prop_assert!(aboard.is_some_and(|t| t.trip.destination == destination && t.departs >= minutes));
        // Proven with much effort cannot be bettered with less.
        let quick = plan_with(&problem, Effort { proof: 10, shakes: 0 });
        prop_assert!(quick.checked.vector.levels()[..planned.proven] >= planned.checked.vector.levels()[..planned.proven]);
    }
}
