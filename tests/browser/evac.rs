//! Leaving: the sheet that goes along, the coordinator's page, and what is printed.

use holdfast::clock::fresh_id;
use holdfast::incident::{About, Author, DeviceId, EntryId, Report, Role, Seq, Words};
use jiff::SignedDuration;
use serde_json::{Value, json};
use thirtyfour::common::print::PrintParameters;

use crate::board::Board;
use crate::screen::{Browsers, Screen};

/// Puts a report onto the board as somebody's phone would; it happened so many minutes ago.
pub(crate) async fn told(board: &Board, minutes_ago: i64, about: Value, fact: Value) {
    let app = board.app.as_ref().unwrap();
    let author = Author {
        device: DeviceId::new(fresh_id()),
        name: Words::new("Aino").unwrap(),
        role: Some(Role::Lead),
        skill: None,
    };
    let about: About = serde_json::from_value(about).unwrap();
    let report = Report {
        id: EntryId::new(fresh_id()),
        about,
        happened_at: app.journal.now() - SignedDuration::from_mins(minutes_ago),
        based_on: Seq::START,
        time_unsure: false,
        epoch: None,
        fact: serde_json::from_value(fact).unwrap(),
    };
    let receipts = app.journal.append(vec![report], author).await.unwrap();
    assert!(receipts[0].is_ok(), "{receipts:?}");
}

/// Somebody with everything on their sheet.
pub(crate) async fn casualty_seven(board: &Board) -> String {
    let id = fresh_id().to_string();
    let who = || json!({ "casualty": id });
    let met = json!({ "kind": "casualty.registered/1", "age": "adult", "words": "woman, red coat", "place": "below the east col" });
    told(board, 40, who(), met).await;
    let category = json!({ "kind": "category.assigned/1", "category": "immediate" });
    told(board, 39, who(), category).await;
    for (index, region) in ["thigh", "forearm", "scalp"].into_iter().enumerate() {
        let wound = fresh_id();
        let about = || json!({ "wound": wound });
        let found = json!({ "kind": "wound.found/2", "casualty": id, "region": region, "side": "right", "flow": "steady" });
        told(board, 38, about(), found).await;
        let step = ["tourniquet", "press", "pressure_dressing"][index];
        told(
            board,
            37,
            about(),
            json!({ "kind": "step.taken/2", "step": step }),
        )
        .await;
        for minute in [30, 22, 14, 6] {
            let look = json!({ "kind": "wound.looked/1", "bleeding": "stopped" });
            told(board, minute, about(), look).await;
        }
    }
    for (minute, breaths, pulse) in [(35, 28, 130), (25, 26, 124), (12, 24, 118), (3, 20, 104)] {
        let vitals = json!({ "kind": "vitals.measured/1", "breaths_per_minute": breaths, "pulse_per_minute": pulse,
            "systolic_mmhg": 98, "oxygen_saturation_percent": 96, "consciousness": "alert", "refill_tenths": 30 });
        told(board, minute, who(), vitals).await;
    }
    let history = json!({ "kind": "history.told/1", "sex": "female", "about_years": 30, "mechanism": "fell about 6 m onto rock",
        "complaints": "possible broken right femur", "allergies": "penicillin", "other": "sister is at the hut" });
    told(board, 20, who(), history).await;
    let asked = json!({ "kind": "evac.requested/2", "priority": "first", "posture": "lying",
        "needs": ["surgery", "escort"], "hazards": "loose rock above" });
    told(board, 18, who(), asked).await;
    id
}

/// Prints on A4, keeps it among the artefacts, and counts its pages.
pub(crate) async fn pages(screen: &Screen, name: &str) -> usize {
    let mut paper = PrintParameters::default();
    // A4 in centimetres.
    paper.page.width = 21.0;
    paper.page.height = 29.7;
    let pdf = screen.driver.print_page(paper).await.unwrap();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("artefacts");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(format!("{name}.pdf")), &pdf).unwrap();
    let text = String::from_utf8_lossy(&pdf);
    text.matches("/Type /Page").count() - text.matches("/Type /Pages").count()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_handover_sheet_is_one_page_and_scans_from_a_phone() {
    let board = Board::start().await;
    let id = casualty_seven(&board).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.join_as_lead(&board).await;
    ina.open(&board.url(&format!("/casualties/{id}/handover")))
        .await;
    ina.reads(".along__vital", "ON since").await;
    ina.is_sound().await;
    ina.shot("handover").await;
    assert_eq!(pages(&ina, "handover").await, 1);
    teo.join_by_poster(&board).await;
    teo.open(&board.url(&format!("/casualties/{id}"))).await;
    teo.tap_words(".does a", "Handover sheet").await;
    teo.see(".along__code svg").await;
    teo.is_sound().await;
    teo.shot("handover").await;
    // Seventeen modules and four for each version, and a quiet zone of four on each side: at 300 px a module has
    // three, and a screen has two or three points for each of those.
    let wide = teo
        .ask("return document.querySelector('.along__code svg').getBoundingClientRect().width")
        .await;
    assert!(wide.as_f64().unwrap() >= 290.0, "{wide}");
    tokio::join!(ina.leave(), teo.leave());
}

