//! Commands of the program that are more than a line: each parses, runs and says what came of it.

mod copies;
mod standby;

pub(crate) use copies::{copy, run as copy_on};
pub(crate) use standby::{StandbyArgs, promote, standby};
