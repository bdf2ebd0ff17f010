//! The record as HL7 FHIR R4 (4.0.1): one bundle of the type `collection`.
//!
//! Owns which report becomes which resource, and how they refer to each other. Promises: every entry has its Provenance,
//! so none is lost; a struck report is there as `entered-in-error`; the same entry has the same id in every copy, so that
//! a later one replaces an earlier; in practice every resource has the tag for test data. Codes of SNOMED CT, which need
//! a licence in countries that are no members, are only put in where they are asked for; the words always are.

mod care;
mod elements;
mod leaving;
mod people;
mod provenance;
mod signs;
mod things;
mod wounds;

use std::collections::{BTreeMap, HashMap, HashSet};

use serde_json::{Value, json};
use uuid::Uuid;

use super::File;
use super::source::{Source, Told};
use crate::incident::{CasualtyId, EntryId};
use elements::{coding, derived, named};

/// The bundle under way.
struct Bundle<'a> {
    source: &'a Source<'a>,
    entries: Vec<Value>,
    ids: HashSet<Uuid>,
    /// What each entry of the journal became.
    made: HashMap<EntryId, Vec<Uuid>>,
}

/// The document.
pub(super) fn file(source: &Source<'_>) -> File {
    let document = document(source);
    File {
        name: source.file_name("fhir", "json"),
        kind: "application/fhir+json",
        bytes: format!("{document:#}\n").into_bytes(),
    }
}

fn document(source: &Source<'_>) -> Value {
    let mut bundle = Bundle {
        source,
        entries: Vec::new(),
        ids: HashSet::new(),
        made: HashMap::new(),
    };
    things::put_places(&mut bundle);
    for (number, id) in everybody(source) {
        people::put_person(&mut bundle, number, id);
    }
    let all: Vec<Told<'_>> = source.entries().collect();
    for told in &all {
        wounds::put(&mut bundle, told);
        signs::put(&mut bundle, told);
        care::put(&mut bundle, told);
        leaving::put_reported(&mut bundle, told);
        things::put_used(&mut bundle, told);
        people::put_flag(&mut bundle, told);
    }
    things::put_tourniquets(&mut bundle);
    leaving::put_trips(&mut bundle);
    for told in &all {
        provenance::put(&mut bundle, told);
    }
    let mut document = json!({
        "resourceType": "Bundle",
        "type": "collection",
        "identifier": { "system": bundle.system(), "value": source.as_of_words() },
        "timestamp": source.as_of.at.to_string(),
        "entry": bundle.entries,
    });
    if source.is_exercise() {
        document["meta"] = json!({ "tag": [test_data()] });
    }
    document
}

/// Everybody who was ever entered, struck or not, by number; records of one person once.
fn everybody(source: &Source<'_>) -> BTreeMap<u32, CasualtyId> {
    let incident = source.incident;
    let told = incident.entries().iter();
    told.filter_map(|entry| {
        let id = incident.casualty_of(&entry.about)?;
        Some((incident.number(id)?, id))
    })
    .collect()
}

/// "Test health data", of the R4 code system `v3-ActReason`.
fn test_data() -> Value {
    coding(
        "http://terminology.hl7.org/CodeSystem/v3-ActReason",
        "HTEST",
    )
}

impl Bundle<'_> {
    /// Under which short numbers are unique.
    fn system(&self) -> String {
        format!("urn:uuid:{}", self.source.board())
    }

    /// Puts a resource in; `of` is the entry it was made from.
    fn put(&mut self, id: Uuid, mut resource: Value, of: Option<EntryId>) {
        self.ids.insert(id);
        resource["id"] = json!(id);
        if self.source.is_exercise() {
            resource["meta"]["tag"] = json!([test_data()]);
        }
        self.entries
            .push(json!({ "fullUrl": format!("urn:uuid:{id}"), "resource": resource }));
        if let Some(entry) = of {
            self.made.entry(entry).or_default().push(id);
        }
    }

    /// Whether there is a resource of this id.
    fn has(&self, id: Uuid) -> bool {
        self.ids.contains(&id)
    }

    /// Where it happened.
    fn site(&self) -> Uuid {
        derived(&["site", &self.source.board()])
    }

    /// A casualty's stay at the site and on the way.
    fn encounter(id: CasualtyId) -> Uuid {
        derived(&["encounter", &id.to_string()])
    }
}

/// Says whose it is, where it is about a person; else it is about the site.
fn about(bundle: &Bundle<'_>, told: &Told<'_>, resource: &mut Value) {
    match told.casualty {
        Some(id) => {
            resource["subject"] = elements::reference(id.uuid());
            resource["encounter"] = elements::reference(Bundle::encounter(id));
        }
        None => resource["subject"] = elements::reference(bundle.site()),
    }
}

/// A remark where the phone was not sure of its clock.
fn note_time(told: &Told<'_>, resource: &mut Value) {
    if told.entry.time_unsure {
        resource["note"] =
            json!([{ "text": "The time is about: the device was not sure of its clock." }]);
    }
}

/// Who said it.
fn by(told: &Told<'_>) -> Value {
    named(if told.by.is_empty() {
        "somebody"
    } else {
        &told.by
    })
}
