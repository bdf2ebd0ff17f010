//! Vital signs: an Observation for each sign of each reading.
//!
//! Owns their codes, units, categories and profiles. Sources: the vital signs profiles of FHIR R4 (`resprate`,
//! `heartrate`, `oxygensat`, `bp`, `bodytemp`) with the codes and units they require; for oxygen saturation 59408-5 beside
//! the required 2708-6 (from memory); coma scale: HL7 Switzerland, *CH EMS*; responsiveness, pain: IHE PCC, *Paramedicine
//! Summary of Care*, volume 3; capillary refill: HL7 *US Core*, example. What has no confirmed code goes as words.

use serde_json::{Value, json};

use super::elements::{LOINC, SNOMED, absent, coded, coding, derived, quantity, tenths, text};
use super::{Bundle, about, by, note_time};
use crate::exchange::standards::source::Told;
use crate::incident::fact::SignsMeasured;
use crate::rules::scores::{Consciousness, Gcs};
use crate::rules::triage::Answer;

/// Whether a sign is one of the vital signs FHIR has a profile for.
enum Sort {
    /// With the profile of this name.
    Vital(&'static str),
    Exam,
    Survey,
}

/// An observation under way: what is measured, and what came out.
struct Seen {
    /// Names it within its entry.
    key: &'static str,
    sort: Sort,
    code: Value,
    /// Members that say what came out.
    result: Value,
}

/// The observations of an entry that tells vital signs.
pub(super) fn put(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    let Some(signs) = told.entry.fact.signs() else {
        return;
    };
    for seen in all(&signs, bundle.source.snomed) {
        let (category, profile) = match seen.sort {
            Sort::Vital(profile) => ("vital-signs", Some(profile)),
            Sort::Exam => ("exam", None),
            Sort::Survey => ("survey", None),
        };
        let system = "http://terminology.hl7.org/CodeSystem/observation-category";
        let mut observation = json!({
            "resourceType": "Observation",
            "status": if told.is_struck { "entered-in-error" } else { "final" },
            "category": [{ "coding": [coding(system, category)] }],
            "code": seen.code,
            "effectiveDateTime": told.at().to_string(),
            "issued": told.entry.recorded_at.to_string(),
            "performer": [by(told)],
        });
        if let Some(profile) = profile {
            let profile = format!("http://hl7.org/fhir/StructureDefinition/{profile}");
            observation["meta"] = json!({ "profile": [profile] });
        }
        if let (Some(into), Value::Object(result)) = (observation.as_object_mut(), seen.result) {
            into.extend(result);
        }
        about(bundle, told, &mut observation);
        note_time(told, &mut observation);
        let id = derived(&["observation", &told.entry.id.to_string(), seen.key]);
        bundle.put(id, observation, Some(told.entry.id));
    }
}

fn loinc(words: &str, codes: &[&str]) -> Value {
    let codings: Vec<Value> = codes.iter().map(|code| coding(LOINC, code)).collect();
    coded(words, &codings)
}

fn all(signs: &SignsMeasured, snomed: bool) -> Vec<Seen> {
    vital(signs)
        .into_iter()
        .chain(looked(signs, snomed))
        .flatten()
        .collect()
}

/// What FHIR has a profile for.
fn vital(signs: &SignsMeasured) -> [Option<Seen>; 5] {
    let seen = |key, profile, words: &str, codes: &[&str], value: Value| Seen {
        key,
        sort: Sort::Vital(profile),
        code: loinc(words, codes),
        result: json!({ "valueQuantity": value }),
    };
    let per_minute = |number: u16| quantity(&json!(number), "per minute", "/min");
    [
        signs.breaths().map(|number| {
            let value = per_minute(number);
            seen(
                "breaths",
                "resprate",
                "Respiratory rate",
                &["9279-1"],
                value,
            )
        }),
        signs.pulse().map(|number| {
            let value = per_minute(number);
            seen("pulse", "heartrate", "Heart rate", &["8867-4"], value)
        }),
        signs.oxygen_saturation_percent.map(|number| {
            let value = quantity(&json!(number), "%", "%");
            let codes = ["2708-6", "59408-5"];
            seen("oxygen", "oxygensat", "Oxygen saturation", &codes, value)
        }),
        pressure(signs),
        signs.temperature_tenths_c.map(|number| {
            let value = quantity(&tenths(number), "degrees Celsius", "Cel");
            seen(
                "temperature",
                "bodytemp",
                "Body temperature",
                &["8310-5"],
                value,
            )
        }),
    ]
}

/// The rest.
fn looked(signs: &SignsMeasured, snomed: bool) -> [Option<Seen>; 8] {
    let exam = |key, code: Value, result: Value| Seen {
        key,
        sort: Sort::Exam,
        code,
        result,
    };
    [
        signs.gcs.map(coma_scale),
        signs.consciousness.map(|level| awake(level, snomed)),
        signs.refill_tenths.map(|number| {
            let value = quantity(&tenths(number), "seconds", "s");
            let code = loinc("Capillary refill time", &["44963-7"]);
            exam("refill", code, json!({ "valueQuantity": value }))
        }),
        signs.pain.map(|number| Seen {
            key: "pain",
            sort: Sort::Survey,
            code: loinc("Pain, 0 to 10", &["72514-3"]),
            result: json!({ "valueQuantity": quantity(&json!(number), "score", "{score}") }),
        }),
        signs.on_oxygen.map(|on| {
            let what = text("On supplementary oxygen");
            exam("on_oxygen", what, json!({ "valueBoolean": on }))
        }),
        felt("wrist", "Pulse at the wrist", signs.radial_pulse),
        felt("neck", "Pulse at the neck", signs.carotid_pulse),
        (!signs.skin.is_empty()).then(|| {
            let skin: Vec<&str> = signs.skin.iter().map(|skin| skin.words()).collect();
            exam(
                "skin",
                text("Skin"),
                json!({ "valueString": skin.join(", ") }),
            )
        }),
    ]
}

/// The panel has no value of its own. Nobody is asked for the lower pressure: at an accident it is felt, not heard.
fn pressure(signs: &SignsMeasured) -> Option<Seen> {
    let upper = match (signs.systolic_mmhg, signs.systolic_unrecordable) {
        (Some(number), _) => {
            json!({ "valueQuantity": quantity(&json!(number), "mmHg", "mm[Hg]") })
        }
        (None, true) => {
            json!({ "dataAbsentReason": absent("unknown", "tried, and no pressure to be had") })
        }
        (None, false) => return None,
    };
    let mut upper = upper;
    upper["code"] = loinc("Systolic blood pressure", &["8480-6"]);
    let lower = json!({
        "code": loinc("Diastolic blood pressure", &["8462-4"]),
        "dataAbsentReason": absent("not-asked", "not asked: only the systolic pressure is taken"),
    });
    Some(Seen {
        key: "pressure",
        sort: Sort::Vital("bp"),
        code: loinc("Blood pressure", &["85354-9"]),
        result: json!({ "component": [upper, lower] }),
    })
}

fn coma_scale(gcs: Gcs) -> Seen {
    let score =
        |number: u8| json!({ "valueQuantity": quantity(&json!(number), "score", "{score}") });
    let parts = [
        (
            "Coma scale, eyes",
            "9267-6",
            gcs.eye.map(crate::rules::scores::gcs::Eye::score),
        ),
        (
            "Coma scale, speech",
            "9270-0",
            gcs.verbal.map(crate::rules::scores::gcs::Verbal::score),
        ),
        (
            "Coma scale, movement",
            "9268-4",
            gcs.motor.map(crate::rules::scores::gcs::Motor::score),
        ),
    ];
    let components: Vec<Value> = parts
        .into_iter()
        .filter_map(|(words, code, recorded)| {
            let mut component = match recorded? {
                Some(number) => score(number),
                None => json!({ "dataAbsentReason": absent("not-performed", "cannot be tested") }),
            };
            component["code"] = loinc(words, &[code]);
            Some(component)
        })
        .collect();
    let mut result = match gcs.exact_total() {
        Some(total) => score(total),
        // A part that is not known means no total, never a guessed one.
        None => json!({ "dataAbsentReason": absent("unknown", "not every part is known") }),
    };
    result["component"] = json!(components);
    Seen {
        key: "coma_scale",
        sort: Sort::Exam,
        code: loinc("Glasgow Coma Scale, total", &["9269-2"]),
        result,
    }
}

/// The letter and the words, always; the codes are of a draft value set (IHE PCC, *Level of Responsiveness AVPU*), which
/// has none for new confusion.
fn awake(level: Consciousness, snomed: bool) -> Seen {
    let (letter, code) = match level {
        Consciousness::Alert => ("A", Some("248234008")),
        Consciousness::Confused => ("C", None),
        Consciousness::Voice => ("V", Some("255373000")),
        Consciousness::Pain => ("P", Some("450847001")),
        Consciousness::Unresponsive => ("U", Some("422768004")),
    };
    let codings: Vec<Value> = code
        .filter(|_| snomed)
        .map(|code| coding(SNOMED, code))
        .into_iter()
        .collect();
    let value = coded(&format!("{letter}: {}", level.words()), &codings);
    Seen {
        key: "consciousness",
        sort: Sort::Exam,
        code: loinc("Level of responsiveness", &["67775-7"]),
        result: json!({ "valueCodeableConcept": value }),
    }
}

fn felt(key: &'static str, words: &str, answer: Option<Answer>) -> Option<Seen> {
    let said = match answer? {
        Answer::Yes => "felt",
        Answer::No => "not felt",
        Answer::CannotTell => "cannot be told",
    };
    Some(Seen {
        key,
        sort: Sort::Exam,
        code: text(words),
        result: json!({ "valueString": said }),
    })
}
