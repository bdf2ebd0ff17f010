//! Copies in open standards against validators and readers from the registry (`exchange.py`), and against the tables the
//! standards print. Each test is done over the same invented incident, as real and as practice.

use std::collections::BTreeSet;

use holdfast::exchange::standards::{self, Form};
use holdfast::incident::Incident;
use serde_json::{Value, json};

use crate::asked;
use crate::told::{self, AWKWARD, FORMULA, incident, position};

/// The answer of the script to one question; it must find nothing wrong.
pub(crate) fn sound(question: &Value) -> Value {
    let answer = asked("exchange.py", std::slice::from_ref(question)).remove(0);
    assert_eq!(answer["errors"], json!([]), "{:#}", answer["errors"]);
    for skipped in answer["skipped"].as_array().into_iter().flatten() {
        println!("SKIPPED: {}", skipped.as_str().unwrap());
    }
    answer
}

/// The text of a copy that is one file.
pub(crate) fn text(incident: &Incident, form: Form) -> String {
    let file = standards::one_file(incident, &told::as_of(incident), form);
    String::from_utf8(file.bytes).unwrap()
}

fn tables(incident: &Incident) -> Value {
    let folder = tempfile::tempdir().unwrap();
    for file in standards::files(incident, &told::as_of(incident), Form::Csv) {
        std::fs::write(folder.path().join(file.name), file.bytes).unwrap();
    }
    sound(&json!({ "ask": "csv", "folder": folder.path() }))
}

#[test]
fn tables_come_back_as_they_were_told() {
    let incident = incident(false);
    let read = tables(&incident);
    let rows = |table: &str| read["rows"][table].as_array().unwrap().clone();
    let by_entry = |table: &str, seq: u64| {
        let found = rows(table)
            .into_iter()
            .find(|row| row["entry"].as_str() == Some(&seq.to_string()));
        found.unwrap_or_else(|| panic!("{table} has no entry {seq}"))
    };
    // Every entry has its row, and the metadata's reader counts as many as the other.
    assert_eq!(rows("journal").len() as u64, incident.head().0);
    for (table, many) in read["typed"].as_object().unwrap() {
        assert_eq!(many.as_u64(), Some(rows(table).len() as u64), "{table}");
    }
    let names: Vec<&String> = read["typed"].as_object().unwrap().keys().collect();
    assert_eq!(
        names,
        [
            "casualties",
            "wounds",
            "checks",
            "treatments",
            "vitals",
            "trips",
            "messages",
            "journal"
        ]
    );
    // T6.7: a formula is none, and quotes, commas and line breaks come back.
    let first = position(&incident, "note.added/1", 0).0;
    assert_eq!(by_entry("journal", first)["words"], format!("'{FORMULA}"));
    assert_eq!(by_entry("journal", first + 1)["words"], AWKWARD);
    let woman = &rows("casualties")[0];
    assert_eq!(woman["known_by"], "woman, \"red\" coat");
    assert_eq!(woman["handed_over_to"], "trauma team");
    assert_eq!(woman["years"], "30");
    assert_eq!(
        rows("casualties").len(),
        2,
        "whoever was struck is not there"
    );
    // Struck reports stay, as such.
    let wrong = position(&incident, "vitals.measured/2", 2).0;
    assert_eq!(by_entry("vitals", wrong)["struck"], "true");
    assert_eq!(
        by_entry("journal", wrong)["struck_by"],
        (wrong + 1).to_string()
    );
    let right = by_entry("vitals", position(&incident, "vitals.measured/2", 0).0);
    assert_eq!(
        (&right["struck"], &right["systolic"]),
        (&json!("false"), &json!("98"))
    );
    assert_eq!(
        (&right["refill"], &right["temperature"]),
        (&json!("3.5"), &json!("35.8"))
    );
    assert_eq!(
        (&right["coma_scale"], &right["coma_scale_total"]),
        (&json!("E3 V4 M6"), &json!("13"))
    );
    let trip = &rows("trips")[0];
    assert_eq!(
        (&trip["trip"], &trip["destination"]),
        (&json!("1"), &json!("District hospital"))
    );
    assert_eq!(trip["left_at"], "2025-06-14T14:24:00Z");
    assert_eq!(trip["handed_over_at"], "2025-06-14T14:55:00Z");
    // Told to the lead alone: a row without who and what.
    let private = by_entry("journal", position(&incident, "exposure.reported/1", 0).0);
    assert_eq!(
        (&private["by"], &private["kind"]),
        (&json!(""), &json!("private"))
    );
    assert!(
        rows("journal")
            .iter()
            .all(|row| !row.to_string().contains("stick"))
    );
}

