//! The machine is lost; the lead's own device is enough to go on.

use std::time::Duration;

use crate::board::Board;
use crate::care::register;
use crate::screen::Browsers;

#[tokio::test(flavor = "multi_thread")]
async fn a_lost_board_is_rebuilt_from_the_leads_device_and_phones_bring_what_they_had() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let ina = browsers.phone("Ina").await;
    ina.join_as_lead(&board).await;
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    teo.see("body[data-link=live]").await;
    register(&teo, "adult", &["woman", "red"]).await;
    teo.reads("[data-pill]", "All on the board").await;
    // The lead's device keeps the record by itself: opened, two who joined, taken out by it, registered.
    ina.reads_within("[data-record-kept]", "5 entries", Duration::from_secs(20))
        .await;
    // What came later is only on the phone that reported it: the lead's page is closed by then.
    ina.open("about:blank").await;
    teo.open("about:blank").await;
    teo.open(&board.url("/next")).await;
    teo.see("body[data-link=live]").await;
    register(&teo, "child", &["boy", "blue"]).await;
    teo.reads("[data-pill]", "All on the board").await;

    drop(board.is_lost_and_replaced().await);
    ina.join_as_lead(&board).await;
    ina.reads("[data-restore-copies]", "This device has a copy")
        .await;
    ina.shot("restore-offered").await;
    ina.tap("[data-restore-copies] button").await;
    ina.reads("[data-restore-copies] button", "Tap again").await;
    // A tap that follows at once is a trembling finger.
    tokio::time::sleep(Duration::from_millis(700)).await;
    ina.tap("[data-restore-copies] button[data-armed]").await;
    // Nobody joins again: who was in on the lost board is in on this one.
    ina.reads_within("#rows", "red", Duration::from_secs(30))
        .await;
    ina.shot("restore-done").await;
    assert!(!ina.words().await.contains("Was another board lost"));
    ina.open(&board.url("/log")).await;
    assert!(
        ina.words()
            .await
            .contains("ANOTHER MACHINE KEEPS THE BOARD")
    );

    // The phone comes back as who it was and brings what the lost machine had taken last.
    teo.open(&board.url("/next")).await;
    teo.see("body[data-link=live]").await;
    ina.open(&board.url("/board")).await;
    ina.reads_within("#rows", "blue", Duration::from_secs(30))
        .await;
    ina.is_sound().await;
    teo.is_sound().await;
    ina.leave().await;
    teo.leave().await;
}
