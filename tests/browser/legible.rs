//! What is printed, what keys are called, and how large small links are: what no test of parts can show.

use serde_json::{Value, json};

use crate::board::Board;
use crate::care::register;
use crate::evac::{casualty_seven, told};
use crate::screen::Browsers;

/// Paper cannot be live: it says as of when.
#[tokio::test(flavor = "multi_thread")]
async fn a_printed_summary_says_as_of_when() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/summary")).await;
    ina.reads(".truth", "live ").await;
    ina.cdp("Emulation.setEmulatedMedia", json!({ "media": "print" }))
        .await;
    ina.reads("[data-as-of]", "as of ").await;
    let shown = "return [...document.querySelectorAll('[data-live], [data-as-of]')].filter((one) => one.offsetParent).map((one) => one.textContent)";
    let shown = ina.ask(shown).await;
    let shown: Vec<String> = serde_json::from_value(shown).unwrap();
    assert!(
        shown.len() == 1 && shown[0].starts_with("as of "),
        "{shown:?}"
    );
    ina.whole("summary-on-paper").await;
    ina.leave().await;
}

/// Keys of steppers by what they count; links in a line of words as large as a glove needs; the course of the signs in
/// letters one can read on a phone.
#[tokio::test(flavor = "multi_thread")]
async fn keys_have_a_subject_links_have_room_and_the_course_is_legible() {
    let board = Board::start().await;
    let seven = casualty_seven(&board).await;
    let who = json!({ "casualty": seven });
    let ask = json!({ "kind": "evac.requested/2", "priority": "first", "posture": "lying" });
    told(&board, 5, who, ask).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.phone("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    register(&teo, "adult", &["beard"]).await;
    teo.tap("[data-view-name=sheet] [data-open=vitals]").await;
    teo.see("[data-view-name=vitals]").await;
    let names: Value = teo
        .ask("return [...document.querySelectorAll('[data-view-name=vitals] [data-step]')].map((key) => key.getAttribute('aria-label'))")
        .await;
    let names: Vec<String> = serde_json::from_value(names).unwrap();
    assert!(
        names.contains(&"Pulse: more".to_owned()) && names.contains(&"Breathing: less".to_owned()),
        "{names:?}"
    );
    let distinct: std::collections::BTreeSet<_> = names.iter().collect();
    assert_eq!(distinct.len(), names.len(), "{names:?}");

    let small = "return [...document.querySelectorAll('.leaving a, .total--items, .aside a, .alike a, .filter a, .lv-rest p a')].map((link) => link.getBoundingClientRect()).filter((box) => box.width > 0 && (box.height < 48 || box.width < 48)).length";
    let some = "return document.querySelectorAll('.leaving a').length";
    ina.open(&board.url("/board")).await;
    ina.see("body[data-link=live]").await;
    assert_eq!(ina.ask(some).await, json!(1));
    assert_eq!(ina.ask(small).await, json!(0));
    ina.open(&board.url("/log?what=pulse")).await;
    ina.see(".filter a").await;
    assert_eq!(ina.ask(small).await, json!(0));

    ina.open(&board.url(&format!("/casualties/{seven}"))).await;
    ina.see(".plot svg").await;
    let least = "const svg = document.querySelector('.plot svg'); const scale = svg.getBoundingClientRect().width / 360; \
        return Math.min(...[...svg.querySelectorAll('text')].map((text) => parseFloat(getComputedStyle(text).fontSize) * scale))";
    let least = ina.ask(least).await.as_f64().unwrap();
    assert!(least >= 16.0, "letters of {least} px");
    ina.ask("document.querySelector('.plot').scrollIntoView()")
        .await;
    ina.shot_in_every_look("course").await;
    let narrow = json!({ "width": 320, "height": 700, "deviceScaleFactor": 1, "mobile": true });
    ina.cdp("Emulation.setDeviceMetricsOverride", narrow).await;
    ina.ask("document.querySelector('.plot').scrollIntoView()")
        .await;
    ina.shot("course-320").await;
    let wider = "return document.documentElement.scrollWidth > innerWidth";
    assert_eq!(ina.ask(wider).await, json!(false), "nothing sticks out");
    let tablet = json!({ "width": 1024, "height": 768, "deviceScaleFactor": 1, "mobile": false });
    ina.cdp("Emulation.setDeviceMetricsOverride", tablet).await;
    ina.ask("document.querySelector('.plot').scrollIntoView()")
        .await;
    ina.shot("course-tablet").await;
    ina.is_sound().await;
    teo.is_sound().await;
    tokio::join!(ina.leave(), teo.leave());
}
