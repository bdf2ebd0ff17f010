//! What an entry about the incident as a whole or about a kit says, in words.
//!
//! Owns the wording of settings and supplies. Pure.

use super::fact::Fact;
use super::sentence::list;
use super::state::Incident;

/// The words of such a fact; none for any other.
pub(super) fn general(fact: &Fact, incident: &Incident) -> Option<String> {
    let words = match fact {
        Fact::PolicyChanged(change) => list([
            Some(format!(
                "setting changed: {}: {}",
                change.setting.words().to_lowercase(),
                change.setting.value_words(&change.value)
            )),
            change
                .decided_by
                .as_ref()
                .map(|who| format!("decided by {who}")),
        ]),
        Fact::HelperTrained(named) => {
            let name = incident
                .person(named.helper)
                .map_or("somebody", |one| one.name.as_str());
            let not = if named.trained { "" } else { "not " };
            format!("{name}: {not}trained in packing and releasing")
        }
        _ => return None,
    };
    Some(words)
}
