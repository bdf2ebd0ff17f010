//! The handover sheet: says what was reported in every shape, and its code reads back as the text beside it.

use serde_json::{Value, json};

use crate::harness::facts::{CASUALTY, fixtures, set_the_scene};
use crate::harness::{Device, TestBoard};

/// Reads the code in a page with a decoder that shares nothing with what drew it.
fn decoded(html: &str) -> String {
    let svg = html.split("<div class=\"qr\">").nth(1).unwrap();
    let svg = svg.split("</svg>").next().unwrap();
    let number = |name: &str| -> usize {
        let value = svg.split(&format!(" {name}=\"")).nth(1).unwrap();
        value.split('"').next().unwrap().parse().unwrap()
    };
    let (width, height) = (number("width"), number("height"));
    let path = svg
        .split(" d=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let mut dark = vec![false; width * height];
    // Each dark module is drawn as "M{left} {top}h{width}v{height}H{left}V{top}".
    for module in path.split('M').skip(1) {
        let numbers: Vec<usize> = module
            .split(|c: char| !c.is_ascii_digit())
            .filter(|part| !part.is_empty())
            .map(|part| part.parse().unwrap())
            .collect();
        let [left, top, wide, high, ..] = numbers[..] else {
            panic!("{module}")
        };
        for y in top..top + high {
            dark[y * width + left..y * width + left + wide].fill(true);
        }
    }
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| {
        if dark[y * width + x] { 0 } else { 255 }
    });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

/// The text that stands beside the code.
fn told(html: &str) -> String {
    let text = html.split("<pre class=\"said\">").nth(1).unwrap();
    let text = text.split("</pre>").next().unwrap();
    text.replace("&#38;", "&")
        .replace("&#60;", "<")
        .replace("&#62;", ">")
        .replace("&#39;", "'")
        .replace("&#34;", "\"")
}

async fn sheet(device: &Device, casualty: &str) -> String {
    let answer = device
        .gets(&format!("/casualties/{casualty}/handover"))
        .await;
    assert_eq!(answer.status, 200);
    answer.body
}

async fn did(device: &Device, wound: &str, fact: Value) {
    device.says(json!({ "wound": wound }), fact).await;
}

#[tokio::test]
async fn the_code_reads_back_as_the_text_beside_it() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo & co").await;
    let casualty = teo.registers("woman <b>").await;
    teo.sorts(&casualty, "immediate").await;
    let wound = teo.finds_wound(&casualty, "thigh", "spurting").await;
    board.minutes_pass(3);
    teo.takes_step(&wound, "tourniquet", "tourniquet").await;
    let told_by = json!({ "kind": "history.told/1", "mechanism": "fell on rocks & ice: Gänsehaut",
        "allergies": "penicillin", "sex": "female" });
    teo.says(json!({ "casualty": casualty }), told_by).await;
    board.minutes_pass(30);
    let html = sheet(&teo, &casualty).await;
    let text = decoded(&html);
    assert_eq!(text, told(&html));
    assert!(text.len() <= 450, "{text}");
    assert!(text.starts_with("ATMIST 1 IMMEDIATE v"), "{text}");
    assert!(text.contains("TQ thigh, left 1403Z ON 0h30"), "{text}");
    assert!(text.contains("ALLERGY penicillin"), "{text}");
    assert!(text.ends_with("SENT 251433ZNOV26 BY Teo & co"), "{text}");
    assert!(html.contains("check "), "the sheet says its check");
}

#[tokio::test]
async fn a_code_that_had_to_be_shortened_reads_back_too() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("man").await;
    let long = "many words that go on and on ".repeat(9);
    for region in ["thigh", "forearm", "scalp", "neck", "hand", "foot"] {
        teo.finds_wound(&casualty, region, "steady").await;
    }
    let told_by = json!({ "kind": "history.told/1", "mechanism": long, "allergies": long,
        "complaints": long, "background": long, "medicines": long, "other": long });
    teo.says(json!({ "casualty": casualty }), told_by).await;
    let html = sheet(&teo, &casualty).await;
    let text = decoded(&html);
    assert_eq!(text, told(&html));
    assert!(text.len() <= 450, "{} {text}", text.len());
    assert!(html.contains("Left out or shortened: "));
}

#[tokio::test]
async fn old_and_new_shapes_stand_on_it_and_a_release_says_both_times() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let ina = board.lead("Ina").await;
    let casualty = ina.registers("man").await;
    let first = ina.finds_wound(&casualty, "forearm", "steady").await;
    ina.takes_step(&first, "direct_pressure", "large_pad").await;
    let second = holdfast::clock::fresh_id().to_string();
    let found = json!({ "kind": "wound.found/2", "casualty": casualty, "region": "thigh", "side": "right", "flow": "spurting" });
    did(&ina, &second, found).await;
    board.minutes_pass(1);
    did(
        &ina,
        &second,
        json!({ "kind": "step.taken/2", "step": "tourniquet" }),
    )
    .await;
    board.minutes_pass(1);
    ina.checks_tourniquet(&second, false, "absent").await;
    let before = sheet(&ina, &casualty).await;
    assert!(
        before.contains("<b>ON since 14:01</b>, 0:01 h when this was made · thigh, right"),
        "{before}"
    );
    board.minutes_pass(40);
    did(
        &ina,
        &second,
        json!({ "kind": "step.taken/2", "step": "pack" }),
    )
    .await;
    did(
        &ina,
        &second,
        json!({ "kind": "step.taken/2", "step": "pressure_dressing" }),
    )
    .await;
    did(
        &ina,
        &second,
        json!({ "kind": "step.taken/2", "step": "begin_release" }),
    )
    .await;
    board.minutes_pass(2);
    did(
        &ina,
        &second,
        json!({ "kind": "step.taken/2", "step": "release_held" }),
    )
    .await;
    let after = sheet(&ina, &casualty).await;
    assert!(after.contains("14:01 to 14:4"), "{after}");
    assert!(!after.contains("ON since"), "{after}");
    let text = decoded(&after);
    assert!(text.contains("TQ thigh, right 1401Z ended 144"), "{text}");
    for words in ["forearm, left", "thigh, right", "direct pressure"] {
        assert!(after.contains(words), "{words}");
    }
}

