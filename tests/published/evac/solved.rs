//! The planner and the checker against the solved instances.
//!
//! Source of the vectors: `tests/fixtures/evac/instances.json`, worked out by a program over subsets, a
//! mixed-integer program and a branch and bound that agree.

use holdfast::rules::evac::{
    Casualty, CasualtyId, Effort, Fault, LeftTrip, LoadingTrip, Names, Pin, Priority, Problem,
    Vector, Why, check, plan, plan_with,
};
use holdfast::rules::evac::{DestinationId, TransportId};

use super::instances::{self, ten};

#[test]
fn the_published_plans_pass_the_checker_with_their_times_and_vectors() {
    let file = instances::read();
    assert_eq!(
        file.objective,
        ["U1", "L1", "T1", "U2", "L2", "T2", "U3", "L3", "T3", "N"]
    );
    for instance in file.instances {
        if instance.optimum.plan.is_empty() {
            continue;
        }
        let checked = check(&instance.problem(), &instance.trips(&instance.optimum.plan))
            .unwrap_or_else(|faults| panic!("{}: {faults:?}", instance.id));
        assert_eq!(
            ten(&checked.vector),
            instance.optimum.vector,
            "{}",
            instance.id
        );
        for (timed, turn) in checked.trips.iter().zip(&instance.optimum.plan) {
            assert_eq!(
                (timed.departs, timed.arrives),
                (turn.depart, turn.arrive),
                "{}",
                instance.id
            );
        }
    }
}

#[test]
fn thirteen_bad_plans_are_refused_with_the_named_fault() {
    let file = instances::read();
    assert_eq!(file.invalid_plans.len(), 13);
    for bad in &file.invalid_plans {
        let mut instance = instances::instance(&bad.instance);
        if let Some(horizon) = bad.changed.get("horizon") {
            instance.horizon = *horizon;
        }
        let faults =
            check(&instance.problem(), &instance.trips(&bad.plan)).expect_err("a bad plan");
        let mut codes: Vec<&str> = faults.into_iter().map(Fault::code).collect();
        // The one without a route also wants places for the third priority where there are none.
        if bad.expect_error == "NO_ROUTE" {
            codes.retain(|code| *code != "NO_BED");
        }
        assert_eq!(codes, [bad.expect_error.as_str()], "{}", bad.instance);
    }
}

#[test]
fn every_instance_up_to_sixteen_casualties_is_proven_best() {
    let small = instances::read()
        .instances
        .into_iter()
        .filter(|i| i.casualties.len() <= 16);
    for instance in small {
        let plan = plan(&instance.problem());
        assert_eq!(
            ten(&plan.checked.vector),
            instance.optimum.vector,
            "{}",
            instance.id
        );
        assert_eq!(plan.proven, Vector::LEVELS, "{}", instance.id);
        assert_eq!(plan.standing(), "proven best");
    }
}

#[test]
fn the_large_ones_serve_the_first_priority_best_and_beat_planning_all_at_once() {
    for id in ["EV-15", "EV-16"] {
        let instance = instances::instance(id);
        let problem = instance.problem();
        let planned = plan(&problem);
        let vector = ten(&planned.checked.vector);
        assert_eq!(vector[..3], instance.optimum.vector[..3], "{id}");
        assert!(
            planned.proven >= instance.optimum.proven_levels,
            "{id}: {}",
            planned.standing()
        );
        assert!(planned.is_proven(0));
        assert!(vector <= instance.baseline_greedy_vector, "{id}");
        // What is best for the first alone is best for them among everybody.
        let mut alone = problem.clone();
        alone.casualties.retain(|c| c.priority == Priority::First);
        assert_eq!(ten(&plan(&alone).checked.vector)[..3], vector[..3], "{id}");
    }
}

