//! Messages to read out, filled from the board: the incident report, the handover of a casualty, the nine lines.
//!
//! Owns the way from the board's state to the plain values of the rules. Promises: one source, nothing typed twice; what
//! nobody said stays unsaid, so that it is asked for.

mod casualty;
mod incident_report;
mod pick_up;

use jiff::Timestamp;

use crate::incident::Note;
use crate::rules::words::Moment;

pub use casualty::{Leaves, casualty};
pub use incident_report::{incident_report, position};
pub use pick_up::pick_up;

/// A moment as it is said.
pub fn moment(at: Timestamp) -> Moment {
    Moment(at.as_second())
}

fn text<T: ToString>(said: Option<&T>) -> Option<String> {
    said.map(ToString::to_string)
}

/// "rain, dark" as a list; "none" is an empty one.
fn items(said: Option<&Note>) -> Option<Vec<String>> {
    let said = said?.to_string();
    let none = ["none", "none seen", "no", "-"].contains(&said.trim().to_lowercase().as_str());
    let list = said.split(',').map(|item| item.trim().to_owned());
    Some(if none {
        Vec::new()
    } else {
        list.filter(|item| !item.is_empty()).collect()
    })
}
