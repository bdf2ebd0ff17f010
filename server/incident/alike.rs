//! Records that may be of one person: pointed out to people, never joined by the program.
//!
//! Owns what counts as alike. Promises: pure; what anybody has said about two records is not asked again. The
//! thresholds are *our default*: no published rule was found; they err towards asking.

use std::collections::BTreeSet;

use jiff::SignedDuration;

use super::casualty::Casualty;
use super::fact::ApparentAge;
use super::ids::CasualtyId;
use super::state::Incident;

/// Two people who describe the same casualty do so within this time of each other.
const WITHIN: SignedDuration = SignedDuration::from_mins(20);
/// Words that say nothing of who somebody is.
const EMPTY: [&str; 8] = ["the", "and", "with", "in", "on", "at", "a", "an"];

/// Two records that may be of one person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alike {
    /// The records, the smaller number first.
    pub records: [CasualtyId; 2],
    /// What they have in common, in words.
    pub why: String,
}

/// What two records are compared by.
struct Traits<'a> {
    one: &'a Casualty,
    words: BTreeSet<String>,
    place: Option<String>,
    tag: Option<String>,
    by: Vec<super::ids::DeviceId>,
}

impl Incident {
    /// Records that may be of one person and of which nobody has said anything yet.
    pub fn alike(&self) -> Vec<Alike> {
        let traits: Vec<Traits<'_>> = self.casualties().map(Traits::of).collect();
        let mut found = Vec::new();
        for (index, one) in traits.iter().enumerate() {
            for other in &traits[index + 1..] {
                let records = [one.one.id, other.one.id];
                // The cheap question first: most pairs have nothing in common.
                let why = one.like(other).filter(|_| !self.are_settled(records));
                found.extend(why.map(|why| Alike { records, why }));
            }
        }
        found
    }

    /// Whether anybody has said something about any two records of these people.
    fn are_settled(&self, [one, other]: [CasualtyId; 2]) -> bool {
        let others = self.sames().records(other);
        self.sames().records(one).into_iter().any(|one| {
            others.iter().any(|other| {
                self.sames()
                    .is_settled([one, *other], |id| self.raw_number(id))
            })
        })
    }
}

impl<'a> Traits<'a> {
    fn of(one: &'a Casualty) -> Self {
        let said =
            |text: Option<&super::text::Words>| text.map(|text| text.as_str().to_lowercase());
        let words = said(one.words.value()).unwrap_or_default();
        let words = words.split(|letter: char| !letter.is_alphanumeric());
        let meant = words.filter(|word| word.len() > 1 && !EMPTY.contains(word));
        Self {
            one,
            words: meant.map(ToOwned::to_owned).collect(),
            place: said(one.place.value()),
            tag: said(one.tag.value()),
            by: one.first_told_by.clone(),
        }
    }

    /// What the two have in common, where that is enough to ask.
    fn like(&self, other: &Self) -> Option<String> {
        if self.tag.is_some() && self.tag == other.tag {
            return Some(format!("both carry tag {}", self.tag.as_ref()?));
        }
        // Cheap questions first: on a large board most pairs end here.
        let apart = self.one.met_at.duration_since(other.one.met_at).abs();
        if apart > WITHIN {
            return None;
        }
        // One person who enters two people knows that they are two.
        if self.by.iter().any(|device| other.by.contains(device)) {
            return None;
        }
        let places_fit = match (&self.place, &other.place) {
            (Some(one), Some(other)) => one == other,
            _ => true,
        };
        let ages_fit = match (self.one.age.value(), other.one.age.value()) {
            (Some(one), Some(other)) => {
                one == other || [one, other].contains(&&ApparentAge::Unknown)
            }
            _ => true,
        };
        if !places_fit || !ages_fit {
            return None;
        }
        let shared: Vec<&str> = self
            .words
            .intersection(&other.words)
            .map(String::as_str)
            .collect();
        let fewest = self.words.len().min(other.words.len());
        if shared.is_empty() || shared.len() * 2 <= fewest {
            return None;
        }
        let minutes = apart.as_mins();
        let place = self.place.as_ref().filter(|_| other.place.is_some());
        let place = place.map(|place| format!(", {place}")).unwrap_or_default();
        Some(format!(
            "both “{}”{place}, {minutes} min apart",
            shared.join(" ")
        ))
    }
}