#[test]
fn the_same_question_gets_the_same_plan_and_names_do_not_matter() {
    let problem = instances::instance("EV-15").problem();
    let effort = Effort {
        proof: 2_000,
        shakes: 20,
    };
    let first = plan_with(&problem, effort);
    assert_eq!(first.checked, plan_with(&problem, effort).checked);
    let mut renamed = problem.clone();
    for casualty in &mut renamed.casualties {
        casualty.id = CasualtyId(casualty.id.0 * 7 + 100);
    }
    let again = plan_with(&renamed, effort);
    assert_eq!(first.checked.vector, again.checked.vector);
    for (a, b) in first.checked.trips.iter().zip(&again.checked.trips) {
        let renamed: Vec<CasualtyId> = a
            .trip
            .casualties
            .iter()
            .map(|id| CasualtyId(id.0 * 7 + 100))
            .collect();
        assert_eq!(renamed, b.trip.casualties);
    }
}

#[test]
fn later_by_some_minutes_is_later_by_as_many_and_one_more_transport_never_hurts() {
    let problem = instances::instance("EV-13").problem();
    let vector = plan(&problem).checked.vector;
    let mut later = problem.clone();
    later.horizon += 10;
    for casualty in &mut later.casualties {
        casualty.ready += 10;
        casualty.deadline = casualty.deadline.map(|by| by + 10);
    }
    for transport in &mut later.transports {
        transport.available += 10;
        transport.last_departure = transport.last_departure.map(|last| last + 10);
    }
    let shifted = plan(&later).checked.vector;
    for (at, (class, before)) in shifted.classes.iter().zip(&vector.classes).enumerate() {
        let of_class = problem
            .casualties
            .iter()
            .filter(|c| c.priority.index() == at);
        let delivered = u32::try_from(of_class.count()).expect("few") - before.left_behind;
        assert_eq!(class.minutes, before.minutes + 10 * delivered);
    }
    let mut more = problem.clone();
    let mut extra = more.transports[1].clone();
    extra.id = TransportId(50);
    more.transports.push(extra);
    let better = plan(&more);
    assert_eq!(better.proven, Vector::LEVELS);
    assert!(better.checked.vector <= vector);
}

/// What the caller calls people.
struct Plain;

impl Names for Plain {
    fn casualty(&self, id: CasualtyId) -> String {
        format!("casualty {}", id.0)
    }
    fn transport(&self, id: TransportId) -> String {
        format!("transport {}", id.0)
    }
    fn destination(&self, id: DestinationId) -> String {
        format!("place {}", id.0)
    }
    fn time(&self, minute: i32) -> String {
        format!("minute {minute}")
    }
}

fn reasons(problem: &Problem, id: u32) -> Vec<Why> {
    let lines = plan(problem).lines;
    let (_, line) = lines
        .into_iter()
        .find(|(who, _)| who.0 == id)
        .expect("a line for everybody");
    assert!(!line.why.is_empty(), "nobody without a reason");
    assert!(!line.words(&Plain).is_empty());
    line.why
}

#[test]
fn nobody_ready_no_transport_no_bed_gives_an_empty_plan_with_a_reason_for_everybody() {
    let problem = instances::instance("EV-01").problem();
    let mut nothing = problem.clone();
    nothing.transports.clear();
    let mut no_beds = problem.clone();
    no_beds.destinations[0].places = [0; 4];
    let mut too_late = problem.clone();
    for casualty in &mut too_late.casualties {
        casualty.ready = 5_000;
    }
    let mut dark = problem.clone();
    dark.transports[0].last_departure = Some(-1);
    let mut held = problem.clone();
    held.holds = problem.casualties.iter().map(|c| c.id).collect();
    for (problem, reason) in [
        (nothing, Why::NoTransport),
        (no_beds, Why::NoBed),
        (too_late, Why::NotReady(5_000)),
        (dark, Why::AfterLastLight),
        (held, Why::Held),
    ] {
        let planned = plan(&problem);
        assert_eq!(planned.checked.trips, []);
        assert_eq!(planned.lines.len(), 3);
        for (_, line) in &planned.lines {
            assert_eq!(line.why, [reason]);
            assert!(reason.is_not_planned());
        }
    }
}

