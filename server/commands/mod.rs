//! Commands of the program that are more than a line: each parses, runs and says what came of it.

mod standby;

pub(crate) use standby::{StandbyArgs, promote, standby};
