//! Who was last heard of, what a device still kept to itself, and what a removed device may still deliver.

use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::harness::{Device, Stream, TestBoard};

/// What the lead is told of a device.
async fn contact(stream: &mut Stream, device: &Device) -> Value {
    let event = stream.hears(|event| event.data["people"].is_array()).await;
    let people = event.data["people"].as_array().unwrap().clone();
    let found = people
        .into_iter()
        .find(|one| one["device"] == device.id.as_str());
    found.expect("everybody who joined is on the list")
}

async fn first_contact(lead: &Device, device: &Device) -> Value {
    contact(&mut lead.watches("board", 0).await, device).await
}

#[tokio::test]
async fn the_lead_is_told_who_is_here_and_what_they_have_not_sent() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    board.minutes_pass(2);
    let fact = json!({ "kind": "casualty.registered/1", "age": "adult" });
    let about = json!({ "casualty": holdfast::clock::fresh_id() });
    let report = teo.fact(about, fact);
    let batch = json!({ "sent_at": teo.now(), "waiting": 3, "facts": [report] });
    assert_eq!(teo.posts("/journal", &batch).await.status, 200);
    let told = first_contact(&ina, &teo).await;
    assert_eq!(told["heard"], "2026-11-25T14:02:00Z");
    assert_eq!(told["waiting"], 3);
    assert_eq!(
        (&told["live"], &told["removed"]),
        (&json!(false), &json!(false))
    );

    let mut stream = teo.watches("next", 0).await;
    let hello = stream.hears_of("hello").await;
    assert!(hello.data.get("people").is_none(), "the lead's alone");
    assert_eq!(first_contact(&ina, &teo).await["live"], true);
    board.minutes_pass(5);
    drop(stream);
    // The server notices when it next writes to the stream; a gone phone is not here for longer than a heartbeat.
    let deadline = Instant::now() + Duration::from_secs(8);
    loop {
        let told = first_contact(&ina, &teo).await;
        if told["live"] == false {
            assert_eq!(told["heard"], "2026-11-25T14:07:00Z");
            break;
        }
        assert!(Instant::now() < deadline, "{told}");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    // All sent: the next contact says so.
    let receipt = teo.reports_all(&[]).await;
    assert!(receipt.is_empty());
    assert_eq!(first_contact(&ina, &teo).await["waiting"], 0);
}

#[tokio::test]
async fn a_removed_device_goes_dark_within_a_second_and_delivers_after_joining_again() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let who = teo.registers("woman").await;
    teo.takes(&who).await;
    let mut stream = teo.watches("next,board", 0).await;
    stream.hears_of("hello").await;
    // Two reports were made and not sent yet.
    let unsent: Vec<Value> = ["delayed", "immediate"]
        .into_iter()
        .map(|category| {
            let fact = json!({ "kind": "category.assigned/1", "category": category });
            teo.fact(json!({ "casualty": who }), fact)
        })
        .collect();
    let path = format!("/devices/{}/revocation", teo.id);
    let began = Instant::now();
    assert_eq!(ina.posts(&path, &json!({})).await.status, 204);
    let bye = stream.hears_of("bye").await;
    assert_eq!(bye.data["reason"], "revoked");
    assert!(stream.next().await.is_none(), "and the stream is over");
    assert!(
        began.elapsed() < Duration::from_secs(3),
        "{:?}",
        began.elapsed()
    );
    assert_eq!(first_contact(&ina, &teo).await["removed"], true);
    let batch = json!({ "sent_at": teo.now(), "facts": unsent });
    let refused = teo.posts("/journal", &batch).await;
    assert_eq!(
        refused.status, 401,
        "kept on the phone, asked to join again"
    );
    assert_eq!(teo.watches("next", 0).await.status, 401);

    // With a code of the board the person is in again, and what the phone kept arrives, once.
    let again = board.stranger().joins(&board.join_code, "Teo").await;
    assert_ne!(again.id, teo.id);
    for _ in 0..2 {
        let receipts = again.reports_all(&unsent).await;
        assert!(
            receipts.iter().all(|one| one["seq"].is_u64()),
            "{receipts:?}"
        );
    }
    let kept = board.state(|incident| {
        let entries = incident.entries().iter();
        let mine = entries.filter(|entry| entry.fact.kind() == "category.assigned/1");
        mine.map(|entry| (entry.by.to_string(), entry.device.to_string()))
            .collect::<Vec<_>>()
    });
    assert_eq!(kept, vec![("Teo".to_owned(), again.id.clone()); 2]);
    // Whom they had, they have to be given anew: the lead sees who is left without anybody here.
    let page = ina.opens("/board").await;
    let people = page.part("people").unwrap();
    assert!(people.contains("data-has=\"1\""), "{people}");
}

#[tokio::test]
async fn the_lead_strikes_anybodys_report_with_a_reason_and_restores_it() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let who = teo.registers("woman").await;
    let said = teo.sorts(&who, "dead").await;
    let about = json!({ "casualty": who });
    let strike =
        json!({ "kind": "entry.struck/1", "entry": said["id"], "reason": "wrong casualty" });
    let refused = sol.reports(sol.fact(about.clone(), strike.clone())).await;
    assert_eq!(
        refused["problem"]["code"], "not-allowed",
        "another helper's"
    );
    let struck = ina.says(about.clone(), strike).await;
    let page = ina.opens(&format!("/casualties/{who}")).await;
    let timeline = page.part(&format!("timeline-{who}")).unwrap();
    assert!(timeline.contains("wrong casualty"), "{timeline}");
    assert!(
        timeline.contains("<s>category"),
        "it stays readable: {timeline}"
    );
    assert!(timeline.contains("Restore"));
    assert!(page.says("data-view-name=\"strike\"") && page.says("looked again: not so"));
    ina.strikes(about, &struck).await;
    board.state(|incident| {
        let one = incident.casualties().next().unwrap();
        assert_eq!(one.urgent_category().unwrap().code(), "dead");
        assert_eq!(incident.timeline(one.id).len(), 4, "nothing goes");
    });
}
