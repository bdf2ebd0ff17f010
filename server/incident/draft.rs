//! Taking facts in: a draft of the next entries on top of the present state.
//!
//! Owns what the board refuses and why. Promises: nothing changes until the changes are adopted; one bad
//! fact never takes others with it; a fact already taken gets its first receipt again.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use jiff::Timestamp;

use super::about::About;
use super::casualty::Casualty;
use super::check::check;
use super::description::Description;
use super::entry::{CLOCK_SLACK, Entry, OLDEST, Report, whole_ms};
use super::evac::{Evacuation, Known};
use super::fact::{Fact, Skill};
use super::ids::{CasualtyId, DeviceId, EntryId, Seq, WoundId};
use super::permit::permit;
use super::refusal::Refusal;
use super::role::Role;
use super::sames::{Sames, other_record};
use super::settings::Settings;
use super::state::Incident;
use super::state::Person;
use super::stock::Supplies;
use super::strike::struck;
use super::text::Words;

/// Who reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Author {
    /// On which device.
    pub device: DeviceId,
    /// What they call themselves.
    pub name: Words,
    /// In which role; none is the board itself.
    pub role: Option<Role>,
    /// What they have learnt.
    pub skill: Option<Skill>,
}

/// Where a fact ended up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Receipt {
    /// The fact's id.
    pub id: EntryId,
    /// Its position.
    pub seq: Seq,
    /// When it happened, as kept.
    pub happened_at: Timestamp,
    /// The short number of the casualty it is about: a phone shows a letter until it has this.
    pub number: Option<u32>,
}

/// Entries taken in but not yet committed.
pub struct Draft<'a> {
    pub(super) base: &'a Incident,
    pub(super) added: Vec<Arc<Entry>>,
    ids: HashMap<EntryId, Seq>,
    casualties: HashSet<CasualtyId>,
    wounds: HashMap<WoundId, CasualtyId>,
    pub(super) people: HashSet<DeviceId>,
    pub(super) places: Known,
    strikes: Vec<(Seq, Seq)>,
}

/// What a draft adds up to: to be committed, then adopted.
#[derive(Debug)]
pub struct Changes {
    /// The new entries.
    pub entries: Vec<Arc<Entry>>,
    /// The casualties they touch, folded anew.
    pub casualties: Vec<CasualtyChange>,
    /// The people whom they change: who joined, whose role is another.
    pub people: Vec<Person>,
    /// What is left in the kits after this.
    pub supplies: Supplies,
    /// Whether that is other than before.
    pub stock_changed: bool,
    /// Whether a kit, or what is in one, is other than before.
    pub kits_changed: bool,
    /// Who leaves, on what, to where, when that may be other than before.
    pub evacuation: Option<Evacuation>,
    /// What the incident is called after this.
    pub(super) description: Description,
    /// What it works with after this.
    pub settings: Settings,
    /// Whether that is other than before.
    pub settings_changed: bool,
    /// Which records are of one person after this.
    pub(super) sames: Sames,
    /// Every struck position after this.
    pub(super) struck: HashSet<Seq>,
}

/// A casualty that a draft touches.
#[derive(Debug)]
pub struct CasualtyChange {
    /// Who.
    pub id: CasualtyId,
    /// Their number.
    pub number: u32,
    /// How they stand after it; none has left the board (their registration was struck).
    pub after: Option<Casualty>,
}

impl Incident {
    /// Starts a draft on top of the present state.
    pub fn draft(&self) -> Draft<'_> {
        Draft {
            base: self,
            added: Vec::new(),
            ids: HashMap::new(),
            casualties: HashSet::new(),
            wounds: HashMap::new(),
            people: HashSet::new(),
            places: Known::default(),
            strikes: Vec::new(),
        }
    }
}

