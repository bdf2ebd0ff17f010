//! Around the ladder, through the public door: the check beyond with its numbers, shock and what informs only, and a
//! group that waits a night for help.

use serde_json::{Value, json};

use super::sequences::{card, shows};
use crate::harness::{Device, TestBoard};

const EVENING: &str = "2026-06-01T18:00:00Z";

async fn says(phone: &Device, wound: &str, fact: Value) {
    phone.says(json!({ "wound": wound }), fact).await;
}

async fn told(phone: &Device, casualty: &str, fact: Value) {
    phone.says(json!({ "casualty": casualty }), fact).await;
}

async fn page(phone: &Device, casualty: &str) -> String {
    phone.opens(&format!("/casualties/{casualty}")).await.html
}

async fn reads(phone: &Device, casualty: &str, wound: &str, what: &[&str]) {
    let page = page(phone, casualty).await;
    let card = card(&page, wound);
    for words in what {
        shows(card, words).unwrap_or_else(|problem| panic!("{problem}\n{card}"));
    }
}

/// A dressing on a forearm, nobody has looked yet.
async fn dressed(phone: &Device) -> (String, String) {
    let casualty = phone.registers("man, checked").await;
    let wound = phone.finds_wound(&casualty, "forearm", "high").await;
    (casualty, wound)
}

async fn dress(board: &TestBoard, phone: &Device, wound: &str) {
    phone
        .takes_step(wound, "packing", "haemostatic_gauze")
        .await;
    board.minutes_pass(4);
    says(
        phone,
        wound,
        json!({ "kind": "wound.looked/1", "bleeding": "stopped" }),
    )
    .await;
    phone
        .takes_step(wound, "pressure_dressing", "bar_bandage")
        .await;
}

/// Source: St John Ambulance (back within 2 s, else too tight); Schriger & Baraff 1988 (the other side, cold).
#[tokio::test]
async fn a_slow_refill_is_the_dressings_fault_only_against_the_other_side() {
    let board = TestBoard::start_at(EVENING).await;
    let phone = board.device("Teo").await;
    let check = |mine: u16, other: Option<u16>| {
        let mut fact = json!({ "kind": "beyond.checked/1", "stain": "dry", "circulation": "present",
            "movement": "as_before", "feeling": "as_before", "refill_tenths": mine });
        if let Some(other) = other {
            fact["refill_other_side_tenths"] = json!(other);
        }
        fact
    };
    let (casualty, wound) = dressed(&phone).await;
    dress(&board, &phone, &wound).await;
    says(&phone, &wound, check(30, Some(15))).await;
    let lines = [
        "dressing too tight",
        "colour back in 3.0 s (limit 2.0 s)",
        "other side 1.5 s",
    ];
    reads(&phone, &casualty, &wound, &lines).await;
    let fix = [
        "too tight: loosen a little, keep pressing on the wound",
        "Loosened a little",
    ];
    reads(&phone, &casualty, &wound, &fix).await;

    // Slow on both sides in the cold: warm them, the dressing is left alone.
    says(
        &phone,
        &wound,
        json!({ "kind": "step.taken/2", "step": "loosen" }),
    )
    .await;
    told(
        &phone,
        &casualty,
        json!({ "kind": "risks.told/1", "cold": true }),
    )
    .await;
    says(&phone, &wound, check(30, Some(30))).await;
    let cold = [
        "dressing holds",
        "Refill is slow because of cold or on both sides",
    ];
    reads(&phone, &casualty, &wound, &cold).await;

    // Slow on both sides and not cold asks about shock.
    told(
        &phone,
        &casualty,
        json!({ "kind": "risks.told/1", "cold": false }),
    )
    .await;
    says(&phone, &wound, check(30, Some(31))).await;
    reads(&phone, &casualty, &wound, &["look for signs of shock"]).await;

    // An old person's limit is longer.
    told(
        &phone,
        &casualty,
        json!({ "kind": "history.told/1", "about_years": 72 }),
    )
    .await;
    says(&phone, &wound, check(35, None)).await;
    reads(
        &phone,
        &casualty,
        &wound,
        &["dressing holds", "colour back in 3.5 s (limit 4.5 s)"],
    )
    .await;
}

