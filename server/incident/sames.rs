//! Records of one person: which records are one, who said so, and which of them stands for all.
//!
//! Owns the fold of those reports. Promises: pure; nothing is merged but by the lead's own report; a pair follows the
//! latest word about it; of several records the one with the smallest number stands, and every other leads to it. A
//! helper's word proposes and moves nothing. Records stay apart in the journal: taking the report back takes them apart.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::{CasualtyId, EntryId, Seq};
use super::role::{Deed, Role};
use super::state::Incident;
use super::text::Words;

/// What was last said of two records.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Word {
    said: Said,
    by: Words,
    at: Timestamp,
    seq: Seq,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Said {
    /// One person: the lead's word.
    Same,
    /// One person, a helper thinks.
    Perhaps,
    /// Two people.
    Different,
}

/// Somebody thinks that two records are of one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// The records, the smaller number first.
    pub records: [CasualtyId; 2],
    /// Who thinks so.
    pub by: Words,
    /// Since when.
    pub at: Timestamp,
}

/// Which records are of one person.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sames {
    pairs: BTreeMap<[CasualtyId; 2], Word>,
    /// Every record that belongs to others, with the one that stands for all.
    standing: BTreeMap<CasualtyId, CasualtyId>,
    /// Of each that stands for several: all of them, by number, and how they came together.
    groups: BTreeMap<CasualtyId, (Vec<CasualtyId>, Joins)>,
}

/// How records came together, in the order of the journal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Joins(Vec<(Seq, [CasualtyId; 2])>);

/// Records that belong together, and what put them together.
type Group = (BTreeSet<CasualtyId>, Vec<(Seq, [CasualtyId; 2])>);

impl Fact {
    /// The other record this report is about, where it says whether two are of one person.
    pub const fn other_record(&self) -> Option<CasualtyId> {
        match self {
            Self::CasualtySame(said) => Some(said.other),
            Self::CasualtyDifferent(said) => Some(said.other),
            _ => None,
        }
    }
}

/// The other record that an entry touches: its own, or that of what it strikes.
pub(super) fn other_record<'a>(
    entry: &'a Entry,
    known: impl Fn(EntryId) -> Option<&'a Entry>,
) -> Option<CasualtyId> {
    let mut entry = entry;
    // A strike names an earlier entry, so this ends.
    while let Fact::EntryStruck(strike) = &entry.fact {
        entry = known(strike.entry)?;
    }
    entry.fact.other_record()
}

impl Sames {
    /// Folds unstruck entries, in any order of presentation; `number` gives each record's own number.
    pub(super) fn fold(entries: &[&Entry], number: impl Fn(CasualtyId) -> u32) -> Self {
        let mut ordered: Vec<&Entry> = entries.to_vec();
        ordered.sort_by_key(|entry| entry.order());
        let mut sames = Self::default();
        for entry in ordered {
            sames.take(entry, &number);
        }
        sames.join(&number);
        sames
    }

    fn take(&mut self, entry: &Entry, number: impl Fn(CasualtyId) -> u32) {
        let (About::Casualty(one), Some(other)) = (entry.about, entry.fact.other_record()) else {
            return;
        };
        let decides = entry
            .role
            .is_none_or(|role: Role| role.may(Deed::JoinRecords));
        let said = match (&entry.fact, decides) {
            (Fact::CasualtySame(_), true) => Said::Same,
            (Fact::CasualtySame(_), false) => Said::Perhaps,
            _ => Said::Different,
        };
        let pair = pair([one, other], number);
        let is_joined = self
            .pairs
            .get(&pair)
            .is_some_and(|word| word.said == Said::Same);
        if one == other || (said == Said::Perhaps && is_joined) {
            return;
        }
        let word = Word {
            said,
            by: entry.by.clone(),
            at: entry.happened_at,
            seq: entry.seq,
        };
        self.pairs.insert(pair, word);
    }

    /// Puts together whatever the lead's words connect.
    fn join(&mut self, number: impl Fn(CasualtyId) -> u32) {
        let joined = self
            .pairs
            .iter()
            .filter(|(_, word)| word.said == Said::Same);
        let mut groups: Vec<Group> = Vec::new();
        for (pair, word) in joined {
            let (touching, rest): (Vec<_>, Vec<_>) = groups
                .into_iter()
                .partition(|(members, _)| pair.iter().any(|one| members.contains(one)));
            let mut members = BTreeSet::from(*pair);
            let mut joins = vec![(word.seq, *pair)];
            for (others, before) in touching {
                members.extend(others);
                joins.extend(before);
            }
            groups = rest;
            groups.push((members, joins));
        }
        for (members, mut joins) in groups {
            joins.sort_unstable();
            let mut members: Vec<CasualtyId> = members.into_iter().collect();
            members.sort_by_key(|one| (number(*one), *one));
            let Some(first) = members.first().copied() else {
                continue;
            };
            self.standing
                .extend(members.iter().skip(1).map(|one| (*one, first)));
            self.groups.insert(first, (members, Joins(joins)));
        }
    }

