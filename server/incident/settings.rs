//! What holds for everybody: the numbers and choices the lead may change, who is named as trained, and what changed
//! for all at once (more help came, the weather turned).
//!
//! Owns the fold of those facts over the incident's whole time. Promises: pure; the same unstruck entries give
//! the same settings in whatever order they are looked at; what happened is judged by what held when it
//! happened, so that a change never rewrites what was seen before it.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use super::entry::Entry;
use super::fact::{Fact, NamedAs, Skill};
use super::ids::{DeviceId, Seq};
use super::role::Role;
use super::setting::Setting;
use super::text::Words;
use crate::rules::bleeding::act::Role as Training;
use crate::rules::bleeding::{Minutes, Policy};
use crate::rules::triage::retriage::{Event, Intervals};

/// What holds at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct InForce {
    /// The numbers and choices of the bleeding rules.
    pub policy: Policy,
    /// A casualty is to be sorted within this time. Design choice (no published interval found).
    pub sort_within: Minutes,
    /// After how long somebody who is sorted is to be looked at again.
    pub looks: Intervals,
    /// How many further days the group may have to wait for help: each open wound is dressed anew each day.
    pub days_to_wait: u32,
    /// What the lead named people as, by their device.
    pub named: BTreeMap<DeviceId, NamedAs>,
    /// Devices whose people the lead named as deputies.
    pub deputies: BTreeSet<DeviceId>,
    /// Devices the lead chose to keep the record, or not to.
    pub witnesses: BTreeMap<DeviceId, bool>,
}

/// Who changed a setting last, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// When it happened.
    pub at: Timestamp,
    /// Who reported it.
    pub by: Words,
    /// Who decided it, where that was said.
    pub decided_by: Option<Words>,
    /// Its position.
    pub seq: Seq,
}

/// What holds when: the defaults, then every change in the order it happened.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settings {
    first: InForce,
    later: Vec<(Timestamp, InForce)>,
    changed: BTreeMap<Setting, Changed>,
    events: Vec<(Timestamp, Event)>,
}

impl Default for InForce {
    fn default() -> Self {
        Self {
            policy: Policy::default(),
            sort_within: Minutes(5),
            looks: Intervals::default(),
            days_to_wait: 0,
            named: BTreeMap::new(),
            deputies: BTreeSet::new(),
            witnesses: BTreeMap::new(),
        }
    }
}

impl InForce {
    /// What somebody counts as trained for: what the lead named them as, else what they said when they joined; the
    /// lead in packing and in releasing.
    pub fn training(&self, device: DeviceId, skill: Option<Skill>, role: Option<Role>) -> Training {
        let said_medic = skill == Some(Skill::Medic);
        // Being named trained makes nobody less than they are.
        let named = self
            .named
            .get(&device)
            .filter(|named| !(said_medic && **named == NamedAs::Trained));
        if let Some(named) = named {
            named.training()
        } else if said_medic {
            Training::Medic
        } else if role == Some(Role::Lead) {
            Training::TrainedLead
        } else {
            Training::FirstAider
        }
    }

    fn name(&mut self, device: DeviceId, named: Option<NamedAs>) {
        match named {
            Some(named) => self.named.insert(device, named),
            None => self.named.remove(&device),
        };
    }
}

impl Settings {
    /// Folds unstruck entries, in any order of presentation; those that set nothing are passed over.
    pub(super) fn fold(entries: &[&Entry]) -> Self {
        let mut ordered: Vec<&Entry> = entries
            .iter()
            .copied()
            .filter(|entry| entry.fact.sets())
            .collect();
        ordered.sort_by_key(|entry| entry.order());
        let mut settings = Self::default();
        for entry in ordered {
            settings.take(entry);
        }
        settings
    }

    fn take(&mut self, entry: &Entry) {
        let mut next = self.now().clone();
        match &entry.fact {
            Fact::PolicyChanged(change) => {
                change.setting.set(&mut next, &change.value);
                let changed = Changed {
                    at: entry.happened_at,
                    by: entry.by.clone(),
                    decided_by: change.decided_by.clone(),
                    seq: entry.seq,
                };
                self.changed.insert(change.setting, changed);
            }
            Fact::HelperTrained(first) => {
                next.name(first.helper, first.trained.then_some(NamedAs::Trained));
            }
            Fact::HelperNamed(said) => next.name(said.helper, said.named_as),
            Fact::CircumstancesChanged(said) => {
                self.events.push((entry.happened_at, said.change.event()));
                return;
            }
            Fact::DeputyNamed(named) if named.deputy => {
                next.deputies.insert(named.helper);
            }
            Fact::DeputyNamed(named) => {
                next.deputies.remove(&named.helper);
            }
            Fact::WitnessChosen(chosen) => {
                next.witnesses.insert(chosen.helper, chosen.witness);
            }
            _ => return,
        }
        self.later.push((entry.happened_at, next));
    }

    /// What holds after every change.
    pub fn now(&self) -> &InForce {
        self.later.last().map_or(&self.first, |(_, held)| held)
    }

    /// What held at a moment.
    pub fn at(&self, moment: Timestamp) -> &InForce {
        self.later
            .iter()
            .rev()
            .find(|(from, _)| *from <= moment)
            .map_or(&self.first, |(_, held)| held)
    }

    /// What changed for everybody at once and calls for another look, in the order it happened.
    pub fn events(&self) -> &[(Timestamp, Event)] {
        &self.events
    }

    /// Who changed this setting last; none while it is as the program brought it.
    pub fn changed(&self, setting: Setting) -> Option<&Changed> {
        self.changed.get(&setting)
    }
}