#[test]
fn reasons_name_what_is_so() {
    let numbered = |id: &str, name: &str| {
        let instance = instances::instance(id);
        reasons(&instance.problem(), instance.casualty(name).0)
    };
    // A vehicle is held for the immediate one who is ready at 25.
    assert!(numbered("EV-05", "F02").contains(&Why::WaitsFor(CasualtyId(0), 25)));
    // Only one attendant: the second unstable one cannot go on the same trip.
    assert!(numbered("EV-11", "N01").iter().all(|why| *why != Why::Held));
    // In the mixed case somebody is left behind because others would lose minutes.
    assert_eq!(numbered("EV-13", "Q10"), [Why::CostsOthers]);
    assert!(numbered("EV-13", "Q06").contains(&Why::Together(CasualtyId(6))));
}

#[test]
fn what_is_loading_stays_what_has_left_is_gone_and_pins_hold() {
    let instance = instances::instance("EV-13");
    let mut problem = instance.problem();
    problem.left.push(LeftTrip {
        transport: instance.transport("AMB1"),
        destination: instance.destination("TRAUMA"),
        casualties: vec![instance.casualty("Q01")],
        arrives: 30,
        travel: 55,
    });
    problem.loading.push(LoadingTrip {
        transport: instance.transport("AMB2"),
        destination: instance.destination("LOCAL"),
        aboard: vec![instance.casualty("Q04")],
        departs: 3,
        travel: 25,
    });
    problem.pins.push(Pin {
        casualty: instance.casualty("Q08"),
        transport: instance.transport("BUS1"),
        destination: None,
        next_trip: true,
    });
    problem.holds.push(instance.casualty("Q09"));
    let planned = plan(&problem);
    let first = planned
        .checked
        .trips
        .iter()
        .find(|t| t.trip.transport == instance.transport("AMB2"))
        .expect("what is being loaded is in the plan");
    assert!(first.trip.casualties.contains(&instance.casualty("Q04")));
    let on = |name: &str| {
        planned
            .checked
            .trips
            .iter()
            .find(|t| t.trip.casualties.contains(&instance.casualty(name)))
    };
    assert!(
        on("Q01").is_none(),
        "somebody who has left is not planned again"
    );
    assert!(on("Q09").is_none());
    assert_eq!(
        on("Q08").map(|t| t.trip.transport),
        Some(instance.transport("BUS1"))
    );
    let line = |name: &str| &planned.lines[instance.casualty(name).0 as usize].1.why;
    assert_eq!(line("Q01"), &[Why::Left]);
    assert_eq!(line("Q04"), &[Why::Loading]);
    assert_eq!(line("Q09"), &[Why::Held]);
    assert!(line("Q08").contains(&Why::Pinned));
}

#[test]
fn among_equals_the_plan_on_screen_stays() {
    let mut problem = instances::instance("EV-15").problem();
    let first = plan(&problem);
    problem.shown = first.checked.trips.iter().map(|t| t.trip.clone()).collect();
    let second = plan(&problem);
    assert!(second.checked.vector <= first.checked.vector);
    if second.checked.vector.levels() == first.checked.vector.levels() {
        assert_eq!(second.checked.trips, first.checked.trips);
        assert_eq!(second.checked.vector.changed, 0);
    }
    // Two who differ in nothing have changed places on screen: they stay where the screen has them.
    let mut twins = instances::instance("EV-04").problem();
    let other: Casualty = Casualty {
        id: CasualtyId(1),
        ..twins.casualties[0].clone()
    };
    twins.casualties[1] = other;
    let mut shown: Vec<_> = plan(&twins)
        .checked
        .trips
        .into_iter()
        .map(|t| t.trip)
        .collect();
    assert_eq!(shown.len(), 2);
    let (a, b) = (shown[0].casualties.clone(), shown[1].casualties.clone());
    shown[0].casualties = b;
    shown[1].casualties = a;
    twins.shown = shown.clone();
    let kept: Vec<_> = plan(&twins)
        .checked
        .trips
        .into_iter()
        .map(|t| t.trip)
        .collect();
    assert_eq!(kept, shown);
}
