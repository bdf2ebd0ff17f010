//! Handing over command: two confirmations, one entry, what was read back, and who may do what after it.

use serde_json::{Value, json};

use crate::harness::{Device, TestBoard};

async fn offers(from: &Device, to: &str) -> u16 {
    from.posts("/command/offer", &json!({ "to": to }))
        .await
        .status
}

fn read_back(immediate: u32, tourniquet: u32, trip: &str) -> Value {
    json!({ "immediate": immediate, "tourniquet": tourniquet, "trip": trip })
}

fn entries(board: &TestBoard) -> Vec<String> {
    board.state(|incident| {
        let all = incident.entries().iter();
        all.filter(|entry| entry.fact.kind() == "command.handed_over/1")
            .map(|entry| holdfast::incident::sentence(entry, incident))
            .collect()
    })
}

#[tokio::test]
async fn both_confirm_one_entry_stands_and_the_rights_go_over() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    let casualty = ina.registers("woman").await;
    ina.sorts(&casualty, "immediate").await;
    let wound = ina.finds_wound(&casualty, "thigh", "spurting").await;
    ina.takes_step(&wound, "tourniquet", "tourniquet").await;
    assert!(ina.opens("/board").await.says("lead: Ina"));

    // Without an offer nobody takes it, and nobody but the lead offers it.
    let taken = teo.posts("/command/taking", &read_back(1, 1, "")).await;
    assert_eq!(
        (taken.status, taken.json()["code"].clone()),
        (409, json!("not-offered"))
    );
    assert_eq!(offers(&teo, &teo.id).await, 403);
    assert_eq!(offers(&ina, &ina.id).await, 422);
    let vic = board.viewer("Vic").await;
    assert_eq!(offers(&ina, &vic.id).await, 422);

    // The first confirmation. Every screen says so; nothing is in the log yet.
    assert_eq!(offers(&ina, &teo.id).await, 204);
    assert!(teo.opens("/next").await.says("Ina hands it over to Teo"));
    assert!(teo.opens("/command").await.says("Read back"));
    assert!(!ina.opens("/command").await.says("Read back</h2>"));
    assert!(entries(&board).is_empty());
    let eva = board.evac("Eva").await;
    let others = eva.posts("/command/taking", &read_back(1, 1, "")).await;
    assert_eq!(others.status, 409, "it is offered to Teo");

    // Read back wrong: said, and not done.
    let wrong = teo.posts("/command/taking", &read_back(2, 0, "")).await;
    assert_eq!(wrong.json()["code"], "read-back-differs");
    let detail = wrong.json()["detail"].as_str().unwrap().to_owned();
    assert!(detail.contains("1 immediate here"), "{detail}");
    assert!(
        detail.contains("casualty 1 has the oldest tourniquet"),
        "{detail}"
    );
    assert!(entries(&board).is_empty());

    // Read back right: one entry, and the rights go over at once, also on streams that are open.
    let mut inas = ina.watches("board,lead", 0).await;
    inas.hears_of("hello").await;
    let done = teo.posts("/command/taking", &read_back(1, 1, "")).await;
    assert_eq!(done.status, 204, "{}", done.body);
    assert_eq!(inas.hears_of("bye").await.data["reason"], "role");
    let said = entries(&board);
    assert_eq!(
        said,
        [
            "command handed over by Ina to Teo; read back: 1 immediate here; casualty 1 has the oldest tourniquet; no trip is planned"
        ]
    );
    let again = teo.posts("/command/taking", &read_back(1, 1, "")).await;
    assert_eq!(again.status, 409, "an offer is taken once");
    assert_eq!(entries(&board).len(), 1);
    assert_eq!(teo.gets("/settings").await.status, 200);
    assert_eq!(ina.gets("/settings").await.status, 403);
    assert_eq!(ina.gets("/session").await.json()["role"], "helper");
    assert_eq!(
        ina.gets("/next").await.status,
        200,
        "she goes on as a helper"
    );
    let page = ina.opens("/board").await;
    assert!(page.says("lead: Teo"));
    assert!(page.says("COMMAND: Teo leads since"));

    // Told for five minutes, known for good.
    board.minutes_pass(6);
    let page = ina.opens("/board").await;
    assert!(!page.says("COMMAND:"));
    assert!(page.says("lead: Teo"));

    // A restart keeps it: roles, sessions, and who leads; and the tables say what the entries say.
    let stopped = board.stop_for_good().await;
    let verdict = holdfast::journal::verify(&stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{:?}", verdict.findings);
    let board = stopped.start().await;
    let (ina, teo) = (ina.at(&board.origin), teo.at(&board.origin));
    assert_eq!(teo.gets("/settings").await.status, 200);
    assert_eq!(ina.gets("/settings").await.status, 403);
    assert!(teo.opens("/command").await.says("Teo leads"));
    // And nobody takes it back but by being handed it.
    assert_eq!(offers(&ina, &ina.id).await, 403);
    assert_eq!(offers(&teo, &ina.id).await, 204);
    let back = ina.posts("/command/taking", &read_back(1, 1, "")).await;
    assert_eq!(back.status, 204, "{}", back.body);
    assert_eq!(entries(&board).len(), 2);
}

