//! How long the evacuation planner takes, and how good its plans are: `cargo bench --bench evac`.
//!
//! Prints; asserts nothing about time. Milliseconds are the best of five; the gap is to the best vector known.
#![expect(clippy::print_stdout, reason = "a benchmark prints")]

use std::time::Instant;

use holdfast::rules::evac::plan;

#[path = "../tests/published/evac/instances.rs"]
#[expect(dead_code, reason = "the tests use the rest")]
mod instances;

fn main() {
    println!(
        "instance  casualties  transports  evaluations      ms  proven  gap to the best known, level by level"
    );
    let mut last = 0.0;
    for instance in instances::read().instances {
        let problem = instance.problem();
        let mut best = f64::INFINITY;
        let mut planned = plan(&problem);
        for _ in 0..5 {
            let start = Instant::now();
            planned = plan(&problem);
            best = best.min(start.elapsed().as_secs_f64() * 1000.0);
        }
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
}
