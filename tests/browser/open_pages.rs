//! A page stays open for hours: who joins, which places are named and what the lead changes must reach its forms.

use std::time::Duration;

use crate::board::Board;
use crate::care::register;
use crate::screen::Browsers;

/// The system for grown-ups that the page's script walks.
const ADULT: &str =
    "return JSON.parse(document.querySelector('[data-triage-systems]').textContent).adult";

#[tokio::test(flavor = "multi_thread")]
async fn an_open_page_follows_who_joins_and_what_the_lead_changes() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.join_as_lead(&board).await;
    ina.see("body[data-link=live]").await;
    // Teo joins while the lead's board stands open, and names a place.
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &[]).await;
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.see("body[data-link=live]").await;

    ina.reads("#rows", "adult").await;
    ina.reads("#people", "Teo").await;
    let offered =
        "return document.querySelector('[data-view-name=give]').textContent.includes('Teo')";
    assert_eq!(ina.ask(offered).await, true);
    // Whom I am is not among those I can hand everything to.
    let me = "return [...document.querySelectorAll('[data-hand-over]:not([hidden])')].map((one) => one.textContent)";
    assert_eq!(teo.ask(me).await.as_array().unwrap().len(), 1);

    ina.tap("[data-open=incident]").await;
    ina.tap("[data-view-name=incident] [data-open=systems]")
        .await;
    ina.tap("[data-view-name=systems] [name=adult][value=\"salt.standard\"] + span")
        .await;
    ina.tap("[data-view-name=systems] button[type=submit]")
        .await;
    let deadline = tokio::time::Instant::now() + Duration::from_secs(20);
    while teo.ask(ADULT).await != "salt.standard" {
        assert!(
            tokio::time::Instant::now() < deadline,
            "the phone still sorts by the old system"
        );
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    teo.is_sound().await;
    ina.is_sound().await;
    tokio::join!(ina.leave(), teo.leave());
}