impl Draft<'_> {
    /// Takes one fact in.
    ///
    /// # Errors
    /// When it cannot be understood, may not be done by this author, or refers to nothing. The draft is then
    /// as it was.
    pub fn admit(
        &mut self,
        report: Report,
        author: &Author,
        now: Timestamp,
    ) -> Result<Receipt, Refusal> {
        if let Some(known) = self.known(report.id) {
            return if known.is_repeated_by(&report) {
                Ok(self.receipt(known))
            } else {
                Err(Refusal::IdUsedTwice)
            };
        }
        if !report.fact.fits(report.about.kind()) {
            return Err(Refusal::DoesNotFit);
        }
        check(&report.fact)?;
        permit(
            &report,
            author,
            |id| self.known(id),
            || self.had(&report.about, author.device),
        )?;
        let about = self.resolve(&report)?;
        let seq = self.head().next();
        // Cut back to the edge of the slack and not to now: two reports of one phone must keep their order.
        let latest = whole_ms(now + CLOCK_SLACK);
        let late = report.happened_at > latest;
        // A wild time, from a clock that was never set: when it arrived is the best that is known.
        let wild = now.duration_since(report.happened_at) > OLDEST;
        let entry = Entry {
            seq,
            id: report.id,
            about,
            happened_at: match (late, wild) {
                (true, _) => latest,
                (_, true) => whole_ms(now),
                _ => whole_ms(report.happened_at),
            },
            claimed_at: (late || wild).then_some(report.happened_at),
            time_unsure: report.time_unsure,
            recorded_at: now,
            based_on: self.knew(&report),
            by: author.name.clone(),
            device: author.device,
            role: author.role,
            skill: author.skill,
            fact: report.fact,
        };
        let entry = self.take(entry);
        Ok(self.receipt(&entry))
    }

    /// A resend gets the first receipt again, also from a phone that had to join anew.
    fn receipt(&self, entry: &Entry) -> Receipt {
        let number = self.casualty_of(&entry.about).map(|id| {
            let known = self.base.number(id);
            known.unwrap_or_else(|| self.number(id))
        });
        Receipt {
            id: entry.id,
            seq: entry.seq,
            happened_at: entry.happened_at,
            number,
        }
    }

    /// Whether nothing was taken in.
    pub fn is_empty(&self) -> bool {
        self.added.is_empty()
    }

    /// The entries taken in so far.
    pub fn added(&self) -> &[Arc<Entry>] {
        &self.added
    }

    /// Works out what the new entries change.
    pub fn finish(self) -> Changes {
        let struck = struck(
            self.base
                .strikes
                .iter()
                .copied()
                .chain(self.strikes.iter().copied()),
        );
        let mut touched: BTreeSet<CasualtyId> = BTreeSet::new();
        for entry in &self.added {
            touched.extend(self.record_of(&entry.about));
            touched.extend(other_record(entry, |id| self.known(id)));
        }
        let sames = self
            .base
            .fold_sames(&self.added, &struck, |id| self.number(id));
        let settings = self.base.fold_settings(&self.added, &struck);
        let settings_changed = settings != self.base.settings;
        if settings_changed {
            // Everybody is judged by them.
            touched.extend(self.base.numbers.keys().copied());
        }
        let touched = self.with_their_records(touched, &sames);
        let casualties: Vec<CasualtyChange> = touched
            .into_iter()
            .map(|id| self.refold(id, &struck, (&settings, &sames)))
            .collect();
        let changed: HashSet<CasualtyId> = casualties.iter().map(|change| change.id).collect();
        let everybody: Vec<&Casualty> = self
            .base
            .casualties()
            .filter(|casualty| !changed.contains(&casualty.id))
            .chain(casualties.iter().filter_map(|change| change.after.as_ref()))
            .collect();
        let description = self.base.fold_description(&self.added, &struck);
        let common = description.common_bag();
        let supplies = self
            .base
            .fold_stock(&self.added, &everybody, (&struck, common));
        let stock_changed = supplies.levels != self.base.supplies.levels;
        // Of a fresh board the common bag is news, though nobody counted it.
        let kits_changed = supplies.kits != self.base.supplies.kits;
        let moved = |entry: &Arc<Entry>| {
            entry.fact.moves_people() || matches!(entry.fact, Fact::EntryStruck(_))
        };
        let moved = self.added.iter().any(moved) || sames != self.base.sames;
        let evacuation = moved.then(|| self.base.fold_evacuation(&self.added, &struck, &sames));
        Changes {
            people: self.base.people_after(&self.added),
            entries: self.added,
            casualties,
            supplies,
            stock_changed,
            kits_changed,
            evacuation,
            description,
            settings,
            settings_changed,
            sames,
            struck,
        }
    }

    /// Whoever stands for a touched record, now or before, and whoever they stood for.
    fn with_their_records(
        &self,
        touched: BTreeSet<CasualtyId>,
        sames: &Sames,
    ) -> BTreeSet<CasualtyId> {
        let before = &self.base.sames;
        let all = touched.into_iter().flat_map(|id| {
            let (was, is) = (before.standing(id), sames.standing(id));
            before.records(was).into_iter().chain(sames.records(is))
        });
        all.collect()
    }

    fn refold(
        &self,
        id: CasualtyId,
        struck: &HashSet<Seq>,
        held: (&Settings, &Sames),
    ) -> CasualtyChange {
        let records = held.1.records(id);
        let mine = |entry: &&Arc<Entry>| {
            let of = |record| records.contains(&record);
            self.record_of(&entry.about).is_some_and(of)
                || other_record(entry, |id| self.known(id)).is_some_and(of)
        };
        let added: Vec<Arc<Entry>> = self.added.iter().filter(mine).cloned().collect();
        let number = self.number(id);
        let after = self
            .base
            .fold_casualty(id, &added, struck, held)
            .map(|casualty| Casualty { number, ..casualty });
        CasualtyChange { id, number, after }
    }

    pub(super) fn head(&self) -> Seq {
        Seq(self.base.head().0 + self.added.len() as u64)
    }

    pub(super) fn known(&self, id: EntryId) -> Option<&Entry> {
        let seq = self
            .ids
            .get(&id)
            .copied()
            .or_else(|| self.base.position(id))?;
        self.at(seq)
    }

    fn at(&self, seq: Seq) -> Option<&Entry> {
        let base = self.base.head();
        if seq <= base {
            self.base.entry(seq)
        } else {
            let index = usize::try_from(seq.0 - base.0 - 1).ok()?;
            self.added.get(index).map(Arc::as_ref)
        }
    }

    pub(super) fn casualty_of(&self, about: &About) -> Option<CasualtyId> {
        let record = self.record_of(about)?;
        Some(self.base.sames.standing(record))
    }

    /// Under which record something is kept.
    pub(super) fn record_of(&self, about: &About) -> Option<CasualtyId> {
        match about {
            About::Wound(wound) => self
                .wounds
                .get(wound)
                .copied()
                .or_else(|| self.base.record_of(about)),
            other => self.base.record_of(other),
        }
    }

    pub(super) fn knows_casualty(&self, id: CasualtyId) -> bool {
        self.casualties.contains(&id) || self.base.knows_casualty(id)
    }

    /// A record's own number.
    fn number(&self, id: CasualtyId) -> u32 {
        if let Some(number) = self.base.own_number(id) {
            return number;
        }
        // New ones are numbered in the order they were registered in this draft.
        let mut number = u32::try_from(self.base.numbers.len()).unwrap_or(u32::MAX);
        let mut seen = HashSet::new();
        for entry in &self.added {
            if let (About::Casualty(other), Fact::CasualtyRegistered(_)) =
                (&entry.about, &entry.fact)
                && self.base.own_number(*other).is_none()
                && seen.insert(*other)
            {
                number += 1;
                if *other == id {
                    break;
                }
            }
        }
        number
    }

    pub(super) fn take(&mut self, entry: Entry) -> Arc<Entry> {
        self.ids.insert(entry.id, entry.seq);
        self.places.learn(&entry);
        if let (About::Wound(wound), Some(casualty)) = (entry.about, entry.fact.founds_wound_of()) {
            self.wounds.entry(wound).or_insert(casualty);
        }
        match (&entry.about, &entry.fact) {
            (About::Casualty(id), Fact::CasualtyRegistered(_)) => {
                self.casualties.insert(*id);
            }
            (_, Fact::HelperJoined(_)) => {
                self.people.insert(entry.device);
            }
            (_, Fact::EntryStruck(strike)) => {
                if let Some(named) = self.known(strike.entry).map(|known| known.seq) {
                    self.strikes.push((entry.seq, named));
                }
            }
            _ => {}
        }
        let entry = Arc::new(entry);
        self.added.push(Arc::clone(&entry));
        entry
    }
}
