//! A restart turns nobody away and forgets nothing.

use serde_json::json;

use crate::harness::{LEAD_WORDS, TestBoard};

#[tokio::test]
async fn state_numbers_sessions_and_codes_survive() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    let ina = board.lead("Ina").await;
    let woman = teo.registers("woman, green coat").await;
    let man = teo.registers("man, beard").await;
    let wound = teo.finds_wound(&man, "thigh", "spurting").await;
    teo.takes_step(&wound, "tourniquet", "tourniquet").await;
    teo.takes(&man).await;
    ina.sorts(&woman, "delayed").await;
    ina.counts(&board.id, "tourniquet", 4).await;
    teo.requests_evac(&man, "first", "lying").await;
    let mistake = teo.registers("nobody at all").await;
    let strike = board
        .read_table("select id from entry order by seq desc limit 1")
        .await;
    teo.strikes(
        json!({ "casualty": mistake }),
        &json!({ "id": strike[0][0] }),
    )
    .await;

    let known = |board: &TestBoard| {
        board.state(|incident| {
            let casualties: Vec<_> = incident.casualties().cloned().collect();
            let people: Vec<_> = incident.people().cloned().collect();
            (
                casualties,
                people,
                incident.stock().clone(),
                incident.duties(),
                incident.touched(),
            )
        })
    };
    let pages = [
        "/board",
        "/log",
        "/summary",
        "/next",
        &format!("/casualties/{man}"),
    ];
    let before = known(&board);
    let (id, codes, head) = (
        board.id.clone(),
        [
            board.join_code.clone(),
            board.evac_code.clone(),
            board.viewer_code.clone(),
        ],
        board.head(),
    );
    let mut shown = Vec::new();
    for page in pages {
        shown.push(ina.opens(page).await.html);
    }

    let board = board.restart().await;
    assert_eq!(known(&board), before);
    assert_eq!(board.head(), head);
    assert_eq!(board.id, id);
    assert_eq!(
        [
            board.join_code.clone(),
            board.evac_code.clone(),
            board.viewer_code.clone()
        ],
        codes
    );
    let (teo, ina) = (teo.at(&board.origin), ina.at(&board.origin));
    assert_eq!(teo.gets("/session").await.json()["role"], "helper");
    assert_eq!(ina.gets("/session").await.json()["role"], "lead");
    for (page, was) in pages.into_iter().zip(shown) {
        assert_eq!(ina.opens(page).await.html, was, "{page} is as it was");
    }
    let child = teo.registers("girl").await;
    let number = board.state(|incident| incident.number(child.parse().unwrap()));
    assert_eq!(
        number,
        Some(4),
        "a struck casualty's number is not given again"
    );
}

#[tokio::test]
async fn the_leads_words_change_and_the_leads_session_does_not() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let board = board.restart_with("candle otter harp").await;
    assert_eq!(ina.at(&board.origin).gets("/session").await.status, 200);
    let old = board.stranger().tries_code(LEAD_WORDS, "Eve").await;
    assert_eq!(old.status, 403);
    let new = board.stranger().tries_code("Candle-otter harp", "Jo").await;
    assert_eq!(new.json()["role"], "lead");
}

#[tokio::test]
async fn a_removed_device_stays_removed() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    let answer = ina
        .posts(&format!("/devices/{}/revocation", teo.id), &json!({}))
        .await;
    assert_eq!(answer.status, 204, "{}", answer.body);
    assert_eq!(teo.gets("/session").await.status, 401);
    let sheet = ina.opens("/poster").await.html;
    assert!(sheet.contains("<td>removed"), "and is shown so");
    assert!(!sheet.contains(&format!("data-revoke=\"{}\"", teo.id)));
    let board = board.restart().await;
    assert_eq!(teo.at(&board.origin).gets("/session").await.status, 401);
    assert_eq!(ina.at(&board.origin).gets("/session").await.status, 200);
}

#[tokio::test]
async fn joining_again_keeps_the_device_and_ends_the_old_session() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let promoted = teo.joins(LEAD_WORDS, "Teo").await;
    assert_eq!(promoted.id, teo.id);
    assert_eq!(
        teo.gets("/session").await.status,
        401,
        "the old cookie is worthless"
    );
    let board = board.restart().await;
    assert_eq!(teo.at(&board.origin).gets("/session").await.status, 401);
    assert_eq!(
        promoted.at(&board.origin).gets("/session").await.json()["role"],
        "lead"
    );
}
