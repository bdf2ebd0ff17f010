//! The bleeding ladder through the public door: what people report, and what the pages then say.

mod after;
mod around;
#[path = "../../published/bleeding/names.rs"]
mod names;
mod regions;
mod reports;
mod sequences;
mod warnings;
