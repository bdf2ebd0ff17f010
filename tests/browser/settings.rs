//! The lead changes what the incident works with, and sees it at once.

use crate::board::Board;
use crate::screen::Browsers;

#[tokio::test(flavor = "multi_thread")]
async fn the_lead_changes_a_setting_with_who_decided_it_and_takes_it_back() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));

    ina.tap("[data-open=incident]").await;
    ina.tap("[data-view-name=incident] a[href='/settings']")
        .await;
    ina.see("body[data-link=live]").await;
    ina.shot("settings").await;
    ina.tap("[data-open=setting-first_for_limb]").await;
    let form = "[data-view-name=setting-first_for_limb]";
    ina.tap(&format!(
        "{form} input[value=pressure_then_tourniquet] + span"
    ))
    .await;
    ina.tap(&format!("{form} button[type=submit]")).await;
    ina.reads(&format!("{form} [data-form-error]"), "medical adviser")
        .await;
    ina.fill(&format!("{form} [name=decided_by]"), "Dr. Okoro")
        .await;
    ina.shot("setting").await;
    ina.tap(&format!("{form} button[type=submit]")).await;
    ina.reads("#settings", "decided by Dr. Okoro").await;
    ina.tap("[data-undo]").await;
    ina.reads("[data-undo-bar]", "undone").await;
    let gone = "return document.querySelector('#settings').innerText.includes('Okoro')";
    while ina.ask(gone).await == true {
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    ina.is_sound().await;

    ina.tap_words("#settings [data-report]", "Trained").await;
    ina.reads("#settings", "trained in packing and releasing")
        .await;
    board.gets("helper.trained/2", 1).await;
    teo.open(&board.url("/settings")).await;
    teo.reads("main", "lead").await;
    ina.leave().await;
    teo.leave().await;
}
