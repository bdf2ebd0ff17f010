//! What a setting of the incident changes, and what it leaves alone.

use serde_json::{Value, json};

use crate::harness::TestBoard;

fn changed(setting: &str, value: &Value) -> Value {
    json!({ "kind": "policy.changed/1", "setting": setting, "value": value, "decided_by": "Dr. Okoro" })
}

#[tokio::test]
async fn a_longer_hold_counts_from_its_change_and_a_strike_undoes_it() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let casualty = teo.registers("woman").await;
    let press = json!({ "kind": "step.taken/2", "step": "press" });
    let wound = teo.finds_wound(&casualty, "forearm", "steady").await;
    teo.says(json!({ "wound": wound }), press.clone()).await;
    board.minutes_pass(1);
    let receipt = ina
        .says(json!("incident"), changed("hold_pressure", &json!(20)))
        .await;
    board.minutes_pass(1);
    let later = teo.finds_wound(&casualty, "thigh", "steady").await;
    teo.says(json!({ "wound": later }), press).await;
    let lasts = || {
        board.state(|incident| {
            let one = incident.casualties().next().unwrap();
            let holds = one.wounds.iter().map(|wound| wound.standing.hold.unwrap());
            holds.map(|hold| hold.lasts.0).collect::<Vec<_>>()
        })
    };
    assert_eq!(lasts(), [10, 20], "the hold that runs keeps its length");
    let log = ina.gets("/log").await.body;
    assert!(log.contains("direct pressure, without looking: 20 min"));
    let page = ina.gets("/settings").await.body;
    assert!(page.contains("decided by Dr. Okoro"));
    ina.strikes(json!("incident"), &receipt).await;
    assert_eq!(lasts(), [10, 10]);
}

#[tokio::test]
async fn what_cannot_be_set_is_turned_back_with_what_could() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    for (by, fact, code, words) in [
        (
            &ina,
            changed("hold_pressure", &json!(4)),
            "out-of-range",
            "5 to 30",
        ),
        (
            &ina,
            changed("first_for_limb", &json!("elevation")),
            "no-such-choice",
            "pressure_then_tourniquet",
        ),
        (
            &ina,
            json!({ "kind": "policy.changed/1", "setting": "hold_pressure", "value": 8 }),
            "needs-decider",
            "who decided",
        ),
        (
            &teo,
            changed("hold_pressure", &json!(8)),
            "not-allowed",
            "lead",
        ),
    ] {
        let answer = by.reports(by.fact(json!("incident"), fact)).await;
        assert_eq!(answer["problem"]["code"], code, "{answer}");
        assert!(
            answer["problem"]["detail"]
                .as_str()
                .unwrap()
                .contains(words),
            "{answer}"
        );
    }
}

/// What is offered goes by what somebody counts as: by what they said, or by what the lead named them as.
#[tokio::test]
async fn whom_the_lead_names_is_offered_what_those_are_offered_at_once() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let counts = async |device: &crate::harness::Device| {
        let html = device.gets("/next").await.body;
        let code = html.split("data-training=\"").nth(1).unwrap();
        code.split('"').next().unwrap().to_owned()
    };
    assert_eq!(counts(&ina).await, "trained", "the lead");
    assert_eq!(counts(&teo).await, "first_aider");
    let mut stream = teo.watches("next", board.head()).await;
    let named = |named_as: Value| json!({ "kind": "helper.trained/2", "helper": teo.id, "named_as": named_as });
    ina.says(json!("incident"), named(json!("medic"))).await;
    let mine = format!("training-{}", teo.id);
    stream
        .hears(|event| {
            let parts = event.data["parts"].as_array().cloned().unwrap_or_default();
            parts.iter().any(|part| {
                let html = part["html"].as_str().unwrap_or_default();
                part["id"] == mine.as_str() && html.contains("data-training=\"medic\"")
            })
        })
        .await;
    assert_eq!(counts(&teo).await, "medic");
    ina.says(json!("incident"), named(json!("trained"))).await;
    assert_eq!(counts(&teo).await, "trained");
    ina.says(json!("incident"), named(Value::Null)).await;
    assert_eq!(counts(&teo).await, "first_aider", "as they said");
    // The first shape is still read.
    let first = json!({ "kind": "helper.trained/1", "helper": teo.id, "trained": true });
    ina.says(json!("incident"), first).await;
    assert_eq!(counts(&teo).await, "trained");
    let refused = teo
        .reports(teo.fact(json!("incident"), named(json!("medic"))))
        .await;
    assert_eq!(refused["problem"]["code"], "not-allowed");
    let log = ina.gets("/log").await.body;
    assert!(log.contains("Teo counts as: medic"));
}
