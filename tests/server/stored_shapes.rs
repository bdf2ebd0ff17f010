//! Every shape ever stored still loads, and is written again as it was read.

use std::collections::BTreeSet;

use holdfast::incident::{Entry, Fact};
use serde_json::Value;

use crate::harness::facts::{fixtures, kinds};

#[test]
fn every_kind_has_a_fixture_and_every_fixture_a_kind() {
    let known: BTreeSet<String> = kinds().into_iter().collect();
    let shown: BTreeSet<String> = fixtures()
        .iter()
        .filter(|one| one.is_full())
        .map(|one| one.kind().to_owned())
        .collect();
    assert_eq!(known, shown);
}

#[test]
fn a_fixture_is_named_after_its_kind() {
    for one in fixtures() {
        let name = one.path.file_name().unwrap().to_string_lossy().into_owned();
        let kind = one.kind().replace('/', "-");
        assert!(
            name == format!("{kind}.json") || name.starts_with(&format!("{kind}.")),
            "{name} holds {kind}"
        );
    }
}

#[test]
fn every_stored_entry_loads_and_is_written_as_it_was() {
    for one in fixtures() {
        let entry: Entry = serde_json::from_str(&one.text)
            .unwrap_or_else(|error| panic!("{}: {error}", one.path.display()));
        let again = serde_json::to_value(&entry).unwrap();
        assert_eq!(again, one.entry, "{}", one.path.display());
    }
}

#[test]
fn a_fact_names_its_kind_as_it_is_stored() {
    for one in fixtures() {
        let fact: Fact = serde_json::from_value(one.entry["fact"].clone()).unwrap();
        let stored: Value = serde_json::to_value(&fact).unwrap();
        assert_eq!(stored["kind"], fact.kind());
    }
}

#[test]
fn a_field_nobody_reads_is_refused_in_every_kind() {
    for one in fixtures() {
        let mut fact = one.entry["fact"].clone();
        fact["surprise"] = Value::Bool(true);
        let read = serde_json::from_value::<Fact>(fact);
        assert!(read.is_err(), "{} takes an unknown field", one.kind());
    }
}
