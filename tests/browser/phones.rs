//! What a helper's hands meet: nothing moves after a tap, nothing hangs over the side, numbers take the place of letters.

use std::time::Duration;

use serde_json::json;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};

/// How far each visible thing of the open page hangs over the side, the worst of them.
const OVERHANG: &str = r"
    const wide = document.documentElement.clientWidth;
    const over = [...document.querySelectorAll('body *')].filter((it) => it.getBoundingClientRect().width > 0
        && it.getBoundingClientRect().right > wide + 1 && !it.closest('.visually-hidden')
        && getComputedStyle(it).position !== 'absolute');
    // A word too long for its box hangs out of it without making it wider.
    const words = [...document.querySelectorAll('body *')].filter((it) => it.clientWidth > 0 && it.scrollWidth > it.clientWidth
        && it.getBoundingClientRect().left + it.scrollWidth > wide);
    return [document.documentElement.scrollWidth - wide, [...over, ...words].slice(0, 4).map((it) => it.outerHTML.slice(0, 90))]";

/// Shows every view of the page in turn and asks whether it fits.
async fn everything_fits(screen: &Screen, width: u32) {
    let size = json!({ "width": width, "height": 422, "deviceScaleFactor": 2, "mobile": true });
    screen.cdp("Emulation.setDeviceMetricsOverride", size).await;
    let views = screen
        .ask("return [...document.querySelectorAll('[data-view-name]')].map((view) => view.dataset.viewName)")
        .await;
    let address = screen.driver.current_url().await.unwrap();
    for view in views.as_array().unwrap() {
        let show = format!(
            "for (const view of document.querySelectorAll('[data-view-name]')) view.hidden = view.dataset.viewName !== {view}; {OVERHANG}"
        );
        let over = screen.ask(&show).await;
        assert!(
            over[0].as_i64() <= Some(0),
            "{address} {view} at {width} px: {over}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_fits_320_px_and_a_phone_enlarged_to_200_percent() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &["woman", "green"]).await;
    teo.reads("[data-pill]", "All on the board").await;
    teo.open(&board.url("/board")).await;
    let casualty = teo
        .see("#rows a")
        .await
        .attr("href")
        .await
        .unwrap()
        .unwrap();
    for path in ["/next", "/board", "/summary", "/log", casualty.as_str()] {
        teo.open(&board.url(path)).await;
        teo.see("body[data-link=live]").await;
        for width in [195, 320] {
            everything_fits(&teo, width).await;
        }
    }
    let smallest = teo
        .ask(
            "document.querySelector('[data-view-name=wound]').hidden = false; \
            return Math.min(...[...document.querySelectorAll('.place')].map((it) => parseFloat(getComputedStyle(it).fontSize)))",
        )
        .await;
    assert!(
        smallest.as_f64() >= Some(18.0),
        "a place of the figure is written in {smallest} px"
    );
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_report_is_told_until_the_board_shows_it_and_moves_nothing() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    board.close().await;
    register(&teo, "adult", &[]).await;
    let stands = "return [...document.querySelectorAll('[data-view-name=sheet] button:not([data-back])')].map((it) => Math.round(it.getBoundingClientRect().top + scrollY))";
    let before = teo.ask(stands).await;
    teo.tap_words("[data-view-name=sheet] button", "I have them")
        .await;
    teo.reads("[data-view-name=sheet] [data-waiting]", "A: taken on")
        .await;
    teo.reads("[data-undo-text]", "A: taken on").await;
    assert_eq!(
        teo.ask(stands).await,
        before,
        "a button moved under the finger"
    );
    // Long after the tap it is still told: the board has not got it.
    tokio::time::sleep(Duration::from_secs(5)).await;
    teo.reads("[data-view-name=sheet] [data-waiting]", "on this phone")
        .await;
    board.open().await;
    teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    teo.reads("[data-undo-text]", "1: taken on").await;
    teo.reads("[data-view-name=sheet] [data-ctx=number]", "1")
        .await;
    // When the page has heard as far as the entry, the line makes room for nothing, and nothing moves.
    let gone =
        "return document.querySelector('[data-view-name=sheet] [data-waiting]').textContent === ''";
    let mut waited = 0;
    while teo.ask(gone).await != true {
        waited += 1;
        assert!(waited < 100, "the line stays for ever");
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    assert_eq!(teo.ask(stands).await, before, "a button moved by itself");
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_helper_hands_over_all_they_have_and_nobody_elses() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol) = tokio::join!(browsers.phone("Teo"), browsers.phone("Sol"));
    sol.join_by_poster(&board).await;
    teo.join_by_poster(&board).await;
    for age in ["adult", "child"] {
        register(&teo, age, &[]).await;
        teo.tap_words("[data-view-name=sheet] button", "I have them")
            .await;
        teo.tap("[data-view-name=sheet] [data-close]").await;
    }
    teo.see("[data-mine]:nth-child(2)").await;
    // Who does not have them is not offered to hand them on.
    let link = teo
        .see("[data-mine] a")
        .await
        .attr("href")
        .await
        .unwrap()
        .unwrap();
    sol.open(&board.url(&link)).await;
    sol.see("body[data-link=live]").await;
    let hidden = sol
        .ask("return document.querySelector('[data-holders]').hidden")
        .await;
    assert_eq!(hidden, true);
    teo.tap("[data-open=hand-over]").await;
    teo.shot("hand-over").await;
    teo.tap_words("[data-hand-over]", "Sol").await;
    teo.reads(".mine", "None yet").await;
    sol.open(&board.url("/next")).await;
    sol.see("[data-mine]:nth-child(2)").await;
    teo.is_sound().await;
    sol.is_sound().await;
    tokio::join!(teo.leave(), sol.leave());
}
