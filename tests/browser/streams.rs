//! One stream per browser, however many tabs: browsers allow six connections to a host.

use std::time::{Duration, Instant};

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, SOON, Screen};

async fn streams_settle_at_one(board: &Board) {
    let deadline = Instant::now() + SOON;
    let mut steady = 0;
    while steady < 10 {
        assert!(
            Instant::now() < deadline,
            "{} streams are open",
            board.streams()
        );
        steady = if board.streams() == 1 { steady + 1 } else { 0 };
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
}

async fn three_tabs_share_one_stream(board: &Board, ina: &Screen) {
    ina.join_as_lead(board).await;
    for page in ["/summary", "/log"] {
        ina.driver.new_tab().await.unwrap();
        let tabs = ina.driver.windows().await.unwrap();
        ina.driver
            .switch_to_window(tabs.last().unwrap().clone())
            .await
            .unwrap();
        ina.open(&board.url(page)).await;
        ina.see("body[data-link=live]").await;
    }
    streams_settle_at_one(board).await;
}

async fn every_tab_hears(ina: &Screen) {
    let tabs = ina.driver.windows().await.unwrap();
    for (tab, part) in tabs.iter().zip(["#rows", "#summary", "#log-rows"]) {
        ina.driver.switch_to_window(tab.clone()).await.unwrap();
        ina.reads(part, "1").await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn three_tabs_share_one_stream_through_a_shared_worker() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    three_tabs_share_one_stream(&board, &ina).await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &[]).await;
    every_tab_hears(&ina).await;
    tokio::join!(teo.leave(), ina.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn without_a_shared_worker_the_tabs_share_one_stream_by_lease() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.before_every_page("delete window.SharedWorker;").await;
    ina.join_as_lead(&board).await;
    let gone = ina.ask("return typeof SharedWorker").await;
    assert_eq!(gone, "undefined");
    streams_settle_at_one(&board).await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &[]).await;
    ina.reads("#rows", "adult").await;
    tokio::join!(teo.leave(), ina.leave());
}

/// Pages are kept for a day to open out of range; a kept copy must never outlive who it was made for.
#[tokio::test(flavor = "multi_thread")]
async fn who_joins_again_sees_no_page_of_who_they_were() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_by_poster(&board).await;
    ina.open(&board.url("/board")).await;
    ina.see("body[data-link=live][data-role=helper]").await;
    ina.driver.new_tab().await.unwrap();
    let tabs = ina.driver.windows().await.unwrap();
    ina.driver.switch_to_window(tabs[1].clone()).await.unwrap();
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/board")).await;
    ina.see("body[data-link=live][data-role=lead]").await;
    // The tab left open asks anew when it comes back to view, and makes itself the page of who they are now.
    ina.driver.switch_to_window(tabs[0].clone()).await.unwrap();
    ina.ask("document.dispatchEvent(new Event('visibilitychange'))")
        .await;
    ina.see_within(
        "body[data-link=live][data-role=lead]",
        Duration::from_secs(30),
    )
    .await;
    ina.leave().await;
}
