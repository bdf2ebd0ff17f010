//! The rules against independent programs in another language, each run as a process of its own.
//!
//! `tests/run` makes the virtual environment and names its Python in `HOLDFAST_ORACLE_PYTHON`; where it cannot, it says
//! that these checks are skipped.

mod evac;
#[path = "../published/evac/instances.rs"]
#[expect(dead_code, reason = "the other tests use the rest")]
mod instances;
#[path = "../published/evac/problems.rs"]
mod problems;
