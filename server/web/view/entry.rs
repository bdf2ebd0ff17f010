//! An entry in words, for the log, a casualty's timeline and the list of changes.

use std::fmt::Write as _;

use jiff::SignedDuration;

use super::time::Moment;
use crate::incident::fact::{Circulation, Compared, StepTaken, VitalsMeasured};
use crate::incident::{About, Entry, Fact, Incident};

/// A report that arrives later than this after it happened says so.
const LATE: SignedDuration = SignedDuration::from_secs(60);

/// An entry as drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct EntryView {
    pub(crate) seq: u64,
    pub(crate) id: String,
    /// The casualty's number, where it is about one.
    pub(crate) number: Option<u32>,
    /// The casualty's id, for the link.
    pub(crate) casualty: String,
    /// "forearm, left: packed, 2 packing gauze".
    pub(crate) words: String,
    pub(crate) by: String,
    pub(crate) device: String,
    pub(crate) at: Moment,
    /// When it arrived, where that was much later.
    pub(crate) arrived: Option<Moment>,
    /// The phone's time lay in the future and was cut back.
    pub(crate) is_clamped: bool,
    pub(crate) is_struck: bool,
    pub(crate) is_strike: bool,
    pub(crate) kind: &'static str,
    /// What it is about as JSON, for the strike button.
    pub(crate) about: String,
}

impl EntryView {
    /// Draws an entry of an incident.
    pub(crate) fn of(entry: &Entry, incident: &Incident) -> Self {
        let casualty = incident.casualty_of(&entry.about);
        let late = entry.recorded_at.duration_since(entry.happened_at) > LATE;
        Self {
            seq: entry.seq.0,
            id: entry.id.to_string(),
            number: casualty.and_then(|id| incident.number(id)),
            casualty: casualty.map(|id| id.to_string()).unwrap_or_default(),
            words: words(entry, incident),
            by: entry.by.to_string(),
            device: entry.device.to_string(),
            at: entry.happened_at.into(),
            arrived: late.then(|| entry.recorded_at.into()),
            is_clamped: entry.claimed_at.is_some(),
            is_struck: incident.is_struck(entry.seq),
            is_strike: matches!(entry.fact, Fact::EntryStruck(_)),
            kind: entry.fact.kind(),
            about: serde_json::to_string(&entry.about).unwrap_or_default(),
        }
    }
}

