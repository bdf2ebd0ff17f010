//! Whose report it is: "is this 7?", one person entered twice, why a report is struck, and who has gone quiet.

use std::time::{Duration, Instant};

use serde_json::json;

use crate::board::Board;
use crate::screen::{Browsers, SOON, Screen};

/// Meets somebody at a place, by hand.
async fn meet(phone: &Screen, word: &str, place: &str) {
    phone.tap("[data-open=add]").await;
    phone
        .tap("[data-view-name=add] input[value=adult] + span")
        .await;
    phone
        .tap_words("[data-view-name=add] [data-chips-for=words] button", word)
        .await;
    phone
        .tap_words("[data-view-name=add] [data-chips-for=place] button", place)
        .await;
    phone.tap("[data-view-name=add] button[type=submit]").await;
    phone.see("[data-view-name=sheet] [data-open=assess]").await;
}

async fn casualty_page(board: &Board, phone: &Screen, number: u32) {
    let id = board.app.as_ref().unwrap().journal.read(|incident| {
        let mut all = incident.casualties();
        all.find(|one| one.number == number).map(|one| one.id)
    });
    phone
        .open(&board.url(&format!("/casualties/{}", id.unwrap())))
        .await;
    phone.see("body[data-link=live]").await;
}

async fn until(board: &Board, what: &str, holds: impl Fn(&holdfast::incident::Incident) -> bool) {
    let deadline = Instant::now() + SOON;
    while !board.app.as_ref().unwrap().journal.read(&holds) {
        assert!(Instant::now() < deadline, "{what}");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_report_about_somebody_last_seen_elsewhere_is_asked_about_once() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol) = tokio::join!(browsers.phone("Teo"), browsers.phone("Sol"));
    tokio::join!(teo.join_by_poster(&board), sol.join_by_poster(&board));
    meet(&teo, "beard", "on the road").await;
    meet(&sol, "hat", "by the shelter").await;
    until(&board, "both are met", |incident| {
        incident.casualties().count() == 2
    })
    .await;
    let (number, other) = board.app.as_ref().unwrap().journal.read(|incident| {
        let place = |one: &holdfast::incident::Casualty| one.place.value().map(ToString::to_string);
        let find = |wanted: &str| {
            incident
                .casualties()
                .find(|one| place(one).as_deref() == Some(wanted))
                .unwrap()
                .number
        };
        (find("by the shelter"), find("on the road"))
    });
    // Teo is on the road and opens the page of somebody by the shelter.
    casualty_page(&board, &teo, number).await;
    teo.tap(".does [data-open=wound]").await;
    teo.see("dialog[data-guard][open]").await;
    teo.reads("[data-guard-where]", "by the shelter").await;
    teo.reads("[data-guard-here]", "on the road").await;
    teo.reads("[data-guard-words]", "hat").await;
    teo.shot("is-this").await;
    teo.tap("[data-guard-no]").await;
    let open = "return [...document.querySelectorAll('[data-view-name]')].find((view) => !view.hidden).dataset.viewName";
    assert_eq!(teo.ask(open).await, json!("home"), "nothing was opened");
    teo.tap(".does [data-open=wound]").await;
    teo.tap("[data-guard-yes]").await;
    // The tap that was held back goes on; the band says whom it is about by number, words and place.
    teo.see("[data-view-name=wound] input[name=region]+span, [data-view-name=wound] [data-outline-region]").await;
    teo.reads(
        "[data-view-name=wound] .view__band [data-ctx=number]",
        &number.to_string(),
    )
    .await;
    teo.reads("[data-view-name=wound] .view__band [data-ctx=words]", "hat")
        .await;
    teo.reads(
        "[data-view-name=wound] .view__band [data-ctx=where]",
        "by the shelter",
    )
    .await;
    teo.shot("band").await;
    teo.tap("[data-view-name=wound] [data-back]").await;
    teo.tap(".does [data-open=assess]").await;
    teo.see("[data-view-name=assess] [data-triage-answer=yes]")
        .await;
    teo.reads(
        "[data-view-name=assess] .view__band [data-ctx=where]",
        "by the shelter",
    )
    .await;
    teo.tap("[data-view-name=assess] [data-back]").await;
    // Back to the one before: no question, for that is where Teo still is.
    casualty_page(&board, &teo, other).await;
    teo.tap(".does [data-open=note]").await;
    teo.see("[data-view-name=note] textarea").await;
    teo.is_sound().await;
    sol.is_sound().await;
    tokio::join!(teo.leave(), sol.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn one_person_entered_twice_becomes_one_and_two_again() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol, ina) = tokio::join!(
        browsers.phone("Teo"),
        browsers.phone("Sol"),
        browsers.tablet("Ina")
    );
    tokio::join!(
        teo.join_by_poster(&board),
        sol.join_by_poster(&board),
        ina.join_as_lead(&board)
    );
    meet(&teo, "green", "on the road").await;
    until(&board, "the first is met", |incident| {
        incident.casualties().count() == 1
    })
    .await;
    meet(&sol, "green", "on the road").await;
    ina.reads("#alike", "both “green”, on the road").await;
    ina.shot("alike").await;
    // Sol's page of the second record is open while the lead joins them.
    casualty_page(&board, &sol, 2).await;
    ina.tap_words("#alike .button", "One person").await;
    ina.reads("#rows", "was 2").await;
    sol.reads(".who-band", "is 1").await;
    sol.shot("joined").await;
    sol.tap(".who-band .button").await;
    sol.reads(".who-band", "Also entered as 2").await;
    until(&board, "one is left", |incident| {
        incident.casualties().count() == 1
    })
    .await;
    ina.tap("#rows .whole").await;
    ina.shot("also").await;
    ina.tap_words(".open-question .button", "They are two people")
        .await;
    until(&board, "two again", |incident| {
        incident.casualties().count() == 2
    })
    .await;
    // A helper proposes; nothing happens until the lead says so.
    casualty_page(&board, &teo, 1).await;
    teo.tap(".does [data-open=same]").await;
    teo.tap("[data-view-name=same] label:not([hidden])").await;
    teo.shot("same").await;
    teo.tap("[data-view-name=same] button[type=submit]").await;
    ina.open(&board.url("/board")).await;
    ina.reads("#alike", "Teo thinks so").await;
    until(&board, "still two", |incident| {
        incident.casualties().count() == 2
    })
    .await;
    for screen in [&teo, &sol, &ina] {
        screen.is_sound().await;
    }
    tokio::join!(teo.leave(), sol.leave(), ina.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_strike_says_why_and_the_lead_sees_who_is_here() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    meet(&teo, "beard", "on the road").await;
    teo.tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    teo.reads("[data-undo-text]", "1: taken on, ").await;
    teo.see("[data-undo]").await;
    ina.reads("#people", "here now").await;
    board.gets("casualty.taken/1", 1).await;
    casualty_page(&board, &ina, 1).await;
    ina.tap_words(".timeline .strike", "Strike").await;
    ina.reads("[data-view-name=strike]", "taken on by Teo")
        .await;
    ina.tap("[data-view-name=strike] button[type=submit]").await;
    ina.reads("[data-view-name=strike] [data-form-error]", "Say why")
        .await;
    ina.shot("strike").await;
    ina.tap_words("[data-view-name=strike] .chips button", "tapped by mistake")
        .await;
    ina.tap("[data-view-name=strike] button[type=submit]").await;
    ina.reads(".timeline", "tapped by mistake").await;
    ina.tap_words(".timeline .strike", "Restore").await;
    until(&board, "restored", |incident| {
        incident.casualties().all(|one| one.helpers().count() == 1)
    })
    .await;
    teo.is_sound().await;
    // Teo's phone goes; the board says since when, and whom they have.
    teo.leave().await;
    ina.open(&board.url("/board")).await;
    ina.reads_within("#people", "last heard", Duration::from_secs(30))
        .await;
    ina.shot("people").await;
    ina.is_sound().await;
    ina.leave().await;
}
