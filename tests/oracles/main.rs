//! The rules against independent programs in another language, each run as a process of its own.
//!
//! `tests/run` makes the virtual environment and names its Python in `HOLDFAST_ORACLE_PYTHON`; where it cannot, it says
//! that these checks are skipped.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::too_many_lines,
    reason = "a comparison that cannot be made stops; a story is told whole"
)]

mod door;
mod evac;
mod exchange;
mod field;
mod health;
#[path = "../published/evac/instances.rs"]
#[expect(dead_code, reason = "the other tests use the rest")]
mod instances;
mod messages;
#[path = "../trials/phone.rs"]
#[expect(dead_code, reason = "the trials use the rest")]
mod phone;
#[path = "../published/evac/problems.rs"]
mod problems;
#[path = "../trials/program.rs"]
#[expect(dead_code, reason = "the trials use the rest")]
mod program;
mod scores;
#[path = "../harness/told.rs"]
mod told;

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a script of this folder says to each question: one JSON document a line, asked and answered.
fn asked(script: &str, questions: &[Value]) -> Vec<Value> {
    let python = python();
    let script = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/oracles")
        .join(script);
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{python}: {error}"));
    let mut input = child.stdin.take().unwrap();
    let lines: Vec<String> = questions.iter().map(Value::to_string).collect();
    let writing = std::thread::spawn(move || writeln!(input, "{}", lines.join("\n")));
    let output = child.wait_with_output().unwrap();
    writing.join().unwrap().unwrap();
    assert!(output.status.success(), "the script failed");
    let answers: Vec<Value> = String::from_utf8(output.stdout)
        .unwrap()
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(answers.len(), questions.len());
    answers
}

/// The Python that has the libraries.
fn python() -> String {
    std::env::var("HOLDFAST_ORACLE_PYTHON").expect(
        "HOLDFAST_ORACLE_PYTHON names a Python with the libraries of tests/run, which makes one: run that",
    )
}
