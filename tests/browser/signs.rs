//! The call to many at once, vital signs with their scores and course, and the look again they ask for.

use std::time::Duration;

use holdfast::clock::Clock;
use holdfast::incident::Task;
use serde_json::json;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};
use crate::sorting::give;

#[tokio::test(flavor = "multi_thread")]
async fn the_call_puts_everybody_on_the_board_in_the_order_of_assessment() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    board.close().await;
    teo.tap("[data-open=add]").await;
    teo.tap("[data-view-name=add] [data-open=call]").await;
    for (response, count) in [("walked", 3), ("waved", 1), ("still", 1)] {
        for _ in 0..count {
            tokio::time::sleep(Duration::from_millis(300)).await;
            teo.tap(&format!(
                "[data-call-response={response}]:not([data-call-threat])"
            ))
            .await;
        }
    }
    tokio::time::sleep(Duration::from_millis(300)).await;
    teo.tap("[data-call-threat]").await;
    tokio::time::sleep(Duration::from_millis(300)).await;
    teo.tap("[data-call-response=walked]").await;
    teo.reads("[data-call-count=walked]", "4").await;
    teo.tap("[data-call-undo]").await;
    teo.reads("[data-call-count=walked]", "3").await;
    teo.shot("call").await;
    board.open().await;
    teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    teo.tap("[data-view-name=call] [data-close]").await;
    let order = board.app.as_ref().unwrap().journal.read(|incident| {
        let duties = incident.duties();
        json!(
            duties
                .iter()
                .filter(|duty| duty.task == Task::Sort)
                .map(|duty| incident
                    .casualty(duty.casualty)
                    .unwrap()
                    .sorting
                    .call
                    .unwrap()
                    .1)
                .map(|call| (call.response, call.life_threat))
                .collect::<Vec<_>>()
        )
    });
    assert_eq!(
        order,
        json!([
            ["still", false],
            ["still", true],
            ["waved", false],
            ["walked", false],
            ["walked", false],
            ["walked", false]
        ])
    );
    teo.open(&board.url("/next")).await;
    teo.reads(".ask h1", "Not sorted: lies still").await;
    teo.open(&board.url("/board")).await;
    teo.reads("#duties", "Can wait a little").await;
    teo.tap("#duties-later summary").await;
    teo.reads("#duties", "Walked, nobody looked yet").await;
    teo.shot("call-board").await;
    teo.is_sound().await;
    teo.leave().await;
}

async fn measure(phone: &Screen, values: &[(&str, &str)], awake: &str) {
    phone.tap(".does [data-open=vitals]").await;
    phone
        .tap(&format!(
            "[data-view-name=vitals] input[value={awake}] + span"
        ))
        .await;
    for (name, value) in values {
        phone.fill(&format!("#v-{name}"), value).await;
    }
    phone
        .tap("[data-view-name=vitals] button[type=submit]")
        .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn signs_are_counted_scored_drawn_and_ask_for_another_look() {
    let clock = Clock::ahead();
    let board = Board::start_with(clock.clone()).await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    register(&teo, "adult", &["man", "grey"]).await;
    teo.tap("[data-view-name=sheet] [data-open=assess]").await;
    for answer in ["no", "yes"] {
        give(&teo, answer).await;
    }
    // Fifteen seconds of breaths, counted with the thumb.
    teo.tap("[data-view-name=assess] [data-counter-tap]").await;
    for _ in 0..6 {
        tokio::time::sleep(Duration::from_millis(300)).await;
        teo.tap("[data-view-name=assess] [data-counter-tap]").await;
    }
    teo.shot("counting").await;
    teo.see_within(
        "[data-view-name=assess] [data-counter-use]",
        Duration::from_secs(25),
    )
    .await;
    teo.reads(
        "[data-view-name=assess] [data-counter-use]",
        "Use 6 in 15 s: 24 a minute",
    )
    .await;
    teo.tap("[data-view-name=assess] [data-counter-use]").await;
    for answer in ["yes", "yes"] {
        give(&teo, answer).await;
    }
    teo.tap("[data-triage-accept]").await;
    teo.see("main[data-view-name=home]").await;
    teo.reads("[data-pill]", "All on the board").await;

    teo.open(&board.url("/board")).await;
    teo.tap("#rows .whole").await;
    teo.reads(".sorted", "2 DELAYED").await;
    teo.tap(".signs [data-open=told]").await;
    teo.fill("#told-years", "34").await;
    teo.tap("[data-view-name=told] button[type=submit]").await;
    teo.reads(".signs__told", "34 years old").await;
    let first = [
        ("breaths_per_minute", "18"),
        ("pulse_per_minute", "84"),
        ("systolic_mmhg", "128"),
        ("oxygen_saturation_percent", "97"),
        ("temperature_tenths_c", "36.5"),
    ];
    measure(&teo, &first, "alert").await;
    teo.reads(".signs", "NEWS2 0–2").await;
    teo.reads(".signs", "Shock index 0.66").await;

    clock.advance(600);
    // An odd value is asked about, and kept when meant.
    let second = [
        ("breaths_per_minute", "64"),
        ("pulse_per_minute", "118"),
        ("systolic_mmhg", "92"),
        ("oxygen_saturation_percent", "93"),
    ];
    measure(&teo, &second, "voice").await;
    teo.reads("[data-form-odd-words]", "Breathing 64 per min?")
        .await;
    teo.shot("odd").await;
    teo.tap("[data-form-change]").await;
    teo.fill("#v-breaths_per_minute", "26").await;
    teo.tap("[data-view-name=vitals] button[type=submit]").await;
    for words in [
        "less awake than before",
        "shock index now 0.9 or more",
        "pulse up by 20, pressure down by 20",
        "NEWS2 now 7 or more",
    ] {
        teo.reads(".signs__worse", words).await;
    }
    ina.reads("#rows", "signs got worse").await;
    ina.reads("#duties", "Look again: is more or less awake than before")
        .await;
    let category = board
        .app
        .as_ref()
        .unwrap()
        .journal
        .read(|incident| json!(incident.casualties().next().unwrap().urgent_category()));
    assert_eq!(category, json!("delayed"), "a flag changes no category");
    clock.advance(300);
    teo.tap(".does [data-open=wound]").await;
    teo.tap("[data-view-name=wound] input[value=steady] + span")
        .await;
    teo.tap("[data-outline-region=thigh][data-outline-side=left]")
        .await;
    teo.tap("[data-view-name=wound] button[type=submit]").await;
    teo.tap_words("[data-view-name=step] [data-report]", "Tourniquet on")
        .await;
    teo.see("[data-view-name=tourniquet]").await;
    // What a tourniquet asks for at once can wait here.
    teo.open(&board.url("/board")).await;
    teo.tap("#rows a").await;
    clock.advance(240);
    measure(
        &teo,
        &[("pulse_per_minute", "104"), ("systolic_mmhg", "104")],
        "alert",
    )
    .await;
    teo.see(".plot .plot__pressure").await;
    teo.reads(".plot__legend", "tourniquet").await;
    teo.ask("document.querySelector('.signs').scrollIntoView()")
        .await;
    teo.shot("plot").await;
    teo.open(&board.url("/cards")).await;
    teo.reads(".cards", "Pulse at the wrist?").await;
    teo.shot("cards").await;
    teo.is_sound().await;
    ina.is_sound().await;
    tokio::join!(teo.leave(), ina.leave());
}