/// Source: JTS curriculum (record what was there before the dressing); the rule itself is our default.
#[tokio::test]
async fn no_pulse_before_the_dressing_is_not_the_dressings_fault() {
    let board = TestBoard::start_at(EVENING).await;
    let phone = board.device("Teo").await;
    for (before, state) in [(true, "dressing holds"), (false, "dressing too tight")] {
        let (casualty, wound) = dressed(&phone).await;
        if before {
            says(
                &phone,
                &wound,
                json!({ "kind": "beyond.checked/1", "before": true, "circulation": "absent" }),
            )
            .await;
        }
        dress(&board, &phone, &wound).await;
        says(
            &phone,
            &wound,
            json!({ "kind": "beyond.checked/1", "stain": "dry", "circulation": "absent" }),
        )
        .await;
        reads(&phone, &casualty, &wound, &[state]).await;
        if before {
            reads(
                &phone,
                &casualty,
                &wound,
                &["before the dressing: no pulse", "limb without blood"],
            )
            .await;
        }
    }
}

/// Sources: JTS curriculum and ANZCOR 9.1.1 (shock); JTS (tranexamic acid within 3 h); Merlin et al. 2009 (fists).
#[tokio::test]
async fn signs_of_shock_raise_the_suspicion_and_what_informs_decides_nothing() {
    let board = TestBoard::start_at(EVENING).await;
    let phone = board.device("Teo").await;
    let casualty = phone.registers("woman").await;
    let wound = phone.finds_wound(&casualty, "thigh", "spurting").await;
    told(
        &phone,
        &casualty,
        json!({ "kind": "history.told/1", "injured_at": EVENING }),
    )
    .await;
    let signs = |signs: Value, pulse: u16| json!({ "kind": "shock.signs_seen/1", "signs": signs, "pulse_per_minute": pulse });
    told(&phone, &casualty, signs(json!(["thirsty", "anxious"]), 110)).await;
    assert!(
        shows(&page(&phone, &casualty).await, "Shock suspected").is_err(),
        "a fast pulse alone is not shock"
    );
    told(&phone, &casualty, signs(json!(["pale_and_sweaty"]), 110)).await;
    let seen = page(&phone, &casualty).await;
    for line in [
        "Shock suspected",
        "Flat, quiet, warm",
        "No tourniquet comes off.",
        "Vital signs, shock suspected",
    ] {
        shows(&seen, line).unwrap();
    }

    let blood = json!({ "kind": "blood.seen/1", "fists": 12 });
    let before = board.state(|incident| incident.duties().len());
    told(&phone, &casualty, blood).await;
    shows(
        &page(&phone, &casualty).await,
        "at least ~240 mL, poor accuracy",
    )
    .unwrap();
    assert_eq!(
        board.state(|incident| incident.duties().len()),
        before,
        "it starts no clock"
    );

    let seen = page(&phone, &casualty).await;
    let panel = seen
        .split("data-offered=\"medic\"")
        .nth(1)
        .expect("the medics' panel");
    assert!(panel.contains("Tranexamic acid"));
    assert_eq!(
        seen.matches("ranexamic").count(),
        panel.matches("ranexamic").count(),
        "nothing of it outside"
    );
    assert!(
        panel.contains("data-due=\"2026-06-01T21:00:00Z\""),
        "three hours from the injury"
    );
    told(
        &phone,
        &casualty,
        json!({ "kind": "tranexamic.settled/1", "given": true }),
    )
    .await;
    shows(&page(&phone, &casualty).await, "given at").unwrap();
    drop(wound);
}

