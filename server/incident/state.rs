//! The incident in memory: every entry, and what they add up to.
//!
//! Owns the indexes and the folded casualties. Promises: the state follows from the entries alone; it changes
//! only by adopting a draft's changes, which cannot fail; replaying the journal gives the same state as
//! having lived through it.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use jiff::Timestamp;

use super::about::About;
use super::casualty::{Casualty, Record};
use super::closing::Closed;
use super::command::Handover;
use super::description::Description;
use super::draft::Changes;
use super::entry::Entry;
use super::epoch::{Epoch, begun_by};
use super::evac::{Evacuation, Known};
use super::fact::{Fact, Skill};
use super::ids::{CasualtyId, DeviceId, EntryId, KitId, Seq, WoundId};
use super::people::changed_by;
use super::role::Role;
use super::sames::{Sames, other_record};
use super::settings::Settings;
use super::stock::{self, Supplies};
use super::text::Words;

/// Somebody who joined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// Their device.
    pub device: DeviceId,
    /// What they call themselves.
    pub name: Words,
    /// What they have learnt.
    pub skill: Skill,
    /// In which role.
    pub role: Role,
    /// When they joined.
    pub joined_at: Timestamp,
    /// The position of the last entry that changed any of this.
    pub changed: Seq,
}

/// The last position that touched each group of things; the live layer asks what to send again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Touched {
    /// Any casualty.
    pub casualties: Seq,
    /// Counts or uses of supplies, and whatever else may change the need.
    pub stock: Seq,
    /// What is left in the kits: the materials a step is offered with.
    pub materials: Seq,
    /// Who is here.
    pub people: Seq,
    /// The incident's own description.
    pub incident: Seq,
    /// Transports, destinations, who is where.
    pub evac: Seq,
    /// What it works with: every casualty may look different after it.
    pub settings: Seq,
    /// What stands in the forms of a page for as long as it is open: times to hold, systems to sort by.
    pub forms: Seq,
}

/// The incident.
#[derive(Clone, Debug, Default)]
pub struct Incident {
    pub(super) entries: Vec<Arc<Entry>>,
    pub(super) by_id: HashMap<EntryId, Seq>,
    pub(super) threads: HashMap<CasualtyId, Vec<Seq>>,
    pub(super) numbers: HashMap<CasualtyId, u32>,
    pub(super) owners: HashMap<WoundId, CasualtyId>,
    pub(super) counts: Vec<Seq>,
    pub(super) general: Vec<Seq>,
    pub(super) moving: Vec<Seq>,
    pub(super) places: Known,
    pub(super) setting_facts: Vec<Seq>,
    pub(super) same_facts: Vec<Seq>,
    pub(super) sames: Sames,
    pub(super) strikes: Vec<(Seq, Seq)>,
    pub(super) struck: HashSet<Seq>,
    pub(super) casualties: BTreeMap<u32, Casualty>,
    pub(super) people: BTreeMap<DeviceId, Person>,
    pub(super) supplies: Supplies,
    pub(super) description: Description,
    pub(super) evacuation: Evacuation,
    pub(super) settings: Settings,
    pub(super) epochs: Vec<Epoch>,
    pub(super) command: Option<Handover>,
    pub(super) closed: Option<Closed>,
    pub(super) touched: Touched,
}

impl Incident {
    /// Rebuilds the incident from its journal.
    pub fn replay(entries: Vec<Entry>) -> Self {
        let mut incident = Self::default();
        let mut touched = HashSet::new();
        for entry in entries {
            touched.extend(incident.index(Arc::new(entry)));
        }
        incident.struck = super::strike::struck(incident.strikes.iter().copied());
        incident.settings = incident.fold_settings(&[], &incident.struck);
        incident.sames = incident.fold_sames(&[], &incident.struck, |id| incident.raw_number(id));
        let folded: Vec<_> = touched
            .into_iter()
            .map(|id| {
                let held = (&incident.settings, &incident.sames);
                (id, incident.fold_casualty(id, &[], &incident.struck, held))
            })
            .collect();
        for (id, casualty) in folded {
            incident.place(id, casualty);
        }
        incident.fold_rest();
        incident
    }

