//! Patient, Encounter and the flag for allergies.
//!
//! Owns these. A casualty has no name here: the board keeps words to know them by, which are no name. Somebody whose
//! entering was struck is there, inactive, so that what was reported of them still has somebody it is about.

use serde_json::{Value, json};

use super::elements::{coding, derived, narrative, reference, text};
use super::{Bundle, by};
use crate::exchange::standards::source::Told;
use crate::incident::evac::Whereabouts;
use crate::incident::fact::Sex;
use crate::incident::{Answers, Casualty, CasualtyId, Fact};
use crate::rules::triage::Category;

/// Somebody who was ever entered, and their stay.
pub(super) fn put_person(bundle: &mut Bundle<'_>, number: u32, id: CasualtyId) {
    let casualty = bundle.source.incident.casualty(id);
    let mut patient = json!({
        "resourceType": "Patient",
        "identifier": identifiers(bundle, number, casualty),
        "active": casualty.is_some(),
        "gender": match casualty.and_then(|one| one.history.sex()) {
            Some(Sex::Female) => "female",
            Some(Sex::Male) => "male",
            None => "unknown",
        },
        "text": narrative(&words(number, casualty)),
    });
    if let Some(at) = casualty.and_then(died_at) {
        patient["deceasedDateTime"] = json!(at.to_string());
    }
    bundle.put(id.uuid(), patient, None);
    put_encounter(bundle, id, casualty.cloned().as_ref());
}

/// The numbers people shout, under the board's own name; and the paper tag.
fn identifiers(bundle: &Bundle<'_>, number: u32, casualty: Option<&Casualty>) -> Vec<Value> {
    let also = casualty.map(|one| bundle.source.incident.also_numbers(one.id));
    let numbers = std::iter::once(number).chain(also.unwrap_or_default());
    let numbers = numbers.map(|number| {
        json!({ "system": bundle.system(), "value": number.to_string(), "type": text("number on the board") })
    });
    let tags = casualty.into_iter().flat_map(|one| one.tag.all());
    let tags = tags.map(|tag| json!({ "value": tag.value, "type": text("paper tag") }));
    numbers.chain(tags).collect()
}

fn words(number: u32, casualty: Option<&Casualty>) -> String {
    let Some(casualty) = casualty else {
        return format!("{number}: entered by mistake");
    };
    let said = |given: &Answers<crate::incident::Words>| {
        let all: Vec<&str> = given.all().iter().map(|one| one.value.as_str()).collect();
        all.join(" or ")
    };
    let ages: Vec<&str> = casualty
        .age
        .all()
        .iter()
        .map(|one| one.value.code())
        .collect();
    let years = casualty.sorting.told.years;
    let years = years.map(|years| format!("about {years} years old"));
    let place = said(&casualty.place);
    let parts = [
        said(&casualty.words),
        ages.join(" or "),
        years.unwrap_or_default(),
        place,
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    format!("{number}: {}", parts.join(", "))
}

/// Only where nobody says otherwise; "not breathing" leaves death to clinicians.
fn died_at(casualty: &Casualty) -> Option<jiff::Timestamp> {
    match casualty.category.all() {
        [only] if only.value == Category::Dead => Some(only.at),
        _ => None,
    }
}

fn put_encounter(bundle: &mut Bundle<'_>, id: CasualtyId, casualty: Option<&Casualty>) {
    let there = bundle.source.incident.evacuation().whereabouts(id).cloned();
    let status = match (casualty, &there) {
        (None, _) => "entered-in-error",
        (_, Some(Whereabouts::HandedOver { .. })) => "finished",
        (_, Some(Whereabouts::Loading { .. } | Whereabouts::Gone { .. })) => "in-progress",
        (Some(one), None) if one.category.all().is_empty() => "arrived",
        (Some(_), None) => "triaged",
    };
    let mut encounter = json!({
        "resourceType": "Encounter",
        "status": status,
        // "Field": care at the scene.
        "class": coding("http://terminology.hl7.org/CodeSystem/v3-ActCode", "FLD"),
        "subject": reference(id.uuid()),
        "location": [{ "location": reference(bundle.site()) }],
    });
    if let Some(casualty) = casualty {
        encounter["period"]["start"] = json!(casualty.met_at.to_string());
    }
    let destination = match there {
        Some(Whereabouts::HandedOver {
            to,
            destination,
            at,
        }) => {
            if casualty.is_some() {
                encounter["period"]["end"] = json!(at.to_string());
            }
            encounter["text"] = narrative(&format!("handed over to {to}"));
            destination
        }
        Some(Whereabouts::Gone { destination, .. }) => destination,
        _ => None,
    };
    if let Some(destination) = destination {
        encounter["hospitalization"]["destination"] = reference(destination.uuid());
    }
    bundle.put(Bundle::encounter(id), encounter, None);
}

/// What was told of allergies: what stands is active, what was told anew since is not.
pub(super) fn put_flag(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    let (Fact::HistoryTold(history), Some(id)) = (&told.entry.fact, told.casualty) else {
        return;
    };
    let Some(said) = &history.allergies else {
        return;
    };
    let standing = bundle.source.incident.casualty(id);
    let stands = standing.is_some_and(|one| {
        let answers = one.history.allergies.all().iter();
        answers.map(|given| &given.value).any(|value| value == said)
    });
    let status = match (told.is_struck, stands) {
        (true, _) => "entered-in-error",
        (false, true) => "active",
        (false, false) => "inactive",
    };
    let system = "http://terminology.hl7.org/CodeSystem/flag-category";
    let flag = json!({
        "resourceType": "Flag",
        "status": status,
        "category": [{ "coding": [coding(system, "clinical")] }],
        "code": text(&format!("Allergies, as told: {said}")),
        "subject": reference(id.uuid()),
        "encounter": reference(Bundle::encounter(id)),
        "period": { "start": told.at().to_string() },
        "author": by(told),
    });
    let id = derived(&["flag", &told.entry.id.to_string()]);
    bundle.put(id, flag, Some(told.entry.id));
}
