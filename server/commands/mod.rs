//! Commands of the program that are more than a line: each parses, runs and says what came of it.

mod copies;
mod export;
mod removal;
mod standby;
mod tls;
mod verify;
mod words;

pub(crate) use copies::{Watched, copy, run as copy_on};
pub(crate) use export::{ExportArgs, export};
pub(crate) use removal::{RemoveArgs, remind, remove};
pub(crate) use standby::{StandbyArgs, promote, standby};
pub(crate) use tls::TlsArgs;
pub(crate) use verify::verify;
pub(crate) use words::words;