fn words(entry: &Entry, incident: &Incident) -> String {
    let place = wound_place(entry, incident);
    match &entry.fact {
        Fact::IncidentOpened(opened) => format!("board opened: {}", opened.name),
        Fact::IncidentDescribed(said) => {
            let name = said.name.as_ref().map(|name| format!("name: {name}"));
            let place = said.place.as_ref().map(|place| format!("place: {place}"));
            let note = said.note.as_ref().map(ToString::to_string);
            [name, place, note]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join("; ")
        }
        Fact::HelperJoined(joined) => {
            format!("joined as {}, {}", joined.role.code(), joined.skill.words())
        }
        Fact::CasualtyRegistered(said) => {
            let mut text = format!("registered: {}", said.age.code());
            for more in [&said.words, &said.place, &said.tag].into_iter().flatten() {
                let _ = write!(text, ", {more}");
            }
            text
        }
        Fact::CasualtyDescribed(said) => {
            let age = said.age.map(|age| age.code().to_owned());
            let words = said.words.as_ref().map(ToString::to_string);
            let tag = said.tag.as_ref().map(|tag| format!("tag {tag}"));
            format!(
                "described: {}",
                [age, words, tag]
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>()
                    .join(", ")
            )
        }
        Fact::CasualtyTaken(taken) => taken.helper.map_or_else(
            || "nobody has them".to_owned(),
            |device| {
                let name = incident
                    .person(device)
                    .map(|person| person.name.to_string());
                format!("taken on by {}", name.unwrap_or_default())
            },
        ),
        Fact::CasualtyMoved(moved) => format!("moved to {}", moved.place),
        Fact::CategoryAssigned(assigned) => {
            let how = assigned.assessment.as_ref().map_or("", |_| " by START");
            let reason = assigned
                .reason
                .as_ref()
                .map(|reason| format!(" ({reason})"))
                .unwrap_or_default();
            format!("category {}{how}{reason}", assigned.category.word())
        }
        Fact::WoundFound(found) => {
            let gone = if found.amputation { ", amputation" } else { "" };
            format!("{place}: wound, {}{gone}", found.flow.words())
        }
        Fact::StepTaken(step) => format!("{place}: {}", step_words(step)),
        Fact::WoundLooked(looked) => format!("{place}: looked, {}", looked.bleeding.words()),
        Fact::DistalChecked(check) => format!(
            "{place}: beyond the dressing: {}, {}, {}",
            circulation_words(check.circulation),
            compared_words("movement", check.movement),
            compared_words("feeling", check.feeling)
        ),
        Fact::VitalsMeasured(vitals) => vitals_words(vitals),
        Fact::NoteAdded(note) => note.text.to_string(),
        Fact::EvacRequested(request) => {
            let needs = request
                .needs
                .as_ref()
                .map(|needs| format!(", {needs}"))
                .unwrap_or_default();
            format!(
                "evacuation requested: {}, {}{needs}",
                request.priority.words(),
                request.posture.code()
            )
        }
        Fact::EvacCancelled(cancelled) => {
            let reason = cancelled
                .reason
                .as_ref()
                .map(|reason| format!(": {reason}"))
                .unwrap_or_default();
            format!("evacuation request taken back{reason}")
        }
        Fact::StockCounted(count) => format!("counted {} {}", count.count, count.item.words()),
        Fact::EntryStruck(strike) => {
            let named = incident
                .position(strike.entry)
                .and_then(|seq| incident.entry(seq));
            let what = named.map_or_else(String::new, |named| match &named.fact {
                // A strike of a strike of a strike … is told by its number, so that no chain of them runs deep.
                Fact::EntryStruck(_) => format!(" the strike {}", named.seq),
                _ => format!(" {}: {}", named.seq, words(named, incident)),
            });
            let reason = strike
                .reason
                .as_ref()
                .map(|reason| format!(" ({reason})"))
                .unwrap_or_default();
            format!("struck{what}{reason}")
        }
    }
}

fn wound_place(entry: &Entry, incident: &Incident) -> String {
    let About::Wound(id) = entry.about else {
        return String::new();
    };
    if let Fact::WoundFound(found) = &entry.fact {
        let side = match found.side {
            crate::rules::bleeding::Side::Left => ", left",
            crate::rules::bleeding::Side::Right => ", right",
            _ => "",
        };
        return format!("{}{side}", found.region.words());
    }
    incident
        .casualty_of(&entry.about)
        .and_then(|casualty| incident.casualty(casualty))
        .and_then(|casualty| casualty.wounds.iter().find(|wound| wound.id == id))
        .map_or_else(|| "wound".to_owned(), crate::incident::Wound::place)
}

fn step_words(step: &StepTaken) -> String {
    let mut text = step.step.words().to_owned();
    for used in &step.used {
        let _ = write!(text, ", {} {}", used.count, used.item.words());
    }
    text
}

const fn circulation_words(circulation: Circulation) -> &'static str {
    match circulation {
        Circulation::Present => "pulse there",
        Circulation::Weaker => "pulse weaker",
        Circulation::Absent => "no pulse",
        Circulation::CannotTell => "pulse cannot be told",
    }
}

fn compared_words(what: &str, compared: Compared) -> String {
    match compared {
        Compared::AsBefore => format!("{what} as before"),
        Compared::Worse => format!("{what} worse"),
        Compared::CannotTell => format!("{what} cannot be told"),
    }
}

/// Vital signs in one line.
pub(crate) fn vitals_words(vitals: &VitalsMeasured) -> String {
    let tenths = |value: u16| format!("{}.{}", value / 10, value % 10);
    [
        vitals
            .breaths_per_minute
            .map(|value| format!("breathing {value}")),
        vitals
            .pulse_per_minute
            .map(|value| format!("pulse {value}")),
        vitals
            .systolic_mmhg
            .map(|value| format!("pressure {value}")),
        vitals
            .oxygen_saturation_percent
            .map(|value| format!("oxygen {value} %")),
        vitals
            .refill_tenths
            .map(|value| format!("refill {} s", tenths(value))),
        vitals
            .temperature_tenths_c
            .map(|value| format!("{} °C", tenths(value))),
        vitals.consciousness.map(|value| value.words().to_owned()),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(", ")
}
