//! What an entry about the incident as a whole or about a kit says, in words.
//!
//! Owns the wording of settings and supplies. Pure.

use super::alarms::EXPOSURE;
use super::due::Task;
use super::fact::{BoardContinued, ContinuedFrom, Fact, NamedAs, Taken};
use super::ids::CasualtyId;
use super::sentence::list;
use super::short::item_of;
use super::state::Incident;
use crate::rules::bleeding::ClockKind;

/// The words of such a fact; none for any other.
pub(super) fn general(fact: &Fact, incident: &Incident) -> Option<String> {
    let words = match fact {
        Fact::PolicyChanged(change) => list([
            Some(format!(
                "setting changed: {}: {}",
                change.setting.words().to_lowercase(),
                change.setting.value_words(&change.value)
            )),
            change
                .decided_by
                .as_ref()
                .map(|who| format!("decided by {who}")),
        ]),
        Fact::BoardContinued(continued) => went_on(continued),
        Fact::IncidentClosed(_) => "incident closed: everybody is accounted for".to_owned(),
        Fact::HelperTrained(named) => {
            let name = incident.name_of(named.helper);
            let not = if named.trained { "" } else { "not " };
            format!("{name}: {not}trained in packing and releasing")
        }
        Fact::HelperNamed(named) => {
            let name = incident
                .person(named.helper)
                .map_or("somebody", |one| one.name.as_str());
            let as_what = named
                .named_as
                .map_or("as they said when they joined", NamedAs::words);
            format!("{name} counts as: {as_what}")
        }
        Fact::KitCounted(_) | Fact::StockMoved(_) | Fact::KitDescribed(_) => {
            kit_words(fact, incident)
        }
        Fact::AlarmSeen(alarm) if alarm.duty.as_str().starts_with(EXPOSURE) => {
            "private report to the lead: seen, quiet for now".to_owned()
        }
        Fact::AlarmSeen(alarm) => {
            let seen = match item_of(alarm.duty.as_str()) {
                Some(item) => item.words(),
                None => duty_words(alarm.duty.as_str()),
            };
            format!("seen, quiet for now: {seen}")
        }
        Fact::ExposureReported(_) => "private report to the lead".to_owned(),
        Fact::ExposureSeen(_) => "private report to the lead: settled".to_owned(),
        other => return all_at_once(other, incident),
    };
    Some(words)
}

/// What is said of records and of everybody at once.
fn all_at_once(fact: &Fact, incident: &Incident) -> Option<String> {
    Some(match fact {
        Fact::CasualtySame(said) => format!("same person as {}", own(incident, said.other)),
        Fact::CasualtyDifferent(said) => {
            format!("not the same person as {}", own(incident, said.other))
        }
        Fact::LateSeen(_) => "what came late was seen".to_owned(),
        Fact::CircumstancesChanged(said) => list([
            Some(said.change.words().to_owned()),
            said.note.as_ref().map(ToString::to_string),
        ]),
        other => return command(other, incident),
    })
}

/// The number under which a record was entered.
fn own(incident: &Incident, id: CasualtyId) -> String {
    let number = incident.own_number(id);
    number.map_or_else(|| "another".to_owned(), |number| number.to_string())
}

/// What was said of a kit.
fn kit_words(fact: &Fact, incident: &Incident) -> String {
    match fact {
        Fact::KitCounted(count) => {
            let each = count.items.iter().map(|one| {
                let old = match one.out_of_date {
                    0 => String::new(),
                    old => format!(" ({old} out of date)"),
                };
                Some(format!("{} {}{old}", one.count, one.item.words()))
            });
            format!("kit counted: {}", list(each))
        }
        Fact::StockMoved(moved) => {
            let each = moved
                .items
                .iter()
                .map(|one| Some(format!("{} {}", one.count, one.item.words())));
            let to = incident.kit_name(moved.to);
            format!("moved to {to}: {}", list(each))
        }
        Fact::KitDescribed(said) => list([
            Some("kit".to_owned()),
            said.name.as_ref().map(ToString::to_string),
            said.place.as_ref().map(|place| format!("at {place}")),
            said.carrier.map(|device| {
                let name = incident
                    .person(device)
                    .map_or("somebody", |one| one.name.as_str());
                format!("carried by {name}")
            }),
        ]),
        other => other.kind().to_owned(),
    }
}

/// The words of what the lead makes of people and of the incident's end; none for any other fact.
fn command(fact: &Fact, incident: &Incident) -> Option<String> {
    Some(match fact {
        Fact::DeputyNamed(named) => {
            let not = if named.deputy { "" } else { "no longer " };
            format!(
                "{}: {not}deputy of the lead",
                incident.name_of(named.helper)
            )
        }
        Fact::WitnessChosen(chosen) => {
            let not = if chosen.witness { "" } else { "no longer " };
            format!(
                "{}: their device {not}keeps the record",
                incident.name_of(chosen.helper)
            )
        }
        Fact::RecordKept(kept) => format!("the record is kept {} days from now", kept.days),
        Fact::RecordTaken(taken) => format!(
            "record taken out {}, up to entry {}, check {}",
            match taken.how {
                Taken::File => "as a file",
                Taken::Device => "by a device or another machine",
            },
            taken.seq,
            taken.check
        ),
        Fact::RecordCopied(copied) => format!(
            "copy for other systems taken out ({}), up to entry {}, check {}",
            copied.form, copied.seq, copied.check
        ),
        _ => return None,
    })
}

/// A duty in words, by its stored code.
fn duty_words(code: &str) -> &str {
    let known = ClockKind::ALL
        .iter()
        .find(|kind| Task::Care(**kind, None).code() == code);
    match (known, code) {
        (Some(kind), _) => kind.words(),
        (None, "sort") => "not sorted yet",
        (None, "look_again") => "to be looked at again",
        (None, other) => other,
    }
}

fn went_on(continued: &BoardContinued) -> String {
    let source = match (continued.from, &continued.by) {
        (ContinuedFrom::Standby, _) => "the standby machine's copy".to_owned(),
        (ContinuedFrom::Witness, Some(by)) => format!("the copy on {by}'s device"),
        (ContinuedFrom::Copy, _) => "a copy of its file".to_owned(),
        (ContinuedFrom::Witness, None) => "a device's copy".to_owned(),
    };
    format!("ANOTHER MACHINE KEEPS THE BOARD from here on; it went on from {source}")
}
