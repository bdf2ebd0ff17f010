//! The end of an incident: who is not accounted for, and that it was closed.
//!
//! Owns the list. An incident is closed when everybody was handed over or is dead and every trip has ended (a rule of
//! this board); whoever is met after that opens it again, for nothing that is reported is ever turned away.

use jiff::Timestamp;

use super::evac::Whereabouts;
use super::state::Incident;
use super::text::Words;
use crate::rules::triage::Category;

/// That it was closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// When.
    pub at: Timestamp,
    /// By whom.
    pub by: Words,
}

impl Incident {
    /// Who and what is not accounted for, in words; nothing where the incident can be closed.
    pub fn unaccounted(&self) -> Vec<String> {
        let evacuation = self.evacuation();
        let transport = |id| {
            evacuation
                .transports
                .get(id)
                .map_or("a transport", |one| one.details.name.as_str())
        };
        let people = self.casualties().filter_map(|one| {
            let number = one.number;
            match evacuation.whereabouts(one.id) {
                Some(Whereabouts::HandedOver { .. }) => None,
                Some(Whereabouts::Loading { transport: id, .. }) => {
                    Some(format!("casualty {number} is on {}", transport(id)))
                }
                Some(Whereabouts::Gone { transport: id, .. }) => Some(format!(
                    "casualty {number} left on {} and is not handed over",
                    transport(id)
                )),
                None if one.urgent_category() == Some(Category::Dead) => None,
                None => Some(format!("casualty {number} is still here")),
            }
        });
        let trips = evacuation
            .transports
            .values()
            .filter(|one| {
                one.under_way()
                    .is_some_and(|trip| trip.arrived_at.is_none())
            })
            .map(|one| format!("{} has not arrived", one.details.name));
        people.chain(trips).collect()
    }

    /// That it was closed, while nobody is unaccounted for.
    pub fn closed(&self) -> Option<&Closed> {
        self.closed
            .as_ref()
            .filter(|_| self.unaccounted().is_empty())
    }
}
