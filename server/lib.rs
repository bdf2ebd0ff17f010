//! holdfast: a shared incident board for a group accident.
//!
//! The map of the house, in reading order; imports run one way, downwards in this list reversed
//! (`web → live → journal → incident → rules`; `exchange` and `drill` stand on `incident`):
//!
//! - [`rules`]: what the trade knows, pure functions with their sources.
//! - [`incident`]: facts and what they add up to.
//! - [`journal`]: the log on disk, one writer, `SQLite` and nothing else.
//! - [`live`]: who is watching what, and what each has already seen.
//! - [`web`]: sessions, pages, the journal endpoint, the live endpoint, problems.
//! - [`exchange`]: what leaves on paper, as a code or as a file.
//! - [`drill`]: practice incidents.
//! - [`boot`]: from a choice of data folder and incident to a running board.
//! - [`standby`]: a second machine that follows a board and takes over.
//! - [`tls`]: the board's own certificates, for devices an organisation owns.
//! - [`clock`]: the one file that asks for the time or for random bytes.

pub mod boot;
pub mod clock;
pub mod drill;
pub mod exchange;
pub mod incident;
pub mod journal;
pub mod live;
pub mod rules;
pub mod standby;
pub mod tls;
pub mod web;
