//! The demo's story: by itself, and told to a real board over HTTP.

#![expect(clippy::unwrap_used, reason = "a test may stop where it stands")]

mod board;
mod hour;
mod player;
mod running;
mod script;
