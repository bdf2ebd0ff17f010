//! What pages, lists and exports ask of the incident. Read only.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::Timestamp;

use super::about::About;
use super::casualty::Casualty;
use super::description::Description;
use super::entry::Entry;
use super::epoch::Epoch;
use super::fact::{Fact, Posture};
use super::ids::{CasualtyId, DeviceId, EntryId, KitId, Seq};
use super::level::Level;
use super::settings::Settings;
use super::state::{Incident, Person, Touched};
use super::stock::{Kit, Supplies};
use super::text::Words;
use crate::rules::supplies::Item;
use crate::rules::triage::wording::Profile;
use crate::rules::triage::{Category, Systems};

impl Incident {
    /// The last position.
    pub fn head(&self) -> Seq {
        Seq(self.entries.len() as u64)
    }

    /// Which machines kept the board one after another, oldest first.
    pub fn epochs(&self) -> &[Epoch] {
        &self.epochs
    }

    /// Every entry, oldest first.
    pub fn entries(&self) -> &[Arc<Entry>] {
        &self.entries
    }

    /// The entry at a position.
    pub fn entry(&self, seq: Seq) -> Option<&Entry> {
        let index = usize::try_from(seq.0.checked_sub(1)?).ok()?;
        self.entries.get(index).map(Arc::as_ref)
    }

    /// Where an entry with this id stands.
    pub fn position(&self, id: EntryId) -> Option<Seq> {
        self.by_id.get(&id).copied()
    }

    /// Whether an entry is struck.
    pub fn is_struck(&self, seq: Seq) -> bool {
        self.struck.contains(&seq)
    }

    /// Entries that later strikes or restorations touched, for the log: (strike, named).
    pub fn strikes(&self) -> &[(Seq, Seq)] {
        &self.strikes
    }

    /// Everybody on the board, by number.
    pub fn casualties(&self) -> impl Iterator<Item = &Casualty> {
        self.casualties.values()
    }

    /// One casualty, by any of their records.
    pub fn casualty(&self, id: CasualtyId) -> Option<&Casualty> {
        self.casualties
            .get(self.numbers.get(&self.sames.standing(id))?)
    }

    /// Whether this id was ever registered, struck or not.
    pub fn knows_casualty(&self, id: CasualtyId) -> bool {
        self.numbers.contains_key(&id)
    }

    /// The short number of a casualty, on the board or struck: that of the record which stands.
    pub fn number(&self, id: CasualtyId) -> Option<u32> {
        self.own_number(self.sames.standing(id))
    }

    /// Casualties whose fold changed after a position, with the records that left the board since: struck, or joined
    /// to another.
    pub fn casualties_since(&self, since: Seq) -> (Vec<&Casualty>, Vec<CasualtyId>) {
        let here = self
            .casualties
            .values()
            .filter(|casualty| casualty.last_seq > since)
            .collect();
        let gone = self
            .threads
            .iter()
            .filter(|(id, thread)| {
                let is_here = self.casualty(**id).is_some_and(|one| one.id == **id);
                thread.last() > Some(&since) && !is_here
            })
            .map(|(id, _)| *id)
            .collect();
        (here, gone)
    }

    /// The entries about a casualty and their wounds, under whichever record, in the order they happened.
    pub fn timeline(&self, id: CasualtyId) -> Vec<&Entry> {
        let records = self.sames.records(self.sames.standing(id));
        let positions = self.positions(&records).into_iter();
        let mut thread: Vec<&Entry> = positions.filter_map(|seq| self.entry(seq)).collect();
        thread.sort_by_key(|entry| entry.order());
        thread
    }

    /// Whose casualty something is, by the record that stands.
    pub fn casualty_of(&self, about: &About) -> Option<CasualtyId> {
        self.record_of(about).map(|id| self.sames.standing(id))
    }

    /// Under which record something is kept.
    pub(super) fn record_of(&self, about: &About) -> Option<CasualtyId> {
        match about {
            About::Casualty(id) => Some(*id),
            About::Wound(wound) => self.owners.get(wound).copied(),
            About::Incident | About::Kit(_) | About::Transport(_) | About::Destination(_) => None,
        }
    }

    /// Everybody who joined.
    pub fn people(&self) -> impl Iterator<Item = &Person> {
        self.people.values()
    }

    /// One person.
    pub fn person(&self, device: DeviceId) -> Option<&Person> {
        self.people.get(&device)
    }

