//! The board from outside: a real server on a free port, a real file, and what people and programs send.

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
