//! Who has joined, and in which role each of them stands.
//!
//! Owns what an entry makes of people: who joined is as they said; who takes command leads, and whoever led goes on as a
//! helper.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::entry::Entry;
use super::fact::Fact;
use super::ids::DeviceId;
use super::role::Role;
use super::state::{Incident, Person};

/// Everybody whom one entry changes, as they stand after it.
pub(super) fn changed_by(entry: &Entry, known: impl Fn(DeviceId) -> Option<Person>) -> Vec<Person> {
    match &entry.fact {
        Fact::HelperJoined(joined) => vec![Person {
            device: entry.device,
            name: joined.name.clone(),
            skill: joined.skill,
            role: joined.role,
            joined_at: entry.happened_at,
            changed: entry.seq,
        }],
        Fact::CommandHandedOver(over) => [(over.from, Role::Helper), (over.to, Role::Lead)]
            .into_iter()
            .filter_map(|(device, role)| {
                let changed = entry.seq;
                known(device).map(|person| Person {
                    role,
                    changed,
                    ..person
                })
            })
            .collect(),
        _ => Vec::new(),
    }
}

impl Incident {
    /// Everybody whom these entries change, as they stand after all of them.
    pub(super) fn people_after(&self, added: &[Arc<Entry>]) -> Vec<Person> {
        let mut after: BTreeMap<DeviceId, Person> = BTreeMap::new();
        for entry in added {
            let known = |device| {
                let person = after.get(&device).or_else(|| self.people.get(&device));
                person.cloned()
            };
            for person in changed_by(entry, known) {
                after.insert(person.device, person);
            }
        }
        after.into_values().collect()
    }
}
