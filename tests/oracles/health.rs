//! The FHIR bundle against the JSON schema of 4.0.1 and `fhir.resources`, and what neither checks: codes, units,
//! categories and profiles against the table of the standard's own vital signs, references, and struck reports.

use std::collections::{BTreeMap, BTreeSet};

use holdfast::exchange::standards::Form;
use holdfast::incident::Incident;
use serde_json::{Value, json};

use crate::asked;
use crate::exchange::{sound, text};
use crate::told::{AWKWARD, CHILD, FORMULA, MISTAKE, WOMAN, incident};

const HTEST: &str = "HTEST";

fn bundle(incident: &Incident, form: Form) -> Value {
    serde_json::from_str(&text(incident, form)).unwrap()
}

fn resources(bundle: &Value) -> Vec<Value> {
    let entries = bundle["entry"].as_array().unwrap();
    entries
        .iter()
        .map(|entry| entry["resource"].clone())
        .collect()
}

fn of_type(bundle: &Value, kind: &str) -> Vec<Value> {
    let all = resources(bundle).into_iter();
    all.filter(|one| one["resourceType"] == kind).collect()
}

/// The codes of a concept, as `system|code`.
fn codes(concept: &Value) -> Vec<String> {
    let codings = concept["coding"].as_array().cloned().unwrap_or_default();
    let code = |one: &Value| {
        format!(
            "{}|{}",
            one["system"].as_str().unwrap(),
            one["code"].as_str().unwrap()
        )
    };
    codings.iter().map(code).collect()
}

fn of_patient<'a>(all: &'a [Value], id: &str) -> Vec<&'a Value> {
    let wanted = format!("urn:uuid:{id}");
    all.iter()
        .filter(|one| one["subject"]["reference"] == wanted.as_str())
        .collect()
}

/// Every string under a key anywhere in a value.
fn all_of(value: &Value, key: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            for (name, inner) in members {
                if let (true, Some(text)) = (name == key, inner.as_str()) {
                    found.push(text.to_owned());
                }
                all_of(inner, key, found);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| all_of(item, key, found)),
        _ => {}
    }
}

#[test]
fn the_bundle_passes_both_validators_and_a_wrong_one_does_not() {
    for practice in [false, true] {
        for form in [Form::Fhir, Form::FhirSnomed] {
            sound(&json!({ "ask": "fhir", "text": text(&incident(practice), form) }));
        }
    }
    // What each of the two finds: a status that is in no list, and a member nobody knows.
    let right = text(&incident(false), Form::Fhir);
    for (broken, many) in [
        (
            right.replace("\"status\": \"finished\"", "\"status\": \"lost\""),
            1,
        ),
        (
            right.replace("\"gender\": \"female\"", "\"sort\": \"female\""),
            2,
        ),
    ] {
        assert_ne!(broken, right);
        let answer = asked("exchange.py", &[json!({ "ask": "fhir", "text": broken })]).remove(0);
        let skipped = answer["skipped"].as_array().unwrap().len();
        assert!(
            answer["errors"].as_array().unwrap().len() + skipped >= many,
            "{answer:#}"
        );
    }
}

#[test]
fn the_bundle_is_a_collection_whose_references_lead_somewhere() {
    let incident = incident(false);
    let bundle = bundle(&incident, Form::Fhir);
    assert_eq!(bundle["type"], "collection");
    assert_eq!(bundle["timestamp"], "2025-06-14T14:59:30Z");
    let about = bundle["identifier"]["value"].as_str().unwrap();
    assert!(
        about.starts_with(&format!("As of entry {}, check 7K3F-Q2", incident.head())),
        "{about}"
    );
    let entries = bundle["entry"].as_array().unwrap();
    // Rule bdl-3: a request belongs to transactions.
    assert!(entries.iter().all(|entry| entry["request"].is_null()));
    let urls: BTreeSet<&str> = entries
        .iter()
        .map(|entry| entry["fullUrl"].as_str().unwrap())
        .collect();
    assert_eq!(urls.len(), entries.len(), "each has an address of its own");
    for entry in entries {
        let id = entry["resource"]["id"].as_str().unwrap();
        assert_eq!(entry["fullUrl"], format!("urn:uuid:{id}"));
    }
    let mut references = Vec::new();
    all_of(&bundle, "reference", &mut references);
    assert!(references.len() > 100, "{}", references.len());
    for reference in references {
        assert!(
            urls.contains(reference.as_str()),
            "{reference} leads nowhere"
        );
    }
    // The same entry is the same resource in every copy.
    let again = self::bundle(&self::incident(true), Form::FhirSnomed);
    let ids = |bundle: &Value| {
        resources(bundle)
            .iter()
            .map(|one| one["id"].to_string())
            .collect::<Vec<_>>()
    };
    assert_eq!(ids(&bundle), ids(&again));
}

