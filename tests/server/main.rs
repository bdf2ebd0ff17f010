//! The board from outside: a real server on a free port, a real file, and what people and programs send.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on stops")]
#![expect(
    clippy::too_many_lines,
    reason = "a story or a table of cases reads best in one piece"
)]

#[path = "../harness/mod.rs"]
mod harness;

mod crash;
mod door;
mod journal_read;
mod live;
mod openapi;
mod receipts;
mod restart;
mod roles;
mod stored_shapes;
mod tables;