#[tokio::test]
async fn every_shape_of_care_ever_stored_stands_on_the_sheet() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    set_the_scene(&ina).await;
    let care = [
        "wound.found/1",
        "wound.found/2",
        "wound.assessed/1",
        "wound.looked/1",
        "step.taken/1",
        "step.taken/2",
        "distal.checked/1",
        "dressing.checked/1",
        "tourniquet.checked/1",
        "tourniquet.timed/1",
        "breathing.checked/1",
        "casualty.warmed/1",
        "shock.judged/1",
        "category.assigned/1",
        "category.assigned/2",
        "lifesaving.done/1",
        "casualty.told/1",
        "note.added/1",
        "risks.told/1",
        "wound.described/1",
        "beyond.checked/1",
        "tourniquet.described/1",
        "release.begun/1",
        "wound.rinsed/1",
        "infection.looked/1",
        "shock.signs_seen/1",
        "blood.seen/1",
        "tranexamic.settled/1",
        "wound.voided/1",
    ];
    for one in fixtures().iter().filter(|one| one.is_full()) {
        let mut newest = fixtures()
            .iter()
            .filter(|other| other.kind().split('/').next() == one.kind().split('/').next())
            .map(|other| other.kind().to_owned())
            .collect::<Vec<_>>();
        newest.sort();
        let is_care = care
            .iter()
            .any(|kind| kind.split('/').next() == one.kind().split('/').next());
        // A newer number of a shape that is care must not be missing here.
        assert!(
            !is_care || care.contains(&newest.last().unwrap().as_str()),
            "{}",
            one.kind()
        );
        if !care.contains(&one.kind()) {
            continue;
        }
        let receipt = ina.reports(one.to_send(&ina)).await;
        let seq = receipt["seq"]
            .as_u64()
            .unwrap_or_else(|| panic!("{} {receipt}", one.kind()));
        let words = board.state(|incident| {
            let entry = incident.entry(holdfast::incident::Seq(seq)).unwrap();
            holdfast::incident::sentence(entry, incident)
        });
        let html = sheet(&ina, CASUALTY).await;
        let escaped = words.replace('&', "&#38;").replace('\'', "&#39;");
        assert!(html.contains(&escaped), "{}: {words}", one.kind());
    }
}

#[tokio::test]
async fn a_struck_report_is_not_on_it() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("man").await;
    let note = teo.notes(&casualty, "talks of his dog").await;
    assert!(sheet(&teo, &casualty).await.contains("talks of his dog"));
    teo.strikes(json!({ "casualty": casualty }), &note).await;
    assert!(!sheet(&teo, &casualty).await.contains("talks of his dog"));
}

#[tokio::test]
async fn what_the_hospital_must_not_miss_is_on_sheet_and_code_and_another_day_is_said() {
    let board = TestBoard::start_at("2026-11-25T13:58:00Z").await;
    let teo = board.medic("Teo").await;
    let casualty = teo.registers("man").await;
    let wound = holdfast::clock::fresh_id().to_string();
    let found = json!({ "kind": "wound.found/2", "casualty": casualty, "region": "lower_leg", "side": "left",
        "flow": "ooze", "amputation": "complete", "impaled": true, "open_fracture": true, "depth": "deep" });
    did(&teo, &wound, found).await;
    let on = json!({ "kind": "step.taken/2", "step": "tourniquet", "tourniquet": { "level": "high_and_tight" } });
    did(&teo, &wound, on).await;
    let who = || json!({ "casualty": casualty });
    teo.says(
        who(),
        json!({ "kind": "risks.told/1", "blood_thinners": true }),
    )
    .await;
    teo.says(
        who(),
        json!({ "kind": "tranexamic.settled/1", "given": true }),
    )
    .await;
    let signs = json!({ "kind": "vitals.measured/2", "systolic_unrecordable": true, "radial_pulse": "no", "on_oxygen": true });
    teo.says(who(), signs).await;
    // A day and seventeen minutes later.
    board.minutes_pass(24 * 60 + 17);
    let html = sheet(&teo, &casualty).await;
    for words in [
        "amputation",
        "something sticks in it",
        "broken bone under it",
        "as high as it goes",
        "takes blood thinners",
        "TXA given 25 Nov 13:58",
        "ON since 25 Nov 13:58",
        "24:17 h when this was made",
        "pressure not to be had",
    ] {
        assert!(html.contains(words), "{words}");
    }
    let text = decoded(&html);
    for words in [
        "takes blood thinners",
        "TXA 25/1358Z",
        "25/1358Z ON 24h17",
        "BP none",
        "no radial",
        "on O2",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}
