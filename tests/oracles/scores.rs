//! NEWS2 and the coma scale against a library from the registry, over thousands of random inputs.
//!
//! The library (`scores.py`) is never linked in: it answers as a process of its own.

use holdfast::rules::scores::gcs::{Eye, Motor, Verbal};
use holdfast::rules::scores::news2::{News2, News2Readings, OxygenScale, Risk};
use holdfast::rules::scores::{Consciousness, Gcs};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

/// How many random sets of readings are compared on each oxygen scale.
const SETS: usize = 4_000;

fn readings() -> impl Strategy<Value = News2Readings> {
    // Dense around every band, with the far ends in it.
    (
        0_u16..=60,
        70_u16..=100,
        any::<bool>(),
        40_u16..=260,
        20_u16..=180,
        prop::sample::select(&Consciousness::ALL[..]),
        320_u16..=420,
    )
        .prop_map(
            |(breaths, saturation, oxygen, systolic, pulse, level, tenths)| News2Readings {
                breaths_per_minute: Some(breaths),
                oxygen_saturation_percent: Some(saturation),
                on_oxygen: Some(oxygen),
                systolic_mmhg: Some(systolic),
                pulse_per_minute: Some(pulse),
                consciousness: Some(level),
                temperature_tenths_c: Some(tenths),
            },
        )
}

fn question(scale: OxygenScale, one: &News2Readings) -> Value {
    let alert = one.consciousness == Some(Consciousness::Alert);
    json!({ "calculator": "news2", "inputs": {
        "respiratory_rate": one.breaths_per_minute,
        "spo2": one.oxygen_saturation_percent,
        "spo2_scale": if scale == OxygenScale::One { "1" } else { "2" },
        "on_oxygen": one.on_oxygen,
        "systolic_bp": one.systolic_mmhg,
        "pulse": one.pulse_per_minute,
        "consciousness": if alert { "alert" } else { "confusion-or-vpu" },
        "temperature": f64::from(one.temperature_tenths_c.unwrap()) / 10.0,
    } })
}

#[test]
fn news2_agrees_with_a_library() {
    let mut runner = TestRunner::deterministic();
    for scale in [OxygenScale::One, OxygenScale::Two] {
        let sets: Vec<News2Readings> = (0..SETS)
            .map(|_| readings().new_tree(&mut runner).unwrap().current())
            .collect();
        let questions: Vec<Value> = sets.iter().map(|one| question(scale, one)).collect();
        let answers = crate::asked("scores.py", &questions);
        let mut seen = std::collections::BTreeSet::new();
        for (one, answer) in sets.iter().zip(&answers) {
            let ours = News2::of(scale, one);
            assert_eq!(
                json!(ours.total.exact()),
                answer["result"],
                "{scale:?} {one:?}"
            );
            let single = answer["working"]["single_parameter_3"] == true;
            assert_eq!(
                ours.parts.iter().any(|part| part.low == 3),
                single,
                "{one:?}"
            );
            seen.insert(ours.risk);
        }
        let all = [Risk::Low, Risk::LowMedium, Risk::Medium, Risk::High].map(Some);
        assert!(
            all.iter().all(|risk| seen.contains(risk)),
            "every risk was met"
        );
        println!("NEWS2, scale {scale:?}: {SETS} random sets agree with the library");
    }
}

#[test]
fn the_coma_scale_agrees_with_a_library_on_every_combination() {
    let eyes = [
        (Eye::Spontaneous, "spontaneous"),
        (Eye::ToSound, "to_sound"),
        (Eye::ToPressure, "to_pressure"),
        (Eye::None, "no_response"),
        (Eye::NotTestable, "not_testable"),
    ];
    let speech = [
        (Verbal::Orientated, "orientated"),
        (Verbal::Confused, "confused"),
        (Verbal::Words, "words"),
        (Verbal::Sounds, "sounds"),
        (Verbal::None, "no_response"),
        (Verbal::NotTestable, "not_testable"),
    ];
    let movement = [
        (Motor::Obeys, "obey_commands"),
        (Motor::Localising, "localising"),
        (Motor::Withdrawal, "normal_flexion"),
        (Motor::AbnormalFlexion, "abnormal_flexion"),
        (Motor::Extension, "extension"),
        (Motor::None, "no_response"),
        (Motor::NotTestable, "not_testable"),
    ];
    let mut sets = Vec::new();
    let mut questions = Vec::new();
    for (eye, eye_opening) in eyes {
        for (verbal, verbal_response) in speech {
            for (motor, motor_response) in movement {
                sets.push(Gcs {
                    eye: Some(eye),
                    verbal: Some(verbal),
                    motor: Some(motor),
                });
                questions.push(
                    json!({ "calculator": "gcs", "inputs": { "eye_opening": eye_opening,
                    "verbal_response": verbal_response, "motor_response": motor_response } }),
                );
            }
        }
    }
    let answers = crate::asked("scores.py", &questions);
    for (gcs, answer) in sets.iter().zip(&answers) {
        let ours = gcs
            .exact_total()
            .map_or(json!("not_testable"), |total| json!(total));
        assert_eq!(ours, answer["result"], "{gcs:?}");
    }
    println!(
        "coma scale: all {} combinations agree with the library",
        sets.len()
    );
}
