//! Supplies by taps: a count in one save, a kit carried, things moved, what is gone and what stands in for it.

use crate::board::Board;
use crate::screen::Browsers;

#[tokio::test(flavor = "multi_thread")]
async fn a_kit_is_counted_in_one_save_and_what_is_gone_is_seen_on_the_board() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));

    teo.open(&board.url("/kits")).await;
    teo.see("body[data-link=live]").await;
    teo.tap("#kits [data-open=count]").await;
    teo.tap("[data-view-name=count] button[type=submit]").await;
    teo.reads(
        "[data-view-name=count] [data-form-error]",
        "Count at least one",
    )
    .await;
    teo.fill("#count-tourniquet", "0").await;
    teo.fill("#count-haemostatic_gauze", "2").await;
    teo.tap("[data-view-name=count] .stepper:has(#count-pressure_bandage) [data-step='1']")
        .await;
    teo.tap("#count-old summary").await;
    teo.fill("#old-haemostatic_gauze", "1").await;
    teo.shot("count").await;
    teo.tap("[data-view-name=count] button[type=submit]").await;
    teo.reads("#kits", "1 out of date").await;
    assert_eq!(board.count("stock.counted/2"), 1, "one save for all of it");
    teo.tap_words("#kits button", "I carry it").await;
    teo.reads("#kits", "with Teo").await;

    teo.tap("[data-open=kit]").await;
    teo.fill("#kit-name", "hut box").await;
    teo.tap("[data-view-name=kit] button[type=submit]").await;
    teo.reads("#kits", "hut box").await;
    teo.shot("kits").await;
    teo.is_sound().await;

    ina.reads("#totals", "none left: tourniquet").await;
    ina.reads("#stock", "instead: band 5 cm wide and a rod")
        .await;
    ina.open(&board.url("/kits")).await;
    ina.reads("#kits", "hut box").await;
    ina.tap("#kits .kit:first-of-type [data-open=take]").await;
    ina.tap_words("[data-view-name=take] .picks label", "hut box")
        .await;
    ina.fill("#move-haemostatic_gauze", "1").await;
    ina.tap("[data-view-name=take] button[type=submit]").await;
    ina.reads("#kits .kit:nth-of-type(2)", "haemostatic gauze")
        .await;
    ina.shot("kits").await;
    ina.is_sound().await;
    ina.leave().await;
    teo.leave().await;
}
