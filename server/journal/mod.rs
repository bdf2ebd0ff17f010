//! The log on disk: append, read, verify, state tables. `SQLite` and nothing else.
//!
//! Owns the one writer task, the database file and everything in it. Promises:
//!
//! - an answer means *on disk*: the transaction holding the facts is committed with full sync before anybody
//!   is told, and before anybody sees the new state;
//! - entries are only ever added, in an unbroken chain, each once;
//! - the state tables are written in the same transaction and equal the fold;
//! - after a write that leaves unknown what is on disk nothing is acknowledged until a fresh start has verified.
//!
//! Does not know HTTP, pages or who is watching; it rings a bell (`watch`) with the newest position.

mod adopt;
mod at_rest;
mod chain;
mod copies;
mod describe;
mod error;
mod files;
mod general;
mod handle;
mod kept;
mod log;
mod moving;
mod open;
mod rebuild;
mod removal;
mod sessions;
mod settings;
mod state_rows;
mod storage;
mod tables;
mod transaction;
mod verify;
mod writer;

pub use at_rest::{AtRest, read_at_rest};
pub use chain::{Chain, check_words};
pub use copies::{Copied, copy};
pub use describe::{COPIED, Described, FOLLOWS, describe};
pub use error::JournalError;
pub use files::{DataFolder, FolderError, IncidentFile, incidents, private_file};
pub use handle::{Head, Journal, StoredEntry};
pub use open::{Opened, Settings, open};
pub use rebuild::{Rebuild, RebuildError, Site};
pub use removal::{Keeping, keeping, overdue, remove, removed};
pub use sessions::StoredSession;
pub use storage::Storage;
pub use verify::{Finding, Verdict, verify};
