//! The main job by taps alone: from a tap on a phone to the board, the other phone, the summary and the file.

use std::time::Duration;

use holdfast::clock::Clock;

use crate::board::Board;
use crate::screen::{Browsers, Screen};

/// A finger needs a moment between two questions; the page takes a faster second tap for a tremble.
const FINGER: Duration = Duration::from_millis(450);

pub(crate) async fn register(phone: &Screen, age: &str, words: &[&str]) {
    phone.tap("[data-open=add]").await;
    phone
        .tap(&format!("[data-view-name=add] input[value={age}] + span"))
        .await;
    for word in words {
        phone
            .tap_words("[data-view-name=add] [data-chips-for=words] button", word)
            .await;
    }
    phone.tap("[data-view-name=add] button[type=submit]").await;
    phone.see("[data-view-name=sheet] [data-open=assess]").await;
}

async fn answer(phone: &Screen, answers: &[&str]) {
    for given in answers {
        tokio::time::sleep(FINGER).await;
        phone.tap(&format!("[data-triage-answer={given}]")).await;
    }
    phone.see("[data-triage-accept]").await;
}

pub(crate) async fn find_wound(phone: &Screen, flow: &str, side: &str, region: &str) {
    phone
        .tap(&format!(
            "[data-view-name=wound] input[value={flow}] + span"
        ))
        .await;
    phone
        .tap(&format!(
            "[data-outline-region={region}][data-outline-side={side}]"
        ))
        .await;
    let ticked = phone
        .ask("return ['region', 'side'].map((name) => document.querySelector(`[data-view-name=wound] [name=${name}]:checked`)?.value)")
        .await;
    assert_eq!(
        ticked,
        serde_json::json!([region, side]),
        "the figure and the list agree"
    );
    phone.shot("outline").await;
    phone
        .tap("[data-view-name=wound] button[type=submit]")
        .await;
    phone.see("[data-view-name=step] [data-report]").await;
}

/// Whether the first answer is filled as what to tap now.
async fn stands_out(phone: &Screen) -> bool {
    let colours = "const of = (css) => getComputedStyle(document.querySelector(css)); \
        return of('.next .choices > button').backgroundColor === of('body').color";
    phone.ask(colours).await == true
}

