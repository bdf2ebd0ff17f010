//! What a casualty is known by and how they are to leave: the single answers, picked from their entries.
//!
//! Owns which fact answers which question. Promises: pure; several answers given in ignorance of each other all stand.

use jiff::Timestamp;

use super::answers::{Answers, Given};
use super::entry::Entry;
use super::fact::{ApparentAge, EvacAsked, Fact};
use super::sames::Joins;
use super::text::Words;

/// What answers are picked from.
pub(super) struct Standing<'a> {
    pub(super) ordered: &'a [&'a Entry],
    pub(super) joins: &'a Joins,
}

impl Standing<'_> {
    pub(super) fn of<T: PartialEq>(&self, pick: impl Fn(&Fact) -> Option<T>) -> Answers<T> {
        let given = self
            .ordered
            .iter()
            .filter_map(|entry| Some(Given::from_entry(entry, pick(&entry.fact)?)))
            .collect();
        Answers::standing(given, self.joins)
    }

    /// The same where answers add up, until one says that it is all of it.
    pub(super) fn adding<T: PartialEq>(
        &self,
        pick: impl Fn(&Fact) -> Option<T>,
        ends: impl Fn(&Fact) -> bool,
    ) -> Answers<T> {
        let mut ending = std::collections::BTreeSet::new();
        let mut given = Vec::new();
        for entry in self.ordered {
            if let Some(value) = pick(&entry.fact) {
                given.push(Given::from_entry(entry, value));
            }
            if ends(&entry.fact) {
                ending.insert(entry.seq);
            }
        }
        Answers::standing_until(given, self.joins, |one| ending.contains(&one.seq))
    }

    /// Whether and how they leave, and the more urgent of several requests that stand.
    pub(super) fn evac(&self) -> (Answers<Option<EvacAsked>>, Option<(Timestamp, EvacAsked)>) {
        let asked = self.of(|fact| match fact {
            Fact::EvacRequested(first) => Some(Some(EvacAsked::from_first(first))),
            Fact::EvacAsked(asked) => Some(Some(asked.clone())),
            Fact::EvacCancelled(_) => Some(None),
            _ => None,
        });
        let requests = asked.all().iter();
        let requests = requests.filter_map(|given| Some((given.at, given.value.clone()?)));
        let urgent = requests.min_by_key(|(at, asked)| (asked.priority, std::cmp::Reverse(*at)));
        (asked, urgent)
    }
}

pub(super) fn registered<'a>(ordered: &'a [&Entry]) -> impl Iterator<Item = &'a Entry> {
    let met = |entry: &&Entry| matches!(entry.fact, Fact::CasualtyRegistered(_));
    ordered.iter().copied().filter(met)
}

/// When they were first met; none where nobody has said anything of the person.
pub(super) fn met_at(ordered: &[&Entry]) -> Option<Timestamp> {
    // What is said of the record alone meets nobody. A registration struck by mistake must not hide what others saw
    // and did: any other report keeps them.
    let of_record = |entry: &&&Entry| {
        entry.fact.other_record().is_some()
            || matches!(entry.fact, Fact::CasualtyTaken(_) | Fact::LateSeen(_))
    };
    let met = ordered.iter().find(|entry| !of_record(entry))?;
    let first = registered(ordered).next();
    Some(first.map_or(met.happened_at, |entry| entry.happened_at))
}

pub(super) fn words_told(fact: &Fact) -> Option<Words> {
    match fact {
        Fact::CasualtyRegistered(said) => said.words.clone(),
        Fact::CasualtyDescribed(said) => said.words.clone(),
        _ => None,
    }
}

pub(super) fn tag_told(fact: &Fact) -> Option<Words> {
    match fact {
        Fact::CasualtyRegistered(said) => said.tag.clone(),
        Fact::CasualtyDescribed(said) => said.tag.clone(),
        _ => None,
    }
}

pub(super) fn age_told(fact: &Fact) -> Option<ApparentAge> {
    match fact {
        Fact::CasualtyRegistered(said) if said.age != ApparentAge::Unknown => Some(said.age),
        Fact::CasualtyDescribed(said) => said.age,
        _ => None,
    }
}
