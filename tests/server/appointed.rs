//! What the lead makes of people: deputies, and devices that keep the record. What is taken back ends at once.

use holdfast::incident::Role;
use serde_json::json;

use crate::harness::{Device, TestBoard};

async fn role_of(device: &Device) -> String {
    let answer = device.gets("/session").await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()["role"].as_str().unwrap().to_owned()
}

#[tokio::test]
async fn the_lead_makes_a_deputy_who_takes_it_up_with_a_fresh_session() {
    let board = TestBoard::start().await;
    let (ina, ben) = (board.lead("Ina").await, board.device("Ben").await);
    let mut screen = ben.watches("next", board.head()).await;
    assert!(screen.hears_of("hello").await.data["granted"].is_null());
    let receipt = ina.names_deputy(&ben, true).await;
    assert!(receipt["seq"].is_u64(), "{receipt}");
    // The phone is told, and the old session stays what it was.
    let told = screen
        .hears(|event| event.data["granted"] == "deputy")
        .await;
    assert_eq!(told.data["role"], "helper");
    assert_eq!(role_of(&ben).await, "helper");
    assert_eq!(ben.gets("/poster").await.status, 403);
    let deputy = ben.renews_session().await;
    assert_ne!(deputy.cookie, ben.cookie);
    // The answer may have been lost: until the new session is used the old one holds.
    assert_eq!(role_of(&ben).await, "helper");
    assert_eq!(role_of(&deputy).await, "deputy");
    assert_eq!(ben.gets("/session").await.status, 401, "and no longer");
    assert_eq!(deputy.gets("/").await.header("location"), "/board");
    // As the lead: the codes, the settings, devices, what only the lead is told.
    for path in ["/board", "/poster", "/settings", "/evac"] {
        assert_eq!(deputy.gets(path).await.status, 200, "{path}");
    }
    assert!(deputy.opens("/board").await.says("Join sheet"));
    let teo = board.device("Teo").await;
    let away = deputy
        .posts(&format!("/devices/{}/revocation", teo.id), &json!({}))
        .await;
    assert_eq!(away.status, 204);
    // It is kept: the board was only stopped.
    let board = board.restart().await;
    assert_eq!(role_of(&deputy.at(&board.origin)).await, "deputy");
}

/// How many sessions there are, as a standby is handed them.
async fn sessions(lead: &Device) -> usize {
    let handed = lead.gets("/standby").await.json();
    handed["sessions"].as_array().unwrap().len()
}

#[tokio::test]
async fn a_phone_that_asks_over_and_over_piles_nothing_up_and_is_never_locked_out() {
    let board = TestBoard::start().await;
    let (ina, ben) = (board.lead("Ina").await, board.device("Ben").await);
    ina.names_deputy(&ben, true).await;
    let before = sessions(&ina).await;
    // Answers get lost, or come in another order: whichever the browser keeps opens.
    let first = ben.renews_session().await;
    for _ in 0..50 {
        assert_eq!(ben.renews_session().await.cookie, first.cookie);
    }
    assert_eq!(sessions(&ina).await, before + 1);
    // What the lead changes meanwhile is in it.
    ina.names_deputy(&ben, false).await;
    assert_eq!(ben.renews_session().await.cookie, first.cookie);
    ina.names_deputy(&ben, true).await;
    assert_eq!(ben.renews_session().await.cookie, first.cookie);
    assert_eq!(role_of(&ben).await, "helper");
    assert_eq!(role_of(&first).await, "deputy");
    assert_eq!(ben.gets("/session").await.status, 401);
    // Each next one is another, and another device's never the same.
    let second = first.renews_session().await;
    assert_ne!(second.cookie, first.cookie);
    assert_eq!(role_of(&second).await, "deputy");
    assert_eq!(sessions(&ina).await, before);
}

#[tokio::test]
async fn what_the_lead_takes_back_ends_at_once_on_every_door_and_screen() {
    let board = TestBoard::start().await;
    let (ina, ben) = (board.lead("Ina").await, board.device("Ben").await);
    let named = ina.names_deputy(&ben, true).await;
    let deputy = ben.renews_session().await;
    let mut screen = deputy.watches("settings,lead", 0).await;
    screen.hears_of("hello").await;
    ina.names_deputy(&ben, false).await;
    let begun = std::time::Instant::now();
    let last = screen.hears(|event| event.data["role"] == "helper").await;
    assert!(
        begun.elapsed().as_secs_f64() < 3.0,
        "not with the next heartbeat"
    );
    assert_eq!(last.name, "heartbeat");
    assert!(screen.next().await.is_none(), "that was its last word");
    assert_eq!(deputy.gets("/poster").await.status, 403);
    assert_eq!(role_of(&deputy).await, "helper");
    assert_eq!(deputy.watches("lead", 0).await.status, 403);
    // The naming struck, put back, struck: a strike of the lead's word counts like the word.
    ina.names_deputy(&ben, true).await;
    assert_eq!(role_of(&deputy).await, "deputy");
    assert!(named["seq"].is_u64());
}

