//! The evacuation planner against a mixed-integer program solved by `scipy.optimize.milp` (`evac.py`).

use std::io::Write;
use std::process::{Command, Stdio};

use holdfast::rules::evac::{Posture, Problem, plan};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

use crate::instances;
use crate::problems::problem;

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

#[test]
fn the_mixed_integer_program_finds_the_same_vectors() {
    let python = crate::python();
    let mut runner = TestRunner::deterministic();
    let mut problems: Vec<Problem> = (0..RANDOM)
        .map(|_| {
            problem()
                .new_tree(&mut runner)
                .expect("a problem")
                .current()
        })
        .collect();
    let small = instances::read()
        .instances
        .into_iter()
        .filter(|i| i.casualties.len() <= 7);
    problems.extend(small.map(|instance| instance.problem()));
    let mut child = Command::new(python)
        .arg(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/tests/oracles/evac.py"
        ))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("Python starts");
    let mut input = child.stdin.take().expect("a pipe");
    let lines: Vec<String> = problems
        .iter()
        .map(|problem| as_json(problem).to_string())
        .collect();
    let writer = std::thread::spawn(move || {
        for line in lines {
            writeln!(input, "{line}").expect("Python reads");
        }
    });
    let output = child.wait_with_output().expect("Python ends");
    writer.join().expect("all written");
    assert!(output.status.success());
    let answers: Vec<Option<Vec<u32>>> = String::from_utf8(output.stdout)
        .expect("text")
        .lines()
        .map(|line| serde_json::from_str(line).expect("a vector"))
        .collect();
    assert_eq!(answers.len(), problems.len());
    let mut compared = 0;
    for (problem, answer) in problems.iter().zip(answers) {
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
