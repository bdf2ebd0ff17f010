//! How long the evacuation planner takes, and how good its plans are: `cargo bench --bench evac`.
//!
//! Prints; asserts nothing about time. Milliseconds are the best of five; the gap is to the best vector known.
#![expect(clippy::print_stdout, reason = "a benchmark prints")]

use std::time::Instant;

use holdfast::rules::evac::{Effort, Plan, Problem, plan, plan_with};

#[path = "../tests/published/evac/instances.rs"]
#[expect(dead_code, reason = "the tests use the rest")]
mod instances;
#[path = "../tests/published/evac/problems.rs"]
#[expect(dead_code, reason = "the tests use the rest")]
mod problems;

/// Milliseconds, the best of five, and the plan.
fn timed(make: impl Fn() -> Plan) -> (f64, Plan) {
    let mut best = f64::INFINITY;
    let mut planned = make();
    for _ in 0..5 {
        let start = Instant::now();
        planned = make();
        best = best.min(start.elapsed().as_secs_f64() * 1000.0);
    }
    (best, planned)
}

/// Random problems of 11 to 16 casualties: what it takes to prove them best.
fn larger() {
    println!("\nrandom    casualties  transports  evaluations      ms  proven");
    for (index, problem) in problems::larger_ones().iter().enumerate() {
        let (best, planned) = timed(|| plan(problem));
        println!(
            "R-{index:02}      {:>10}  {:>10}  {:>11}  {best:>6.2}  {:>3}/13",
            problem.casualties.len(),
            problem.transports.len(),
            planned.evaluations,
            planned.proven
        );
        if planned.proven < 13 {
            without_limit(problem);
        }
    }
}

/// The same with a hundred times the effort.
fn without_limit(problem: &Problem) {
    let effort = Effort {
        proof: 100 * Effort::default().proof,
        ..Effort::default()
    };
    let start = Instant::now();
    let planned = plan_with(problem, effort);
    println!(
        "  with a hundred times the effort: {} evaluations, {:.0} ms, {}/13",
        planned.evaluations,
        start.elapsed().as_secs_f64() * 1000.0,
        planned.proven
    );
}

fn main() {
    println!(
        "instance  casualties  transports  evaluations      ms  proven  gap to the best known, level by level"
    );
    let mut last = 0.0;
    for instance in instances::read().instances {
        let problem = instance.problem();
        let (best, planned) = timed(|| plan(&problem));
        let vector = instances::ten(&planned.checked.vector);
        let gap: Vec<i64> = vector
            .iter()
            .zip(instance.optimum.vector)
            .map(|(found, known)| i64::from(*found) - i64::from(known))
            .collect();
        println!(
            "{:<8}  {:>10}  {:>10}  {:>11}  {best:>6.2}  {:>3}/13  {gap:?}",
            instance.id,
            problem.casualties.len(),
            problem.transports.len(),
            planned.evaluations,
            planned.proven
        );
        if instance.id == "EV-16" {
            println!("EV-16 takes {:.1} times as long as EV-15", best / last);
        }
        last = best;
    }
    larger();
}