    /// Takes on what a draft prepared and the journal has committed.
    pub fn adopt(&mut self, changes: Changes) {
        let Changes {
            entries,
            casualties,
            struck,
            supplies,
            description,
            evacuation,
            settings,
            sames,
            ..
        } = changes;
        for entry in entries {
            self.index(entry);
        }
        self.struck = struck;
        self.supplies = supplies;
        self.description = description;
        if let Some(evacuation) = evacuation {
            self.evacuation = evacuation;
        }
        self.settings = settings;
        self.sames = sames;
        for change in casualties {
            self.place(change.id, change.after);
        }
    }

    /// Puts an entry into the indexes; returns the records it touches.
    fn index(&mut self, entry: Arc<Entry>) -> Vec<CasualtyId> {
        let seq = entry.seq;
        self.by_id.insert(entry.id, seq);
        self.epochs.extend(begun_by(&entry));
        if let (About::Wound(wound), Some(casualty)) = (entry.about, entry.fact.founds_wound_of()) {
            self.owners.entry(wound).or_insert(casualty);
        }
        match (&entry.about, &entry.fact) {
            (About::Casualty(id), Fact::CasualtyRegistered(_)) => {
                let next = u32::try_from(self.numbers.len() + 1).unwrap_or(u32::MAX);
                self.numbers.entry(*id).or_insert(next);
                // Somebody more: whoever closed it did not know of them.
                self.closed = None;
            }
            (About::Kit(_), _) => self.counts.push(seq),
            (
                About::Incident,
                Fact::IncidentOpened(_)
                | Fact::IncidentDescribed(_)
                | Fact::RecordKept(_)
                | Fact::TriageChosen(_),
            ) => self.general.push(seq),
            (_, fact) if fact.sets() => self.setting_facts.push(seq),
            (_, Fact::CommandHandedOver(_)) => self.hand_over(&entry),
            (_, Fact::IncidentClosed(_)) => {
                self.closed = Some(Closed {
                    at: entry.happened_at,
                    by: entry.by.clone(),
                });
            }
            _ => {}
        }
        for person in changed_by(&entry, |device| self.people.get(&device).cloned()) {
            self.people.insert(person.device, person);
        }
        if let Fact::EntryStruck(strike) = &entry.fact
            && let Some(named) = self.by_id.get(&strike.entry)
        {
            self.strikes.push((seq, *named));
        }
        if entry.fact.moves_people() {
            self.moving.push(seq);
            self.places.learn(&entry);
        }
        let records = self.thread(&entry);
        self.mark(&entry);
        self.entries.push(entry);
        records
    }

    /// Puts an entry into the threads of the records it touches.
    fn thread(&mut self, entry: &Entry) -> Vec<CasualtyId> {
        let seq = entry.seq;
        if entry.fact.other_record().is_some() {
            self.same_facts.push(seq);
        }
        let known = |id| self.entry(*self.by_id.get(&id)?);
        let other = other_record(entry, known);
        let own = self.record_of(&entry.about);
        let records: Vec<CasualtyId> = own.into_iter().chain(other).collect();
        for id in &records {
            let thread = self.threads.entry(*id).or_default();
            if thread.last() != Some(&seq) {
                thread.push(seq);
            }
        }
        records
    }

    fn mark(&mut self, entry: &Entry) {
        let seq = entry.seq;
        match entry.about {
            About::Casualty(_) | About::Wound(_) => {
                self.touched.casualties = seq;
                self.touched.stock = seq;
            }
            About::Kit(_) => self.touched.stock = seq,
            About::Transport(_) | About::Destination(_) => self.touched.evac = seq,
            About::Incident => self.touched.incident = seq,
        }
        // A strike may undo anything.
        if entry.fact.moves_people() || matches!(entry.fact, Fact::EntryStruck(_)) {
            self.touched.evac = seq;
        }
        if matches!(
            entry.fact,
            Fact::HelperJoined(_) | Fact::CommandHandedOver(_)
        ) {
            self.touched.people = seq;
        }
        let is_strike = matches!(entry.fact, Fact::EntryStruck(_));
        if matches!(entry.about, About::Kit(_)) || !entry.fact.used().is_empty() || is_strike {
            self.touched.materials = seq;
        }
        // A strike about the incident may be of a setting, or of the strike of one.
        let struck = entry.about == About::Incident && matches!(entry.fact, Fact::EntryStruck(_));
        if entry.fact.sets() || struck {
            self.touched.settings = seq;
        }
        if self.stands_in_forms(entry) {
            self.touched.forms = seq;
        }
    }