/// Two ambulances, a hospital, and two who are to leave; the second ambulance comes later.
async fn ready_to_leave(board: &Board) -> [String; 2] {
    let mut ids = [String::new(), String::new()];
    for (index, category) in ["immediate", "delayed"].into_iter().enumerate() {
        let id = fresh_id().to_string();
        let who = || json!({ "casualty": id });
        let met =
            json!({ "kind": "casualty.registered/1", "age": "adult", "words": "man, blue hat" });
        told(board, 20, who(), met).await;
        let sorted = json!({ "kind": "category.assigned/1", "category": category });
        told(board, 19, who(), sorted).await;
        ids[index] = id;
    }
    ids
}

#[tokio::test(flavor = "multi_thread")]
async fn the_coordinator_plans_loads_and_hands_over() {
    let board = Board::start().await;
    let [first, second] = ready_to_leave(&board).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/evac")).await;
    ina.see("body[data-link=live]").await;

    // A destination and two ambulances, by the forms.
    ina.tap("#evac-fleet [data-open=destination]").await;
    ina.fill("[data-view-name=destination] [name=name]", "Valley")
        .await;
    ina.tap("[data-view-name=destination] input[value=local_hospital] + span")
        .await;
    ina.fill("#destination-road", "40").await;
    ina.tap("[data-view-name=destination] button[type=submit]")
        .await;
    ina.reads("#evac-fleet", "Valley").await;
    for name in ["Ambulance 1", "Ambulance 2"] {
        ina.tap("#evac-fleet [data-open=transport]").await;
        ina.tap_words(
            "[data-view-name=transport] button",
            "Ambulance, one stretcher",
        )
        .await;
        ina.fill("#t1-name", name).await;
        if name == "Ambulance 2" {
            ina.fill("#t1-in", "30").await;
        }
        ina.tap("[data-view-name=transport-1] button[type=submit]")
            .await;
        ina.reads("#evac-fleet", name).await;
    }

    // A request from a phone stands in the plan.
    teo.join_by_poster(&board).await;
    teo.open(&board.url(&format!("/casualties/{first}"))).await;
    teo.tap(".does [data-open=evac]").await;
    teo.tap("[data-view-name=evac] input[value=first] + span")
        .await;
    teo.tap("[data-view-name=evac] input[value=lying] + span")
        .await;
    teo.tap("[data-view-name=evac] button[type=submit]").await;
    ina.reads("#evac-plan .lv-trip", "Ambulance 1").await;
    ina.reads("#evac-plan .lv-trip", "first, lying").await;
    // And one asked for by the coordinator, as suggested.
    ina.reads("#evac-rest", "suggested: soon").await;
    ina.tap_words("#evac-rest button", "lying").await;
    ina.reads("#evac-plan", "Ambulance 2").await;
    ina.is_sound().await;
    ina.shot("evac").await;

    // What to read out: what nobody said is asked for; a line that was said is ticked, and a change of it is news.
    ina.reads("#evac-words .lv-say--missing", "not known").await;
    ina.tap("#evac-words [data-open=situation]").await;
    ina.fill("#situation-position", "30U VF 98932 42158").await;
    ina.fill("#situation-what", "rock fall").await;
    ina.tap("[data-view-name=situation] button[type=submit]")
        .await;
    ina.reads("#evac-words .lv-places", "54.527").await;
    ina.tap("#evac-words .lv-say:nth-child(2) button").await;
    ina.reads("#evac-words .lv-say:nth-child(2)", "said").await;
    assert_eq!(board.count("line.said/1"), 1);
    ina.shot("evac-words").await;

    // The first ambulance breaks down: the plan changes and says why.
    ina.tap("#evac-fleet .lv-thing:first-child [data-open=transport-out]")
        .await;
    ina.tap_words("[data-view-name=transport-out] button", "broken down")
        .await;
    ina.tap("[data-view-name=transport-out] button[type=submit]")
        .await;
    ina.reads(
        "#evac-plan .lv-cause",
        "Ambulance 1: out of use (broken down)",
    )
    .await;
    ina.reads("#evac-plan .lv-was", "was: Ambulance 1 to Valley")
        .await;
    ina.is_sound().await;
    ina.shot("evac-broken-down").await;
    ina.tap_words("#evac-fleet button", "Works again, here")
        .await;
    ina.reads("#evac-plan .lv-trip", "Ambulance 1").await;

    // Load, leave, arrive, hand over; a helper at the door does the first two.
    teo.open(&board.url("/evac")).await;
    teo.see("body[data-link=live]").await;
    teo.is_sound().await;
    teo.shot("evac").await;
    let rider = format!("#evac-plan .lv-rider:has(a[href='/casualties/{first}'])");
    teo.tap(&format!("{rider} .go")).await;
    teo.reads("#evac-plan .lv-trip", "loading").await;
    teo.tap_words("#evac-plan button", "Left").await;
    ina.reads("#evac-plan .lv-trip--gone", "on the way").await;
    ina.tap_words("#evac-plan .lv-trip--gone button", "Arrived")
        .await;
    ina.reads("#evac-plan .lv-trip--gone", "arrived").await;
    ina.tap_words("#evac-plan .lv-trip--gone button", "Handed over")
        .await;
    ina.reads("#evac-now .lv-count__sum td:last-child", "1")
        .await;
    assert_eq!(board.count("casualty.handed_over/1"), 1);
    let still_here = ina
        .ask("return document.querySelector('#evac-now .lv-count__sum b').textContent")
        .await;
    assert_eq!(still_here, json!("1"), "{second} waits");
    ina.is_sound().await;
    assert_eq!(pages(&ina, "evac").await, 1);
    tokio::join!(ina.leave(), teo.leave());
}

