//! The board from outside: a real server on a free port, a real file, and what people and programs send.
#![expect(
    clippy::unwrap_used,
    clippy::too_many_lines,
    reason = "a test that cannot go on stops; a story is told whole"
)]

#[path = "../harness/mod.rs"]
mod harness;

mod alarms;
mod appointed;
mod bleeding;
mod came_late;
mod command;
mod contacts;
mod copies;
mod crash;
mod door;
mod faults;
mod handover;
mod journal_read;
mod keeping;
mod leaving;
mod limits;
mod live;
mod looking_again;
mod machine_clock;
mod one_person;
mod openapi;
mod program;
mod receipts;
mod restart;
mod roles;
mod settings;
mod standing_by;
mod stored_shapes;
mod survival;
mod tables;
mod tls;
mod upgrade;
