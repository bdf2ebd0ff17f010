//! The evacuation planner against a mixed-integer program solved by `scipy.optimize.milp` (`evac.py`).

use holdfast::rules::evac::{Posture, Problem, Vector, plan};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

use crate::instances;
use crate::problems::{larger_ones, problem};

/// Random problems to compare.
const RANDOM: usize = 60;

fn as_json(problem: &Problem) -> Value {
    let van_of = |id| problem.transports.iter().position(|t| t.id == id);
    let casualties: Vec<Value> = problem
        .casualties
        .iter()
        .map(|c| {
            let pin = problem.pins.iter().find(|pin| pin.casualty == c.id);
            json!({
                "class": c.priority.index(),
                "posture": match c.posture { Posture::Lying => "lying", Posture::Sitting => "sitting", Posture::Walking => "walking" },
                "ready": c.ready, "deadline": c.deadline, "needs": c.needs, "aboard": c.aboard,
                "escort": c.escort, "group": c.group,
                "held": problem.holds.iter().any(|held| *held == c.id || problem.casualty(*held).is_some_and(|h| h.group.is_some() && h.group == c.group)),
                "pin": pin.map(|pin| (van_of(pin.transport), pin.next_trip)),
            })
        })
        .collect();
    let transports: Vec<Value> = problem
        .transports
        .iter()
        .map(|t| {
            let travel: Vec<Option<i32>> = problem.destinations.iter().map(|d| t.minutes_to(d.id)).collect();
            let layouts: Vec<(u16, u16)> = t.layouts.iter().map(|l| (l.lying, l.sitting)).collect();
            json!({
                "layouts": layouts, "on_foot": t.on_foot, "attendants": t.attendants, "equipment": t.equipment,
                "available": t.available, "load": t.load, "unload": t.unload, "last": t.last_departure,
                "trips": t.trips, "travel": travel,
            })
        })
        .collect();
    let destinations: Vec<Value> = problem
        .destinations
        .iter()
        .map(|d| json!({ "places": d.places, "abilities": d.abilities }))
        .collect();
    json!({ "horizon": problem.horizon, "casualties": casualties, "transports": transports, "destinations": destinations })
}

/// What the program says of each problem; none where the solver did not finish in its time.
fn solved(problems: &[Problem]) -> Vec<Option<Vec<u32>>> {
    let questions: Vec<Value> = problems.iter().map(as_json).collect();
    crate::asked("evac.py", &questions)
        .into_iter()
        .map(|answer| serde_json::from_value(answer).unwrap())
        .collect()
}

#[test]
fn the_mixed_integer_program_finds_the_same_vectors() {
    let mut runner = TestRunner::deterministic();
    let mut problems: Vec<Problem> = (0..RANDOM)
        .map(|_| problem().new_tree(&mut runner).unwrap().current())
        .collect();
    let small = instances::read()
        .instances
        .into_iter()
        .filter(|i| i.casualties.len() <= 7);
    problems.extend(small.map(|instance| instance.problem()));
    let mut compared = 0;
    for (problem, answer) in problems.iter().zip(solved(&problems)) {
        // What the solver did not finish in its time decides nothing.
        let Some(answer) = answer else { continue };
        let planned = plan(problem);
        assert_eq!(
            planned.checked.vector.levels().as_slice(),
            answer,
            "{problem:#?}"
        );
        compared += 1;
    }
    assert!(
        compared * 10 >= problems.len() * 9,
        "only {compared} of {} were solved",
        problems.len()
    );
}

/// One of each size; all eighteen with `HOLDFAST_LONG=1`, the solver takes minutes for some.
#[test]
fn eleven_to_sixteen_casualties_are_proven_best_and_the_program_agrees() {
    let every = if std::env::var_os("HOLDFAST_LONG").is_some() {
        1
    } else {
        3
    };
    let problems: Vec<Problem> = larger_ones().into_iter().step_by(every).collect();
    let planned: Vec<_> = problems.iter().map(plan).collect();
    let (mut compared, mut whole) = (0, 0);
    for (planned, answer) in planned.iter().zip(solved(&problems)) {
        println!(
            "{} casualties: {} evaluations, {}",
            planned.lines.len(),
            planned.evaluations,
            planned.standing()
        );
        let Some(answer) = answer else { continue };
        // What is called proven is what the program finds; the plan as a whole is never better than its best.
        let ours = planned.checked.vector.levels();
        assert_eq!(ours[..planned.proven], answer[..planned.proven]);
        assert!(ours.as_slice() >= answer.as_slice());
        compared += 1;
        whole += usize::from(planned.proven == Vector::LEVELS);
    }
    println!(
        "the program finished {compared} of {}; {whole} of them are proven best here and it agrees",
        problems.len()
    );
    assert!(whole * 2 >= problems.len(), "only {whole} were compared");
}
