//! Positions, the sun's times, codes and Wi-Fi texts against libraries from the registry (`field.py`).

use holdfast::exchange::qr;
use holdfast::rules::evac::daylight::{Light, light, sun_times};
use holdfast::rules::place::{self, Position};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

use crate::asked;

/// Random places.
const PLACES: usize = 3_000;
/// Random places and days for the sun.
const DAYS: usize = 1_500;
/// Random texts for codes.
const CODES: usize = 120;
/// Random networks.
const NETWORKS: usize = 500;

fn drawn<T: std::fmt::Debug>(many: usize, one: impl Strategy<Value = T>) -> Vec<T> {
    let mut runner = TestRunner::deterministic();
    (0..many)
        .map(|_| one.new_tree(&mut runner).unwrap().current())
        .collect()
}

/// "30U VF 98932 42158" as square and metres.
fn grid(written: &str) -> (String, f64, f64) {
    let parts: Vec<&str> = written.split(' ').collect();
    let [zone, square, east, north] = parts[..] else {
        panic!("{written}")
    };
    let figures = |text: &str| text.parse::<f64>().unwrap();
    (format!("{zone} {square}"), figures(east), figures(north))
}

#[test]
fn positions_agree_with_two_geodesy_libraries() {
    let places = drawn(PLACES, (-79.9_f64..83.9, -180.0_f64..180.0));
    let questions: Vec<Value> = places
        .iter()
        .map(|(lat, lon)| json!({ "ask": "position", "lat": lat, "lon": lon }))
        .collect();
    for ((lat, lon), answer) in places.iter().zip(asked("field.py", &questions)) {
        let here = Position::new(*lat, *lon).unwrap();
        let utm = here.utm().unwrap();
        let number = |name: &str| answer[name].as_f64().unwrap();
        let half = if answer["north"] == true {
            "north"
        } else {
            "south"
        };
        let zone = format!("zone {} {half} hemisphere ", answer["zone"]);
        let rest = utm
            .strip_prefix(&zone)
            .unwrap_or_else(|| panic!("{utm}, {zone}"));
        let (east, north) = rest.split_once(" E ").unwrap();
        let north = north.strip_suffix(" N").unwrap();
        // Both series are good to well under a metre; ours is cut to whole metres.
        for (ours, theirs) in [(east, "easting"), (north, "northing")] {
            let apart = number(theirs) - ours.parse::<f64>().unwrap();
            assert!(
                (-0.01..1.01).contains(&apart),
                "{lat} {lon}: {utm}, {answer}"
            );
        }
        let (square, east, north) = grid(&here.mgrs().unwrap());
        let geotrans = answer["geotrans"].as_str().unwrap();
        let split = geotrans.len() - 10;
        let theirs = format!("{} {}", &geotrans[..split - 2], &geotrans[split - 2..split]);
        let figures = |range: std::ops::Range<usize>| geotrans[range].parse::<f64>().unwrap();
        let (their_east, their_north) = (figures(split..split + 5), figures(split + 5..split + 10));
        // At the very edge of a square one cut metre decides which square it is.
        let edge = |metre: f64| !(2.0..99_997.0).contains(&metre);
        if edge(east) || edge(north) || edge(their_east) || edge(their_north) {
            continue;
        }
        assert_eq!(square, theirs, "{lat} {lon}");
        assert_eq!(square, answer["square"], "{lat} {lon}");
        assert!((east - their_east).abs() <= 1.0 && (north - their_north).abs() <= 1.0);
    }
    println!("positions: {PLACES} random places agree with pygeodesy and GEOTRANS");
}

#[test]
fn references_of_any_length_are_read_as_the_library_reads_them() {
    let places = drawn(600, (-79.0_f64..83.0, -179.0_f64..179.0, 1_u8..=5));
    let written: Vec<String> = places
        .iter()
        .map(|(lat, lon, digits)| Position::new(*lat, *lon).unwrap().mgrs_of(*digits).unwrap())
        .collect();
    let questions: Vec<Value> = written
        .iter()
        .map(|mgrs| json!({ "ask": "read", "mgrs": mgrs }))
        .collect();
    for (mgrs, answer) in written.iter().zip(asked("field.py", &questions)) {
        let ours = place::read(mgrs).unwrap().position;
        let number = |name: &str| answer[name].as_f64().unwrap();
        let theirs = Position::new(number("lat"), number("lon")).unwrap();
        let apart = ours.metres_to(theirs);
        assert!(apart < 1.0, "{mgrs}: {apart} m");
    }
    println!("grid references: 600 of 2 to 10 figures are read alike");
}