/// A row of the table of codes, units, categories and profiles.
type Row = (
    &'static [&'static str],
    &'static str,
    &'static str,
    Option<&'static str>,
);

/// T6.2. Vital signs: profiles of FHIR R4 and what they require; the rest: HL7 Switzerland CH EMS, IHE PCC mPSC, US Core.
const TABLE: [Row; 9] = [
    (&["9279-1"], "/min", "vital-signs", Some("resprate")),
    (&["8867-4"], "/min", "vital-signs", Some("heartrate")),
    (
        &["2708-6", "59408-5"],
        "%",
        "vital-signs",
        Some("oxygensat"),
    ),
    (&["85354-9"], "", "vital-signs", Some("bp")),
    (&["8310-5"], "Cel", "vital-signs", Some("bodytemp")),
    (&["9269-2"], "{score}", "exam", None),
    (&["67775-7"], "", "exam", None),
    (&["44963-7"], "s", "exam", None),
    (&["72514-3"], "{score}", "survey", None),
];

#[test]
fn each_vital_sign_has_the_code_unit_category_and_profile_of_the_table() {
    let bundle = bundle(&incident(false), Form::Fhir);
    let observations = of_type(&bundle, "Observation");
    let mut seen = BTreeMap::new();
    for one in &observations {
        let loinc: Vec<String> = codes(&one["code"])
            .iter()
            .filter_map(|code| Some(code.strip_prefix("http://loinc.org|")?.to_owned()))
            .collect();
        if loinc.is_empty() {
            assert_eq!(one["meta"]["profile"], Value::Null, "{one}");
            continue;
        }
        let row = TABLE.iter().find(|row| row.0 == loinc.as_slice());
        let (_, unit, category, profile) =
            row.unwrap_or_else(|| panic!("{loinc:?} is not in the table"));
        *seen.entry(loinc.join(" ")).or_insert(0) += 1;
        let categories = one["category"].as_array().unwrap();
        assert_eq!(categories.len(), 1);
        assert_eq!(
            codes(&categories[0]),
            [format!(
                "http://terminology.hl7.org/CodeSystem/observation-category|{category}"
            )]
        );
        let wanted =
            profile.map(|name| json!([format!("http://hl7.org/fhir/StructureDefinition/{name}")]));
        assert_eq!(
            one["meta"]["profile"],
            wanted.unwrap_or_default(),
            "{loinc:?}"
        );
        // The profiles ask for a subject, a day at least, and a value or why there is none.
        assert!(one["subject"]["reference"].is_string() && one["effectiveDateTime"].is_string());
        if let Some(value) = one.get("valueQuantity") {
            assert_eq!(
                (&value["code"], &value["system"]),
                (&json!(unit), &json!("http://unitsofmeasure.org")),
                "{loinc:?}"
            );
        }
        let has_value = [
            "valueQuantity",
            "valueCodeableConcept",
            "dataAbsentReason",
            "component",
        ];
        assert!(has_value.iter().any(|key| one.get(*key).is_some()), "{one}");
    }
    assert_eq!(seen.len(), TABLE.len(), "every row is met: {seen:?}");
    pressures_and_scales(&observations);
}

fn pressures_and_scales(observations: &[Value]) {
    let of = |code: &str| -> Vec<&Value> {
        let wanted = format!("http://loinc.org|{code}");
        let all = of_patient(observations, WOMAN).into_iter();
        all.filter(|one| codes(&one["code"]).contains(&wanted))
            .collect()
    };
    let part = |one: &Value, code: &str| -> Value {
        let all = one["component"].as_array().unwrap();
        let wanted = format!("http://loinc.org|{code}");
        let found = all
            .iter()
            .find(|part| codes(&part["code"]) == [wanted.clone()]);
        found.unwrap_or_else(|| panic!("{code} in {one}")).clone()
    };
    let [felt, failed] = of("85354-9")[..] else {
        panic!()
    };
    for panel in [felt, failed] {
        assert!(
            panel.get("valueQuantity").is_none(),
            "the panel has no value"
        );
        assert!(part(panel, "8462-4")["dataAbsentReason"].is_object());
        assert!(part(panel, "8462-4")["valueQuantity"].is_null());
    }
    assert_eq!(part(felt, "8480-6")["valueQuantity"]["value"], 98);
    assert_eq!(part(felt, "8480-6")["valueQuantity"]["code"], "mm[Hg]");
    assert_eq!(
        part(failed, "8480-6")["dataAbsentReason"]["text"],
        "tried, and no pressure to be had"
    );
    let [whole, partial] = of("9269-2")[..] else {
        panic!()
    };
    assert_eq!(whole["valueQuantity"]["value"], 13);
    for (code, score) in [("9267-6", 3), ("9270-0", 4), ("9268-4", 6)] {
        let component = part(whole, code);
        assert_eq!(component["valueQuantity"]["value"], score);
        assert_eq!(component["valueQuantity"]["code"], "{score}");
    }
    assert!(
        partial.get("valueQuantity").is_none(),
        "no total is guessed"
    );
    assert_eq!(
        part(partial, "9270-0")["dataAbsentReason"]["text"],
        "cannot be tested"
    );
    let answers: Vec<&str> = of("67775-7")
        .iter()
        .map(|one| one["valueCodeableConcept"]["text"].as_str().unwrap())
        .collect();
    assert_eq!(answers, ["V: reacts to voice", "C: newly confused"]);
    assert_eq!(of("44963-7")[0]["valueQuantity"]["value"], 3.5);
    assert_eq!(of("8310-5")[0]["valueQuantity"]["value"], 35.8);
}

