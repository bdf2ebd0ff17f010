//! START against its vectors, and the table's JSON against the evaluation.

use serde_json::json;

use holdfast::rules::triage::{Answer, Category, Outcome, StartAnswers, StartVariant};

use crate::vectors::{rows, sheet, written};

fn variant(code: &str) -> StartVariant {
    serde_json::from_value(json!(code)).unwrap_or_else(|error| panic!("{code}: {error}"))
}

#[test]
fn every_vector() {
    let rows = rows(include_str!("start.txt"), 6);
    assert!(rows.len() >= 36, "only {} rows", rows.len());
    for row in rows {
        let answers: StartAnswers = sheet(row.column(3));
        let got = answers.assess(variant(row.column(1)));
        assert_eq!(
            written(&got),
            row.column(4),
            "{} {}",
            row.id(),
            row.column(2)
        );
    }
}

#[test]
fn the_deciding_step_and_the_open_step_are_named() {
    let decided = |answers: &str| match sheet::<StartAnswers>(answers)
        .assess(StartVariant::default())
        .outcome
    {
        Outcome::Final { step, .. } => step,
        other => panic!("{answers}: {other:?}"),
    };
    assert_eq!(decided("walks=yes"), "S1");
    assert_eq!(
        decided("walks=no breathing=no breathing_after_airway=yes"),
        "S2a"
    );
    assert_eq!(
        decided("walks=no breathing=yes breaths_per_minute=40"),
        "S3"
    );
    assert_eq!(
        decided("walks=no breathing=yes breaths_per_minute=20 radial_pulse=no"),
        "S4"
    );
    assert_eq!(
        decided("walks=no breathing=yes breaths_per_minute=20 refill_tenths=40"),
        "S4b"
    );
    assert_eq!(
        decided("walks=no breathing=yes breaths_per_minute=20 radial_pulse=yes obeys=yes"),
        "S5"
    );
    assert_eq!(decided("walks=no breathing=yes obeys=no"), "S5");

    let open = |answers: &str| {
        sheet::<StartAnswers>(answers)
            .assess(StartVariant::default())
            .next
    };
    assert_eq!(open(""), Some("S1"));
    assert_eq!(open("walks=no breathing=no"), Some("S2a"));
    assert_eq!(
        open("walks=no breathing=yes breaths_per_minute=20"),
        Some("S4")
    );
    assert_eq!(
        open("walks=no breathing=yes breaths_per_minute=20 radial_pulse=cannot_tell"),
        Some("S4b")
    );
    assert_eq!(
        open("walks=no breathing=yes breaths_per_minute=20 refill_tenths=15"),
        Some("S5")
    );
    assert_eq!(open("walks=yes"), None);
    assert_eq!(
        open("walks=no breathing=yes breaths_per_minute=20 radial_pulse=yes obeys=cannot_tell"),
        None,
        "nobody is asked again for what cannot be told"
    );
}

#[test]
fn a_later_pulse_corrects_what_refill_stood_in_for() {
    let mut answers: StartAnswers =
        sheet("walks=no breathing=yes breaths_per_minute=20 refill_tenths=15 obeys=yes");
    assert_eq!(
        written(&answers.assess(StartVariant::RadialThenCrt)),
        "delayed"
    );
    answers.radial_pulse = Some(Answer::No);
    assert_eq!(
        written(&answers.assess(StartVariant::RadialThenCrt)),
        "immediate"
    );
}

#[test]
fn the_json_is_what_the_phone_walks() {
    let table = serde_json::to_value(StartVariant::RadialThenCrt.table()).unwrap();
    assert_eq!(table["algorithm"], "start");
    assert_eq!(table["variant"], "radial_then_crt");
    assert_eq!(table["first"], "S1");
    assert_eq!(table["steps"]["S1"]["input"], "walks");
    assert_eq!(table["steps"]["S1"]["yes"], json!({"category": "minor"}));
    assert_eq!(table["steps"]["S1"]["no"], json!({"step": "S2"}));
    assert_eq!(
        table["steps"]["S3"]["measure"],
        json!({"input": "breaths_per_minute", "above": 30})
    );
    assert_eq!(table["steps"]["S4"]["unknown"], json!({"step": "S4b"}));
    assert_eq!(table["steps"]["S4b"]["input"], "refill_over_2s");
    assert!(table["steps"]["S5"].get("unknown").is_none());
}

#[test]
fn the_answer_sheet_refuses_what_it_does_not_know() {
    assert!(serde_json::from_value::<StartAnswers>(json!({"walk": "yes"})).is_err());
    assert!(serde_json::from_value::<StartAnswers>(json!({"walks": "maybe"})).is_err());
    assert!(serde_json::from_value::<StartAnswers>(json!({"breaths_per_minute": -1})).is_err());
    assert_eq!(
        serde_json::to_value(StartAnswers::default()).unwrap(),
        json!({})
    );
    let sheet: StartAnswers = sheet("radial_pulse=cannot_tell refill_tenths=21");
    assert_eq!(
        serde_json::to_value(sheet).unwrap(),
        json!({"radial_pulse": "cannot_tell", "refill_tenths": 21})
    );
}

#[test]
fn stored_codes_and_ranks() {
    for category in Category::ALL {
        assert_eq!(serde_json::to_value(category).unwrap(), category.code());
    }
    assert_eq!(Category::ALL.map(Category::rank), [1, 2, 3, 4, 4, 5]);
    assert!(Category::ALL.is_sorted());
}