#[tokio::test(flavor = "multi_thread")]
async fn two_phones_and_a_lead_work_one_bleed_from_pressure_to_tourniquet() {
    let clock = Clock::ahead();
    let board = Board::start_with(clock.clone()).await;
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
    sol.open(&board.url("/board")).await;
    sol.see("body[data-link=live]").await;

    register(&teo, "adult", &["woman", "green"]).await;
    let on_board = ina.reads("#rows", "woman, green").await;
    let on_phone = sol.reads("#rows", "woman, green").await;
    println!(
        "registered: on the board after {on_board:?}, on the other phone after {on_phone:?} more"
    );
    teo.reads("[data-view-name=sheet] [data-ctx=number]", "1")
        .await;
    teo.tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    ina.reads("#rows", "Teo").await;

    teo.tap("[data-view-name=sheet] [data-open=assess]").await;
    answer(&teo, &["no", "yes", "no", "yes", "yes"]).await;
    teo.see("[data-triage-suggested=delayed]").await;
    teo.shot("sorted").await;
    teo.tap("[data-triage-accept]").await;
    ina.reads("#rows", "DELAYED").await;

    teo.tap(".mine .card").await;
    teo.tap(".does [data-open=wound]").await;
    find_wound(&teo, "steady", "left", "forearm").await;
    teo.tap_words("[data-view-name=step] [data-report]", "Pressing now")
        .await;
    ina.reads("#rows", "hands pressing").await;
    sol.reads("#rows", "hands pressing").await;
    teo.open(&board.url("/next")).await;
    teo.reads(".ask h1", "pressing, do not look").await;
    teo.shot("pressing").await;
    assert!(
        !stands_out(&teo).await,
        "pressing has just begun: no look may be the likely answer"
    );

    // Ten minutes pass: the clock runs out on the phone and on the board.
    clock.advance(605);
    teo.reads(".ask [data-clock]", "late").await;
    teo.reads(".ask h1", "Look under the pressure").await;
    assert!(stands_out(&teo).await, "the hold is up: time to look");
    ina.see("#duties .duty[data-late]").await;
    ina.shot("board-late").await;
    teo.tap_words(".next [data-report]", "Still bleeding").await;
    teo.reads(".ask h1", "pack it").await;
    teo.tap_words(".next [data-report]", "Packed: plain gauze")
        .await;
    teo.reads("[data-hold-clock]", ":").await;
    clock.advance(600);
    // The phone hears of it with the next heartbeat; a look before that would be an early one.
    teo.see("[data-hold-clock][data-late]").await;
    teo.tap_words("[data-view-name=hold] [data-report]", "Still bleeding")
        .await;
    teo.reads(".ask h1", "tourniquet").await;
    teo.tap_words(".next [data-report]", "Tourniquet on").await;
    ina.reads("#rows", "on since").await;
    teo.tap_words(
        "[data-view-name=tourniquet] [data-report]",
        "Stopped, no pulse beyond",
    )
    .await;
    teo.tap("[data-view-name=tourniquet] [data-close]").await;
    ina.reads("#rows", "tourniquet holds").await;

    teo.tap(".who").await;
    teo.tap(".does [data-open=evac]").await;
    teo.tap("[data-view-name=evac] input[value=first] + span")
        .await;
    teo.tap("[data-view-name=evac] input[value=lying] + span")
        .await;
    teo.tap("[data-view-name=evac] button[type=submit]").await;
    sol.open(&board.url("/summary")).await;
    sol.reads(".requests", "first").await;
    sol.reads("#summary", "on since").await;
    sol.shot("summary").await;
    ina.shot("board").await;
    for screen in [&teo, &sol, &ina] {
        screen.is_sound().await;
    }
    tokio::join!(teo.leave(), sol.leave(), ina.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_mistake_is_undone_at_once_and_struck_later_and_stays_in_the_log() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    register(&teo, "child", &[]).await;
    ina.reads("#rows", "child").await;
    teo.tap("[data-undo]").await;
    teo.reads("[data-undo-text]", "undone").await;
    let deadline = std::time::Instant::now() + crate::screen::SOON;
    while ina.words().await.contains("child ·")
        || !ina
            .driver
            .find_all(By::Css("#rows tr"))
            .await
            .unwrap()
            .is_empty()
    {
        assert!(
            std::time::Instant::now() < deadline,
            "the undone casualty stays on the board"
        );
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    ina.open(&board.url("/log")).await;
    ina.reads(".entries s", "registered: child").await;

    register(&teo, "adult", &["beard"]).await;
    teo.tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    teo.tap_words("[data-view-name=sheet] button", "Done for now")
        .await;
    teo.tap(".mine .card").await;
    teo.see(".timeline .strike").await;
    teo.tap_words(".timeline .strike", "Strike").await;
    teo.tap_words("[data-view-name=strike] .chips button", "tapped by mistake")
        .await;
    teo.tap("[data-view-name=strike] button[type=submit]").await;
    teo.reads(".timeline", "struck").await;
    teo.tap_words(".timeline .strike", "Restore").await;
    teo.reads(".who__words", "with Teo").await;
    ina.is_sound().await;
    teo.is_sound().await;
    tokio::join!(teo.leave(), ina.leave());
}

use thirtyfour::By;

#[tokio::test(flavor = "multi_thread")]
async fn the_lead_says_where_it_is() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    ina.tap("[data-open=incident]").await;
    ina.fill("#incident-place", "Third bend").await;
    ina.tap("[data-view-name=incident] button[type=submit]")
        .await;
    teo.open(&board.url("/log")).await;
    teo.reads("#log-rows", "Third bend").await;
    tokio::join!(teo.leave(), ina.leave());
}
