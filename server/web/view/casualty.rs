//! A casualty as drawn in a row, in a band and on paper.

use super::category::CategoryView;
use super::dispute::{Dispute, disputes};
use super::records::{LateView, also, late_seen};
use super::time::Moment;
use super::wound::WoundView;
use crate::incident::fact::{ApparentAge, EvacPriority, Posture};
use crate::incident::{Bleeding, Casualty, Incident};
use crate::rules::bleeding::State;
use crate::rules::triage::notes::notes;

/// A casualty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CasualtyView {
    pub(crate) id: String,
    pub(crate) number: u32,
    pub(crate) category: CategoryView,
    /// "woman, green coat"; the age where nothing else is known.
    pub(crate) words: String,
    /// Apparent age: "adult", "child", "infant", or nothing.
    pub(crate) age: &'static str,
    pub(crate) place: String,
    pub(crate) tag: String,
    /// Other numbers under which they were entered too, with the report that takes them apart again.
    pub(crate) also: Vec<(u32, String)>,
    /// What came late, changed this and was not seen by the lead.
    pub(crate) late: Vec<LateView>,
    /// The report that the lead has seen it.
    pub(crate) late_seen: String,
    /// Single answers given in ignorance of each other, besides the category.
    pub(crate) disputes: Vec<Dispute>,
    pub(crate) wounds: Vec<WoundView>,
    pub(crate) dressings: u32,
    /// "2 packing gauze, 1 pressure bandage".
    pub(crate) dressings_words: String,
    pub(crate) helpers: String,
    /// Their devices, separated by spaces: who has somebody may hand them on.
    pub(crate) holders: String,
    pub(crate) evac: Option<EvacView>,
    pub(crate) bleeds: bool,
    /// What to mind about how they were sorted, beside their category.
    pub(crate) minds: Vec<String>,
    /// Vital signs got worse since the last category; when it was seen.
    pub(crate) worse: String,
    /// Where they stand among the others: sorts as text.
    pub(crate) order: String,
}

/// An evacuation request as drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct EvacView {
    pub(crate) priority: &'static str,
    pub(crate) posture: &'static str,
    pub(crate) needs: String,
    pub(crate) at: Moment,
}

impl CasualtyView {
    /// Draws a casualty of an incident.
    pub(crate) fn of(casualty: &Casualty, incident: &Incident) -> Self {
        let dressings = casualty.dressings();
        Self {
            id: casualty.id.to_string(),
            number: casualty.number,
            category: CategoryView::of_casualty(casualty, incident),
            words: words(casualty),
            age: age(casualty).unwrap_or_default(),
            place: casualty
                .place
                .value()
                .map(ToString::to_string)
                .unwrap_or_default(),
            tag: casualty
                .tag
                .value()
                .map(ToString::to_string)
                .unwrap_or_default(),
            also: also(casualty, incident),
            late: LateView::all(casualty, incident),
            late_seen: late_seen(casualty),
            disputes: disputes(casualty),
            wounds: casualty
                .wounds
                .iter()
                .filter(|wound| wound.standing.state != State::Void)
                .map(|wound| WoundView::of(wound, incident))
                .collect(),
            dressings: dressings.values().sum(),
            dressings_words: dressings
                .iter()
                .map(|(item, count)| format!("{count} {}", item.words()))
                .collect::<Vec<_>>()
                .join(", "),
            helpers: names(casualty, incident),
            holders: casualty
                .helpers()
                .map(|device| device.to_string())
                .collect::<Vec<_>>()
                .join(" "),
            evac: casualty.evac.as_ref().map(|(at, request)| EvacView {
                priority: EvacPriority::words(request.priority),
                posture: Posture::code(request.posture),
                needs: request.needs_words(),
                at: (*at).into(),
            }),
            bleeds: casualty.bleeding() <= Bleeding::Held,
            minds: minds(casualty),
            worse: casualty
                .worse_since_sorted()
                .last()
                .map(|(at, _)| super::hour(*at))
                .unwrap_or_default(),
            order: order(casualty),
        }
    }
}

/// The names of those who have a casualty.
pub(crate) fn names(casualty: &Casualty, incident: &Incident) -> String {
    let names: Vec<&str> = casualty
        .helpers()
        .filter_map(|device| incident.person(device))
        .map(|person| person.name.as_str())
        .collect();
    names.join(", ")
}

/// Of every decision that stands: what its answers say to mind, and what is short where it is expectant.
fn minds(casualty: &Casualty) -> Vec<String> {
    let standing = casualty.category.all().iter();
    let decisions = standing.filter_map(|one| casualty.sorting.decision_at(one.seq));
    let mut minds: Vec<String> = Vec::new();
    for decision in decisions {
        let short_of = decision.short_of.iter();
        let short_of = short_of.map(|short| format!("short of {short}"));
        let noted = decision.sheet.iter().flat_map(notes);
        let noted = noted.filter(|note| note.is_told_on_the_board());
        for words in short_of.chain(noted.map(|note| note.words().to_owned())) {
            if !minds.contains(&words) {
                minds.push(words);
            }
        }
    }
    minds
}

fn age(casualty: &Casualty) -> Option<&'static str> {
    let said = casualty.age.value().copied();
    said.filter(|age| *age != ApparentAge::Unknown)
        .map(ApparentAge::code)
}

pub(super) fn words(casualty: &Casualty) -> String {
    match (casualty.words.value(), age(casualty)) {
        (Some(words), None | Some("adult")) => words.to_string(),
        (Some(words), Some(age)) if words.as_str().contains(age) => words.to_string(),
        (Some(words), Some(age)) => format!("{age}, {words}"),
        (None, Some(age)) => age.to_owned(),
        (None, None) => String::new(),
    }
}

/// Those who bleed first, then by category with the not sorted ones before minor, then by number: the board asks
/// who is bleeding before anything else.
pub(crate) fn order(casualty: &Casualty) -> String {
    let bleeding = match casualty.bleeding() {
        Bleeding::Now => 0,
        Bleeding::Held => 1,
        _ => 2,
    };
    let category = casualty
        .urgent_category()
        .map_or(2, |category| match category.rank() {
            rank @ (1 | 2) => rank - 1,
            rank => rank,
        });
    format!("{bleeding}{category}{:05}", casualty.number)
}
