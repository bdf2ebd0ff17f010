//! The rules against independent programs in another language, each run as a process of its own.
//!
//! `tests/run` makes the virtual environment and names its Python in `HOLDFAST_ORACLE_PYTHON`; where it cannot, it says
//! that these checks are skipped.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a comparison that cannot be made stops"
)]

mod evac;
#[path = "../published/evac/instances.rs"]
#[expect(dead_code, reason = "the other tests use the rest")]
mod instances;
#[path = "../published/evac/problems.rs"]
mod problems;
mod scores;

/// The Python that has the libraries.
fn python() -> String {
    std::env::var("HOLDFAST_ORACLE_PYTHON").expect(
        "HOLDFAST_ORACLE_PYTHON names a Python with scipy and clincalc: run tests/run, which makes one",
    )
}
