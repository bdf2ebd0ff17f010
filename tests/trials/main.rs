//! Trials of the real program on a real disk: killed, cut off from power, crowded, flooded, made to read nonsense.
//!
//!     cargo test --test trials                          the fast cut, as `tests/run` does
//!     cargo test --release --test trials -- full        the whole of it, hours; prints the same table
//!     cargo test --release --test trials -- full R2 R24 only these
//!
//! A line each: what was done, what came of it. Ends with a failure where one line failed.
#![expect(
    clippy::print_stdout,
    clippy::too_many_lines,
    reason = "a program for the terminal; a trial is told whole"
)]

mod crowd;
mod faulty;
mod kill;
mod long;
mod malformed;
mod phone;
mod power;
mod program;
mod table;

use std::process::ExitCode;

use table::{Outcome, Size};

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    // The bare writer that a trial runs under a trace.
    if let [first, synchronous, rows, file] = words.as_slice()
        && first == "write"
    {
        let rows = rows.parse().unwrap_or(0);
        let done = runtime.block_on(power::write(synchronous, rows, std::path::Path::new(file)));
        return if done.is_ok() {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        };
    }
    // What cargo's own test harness is asked for; there is nothing to list here.
    if words.iter().any(|word| word == "--list") {
        return ExitCode::SUCCESS;
    }
    let size = if words.iter().any(|word| word == "full") {
        Size::Full
    } else {
        Size::Fast
    };
    let named: Vec<&String> = words.iter().filter(|word| word.starts_with('R')).collect();
    let wanted =
        |ids: &[&str]| named.is_empty() || named.iter().any(|one| ids.contains(&one.as_str()));
    let begun = std::time::Instant::now();
    let outcomes = runtime.block_on(async {
        let mut outcomes = Vec::new();
        if wanted(&["R1"]) {
            said(&mut outcomes, kill::run(size).await);
        }
        if wanted(&["R2"]) {
            said(&mut outcomes, power::run(size).await);
        }
        if wanted(&["R3"]) {
            said(&mut outcomes, faulty::run(size).await);
        }
        if wanted(&["R10", "R11", "R12", "R13", "R19", "R22", "R23"]) {
            for one in crowd::run(size).await {
                said(&mut outcomes, one);
            }
        }
        if wanted(&["R14"]) {
            said(&mut outcomes, malformed::run(size).await);
        }
        if wanted(&["R24"]) {
            said(&mut outcomes, long::run(size).await);
        }
        outcomes
    });
    let failed = outcomes.iter().filter(|one| !one.passed).count();
    println!(
        "{} of {} hold; {:.0} s",
        outcomes.len() - failed,
        outcomes.len(),
        begun.elapsed().as_secs_f64()
    );
    if failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn said(outcomes: &mut Vec<Outcome>, one: Outcome) {
    one.print();
    outcomes.push(one);
}