    /// Whether the forms of an open page are old after this entry. Every phone loads its page again for it: who is trained
    /// or deputy, or the strike of something else, must not.
    fn stands_in_forms(&self, entry: &Entry) -> bool {
        let of_forms = |fact: &Fact| matches!(fact, Fact::PolicyChanged(_) | Fact::TriageChosen(_));
        let struck = |id| self.by_id.get(id).and_then(|seq| self.entry(*seq));
        match &entry.fact {
            // Of a strike: what was struck stands again.
            Fact::EntryStruck(strike) => struck(&strike.entry)
                .is_some_and(|it| of_forms(&it.fact) || matches!(it.fact, Fact::EntryStruck(_))),
            fact => of_forms(fact),
        }
    }

    /// Folds one casualty from the indexed entries and some that are not indexed yet: over all their records, where
    /// this one stands for several; nobody where another one stands for this.
    pub(super) fn fold_casualty(
        &self,
        id: CasualtyId,
        added: &[Arc<Entry>],
        struck: &HashSet<Seq>,
        (settings, sames): (&Settings, &Sames),
    ) -> Option<Casualty> {
        if sames.standing(id) != id {
            return None;
        }
        let positions = self.positions(&sames.records(id));
        let known = positions.into_iter().filter_map(|seq| self.entry(seq));
        let thread: Vec<&Entry> = known.chain(added.iter().map(Arc::as_ref)).collect();
        let last_seq = thread.iter().map(|entry| entry.seq).max()?;
        let standing: Vec<&Entry> = thread
            .into_iter()
            .filter(|entry| !struck.contains(&entry.seq))
            .collect();
        let record = Record {
            id,
            number: self.raw_number(id),
            last_seq,
            joins: sames.joins(id),
        };
        Casualty::fold(&record, &standing, settings)
    }

    fn place(&mut self, id: CasualtyId, casualty: Option<Casualty>) {
        let Some(number) = self.numbers.get(&id).copied() else {
            return;
        };
        match casualty {
            Some(casualty) => {
                self.casualties
                    .insert(number, Casualty { number, ..casualty });
            }
            None => {
                self.casualties.remove(&number);
            }
        }
    }

    /// The parts of the state that are small enough to work out afresh.
    fn fold_rest(&mut self) {
        self.description = self.fold_description(&[], &self.struck);
        let casualties: Vec<&Casualty> = self.casualties.values().collect();
        let common = self.common_bag();
        self.supplies = self.fold_stock(&[], &casualties, (&self.struck, common));
        self.evacuation = self.fold_evacuation(&[], &self.struck, &self.sames);
    }

    /// What is left in the kits, with some entries that are not indexed yet.
    pub(super) fn fold_stock(
        &self,
        added: &[Arc<Entry>],
        casualties: &[&Casualty],
        (struck, common): (&HashSet<Seq>, Option<KitId>),
    ) -> Supplies {
        let known = self.counts.iter().filter_map(|seq| self.entry(*seq));
        let counts: Vec<&Entry> = known
            .chain(added.iter().map(Arc::as_ref))
            .filter(|entry| !struck.contains(&entry.seq))
            .collect();
        let uses: Vec<_> = casualties
            .iter()
            .flat_map(|one| one.uses.iter().copied())
            .collect();
        stock::fold(&counts, &uses, common)
    }

    /// What the incident works with, with some entries that are not indexed yet.
    pub(super) fn fold_settings(&self, added: &[Arc<Entry>], struck: &HashSet<Seq>) -> Settings {
        let known = self.setting_facts.iter().filter_map(|seq| self.entry(*seq));
        let said: Vec<&Entry> = known
            .chain(added.iter().map(Arc::as_ref))
            .filter(|entry| !struck.contains(&entry.seq))
            .collect();
        Settings::fold(&said)
    }

    /// What the incident is called, with some entries that are not indexed yet.
    pub(super) fn fold_description(
        &self,
        added: &[Arc<Entry>],
        struck: &HashSet<Seq>,
    ) -> Description {
        let known = self.general.iter().filter_map(|seq| self.entry(*seq));
        let mut said: Vec<&Entry> = known
            .chain(added.iter().map(Arc::as_ref))
            .filter(|entry| !struck.contains(&entry.seq))
            .collect();
        said.sort_by_key(|entry| entry.order());
        said.into_iter()
            .fold(Description::default(), Description::with)
    }
}
