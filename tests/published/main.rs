//! The rules against published tables and vectors, as data files run through the public functions.
//!
//! Each row of a data file names its source. What nobody published is marked as derived.

mod bleeding;
mod charts;
mod evac;
mod laws;
mod place;
mod practice;
mod scores;
mod start;
mod trend;
mod vectors;
mod words;
