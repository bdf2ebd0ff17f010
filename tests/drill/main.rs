//! The demo's story: by itself, and told to a real board over HTTP.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::too_many_lines,
    reason = "a test may stop where it stands; a story reads in one piece, and the hour prints its table"
)]

mod board;
mod hour;
mod player;
mod running;
mod script;
