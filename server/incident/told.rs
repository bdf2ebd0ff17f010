//! Age and health as told: the one place where both stored shapes that can say an age are read.
//!
//! Owns the merge: the latest word about each thing stands. Promises: pure; what nobody told stays unknown. An age
//! is reported as `casualty.told/1`; `history.told/1` once carried one too and is still read.

use super::entry::Entry;
use super::fact::{CasualtyTold, Fact};

/// What was told, from a casualty's unstruck entries in the order they happened.
pub(super) fn told(ordered: &[&Entry]) -> CasualtyTold {
    let mut known = CasualtyTold::default();
    for entry in ordered {
        match &entry.fact {
            Fact::CasualtyTold(said) => {
                known.years = said.years.or(known.years);
                known.pregnant = said.pregnant.or(known.pregnant);
                known.oxygen_scale = said.oxygen_scale.or(known.oxygen_scale);
                known.pulse_misleads = said.pulse_misleads.or(known.pulse_misleads);
            }
            Fact::HistoryTold(said) => known.years = said.about_years.or(known.years),
            _ => {}
        }
    }
    known
}
