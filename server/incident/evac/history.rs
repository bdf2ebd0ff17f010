//! What a casualty told: each answer as it was last given. The age stands elsewhere, in `told`.

use crate::incident::entry::Entry;
use crate::incident::fact::{Fact, HistoryTold};

/// The latest answer to everything, from a casualty's entries in the order things happened.
pub(in crate::incident) fn history(ordered: &[&Entry]) -> HistoryTold {
    let mut known = HistoryTold::default();
    for entry in ordered {
        let Fact::HistoryTold(said) = &entry.fact else {
            continue;
        };
        macro_rules! later {
            ($($field:ident),+) => { $(if said.$field.is_some() { known.$field.clone_from(&said.$field); })+ };
        }
        later!(
            sex, injured_at, mechanism, complaints, allergies, medicines, background, other
        );
    }
    known
}