    /// What the person with this device calls themselves.
    pub fn name_of(&self, device: DeviceId) -> &str {
        self.person(device)
            .map_or("somebody", |one| one.name.as_str())
    }

    /// What is left of each item that was ever counted or used.
    pub fn stock(&self) -> &BTreeMap<Item, Level> {
        &self.supplies.levels
    }

    /// Every kit.
    pub fn kits(&self) -> impl Iterator<Item = &Kit> {
        self.supplies.kits.values()
    }

    /// Every kit, and what they hold together.
    pub fn supplies(&self) -> &Supplies {
        &self.supplies
    }

    /// What people call a kit.
    pub fn kit_name(&self, id: KitId) -> String {
        self.supplies.name(id)
    }

    /// Whether only the lead is told who said this: a private report, or a strike of one.
    pub fn is_private(&self, entry: &Entry) -> bool {
        let mut at = Some(entry);
        while let Some(one) = at {
            let quiets = matches!(one.fact, Fact::AlarmSeen(_)) && one.about == About::Incident;
            if one.fact.is_private() || quiets {
                return true;
            }
            at = match &one.fact {
                Fact::EntryStruck(strike) => {
                    self.position(strike.entry).and_then(|seq| self.entry(seq))
                }
                _ => None,
            };
        }
        false
    }

    /// Positions of what only the lead may read.
    pub fn private_entries(&self) -> BTreeSet<Seq> {
        let private = self.entries.iter().filter(|entry| self.is_private(entry));
        private.map(|entry| entry.seq).collect()
    }

    /// What the incident is called and where it is.
    pub fn description(&self) -> &Description {
        &self.description
    }

    /// What the incident works with.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The triage systems the incident works with.
    pub fn systems(&self) -> Systems {
        let chosen = self.description.triage.as_ref();
        chosen.map_or_else(Systems::default, |chosen| Systems {
            adult: chosen.adult,
            child: chosen.child,
        })
    }

    /// Whose words a category is shown in.
    pub fn profile(&self) -> Profile {
        let chosen = self.description.triage.as_ref();
        chosen
            .and_then(|chosen| chosen.words)
            .unwrap_or_else(|| self.systems().profile())
    }

    /// Whether the triage revised trauma score is shown as a second look.
    pub fn shows_trauma_score(&self) -> bool {
        let chosen = self.description.triage.as_ref();
        chosen.is_some_and(|chosen| chosen.trauma_score)
    }

    /// What was touched last.
    pub fn touched(&self) -> Touched {
        self.touched
    }

    /// The common bag: a board starts with one, named after itself.
    pub fn common_bag(&self) -> Option<KitId> {
        self.description.common_bag()
    }

    /// When the first casualty was met.
    pub fn first_report_at(&self) -> Option<Timestamp> {
        self.casualties
            .values()
            .map(|casualty| casualty.met_at)
            .min()
    }

    /// How many stand in each category; disputed ones count as the more urgent. `None` is not triaged.
    pub fn totals(&self) -> BTreeMap<Option<Category>, usize> {
        let mut totals = BTreeMap::new();
        for casualty in self.casualties.values() {
            *totals.entry(casualty.urgent_category()).or_default() += 1;
        }
        totals
    }

    /// How many of each category lie, sit, walk or have not been asked.
    pub fn totals_by_posture(&self) -> BTreeMap<(Option<Category>, Option<Posture>), usize> {
        let mut totals = BTreeMap::new();
        for casualty in self.casualties.values() {
            let posture = casualty.evac.as_ref().map(|(_, request)| request.posture);
            *totals
                .entry((casualty.urgent_category(), posture))
                .or_default() += 1;
        }
        totals
    }

    /// Places already named, most used first, for one-tap choosing.
    pub fn places(&self) -> Vec<Words> {
        let mut uses: BTreeMap<&Words, usize> = BTreeMap::new();
        for entry in &self.entries {
            let place = match &entry.fact {
                Fact::CasualtyRegistered(said) => said.place.as_ref(),
                Fact::CasualtyMoved(moved) => Some(&moved.place),
                Fact::CasualtyPlaced(placed) => Some(&placed.place),
                _ => None,
            };
            if let Some(place) = place {
                *uses.entry(place).or_default() += 1;
            }
        }
        let mut places: Vec<_> = uses.into_iter().collect();
        places.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        places.into_iter().map(|(place, _)| place.clone()).collect()
    }
}