#[test]
fn every_row_of_a_practice_says_so_and_none_of_a_real_incident() {
    for practice in [false, true] {
        let read = tables(&incident(practice));
        for (table, rows) in read["rows"].as_object().unwrap() {
            let rows = rows.as_array().unwrap();
            assert!(!rows.is_empty(), "{table}");
            for row in rows {
                assert_eq!(row["exercise"], practice.to_string(), "{table}");
            }
        }
    }
}

#[test]
fn packed_tables_are_unpacked_by_a_library() {
    let incident = incident(true);
    let as_of = told::as_of(&incident);
    let packed = standards::one_file(&incident, &as_of, Form::Csv);
    assert_eq!(
        packed.name,
        format!(
            "EXERCISE-holdfast-csv-entry-{}-20250614T145930Z.zip",
            as_of.seq
        )
    );
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(&packed.name);
    std::fs::write(&file, &packed.bytes).unwrap();
    let answer = sound(&json!({ "ask": "zip", "file": file }));
    let files = standards::files(&incident, &as_of, Form::Csv);
    assert_eq!(answer["files"].as_object().unwrap().len(), files.len());
    for file in files {
        assert_eq!(
            answer["files"][&file.name],
            String::from_utf8(file.bytes).unwrap()
        );
    }
    assert_eq!(answer["dates"][0], json!([2025, 6, 14, 14, 59, 30]));
    let metadata: Value =
        serde_json::from_str(answer["files"]["csv-metadata.json"].as_str().unwrap()).unwrap();
    let about = metadata["dc:description"].as_str().unwrap();
    assert!(
        about.starts_with(&format!(
            "EXERCISE, not a real incident. As of entry {}",
            as_of.seq
        )),
        "{about}"
    );
}

#[test]
fn the_map_has_longitude_first() {
    for practice in [false, true] {
        let incident = incident(practice);
        let as_of = told::as_of(&incident);
        let file = standards::one_file(&incident, &as_of, Form::GeoJson);
        let text = String::from_utf8(file.bytes).unwrap();
        sound(&json!({ "ask": "geojson", "text": text }));
        let document: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(document["holdfast"]["as_of_entry"], as_of.seq.0);
        assert_eq!(document["holdfast"]["made_at"], "2025-06-14T14:59:30Z");
        let features = document["features"].as_array().unwrap();
        let of_kind = |kind: &str| {
            let found = features
                .iter()
                .filter(|one| one["properties"]["kind"] == kind);
            found.cloned().collect::<Vec<Value>>()
        };
        // T6.6; the validator takes swapped coordinates, so they are looked at here.
        assert_eq!(
            of_kind("site")[0]["geometry"]["coordinates"],
            json!([-3.0165, 54.527])
        );
        assert_eq!(
            of_kind("rendezvous")[0]["geometry"]["coordinates"],
            json!([-3.01, 54.53])
        );
        let places = of_kind("place");
        let named = |name: &str| {
            let found = places.iter().find(|one| one["properties"]["name"] == name);
            found.unwrap_or_else(|| panic!("{name}")).clone()
        };
        assert_eq!(
            named("54.5271, -3.0160")["geometry"]["coordinates"],
            json!([-3.016, 54.5271])
        );
        assert_eq!(
            named("54.5271, -3.0160")["properties"]["casualties"],
            json!([2])
        );
        assert_eq!(
            named("by the cairn")["geometry"],
            Value::Null,
            "words are no position"
        );
        assert_eq!(
            of_kind("destination")[0]["properties"]["name"],
            "District hospital"
        );
        let said: BTreeSet<String> = features
            .iter()
            .map(|one| one["properties"]["exercise"].to_string())
            .collect();
        assert_eq!(said, BTreeSet::from([practice.to_string()]));
        assert_eq!(document["holdfast"]["exercise"], practice);
    }
}