/// A transport's places are changed as a whole, from what they are; what is not touched is not sent.
#[tokio::test(flavor = "multi_thread")]
async fn places_of_a_transport_are_changed_from_what_they_are() {
    let board = Board::start().await;
    let id = fresh_id().to_string();
    let added = json!({ "kind": "transport.added/1", "name": "Ambulance 1", "means": "ambulance", "attendants": 1,
        "layouts": [{ "lying": 2, "sitting": 1 }, { "lying": 1, "sitting": 4 }], "load_minutes": 5, "unload_minutes": 10 });
    told(&board, 10, json!({ "transport": id }), added).await;
    let browsers = Browsers::start();
    let eva = browsers.phone("Eva").await;
    eva.join_as_evac(&board).await;
    eva.open(&board.url("/evac")).await;
    eva.see("body[data-link=live]").await;
    let places = || {
        board.app.as_ref().unwrap().journal.read(|incident| {
            let one = incident.evacuation().transports.values().next().unwrap();
            let layouts = one.details.layouts.iter();
            layouts
                .map(|layout| (layout.lying, layout.sitting))
                .collect::<Vec<_>>()
        })
    };
    let shown = "return [...document.querySelectorAll('[data-view-name=transport-change] [data-whole]')].map((input) => input.value).join(' ').trim()";
    eva.tap("[data-open=transport-change]").await;
    eva.see("[data-view-name=transport-change] #change-0-lying")
        .await;
    assert_eq!(eva.ask(shown).await, json!("2 1 1 4"));
    eva.shot("places").await;
    eva.tap("[data-view-name=transport-change] button[type=submit]")
        .await;
    eva.reads(
        "[data-view-name=transport-change] [data-form-error]",
        "Change at least one thing",
    )
    .await;
    eva.fill("#change-0-lying", "3").await;
    eva.tap("[data-view-name=transport-change] button[type=submit]")
        .await;
    let deadline = tokio::time::Instant::now() + crate::screen::SOON;
    while places() != [(3, 1), (1, 4)] {
        assert!(tokio::time::Instant::now() < deadline, "{:?}", places());
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    // Opened again it starts from what it is by now.
    eva.reads("#evac-fleet", "3 lying").await;
    eva.tap("[data-open=transport-change]").await;
    eva.see("[data-view-name=transport-change] #change-0-lying")
        .await;
    assert_eq!(eva.ask(shown).await, json!("3 1 1 4"));
    // Who may not report that an alarm was seen has no button that says so.
    eva.open(&board.url("/board")).await;
    let button = "return getComputedStyle(document.querySelector('[data-alarm-seen]')).display";
    eva.see("body[data-link=live]").await;
    assert_eq!(eva.ask(button).await, json!("none"));
    eva.is_sound().await;
    eva.leave().await;
}