#[tokio::test]
async fn what_differs_can_be_taken_all_the_same_and_stands_in_the_log() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    assert_eq!(offers(&ina, &teo.id).await, 204);
    let mut said = read_back(3, 0, "");
    said["all_the_same"] = json!(true);
    assert_eq!(teo.posts("/command/taking", &said).await.status, 204);
    let words = &entries(&board)[0];
    assert!(
        words.contains("3 immediate here") && words.contains("The board said: 0 immediate here"),
        "{words}"
    );
}

#[tokio::test]
async fn an_offer_can_be_withdrawn_and_does_not_stand_for_ever() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    assert_eq!(offers(&ina, &teo.id).await, 204);
    let kept = ina.posts("/command/offer", &json!({ "to": null })).await;
    assert_eq!(kept.status, 204);
    assert_eq!(
        teo.posts("/command/taking", &read_back(0, 0, ""))
            .await
            .status,
        409
    );
    assert_eq!(offers(&ina, &teo.id).await, 204);
    board.minutes_pass(16);
    assert_eq!(
        teo.posts("/command/taking", &read_back(0, 0, ""))
            .await
            .status,
        409
    );
    assert_eq!(ina.gets("/settings").await.status, 200, "she leads still");
}

#[tokio::test]
async fn the_briefing_has_what_the_next_lead_must_know() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    board.device("Teo").await;
    let casualty = ina.registers("woman, red coat").await;
    ina.sorts(&casualty, "immediate").await;
    ina.finds_wound(&casualty, "thigh", "spurting").await;
    let situation = json!({ "kind": "situation.reported/1", "what": "rock fall", "services_required": "helicopter" });
    ina.says(json!("incident"), situation).await;
    ina.requests_evac(&casualty, "first", "lying").await;
    let page = ina.opens("/command").await;
    for words in [
        "rock fall",
        "Required: helicopter",
        "Immediate, still here: 1",
        "woman, red coat",
        "Still bleeding",
        "Due next, and who has it",
        "Asked for and without a trip",
        "Hand over to Teo",
    ] {
        assert!(page.says(words), "{words}");
    }
}

#[tokio::test]
async fn closing_is_refused_with_a_list_while_somebody_is_unaccounted_for() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    let here = ina.registers("woman").await;
    let dead = ina.registers("man").await;
    ina.sorts(&dead, "dead").await;
    let closes = async |device: &Device| device.posts("/closing", &json!({})).await;
    assert_eq!(closes(&teo).await.status, 403);
    let refused = closes(&ina).await;
    assert_eq!(refused.status, 409);
    let detail = refused.json()["detail"].as_str().unwrap().to_owned();
    assert!(detail.contains("casualty 1 is still here"), "{detail}");
    assert!(!detail.contains("casualty 2"), "{detail}");
    assert!(
        ina.opens("/command")
            .await
            .says("Not accounted for: casualty 1 is still here")
    );
    // What the page says beside the briefing is live, and a browser keeps no copy of it: an offer stands in no entry.
    let page = ina.gets("/command").await;
    assert_eq!(page.headers["cache-control"], "no-store");
    let seq = board.state(|incident| incident.head().0);
    let mut stream = ina.watches("command", seq).await;
    stream.hears_of("hello").await;
    let handed = json!({ "kind": "casualty.handed_over/1", "to": "ambulance crew" });
    ina.says(json!({ "casualty": here }), handed).await;
    let sol = board.device("Sol").await;
    let mut heard = String::new();
    while !(heard.contains("Everybody is accounted for") && heard.contains("Hand over to Sol")) {
        heard.push_str(&stream.hears_of("parts").await.data.to_string());
    }
    drop(sol);
    assert_eq!(closes(&ina).await.status, 204);
    assert!(teo.opens("/next").await.says("CLOSED at"));
    let log = board.state(|incident| {
        let last = incident.entries().last().unwrap();
        holdfast::incident::sentence(last, incident)
    });
    assert_eq!(log, "incident closed: everybody is accounted for");
    // Somebody turns up: nothing is turned away, and it is not closed any more.
    teo.registers("boy").await;
    assert!(!teo.opens("/next").await.says("CLOSED at"));
    let board = board.restart().await;
    let ina = ina.at(&board.origin);
    assert_eq!(ina.posts("/closing", &json!({})).await.status, 409);
}