#[test]
fn struck_reports_are_entered_in_error_and_nothing_else_is() {
    let bundle = bundle(&incident(false), Form::Fhir);
    let is_error = |one: &Value| {
        one["status"] == "entered-in-error"
            || codes(&one["verificationStatus"])
                .iter()
                .any(|code| code.ends_with("|entered-in-error"))
    };
    let errors: Vec<Value> = resources(&bundle).into_iter().filter(is_error).collect();
    let mut sorts: Vec<String> = errors
        .iter()
        .map(|one| one["resourceType"].as_str().unwrap().to_owned())
        .collect();
    sorts.sort();
    // The breaths and the pulse of somebody else, the dressing on the other leg, and the stay of nobody.
    assert_eq!(
        sorts,
        ["Encounter", "Observation", "Observation", "Procedure"]
    );
    let observations = of_type(&bundle, "Observation");
    let of_child = of_patient(&observations, CHILD);
    let wrong = of_child
        .iter()
        .filter(|one| one["status"] == "entered-in-error");
    let wrong: Vec<f64> = wrong
        .map(|one| one["valueQuantity"]["value"].as_f64().unwrap())
        .collect();
    assert_eq!(wrong, [4.0, 230.0]);
    let patients = of_type(&bundle, "Patient");
    let active: Vec<(&str, bool)> = patients
        .iter()
        .map(|one| {
            (
                one["id"].as_str().unwrap(),
                one["active"].as_bool().unwrap(),
            )
        })
        .collect();
    assert_eq!(active, [(WOMAN, true), (CHILD, true), (MISTAKE, false)]);
    // Who said that it was a mistake is told of the very resources.
    let provenances = of_type(&bundle, "Provenance");
    let strikes = provenances
        .iter()
        .filter(|one| codes(&one["activity"])[0].ends_with("|NULLIFY"));
    assert_eq!(strikes.count(), 3);
}

#[test]
fn practice_is_tagged_as_test_data_in_every_resource_and_a_real_incident_in_none() {
    for practice in [false, true] {
        let bundle = bundle(&incident(practice), Form::Fhir);
        let tagged = |one: &Value| {
            let tags = one["meta"]["tag"].as_array().cloned().unwrap_or_default();
            tags.iter().any(|tag| {
                tag["code"] == HTEST
                    && tag["system"] == "http://terminology.hl7.org/CodeSystem/v3-ActReason"
            })
        };
        assert_eq!(tagged(&bundle), practice);
        for one in resources(&bundle) {
            assert_eq!(tagged(&one), practice, "{one}");
        }
    }
}

