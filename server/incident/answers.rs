//! Single answers (a category, a place) that several people may give.
//!
//! Owns the rule of two answers: where one giver knew of the other's answer, the later one holds; where
//! neither knew, both stand until somebody chooses. Promises: the result depends on the answers alone, not
//! on the order in which they are looked at.

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::ids::{CasualtyId, DeviceId, Seq};
use super::sames::Joins;
use super::text::Words;

/// An answer with who gave it, when, and what they had seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given<T> {
    /// The answer.
    pub value: T,
    /// When it was true.
    pub at: Timestamp,
    /// Its position in the journal.
    pub seq: Seq,
    /// The position its giver was looking at.
    pub based_on: Seq,
    /// Who.
    pub by: Words,
    /// On which device.
    pub device: DeviceId,
    /// About which record of the person; one person may have been entered twice.
    pub(super) record: Option<CasualtyId>,
}

/// The answers that stand: none, one, or several given in ignorance of each other (latest first).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers<T>(Vec<Given<T>>);

impl<T> Default for Answers<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Given<T> {
    /// An answer taken from an entry.
    pub fn from_entry(entry: &Entry, value: T) -> Self {
        Self {
            value,
            at: entry.happened_at,
            seq: entry.seq,
            based_on: entry.based_on,
            by: entry.by.clone(),
            device: entry.device,
            record: match entry.about {
                About::Casualty(id) => Some(id),
                _ => None,
            },
        }
    }

    /// Whether one of the two givers knew of the other's answer. Of another record of the same person nobody knew
    /// before the two were joined.
    fn knows(&self, other: &Self, joins: &Joins) -> bool {
        let saw = self.based_on >= other.seq || other.based_on >= self.seq;
        match (self.record, other.record) {
            (Some(mine), Some(theirs)) if mine != theirs => {
                let latest = self.based_on.max(other.based_on);
                let joined = joins.between(mine, theirs);
                joined.is_some_and(|joined| latest >= joined)
                    && (saw || self.device == other.device)
            }
            _ => saw || self.device == other.device,
        }
    }
}

impl<T: PartialEq> Answers<T> {
    /// Which of these answers stand.
    pub(super) fn standing(given: Vec<Given<T>>, joins: &Joins) -> Self {
        Self::standing_until(given, joins, |_| true)
    }

    /// The same where only some answers end what stood before them; the others add to it.
    pub(super) fn standing_until(
        given: Vec<Given<T>>,
        joins: &Joins,
        ends: impl Fn(&Given<T>) -> bool,
    ) -> Self {
        let replaced = |one: &Given<T>| {
            given.iter().any(|other| {
                ends(other) && (other.at, other.seq) > (one.at, one.seq) && other.knows(one, joins)
            })
        };
        let keep: Vec<bool> = given.iter().map(|one| !replaced(one)).collect();
        let mut standing: Vec<Given<T>> = given
            .into_iter()
            .zip(keep)
            .filter_map(|(one, keep)| keep.then_some(one))
            .collect();
        standing.sort_by_key(|one| std::cmp::Reverse((one.at, one.seq)));
        let mut distinct: Vec<Given<T>> = Vec::with_capacity(standing.len());
        for one in standing {
            if !distinct.iter().any(|kept| kept.value == one.value) {
                distinct.push(one);
            }
        }
        Self(distinct)
    }
}

impl<T> Answers<T> {
    /// The latest answer that stands.
    pub fn latest(&self) -> Option<&Given<T>> {
        self.0.first()
    }

    /// The latest value that stands.
    pub fn value(&self) -> Option<&T> {
        self.latest().map(|given| &given.value)
    }

    /// Every answer that stands, latest first.
    pub fn all(&self) -> &[Given<T>] {
        &self.0
    }

    /// Whether people disagree without knowing it.
    pub fn is_disputed(&self) -> bool {
        self.0.len() > 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::incident::ids::DeviceId;
    use uuid::Uuid;

    fn given(
        value: &'static str,
        minute: i64,
        seq: u64,
        based_on: u64,
        device: u128,
    ) -> Given<&'static str> {
        Given {
            value,
            at: Timestamp::from_second(minute * 60).unwrap(),
            seq: Seq(seq),
            based_on: Seq(based_on),
            by: Words::new("Teo").unwrap(),
            device: DeviceId::new(Uuid::from_u128(device)),
            record: None,
        }
    }

    fn stand(given: Vec<Given<&'static str>>) -> Answers<&'static str> {
        Answers::standing(given, &Joins::default())
    }

    fn values(answers: &Answers<&'static str>) -> Vec<&'static str> {
        answers.all().iter().map(|given| given.value).collect()
    }

    #[test]
    fn a_later_answer_that_knew_the_earlier_replaces_it() {
        let answers = stand(vec![given("red", 1, 5, 0, 1), given("yellow", 2, 9, 5, 2)]);
        assert_eq!(values(&answers), ["yellow"]);
    }

    #[test]
    fn two_answers_given_in_ignorance_both_stand() {
        let answers = stand(vec![given("red", 1, 9, 3, 1), given("yellow", 2, 5, 4, 2)]);
        assert_eq!(values(&answers), ["yellow", "red"]);
        assert!(answers.is_disputed());
    }

    #[test]
    fn one_who_saw_both_settles_it() {
        let answers = stand(vec![
            given("red", 1, 9, 3, 1),
            given("yellow", 2, 5, 4, 2),
            given("red", 3, 12, 9, 3),
        ]);
        assert_eq!(values(&answers), ["red"]);
        assert!(!answers.is_disputed());
    }

    #[test]
    fn the_same_device_corrects_itself() {
        let answers = stand(vec![given("red", 1, 5, 0, 1), given("yellow", 2, 6, 0, 1)]);
        assert_eq!(values(&answers), ["yellow"]);
    }

    #[test]
    fn an_older_time_told_with_knowledge_does_not_replace_the_newer() {
        let answers = stand(vec![given("red", 5, 5, 0, 1), given("yellow", 2, 9, 5, 2)]);
        assert_eq!(values(&answers), ["red"]);
    }
}
