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