/// Seconds by which two good formulas for the sun may differ.
const SUN_SLACK: f64 = 120.0;

#[test]
fn the_suns_times_agree_with_a_library() {
    // From 2024 to 2035. Nearer to the poles the sun grazes its limits, and seconds of the formula become minutes.
    let days = drawn(
        DAYS,
        (
            -58.0_f64..58.0,
            -179.0_f64..179.0,
            1_704_067_200_i64..2_051_222_400,
        ),
    );
    let questions: Vec<Value> = days
        .iter()
        .map(|(lat, lon, start)| json!({ "ask": "sun", "lat": lat, "lon": lon, "start": start }))
        .collect();
    let mut compared = 0;
    for ((lat, lon, start), answer) in days.iter().zip(asked("field.py", &questions)) {
        let ours = sun_times(*lat, *lon, *start).unwrap();
        let all = [
            ("dawn", ours.dawn),
            ("sunrise", ours.sunrise),
            ("sunset", ours.sunset),
            ("dusk", ours.dusk),
        ];
        for (name, ours) in all {
            let theirs = answer[name].as_f64();
            #[expect(clippy::cast_precision_loss, reason = "seconds of this century fit")]
            let ours = ours.map(|at| at as f64);
            #[expect(clippy::cast_precision_loss, reason = "seconds of this century fit")]
            let start = *start as f64;
            // An event at the edge of the day may fall inside it for one and outside for the other.
            let edge = |at: f64| (at - start).min(start + 86_400.0 - at) < 2.0 * SUN_SLACK;
            match (ours, theirs) {
                (Some(ours), Some(theirs)) if !edge(ours) && !edge(theirs) => {
                    let apart = (ours - theirs).abs();
                    assert!(apart <= SUN_SLACK, "{name} at {lat} {lon}: {apart} s");
                    compared += 1;
                }
                (Some(at), None) | (None, Some(at)) => {
                    assert!(
                        edge(at),
                        "{name} at {lat} {lon}, {start}: {ours:?}, {theirs:?}"
                    );
                }
                _ => {}
            }
        }
        // Until when a helicopter may leave is the very dusk that was compared.
        if let (Some(Light::Until(until)), Some(dusk)) = (light(*lat, *lon, *start), ours.dusk) {
            assert!((until - dusk).abs() <= 1, "{lat} {lon} {start}");
        }
    }
    assert!(compared > DAYS * 3, "only {compared} times were compared");
    println!("the sun: {compared} times of {DAYS} random places and days agree within two minutes");
}

#[test]
fn codes_are_read_back_by_a_decoder_of_others() {
    let texts = drawn(CODES, "[ -~]{1,400}(\n[ -~]{1,200})?");
    let questions: Vec<Value> = texts
        .iter()
        .map(|text| json!({ "ask": "code", "svg": qr::svg(text).unwrap() }))
        .collect();
    for (text, answer) in texts.iter().zip(asked("field.py", &questions)) {
        assert_eq!(answer["texts"], json!([text]));
    }
    println!("codes: {CODES} random texts are read back");
}

#[test]
fn wifi_texts_agree_with_a_library() {
    // It writes a comma as it is; the test cases of the reader below know it escaped as well.
    let networks = drawn(NETWORKS, ("[ -+\\--~]{1,32}", "[ -+\\--~]{8,63}"));
    let questions: Vec<Value> = networks
        .iter()
        .map(|(name, secret)| json!({ "ask": "wifi", "name": name, "secret": secret }))
        .collect();
    for ((name, secret), answer) in networks.iter().zip(asked("field.py", &questions)) {
        assert_eq!(
            qr::wifi(name, Some(secret)),
            answer["text"],
            "{name:?} {secret:?}"
        );
    }
    println!("Wi-Fi: {NETWORKS} random networks are written alike");
}
