//! Stories in a real browser: phones at 390×844 and the lead's tablet, against the real server.
//!
//! Needs chromium and chromedriver (`tests/run` brings them). Screenshots go to `artefacts/` to be looked at.
#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::too_many_lines,
    reason = "a story that cannot go on stops, and prints what it measured"
)]

mod access;
mod board;
mod care;
mod casualties;
mod chain;
mod clocks;
mod crowd;
mod evac;
mod incident;
mod keyboard;
mod kits;
mod ladder;
mod leaving;
mod legible;
mod net;
mod open_pages;
mod out_of_range;
mod outbox;
mod phones;
mod rough;
mod screen;
mod settings;
mod signs;
mod sorting;
mod streams;
mod survival;
mod tour;
mod unfinished;
mod whose;
