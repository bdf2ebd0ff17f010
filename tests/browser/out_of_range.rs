//! What a phone does when the board is gone: it says so, keeps every tap, and delivers each once.

use std::time::Duration;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};

#[tokio::test(flavor = "multi_thread")]
async fn taps_made_while_the_board_is_gone_arrive_once_when_it_is_back() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;

    board.close().await;
    register(&teo, "adult", &["woman", "red"]).await;
    teo.reads("[data-pill]", "only on this phone").await;
    teo.reads("[data-view-name=sheet] [data-ctx=number]", "A")
        .await;
    teo.tap("[data-view-name=sheet] [data-open=evac]").await;
    teo.tap("[data-view-name=evac] input[value=soon] + span")
        .await;
    teo.tap("[data-view-name=evac] input[value=sitting] + span")
        .await;
    teo.tap("[data-view-name=evac] button[type=submit]").await;
    teo.reads("[data-pill]", "2 only on this phone").await;
    // A stale screen must never look live: said within 20 seconds.
    teo.reads_within("[data-live]", "not live since", Duration::from_secs(20))
        .await;
    let seen = "document.body.style.minHeight = '3000px'; window.scrollTo(0, 1000); \
        const it = document.querySelector('[data-live]').getBoundingClientRect(); \
        return window.scrollY > 100 && it.top >= 0 && it.bottom <= innerHeight";
    assert_eq!(
        teo.ask(seen).await,
        true,
        "it is said wherever one has read to"
    );
    teo.shot("out-of-range").await;

    board.open().await;
    let back = teo
        .reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    teo.see_within("body[data-link=live]", Duration::from_secs(30))
        .await;
    println!("delivered {back:?} after the board was back");
    assert_eq!(board.count("casualty.registered/1"), 1);
    assert_eq!(board.count("evac.requested/2"), 1);
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reload_in_the_middle_loses_nothing() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    board.close().await;
    register(&teo, "infant", &[]).await;
    teo.reads("[data-pill]", "1 only on this phone").await;
    board.open().await;
    teo.open(&board.url("/next")).await;
    teo.reads("[data-pill]", "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 1);
    teo.leave().await;
}

/// Every script may get lost at once, the one that would say so among them.
#[tokio::test(flavor = "multi_thread")]
async fn a_page_without_one_script_says_so_and_sends_nothing_into_the_address() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.cdp("Network.enable", serde_json::json!({})).await;
    let blocked = |urls: &[&str]| serde_json::json!({ "urls": urls });
    teo.cdp("Network.setBlockedURLs", blocked(&["*/js/*"]))
        .await;
    for page in ["/next", "/join"] {
        teo.open(&board.url(page)).await;
        teo.reads_within(".half", "did not load whole", Duration::from_secs(40))
            .await;
        teo.shot(&format!("no-script-{}", &page[1..])).await;
    }
    let sent = "const form = document.querySelector('[data-join-form]'); form.elements.code.value = 'SECRET22'; \
        form.elements.name.value = 'Teo'; form.requestSubmit()";
    teo.ask(sent).await;
    tokio::time::sleep(Duration::from_secs(1)).await;
    let address = teo.driver.current_url().await.unwrap();
    assert!(!address.as_str().contains("SECRET22"), "{address}");
    teo.cdp("Network.setBlockedURLs", blocked(&[])).await;
    teo.open(&board.url("/next")).await;
    teo.see("body[data-link=live]").await;
    let gone = "return getComputedStyle(document.querySelector('.half')).display";
    assert_eq!(teo.ask(gone).await, "none");
    teo.leave().await;
}

/// The code is taken out of the address once the page works.
async fn comes_whole(teo: &Screen) {
    let deadline = std::time::Instant::now() + Duration::from_secs(20);
    while teo.ask("return location.hash").await != "" {
        assert!(std::time::Instant::now() < deadline, "it stays half");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
}

/// A script that gets lost on a bad link must not leave a page whose buttons do nothing, nor what was typed in the address.
#[tokio::test(flavor = "multi_thread")]
async fn a_page_whose_script_got_lost_comes_again_by_itself() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    let blocked = |urls: &[&str]| serde_json::json!({ "urls": urls });
    teo.cdp("Network.enable", serde_json::json!({})).await;
    teo.cdp("Network.setBlockedURLs", blocked(&["*/js/join.js"]))
        .await;
    teo.open(&board.url("/join")).await;
    let sent = "const form = document.querySelector('[data-join-form]'); form.elements.code.value = 'SECRET22'; \
        form.elements.name.value = 'Teo'; form.requestSubmit(); return location.href";
    let address = teo.ask(sent).await;
    assert!(!address.as_str().unwrap().contains("SECRET22"), "{address}");
    // Not for ever: it says so.
    teo.reads_within(
        "p.error[role=alert]",
        "did not load whole",
        Duration::from_mins(1),
    )
    .await;
    teo.shot("not-whole").await;
    let address = teo.ask("return location.href").await;
    assert!(!address.as_str().unwrap().contains("SECRET22"), "{address}");
    // In reach again: the page comes whole by itself while it still tries.
    teo.ask("sessionStorage.clear()").await;
    teo.open(&board.url(&format!("/join#{}", crate::board::CODE)))
        .await;
    teo.ask("location.reload()").await;
    teo.cdp("Network.setBlockedURLs", blocked(&[])).await;
    comes_whole(&teo).await;
    // Out of range what can be read stays, and no error page of the browser's takes its place.
    teo.cdp("Network.setBlockedURLs", blocked(&["*/js/join.js"]))
        .await;
    // So late a try that the board is gone by then.
    teo.ask("sessionStorage.setItem('holdfast/loads', '3')")
        .await;
    teo.open("about:blank").await;
    teo.open(&board.url(&format!("/join#{}", crate::board::CODE)))
        .await;
    board.close().await;
    teo.reads("p.error[role=alert]", "did not load whole").await;
    teo.reads("main", "You are joining").await;
    teo.cdp("Network.setBlockedURLs", blocked(&[])).await;
    board.open().await;
    comes_whole(&teo).await;
    teo.join_by_poster(&board).await;
    teo.leave().await;
}