#[tokio::test]
async fn a_deputy_makes_no_deputies_neither_openly_nor_by_striking_a_strike() {
    let board = TestBoard::start().await;
    let (ina, ben, eve) = (
        board.lead("Ina").await,
        board.device("Ben").await,
        board.device("Eve").await,
    );
    ina.names_deputy(&ben, true).await;
    let named = ina.names_deputy(&eve, true).await;
    let deputy = ben.renews_session().await;
    let refused = deputy.names_deputy(&eve, false).await;
    assert_eq!(refused["problem"]["code"], "not-allowed", "{refused}");
    let struck = ina.strikes(json!("incident"), &named).await;
    for receipt in [&named, &struck] {
        let strike = json!({ "kind": "entry.struck/1", "entry": receipt["id"] });
        let answer = deputy.reports(deputy.fact(json!("incident"), strike)).await;
        assert_eq!(answer["problem"]["code"], "not-allowed", "{answer}");
    }
    let closing = json!({ "kind": "record.kept/1", "days": 30 });
    let answer = deputy
        .reports(deputy.fact(json!("incident"), closing))
        .await;
    assert_eq!(answer["problem"]["code"], "not-allowed", "{answer}");
    // And what everybody is: a watcher is never a deputy, somebody unknown is nobody.
    let vic = board.viewer("Vic").await;
    ina.names_deputy(&vic, true).await;
    assert_eq!(role_of(&vic.renews_session().await).await, "viewer");
    // Taking back everything the lead's device reported leaves who is who.
    let path = format!("/devices/{}/reversal", ina.id);
    assert_eq!(deputy.posts(&path, &json!({})).await.status, 200);
    assert_eq!(role_of(&deputy).await, "deputy");
}

#[tokio::test]
async fn the_lead_chooses_the_devices_that_keep_the_record_one_by_one() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let chooses = async |device: &Device, witness: bool| {
        let fact = json!({ "kind": "witness.chosen/1", "helper": device.id, "witness": witness });
        ina.says(json!("incident"), fact).await;
    };
    // Off for helpers and watchers until chosen; on for the others.
    for (role, keeps) in [
        (Role::Lead, true),
        (Role::Deputy, true),
        (Role::Evac, true),
        (Role::Helper, false),
        (Role::Viewer, false),
    ] {
        let device = board.of_role(role).await;
        let mut screen = device.watches("summary", 0).await;
        assert_eq!(
            screen.hears_of("hello").await.data["keeps"],
            keeps,
            "{role:?}"
        );
    }
    let teo = board.device("Teo").await;
    assert_eq!(teo.gets("/journal").await.status, 403);
    let mut screen = teo.watches("next", board.head()).await;
    screen.hears_of("hello").await;
    chooses(&teo, true).await;
    screen.hears(|event| event.data["keeps"] == true).await;
    assert!(!teo.reads_journal(0).await.is_empty());
    chooses(&teo, false).await;
    screen.hears(|event| event.data["keeps"] == false).await;
    assert_eq!(teo.gets("/journal").await.status, 403);
    // A watcher's never does, whatever is chosen.
    let vic = board.viewer("Vic").await;
    chooses(&vic, true).await;
    assert_eq!(vic.gets("/journal").await.status, 403);
    // And any other may be told not to.
    let eva = board.evac("Eva").await;
    chooses(&eva, false).await;
    let mut screen = eva.watches("evac", 0).await;
    assert_eq!(screen.hears_of("hello").await.data["keeps"], false);
}

#[tokio::test]
async fn paper_says_where_the_journal_stands_with_its_epoch() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let woman = ina.registers("woman").await;
    let epoch = board.state(holdfast::incident::Incident::epoch_words);
    assert!(epoch.starts_with("1-") && epoch.len() == 6, "{epoch}");
    for path in ["/summary", "/log", &format!("/casualties/{woman}/handover")] {
        let page = ina.opens(path).await;
        assert!(page.says(&format!("epoch {epoch}")), "{path}");
    }
}
