//! Reports that arrive long after they happened: marked on the casualty until the lead has seen them.

use jiff::{SignedDuration, Timestamp};
use serde_json::{Value, json};

use crate::harness::{Device, TestBoard};

/// A report of something that happened so many minutes ago.
async fn says_late(device: &Device, minutes: i64, about: Value, fact: Value) -> Value {
    let mut report = device.fact(about, fact);
    let now: Timestamp = report["happened_at"].as_str().unwrap().parse().unwrap();
    report["happened_at"] = json!((now - SignedDuration::from_mins(minutes)).to_string());
    let receipt = device.reports(report).await;
    assert!(receipt["seq"].is_u64(), "not taken: {receipt}");
    receipt
}

async fn row(device: &Device, casualty: &str) -> String {
    let page = device.opens("/board").await;
    page.part(&format!("row-{casualty}")).unwrap().to_owned()
}

#[tokio::test]
async fn what_came_late_and_changes_the_picture_is_marked_until_the_lead_has_seen_it() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let who = teo.registers("woman").await;
    let wound = teo.finds_wound(&who, "thigh", "spurting").await;
    board.minutes_pass(21);
    // Sol was out of range: a tourniquet went on at 14:03.
    let step = json!({ "kind": "step.taken/1", "step": "tourniquet", "used": [{ "item": "tourniquet", "count": 1 }] });
    says_late(&sol, 18, json!({ "wound": wound }), step).await;
    let shown = row(&ina, &who).await;
    let late = shown.split("came late: ").nth(1).expect("it is marked");
    assert!(
        late.contains(">14:03<") || late.contains("T14:03:00Z"),
        "{late}"
    );
    assert!(late.contains("T14:21:00Z"), "{late}");
    assert!(late.contains("tourniquet"), "{late}");
    let page = ina.opens(&format!("/casualties/{who}")).await;
    let part = page.part(&format!("who-{who}")).unwrap();
    let report = part
        .split("data-report=\"")
        .skip(1)
        .map(|rest| {
            rest.split('"')
                .next()
                .unwrap()
                .replace("&#34;", "\"")
                .replace("&quot;", "\"")
        })
        .find(|report| report.contains("late.seen/1"))
        .expect("a button says that it was seen");
    let report: Value = serde_json::from_str(&report).unwrap();
    // Only the lead's seeing counts.
    let refused = teo
        .reports(teo.fact(report["about"].clone(), report["fact"].clone()))
        .await;
    assert_eq!(refused["problem"]["code"], "not-allowed");
    let seen = ina
        .says(report["about"].clone(), report["fact"].clone())
        .await;
    assert!(!row(&ina, &who).await.contains("came late"));
    // Seen by mistake: struck, it is marked again.
    ina.strikes(json!({ "casualty": who }), &seen).await;
    assert!(row(&ina, &who).await.contains("came late"));
    ina.says(report["about"].clone(), report["fact"].clone())
        .await;
    // What comes after that is news again.
    board.minutes_pass(5);
    let moved = json!({ "kind": "casualty.moved/1", "place": "by the shelter" });
    says_late(&sol, 10, json!({ "casualty": who }), moved).await;
    assert!(row(&ina, &who).await.contains("by the shelter"));
    assert!(row(&ina, &who).await.contains("came late"));
    let stopped = board.stop_for_good().await;
    let verdict = holdfast::journal::verify(&stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{:?}", verdict.findings);
}

#[tokio::test]
async fn what_changes_nothing_or_surprises_nobody_is_not_marked() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let who = teo.registers("woman").await;
    teo.moves(&who, "on the road").await;
    board.minutes_pass(20);
    teo.moves(&who, "by the shelter").await;
    let about = json!({ "casualty": who });
    // A remark; and a place they were at before the one the board shows, seen by somebody who knew of neither.
    let note = json!({ "kind": "note.added/1", "text": "asked for her son" });
    says_late(&sol, 15, about.clone(), note).await;
    assert!(!row(&ina, &who).await.contains("came late"));
    // The lead's own late report is no news to the lead.
    let category = json!({ "kind": "category.assigned/1", "category": "delayed" });
    says_late(&ina, 10, about, category).await;
    assert!(!row(&ina, &who).await.contains("came late"));
    // A whole casualty that comes late with everything about them is new, not late.
    let girl = holdfast::clock::fresh_id().to_string();
    let registered = json!({ "kind": "casualty.registered/1", "age": "child" });
    says_late(&sol, 15, json!({ "casualty": girl }), registered).await;
    let category = json!({ "kind": "category.assigned/1", "category": "immediate" });
    says_late(&sol, 14, json!({ "casualty": girl }), category).await;
    assert!(!row(&ina, &girl).await.contains("came late"));
    // A minute later the board has shown her, and what was done earlier does change it.
    board.minutes_pass(2);
    let moved = json!({ "kind": "casualty.moved/1", "place": "in the hut" });
    says_late(&sol, 12, json!({ "casualty": girl }), moved).await;
    assert!(row(&ina, &girl).await.contains("came late"));
}

#[tokio::test]
async fn a_late_undo_is_told_too() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let who = teo.registers("woman").await;
    let dead = teo.sorts(&who, "dead").await;
    board.minutes_pass(12);
    let strike = json!({ "kind": "entry.struck/1", "entry": dead["id"] });
    says_late(&teo, 10, json!({ "casualty": who }), strike).await;
    let shown = row(&ina, &who).await;
    assert!(
        shown.contains("came late") && shown.contains("NOT SORTED"),
        "{shown}"
    );
}
