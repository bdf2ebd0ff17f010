//! Sorting by taps alone: one question per screen, out of range too; another decision with its reason; two answers.

use std::time::{Duration, Instant};

use holdfast::incident::{Fact, Incident};
use holdfast::rules::triage::Category;
use serde_json::json;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};

/// A finger needs a moment between two questions; the page takes a faster second tap for a tremble.
const FINGER: Duration = Duration::from_millis(450);

pub(crate) async fn give(phone: &Screen, answer: &str) {
    tokio::time::sleep(FINGER).await;
    phone.tap(&format!("[data-triage-answer={answer}]")).await;
}

async fn sort_newcomer(phone: &Screen) {
    phone.tap("[data-view-name=sheet] [data-open=assess]").await;
}

fn kept(board: &Board, read: impl Fn(&Incident) -> serde_json::Value) -> serde_json::Value {
    board.app.as_ref().unwrap().journal.read(read)
}

#[tokio::test(flavor = "multi_thread")]
async fn start_and_jump_start_by_taps_with_the_network_cut_in_the_middle() {
    let mut board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;

    register(&teo, "adult", &["woman", "green"]).await;
    sort_newcomer(&teo).await;
    teo.reads("[data-triage-question]", "Walking?").await;
    teo.shot("assess-first").await;
    let began = Instant::now();
    give(&teo, "no").await;
    give(&teo, "yes").await;
    // The network goes in the middle of it.
    board.close().await;
    teo.reads("[data-triage-question]", "breaths a minute")
        .await;
    teo.shot("assess-count").await;
    give(&teo, "no").await;
    // A slip, taken back.
    give(&teo, "no").await;
    teo.reads("[data-triage-final]", "Decided by S4").await;
    teo.tap("[data-triage-back]").await;
    give(&teo, "yes").await;
    teo.tap("[data-triage-treat=airway_opening]").await;
    give(&teo, "yes").await;
    teo.reads(
        "[data-triage-final]",
        "Decided by S5: Follows simple commands? yes",
    )
    .await;
    teo.see("[data-triage-suggested=delayed]").await;
    teo.shot("assess-result").await;
    teo.tap("[data-triage-accept]").await;
    println!(
        "a walk of START by taps, with a slip and a treatment: {:?}",
        began.elapsed()
    );
    teo.reads("[data-pill]", "only on this phone").await;

    register(&teo, "child", &["boy"]).await;
    sort_newcomer(&teo).await;
    teo.reads("[data-triage-name]", "JumpSTART").await;
    for answer in ["no", "no", "no", "yes", "yes"] {
        give(&teo, answer).await;
    }
    teo.reads(
        "[data-triage-final]",
        "Decided by J2c: 5 rescue breaths given",
    )
    .await;
    teo.tap("[data-triage-accept]").await;

    board.open().await;
    teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
        .await;
    let categories = kept(&board, |incident| {
        json!(
            incident
                .casualties()
                .map(holdfast::incident::Casualty::urgent_category)
                .collect::<Vec<_>>()
        )
    });
    assert_eq!(categories, json!(["delayed", "immediate"]));
    assert_eq!(board.count("assessment.answered/1"), 6 + 5);
    assert_eq!(board.count("lifesaving.done/1"), 1);
    let sheets = kept(&board, |incident| {
        let sheets = incident
            .entries()
            .iter()
            .filter_map(|entry| match &entry.fact {
                Fact::CategoryDecided(decided) => decided.sheet.clone(),
                _ => None,
            });
        assert!(sheets.clone().all(|sheet| sheet.agrees()));
        json!(
            sheets
                .map(|sheet| sheet.step().map(str::to_owned))
                .collect::<Vec<_>>()
        )
    });
    assert_eq!(sheets, json!(["S5", "J2c"]));
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_begun_assessment_is_kept_and_shown_as_provisional() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    register(&teo, "adult", &["beard"]).await;
    sort_newcomer(&teo).await;
    give(&teo, "no").await;
    give(&teo, "no").await;
    board.gets("assessment.answered/1", 2).await;
    // A reload in the middle: the answers are there and the question is the same.
    teo.open(&board.url("/next")).await;
    teo.reads("[data-triage-question]", "Airway opened").await;
    teo.tap("[data-view-name=assess] [data-back]").await;
    teo.tap("[data-view-name=sheet] [data-close]").await;
    teo.tap(".next .who").await;
    teo.reads(".sorted", "START begun and not ended").await;
    teo.reads(".sorted", "1 IMMEDIATE or 0 DECEASED").await;
    teo.shot("begun").await;
    teo.is_sound().await;
    teo.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn another_decision_needs_a_reason_and_expectant_the_lead_and_what_is_short() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    register(&teo, "adult", &["hat"]).await;
    sort_newcomer(&teo).await;
    give(&teo, "yes").await;
    teo.see("[data-triage-suggested=minor]").await;
    teo.tap("[data-triage-override]").await;
    teo.tap("[data-triage-choose=delayed]").await;
    // Longer than a report takes: without a reason there is none.
    tokio::time::sleep(Duration::from_secs(1)).await;
    assert_eq!(
        board.count("category.assigned/2"),
        0,
        "no reason, no category"
    );
    teo.tap_words("[data-triage-other] label", "burnt airway, or stab wound")
        .await;
    teo.shot("override").await;
    let shown =
        "return getComputedStyle(document.querySelector('[data-triage-choose=expectant]')).display";
    assert_eq!(teo.ask(shown).await, "none", "expectant is the lead's");
    teo.tap("[data-triage-choose=delayed]").await;
    ina.reads("#rows", "2 DELAYED").await;

    ina.tap("#rows .whole").await;
    ina.reads(".sorted", "Suggested: 3 MINOR").await;
    ina.reads(".sorted", "burnt airway, or stab wound").await;
    ina.tap(".does [data-open=assess]").await;
    give(&ina, "yes").await;
    ina.tap("[data-triage-override]").await;
    ina.tap_words("[data-triage-other] label", "my judgement")
        .await;
    ina.tap("[data-triage-choose=expectant]").await;
    ina.see("[data-triage-grounds]").await;
    ina.tap_words("[data-triage-grounds] label", "transport")
        .await;
    ina.shot("expectant").await;
    ina.tap("[data-triage-expectant]").await;
    ina.reads(".sorted", "Short of: transport").await;
    ina.is_sound().await;
    teo.is_sound().await;
    tokio::join!(teo.leave(), ina.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn two_phones_that_do_not_know_of_each_other_both_stand_until_the_lead_chooses() {
    let mut board = Board::start().await;
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
    register(&teo, "adult", &["old"]).await;
    ina.reads("#rows", "old").await;
    sol.open(&board.url("/next")).await;
    sol.tap(".next [data-open=assess]").await;
    sort_newcomer(&teo).await;
    // Neither phone hears of the other.
    board.close().await;
    for phone in [&teo, &sol] {
        for answer in ["no", "yes", "no"] {
            give(phone, answer).await;
        }
    }
    give(&teo, "yes").await;
    give(&teo, "yes").await;
    teo.tap("[data-triage-accept]").await;
    give(&sol, "no").await;
    sol.tap("[data-triage-accept]").await;
    board.open().await;
    ina.reads_within("#rows", "2 answers", Duration::from_secs(30))
        .await;
    ina.reads("#rows", "1 IMMEDIATE").await;
    ina.tap("#rows .whole").await;
    ina.reads(".sorted", "2 answers, given without knowing")
        .await;
    ina.shot("two-answers").await;
    ina.tap_words(".decision .button", "This one holds").await;
    let settled = |incident: &Incident| {
        let one = incident.casualties().next().unwrap();
        !one.category.is_disputed()
    };
    let deadline = Instant::now() + crate::screen::SOON;
    while !board.app.as_ref().unwrap().journal.read(settled) {
        assert!(Instant::now() < deadline, "still two answers");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    let category = kept(&board, |incident| {
        json!(incident.casualties().next().unwrap().urgent_category())
    });
    assert_eq!(
        category,
        json!(Category::Immediate),
        "the latest answer stands first"
    );
    ina.is_sound().await;
    tokio::join!(teo.leave(), sol.leave(), ina.leave());
}