/// Sources: JTS CPG 62 (daily), Wilderness Medical Society 2005 (look daily; what is not closed; what leaves),
/// Minnesota Department of Health (tetanus); twice a day for a hand is our default.
#[tokio::test]
async fn a_group_waits_a_night() {
    let board = TestBoard::start_at(EVENING).await;
    let phone = board.device("Teo").await;
    let casualty = phone.registers("boy, night").await;
    let due = |kind: &'static str| {
        board.state(|incident| {
            let one = incident
                .casualties()
                .find(|one| {
                    one.words
                        .value()
                        .is_some_and(|words| words.as_str() == "boy, night")
                })
                .unwrap();
            let clock = one
                .clocks
                .iter()
                .find(|clock| format!("{:?}", clock.kind) == kind);
            clock.map(|clock| clock.due_at.to_string())
        })
    };
    told(
        &phone,
        &casualty,
        json!({ "kind": "history.told/1", "injured_at": EVENING }),
    )
    .await;
    told(
        &phone,
        &casualty,
        json!({ "kind": "risks.told/1", "tetanus": { "complete": { "years_since_last": 7 } } }),
    )
    .await;
    let hand = phone.finds_wound(&casualty, "hand", "none").await;
    says(
        &phone,
        &hand,
        json!({ "kind": "wound.described/1", "length_mm": 80, "mechanism": "bite",
        "contamination": "dirty", "depth": "deep" }),
    )
    .await;
    says(
        &phone,
        &hand,
        json!({ "kind": "step.taken/2", "step": "plain_dressing" }),
    )
    .await;
    assert_eq!(
        due("RinseBefore").as_deref(),
        Some("2026-06-02T00:00:00Z"),
        "six hours from the injury"
    );
    let lines = [
        "800 mL of clean water",
        "stays open, not closed out here: a bite",
        "for the hospital: tetanus booster",
        "for the hospital: rabies assessment",
        "leaves sooner for: severe bite",
    ];
    reads(&phone, &casualty, &hand, &lines).await;

    board.minutes_pass(60);
    says(
        &phone,
        &hand,
        json!({ "kind": "wound.rinsed/1", "ml": 800 }),
    )
    .await;
    reads(
        &phone,
        &casualty,
        &hand,
        &["rinsed and dressed", "rinsed with 800 mL"],
    )
    .await;
    assert_eq!(due("RinseBefore"), None);
    assert_eq!(
        due("InfectionLook").as_deref(),
        Some("2026-06-02T07:00:00Z"),
        "a hand twice a day"
    );
    assert_eq!(
        due("DressingChange").as_deref(),
        Some("2026-06-02T19:00:00Z"),
        "at least daily"
    );

    board.minutes_pass(12 * 60);
    says(&phone, &hand, json!({ "kind": "infection.looked/1" })).await;
    reads(&phone, &casualty, &hand, &["no sign of infection"]).await;
    assert_eq!(
        due("InfectionLook").as_deref(),
        Some("2026-06-02T19:00:00Z")
    );
    assert_eq!(
        due("DressingChange").as_deref(),
        Some("2026-06-02T19:00:00Z"),
        "only looked at"
    );

    board.minutes_pass(12 * 60);
    says(
        &phone,
        &hand,
        json!({ "kind": "infection.looked/1", "signs": ["red_streaks", "fever"],
        "dressing_changed": true, "used": [{ "item": "small_pad", "count": 1 }] }),
    )
    .await;
    reads(
        &phone,
        &casualty,
        &hand,
        &["infection spreads in the body: leave urgently"],
    )
    .await;
    assert_eq!(
        due("DressingChange").as_deref(),
        Some("2026-06-03T19:00:00Z")
    );
    shows(&page(&phone, &casualty).await, "1 small pad").unwrap();

    // What is packed is not opened out here, all night long.
    let leg = phone.finds_wound(&casualty, "thigh", "high").await;
    dress(&board, &phone, &leg).await;
    says(
        &phone,
        &leg,
        json!({ "kind": "dressing.checked/1", "stain": "dry", "circulation": "present",
        "movement": "as_before", "feeling": "as_before" }),
    )
    .await;
    let lines = ["dressing holds", "packing stays in for the hospital"];
    reads(&phone, &casualty, &leg, &lines).await;
    let all = page(&phone, &casualty).await;
    let offers = card(&all, &leg)
        .split("choices--row")
        .nth(1)
        .unwrap()
        .split("</div>")
        .next()
        .unwrap();
    assert!(
        !offers.contains("Rinsed"),
        "no rinsing of a packed wound is offered"
    );
}

/// A tourniquet's record is told bit by bit and read in one line. Source: TCCC Guidelines; JTS curriculum.
#[tokio::test]
async fn how_a_tourniquet_sits_is_told_bit_by_bit_and_high_over_clothes_it_is_moved() {
    let board = TestBoard::start_at(EVENING).await;
    let phone = board.device("Teo").await;
    let casualty = phone.registers("man").await;
    let wound = phone.finds_wound(&casualty, "lower_leg", "spurting").await;
    phone.takes_step(&wound, "tourniquet", "tourniquet").await;
    reads(
        &phone,
        &casualty,
        &wound,
        &["time NOT yet written on it", "place not said"],
    )
    .await;
    says(
        &phone,
        &wound,
        json!({ "kind": "tourniquet.described/1", "time_written": true }),
    )
    .await;
    says(&phone, &wound, json!({ "kind": "tourniquet.described/1", "level": "high_and_tight", "over_clothes": true, "improvised": true })).await;
    let lines = [
        "as high as it goes",
        "over clothes",
        "improvised",
        "time written on it",
    ];
    reads(&phone, &casualty, &wound, &lines).await;
    phone.checks_tourniquet(&wound, false, "absent").await;
    reads(
        &phone,
        &casualty,
        &wound,
        &["tourniquet holds", "Moved to the skin above the wound"],
    )
    .await;
    says(&phone, &wound, json!({ "kind": "tourniquet.described/1", "level": { "above_wound": 60 }, "over_clothes": false })).await;
    let page = page(&phone, &casualty).await;
    assert!(
        !card(&page, &wound).contains("Moved to the skin"),
        "nothing to move any more"
    );
    shows(card(&page, &wound), "6 cm above the wound").unwrap();
}