    /// The record that stands for this one: itself, unless it was joined to one with a smaller number.
    pub fn standing(&self, id: CasualtyId) -> CasualtyId {
        self.standing.get(&id).copied().unwrap_or(id)
    }

    /// Every record of the person whose record stands, the standing one first.
    pub fn records(&self, standing: CasualtyId) -> Vec<CasualtyId> {
        self.groups
            .get(&standing)
            .map_or_else(|| vec![standing], |(members, _)| members.clone())
    }

    /// How a person's records came together.
    pub(super) fn joins(&self, standing: CasualtyId) -> Joins {
        self.groups
            .get(&standing)
            .map_or_else(Joins::default, |(_, joins)| joins.clone())
    }

    /// The records that the lead's word joined to this one directly.
    pub fn joined_to(&self, record: CasualtyId) -> Vec<CasualtyId> {
        let joined = self
            .pairs
            .iter()
            .filter(|(_, word)| word.said == Said::Same);
        joined
            .filter_map(|([one, other], _)| match record {
                id if id == *one => Some(*other),
                id if id == *other => Some(*one),
                _ => None,
            })
            .collect()
    }

    /// Whether anybody has said anything about these two.
    pub fn is_settled(&self, records: [CasualtyId; 2], number: impl Fn(CasualtyId) -> u32) -> bool {
        self.pairs.contains_key(&pair(records, number))
    }

    /// What helpers think and the lead has not settled.
    pub fn proposals(&self) -> impl Iterator<Item = Proposal> + '_ {
        let open = self.pairs.iter().filter(|(records, word)| {
            word.said == Said::Perhaps && self.standing(records[0]) != self.standing(records[1])
        });
        open.map(|(records, word)| Proposal {
            records: *records,
            by: word.by.clone(),
            at: word.at,
        })
    }
}

impl Joins {
    /// From which position on two records were one; none where they are not.
    pub(super) fn between(&self, one: CasualtyId, other: CasualtyId) -> Option<Seq> {
        let mut sets: Vec<BTreeSet<CasualtyId>> = Vec::new();
        for (seq, pair) in &self.0 {
            let (touching, rest): (Vec<_>, Vec<_>) = sets
                .into_iter()
                .partition(|set| pair.iter().any(|id| set.contains(id)));
            let mut set = BTreeSet::from(*pair);
            set.extend(touching.into_iter().flatten());
            if set.contains(&one) && set.contains(&other) {
                return Some(*seq);
            }
            sets = rest;
            sets.push(set);
        }
        None
    }
}

fn pair([one, other]: [CasualtyId; 2], number: impl Fn(CasualtyId) -> u32) -> [CasualtyId; 2] {
    if (number(other), other) < (number(one), one) {
        [other, one]
    } else {
        [one, other]
    }
}

impl Incident {
    /// Which records are of one person.
    pub fn sames(&self) -> &Sames {
        &self.sames
    }

    /// A record's own number, though another may stand for it.
    pub fn own_number(&self, id: CasualtyId) -> Option<u32> {
        self.numbers.get(&id).copied()
    }

    /// A record's own number; 0 for one the board never heard of.
    pub(super) fn raw_number(&self, id: CasualtyId) -> u32 {
        self.numbers.get(&id).copied().unwrap_or(0)
    }

    /// The positions that touch any of these records, each once, in order.
    pub(super) fn positions(&self, records: &[CasualtyId]) -> BTreeSet<Seq> {
        let threads = records.iter().filter_map(|id| self.threads.get(id));
        threads.flatten().copied().collect()
    }

    /// The numbers under which a person was entered besides the one that stands.
    pub fn also_numbers(&self, standing: CasualtyId) -> Vec<u32> {
        let records = self.sames.records(standing);
        let others = records.into_iter().filter(|one| *one != standing);
        others.filter_map(|one| self.own_number(one)).collect()
    }

    /// Which records are of one person, with some entries that are not indexed yet.
    pub(super) fn fold_sames(
        &self,
        added: &[Arc<Entry>],
        struck: &std::collections::HashSet<Seq>,
        number: impl Fn(CasualtyId) -> u32,
    ) -> Sames {
        let known = self.same_facts.iter().filter_map(|seq| self.entry(*seq));
        let said: Vec<&Entry> = known
            .chain(added.iter().map(Arc::as_ref))
            .filter(|entry| entry.fact.other_record().is_some() && !struck.contains(&entry.seq))
            .collect();
        Sames::fold(&said, number)
    }
}
