//! Who said it and when it was recorded: a Provenance for each entry of the journal.
//!
//! Owns that resource. Its text is the entry in words, so that also what became no other resource is told. A strike is
//! about what it strikes, and says so.

use serde_json::json;
use uuid::Uuid;

use super::elements::{coding, derived, named, narrative, reference, text};
use super::{Bundle, things};
use crate::exchange::standards::source::Told;
use crate::incident::{Entry, Fact};

/// The provenance of an entry.
pub(super) fn put(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    let struck = match &told.entry.fact {
        Fact::EntryStruck(strike) => {
            let incident = bundle.source.incident;
            let named = incident.position(strike.entry);
            named.and_then(|seq| incident.entry(seq))
        }
        _ => None,
    };
    let targets = targets(bundle, struck.unwrap_or(told.entry));
    let targets: Vec<_> = targets.into_iter().map(reference).collect();
    let activity = if struck.is_some() {
        "NULLIFY"
    } else {
        "CREATE"
    };
    let who = match (told.is_sealed, told.by.is_empty()) {
        (true, _) => "told to the lead alone",
        (false, true) => "somebody",
        (false, false) => told.by.as_str(),
    };
    let system = "http://terminology.hl7.org/CodeSystem/provenance-participant-type";
    let mut agent = json!({
        "type": { "coding": [coding(system, "author")] },
        "who": named(who),
    });
    if let Some(role) = told.entry.role.filter(|_| !told.is_sealed) {
        agent["role"] = json!([text(role.code())]);
    }
    let mistake = if told.is_struck { " (struck)" } else { "" };
    let words = format!("entry {}{mistake}: {}", told.entry.seq, told.words);
    let system = "http://terminology.hl7.org/CodeSystem/v3-DataOperation";
    let provenance = json!({
        "resourceType": "Provenance",
        "text": narrative(&words),
        "target": targets,
        "occurredDateTime": told.at().to_string(),
        "recorded": told.entry.recorded_at.to_string(),
        "activity": { "coding": [coding(system, activity)] },
        "agent": [agent],
    });
    let id = derived(&["provenance", &told.entry.id.to_string()]);
    bundle.put(id, provenance, None);
}

/// What an entry became; else whom or what it is about; else the site.
fn targets(bundle: &Bundle<'_>, entry: &Entry) -> Vec<Uuid> {
    if let Some(made) = bundle.made.get(&entry.id) {
        return made.clone();
    }
    let told = bundle.source.told(entry);
    let about = told.casualty.map(crate::incident::CasualtyId::uuid);
    let about = about.or_else(|| {
        let place = things::of_about(&entry.about, &entry.fact);
        place.filter(|id| bundle.has(*id))
    });
    vec![about.unwrap_or_else(|| bundle.site())]
}