#[test]
fn what_happened_is_in_it() {
    let incident = incident(false);
    let bundle = bundle(&incident, Form::Fhir);
    let first = |kind: &str| of_type(&bundle, kind).remove(0);
    let woman = first("Patient");
    assert_eq!(
        (&woman["identifier"][0]["value"], &woman["gender"]),
        (&json!("1"), &json!("female"))
    );
    assert_eq!(woman["identifier"][1]["value"], "A-17");
    assert!(
        woman.get("name").is_none(),
        "words to know somebody by are no name"
    );
    let stays = of_type(&bundle, "Encounter");
    let states: Vec<&str> = stays
        .iter()
        .map(|one| one["status"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["finished", "triaged", "entered-in-error"]);
    assert_eq!(stays[0]["class"]["code"], "FLD");
    assert_eq!(stays[0]["period"]["end"], "2025-06-14T14:55:00Z");
    // One tourniquet is on, one was let go.
    let in_use = of_type(&bundle, "DeviceUseStatement");
    let states: Vec<&str> = in_use
        .iter()
        .map(|one| one["status"].as_str().unwrap())
        .collect();
    assert_eq!(states.len(), 2, "{in_use:?}");
    assert!(
        states.contains(&"active") && states.contains(&"completed"),
        "{in_use:#?}"
    );
    let let_go = in_use
        .iter()
        .find(|one| one["status"] == "completed")
        .unwrap();
    assert_eq!(let_go["bodySite"]["text"], "forearm, left");
    assert_eq!(
        let_go["timingPeriod"],
        json!({ "start": "2025-06-14T14:06:00Z", "end": "2025-06-14T14:12:00Z" })
    );
    let on = in_use.iter().find(|one| one["status"] == "active").unwrap();
    assert_eq!(
        on["timingPeriod"],
        json!({ "start": "2025-06-14T14:06:00Z" })
    );
    let procedures = of_type(&bundle, "Procedure");
    let on = procedures
        .iter()
        .filter(|one| one["performedPeriod"].is_object());
    assert_eq!(on.count(), 2, "both tourniquets say how long");
    let wish = first("ServiceRequest");
    assert_eq!(
        (&wish["status"], &wish["intent"], &wish["priority"]),
        (&json!("completed"), &json!("plan"), &json!("stat"))
    );
    assert_eq!(
        wish["code"]["text"],
        "Evacuation, lying, needs surgery, escort, keep warm"
    );
    // Urgent is an hour after the injury at 13:55 (US ATP 5-0.2-1, table G-30).
    assert_eq!(
        wish["occurrencePeriod"],
        json!({ "start": "2025-06-14T14:20:00Z", "end": "2025-06-14T14:55:00Z" })
    );
    let trip = first("Task");
    assert_eq!(
        (&trip["status"], &trip["owner"]["display"]),
        (&json!("completed"), &json!("Ambulance 1"))
    );
    assert_eq!(
        trip["executionPeriod"],
        json!({ "start": "2025-06-14T14:24:00Z", "end": "2025-06-14T14:50:00Z" })
    );
    assert_eq!(
        trip["focus"]["reference"],
        format!("urn:uuid:{}", wish["id"].as_str().unwrap())
    );
    let site = first("Location");
    assert_eq!(
        site["position"],
        json!({ "longitude": -3.0165, "latitude": 54.527 })
    );
    let flag = first("Flag");
    assert_eq!(
        (&flag["status"], &flag["code"]["text"]),
        (&json!("active"), &json!("Allergies, as told: penicillin"))
    );
    let medicine = first("MedicationAdministration");
    assert_eq!(
        (
            &medicine["status"],
            &medicine["medicationCodeableConcept"]["text"]
        ),
        (&json!("completed"), &json!("tranexamic acid"))
    );
    let message = first("Communication");
    assert_eq!(
        message["payload"][0]["contentString"],
        "fell about 6 m,\nonto \"rock\""
    );
    let supplies = of_type(&bundle, "SupplyDelivery");
    let gauze = supplies
        .iter()
        .find(|one| one["suppliedItem"]["itemCodeableConcept"]["text"] == "packing gauze");
    assert_eq!(gauze.unwrap()["suppliedItem"]["quantity"]["value"], 2);
    // Words come through as they were said.
    let observations = of_type(&bundle, "Observation");
    for words in [FORMULA, AWKWARD] {
        assert!(
            observations.iter().any(|one| one["valueString"] == words),
            "{words}"
        );
    }
    // Every entry is told, and who told the lead alone is not.
    let provenances = of_type(&bundle, "Provenance");
    assert_eq!(provenances.len() as u64, incident.head().0);
    let private = provenances.last().unwrap();
    assert_eq!(
        private["agent"][0]["who"]["display"],
        "told to the lead alone"
    );
    assert!(
        !private.to_string().contains("Teo") && !private.to_string().contains("stick"),
        "{private}"
    );
}

#[test]
fn codes_of_snomed_are_there_where_they_are_asked_for_and_words_always() {
    let incident = incident(false);
    let without = text(&incident, Form::Fhir);
    assert!(!without.contains("snomed"));
    let with = bundle(&incident, Form::FhirSnomed);
    let mut found = BTreeSet::new();
    for (kind, key) in [
        ("Procedure", "code"),
        ("Device", "type"),
        ("Observation", "valueCodeableConcept"),
    ] {
        for one in of_type(&with, kind) {
            let concept = &one[key];
            if concept.is_null() {
                continue;
            }
            assert!(concept["text"].is_string(), "{concept}");
            let codes = codes(concept);
            let codes = codes
                .iter()
                .filter_map(|code| code.strip_prefix("http://snomed.info/sct|"));
            found.extend(codes.map(|code| (kind, code.to_owned())));
        }
    }
    // Tourniquet, pressure dressing, dressing; the thing; "voice" and "alert".
    let wanted = [
        ("Device", "38141007"),
        ("Observation", "248234008"),
        ("Observation", "255373000"),
        ("Procedure", "20655006"),
        ("Procedure", "26906007"),
        ("Procedure", "3895009"),
    ];
    assert_eq!(
        found,
        wanted.map(|(kind, code)| (kind, code.to_owned())).into()
    );
}
