//! Leaving, told whole: from the first question of the coordinator to the last sheet; command going over; paper.

use holdfast::clock::fresh_id;
use serde_json::{Value, json};

use crate::board::Board;
use crate::evac::{casualty_seven, pages, told};
use crate::screen::{Browsers, Screen};

/// Somebody who was met, sorted and asked for.
async fn asks(board: &Board, words: &str, category: &str, request: Value) -> String {
    let id = fresh_id().to_string();
    let who = || json!({ "casualty": id });
    let met = json!({ "kind": "casualty.registered/1", "age": "adult", "words": words, "place": "by the hut" });
    told(board, 30, who(), met).await;
    let sorted = json!({ "kind": "category.assigned/1", "category": category });
    told(board, 29, who(), sorted).await;
    if request != Value::Null {
        let mut asked = json!({ "kind": "evac.requested/2" });
        for (key, value) in request.as_object().unwrap() {
            asked[key] = value.clone();
        }
        told(board, 20, who(), asked).await;
    }
    id
}

async fn transport(board: &Board, name: &str, fact: Value) -> String {
    let id = fresh_id().to_string();
    let mut added = json!({ "kind": "transport.added/1", "name": name, "means": "ambulance", "attendants": 1,
        "layouts": [{ "lying": 1, "sitting": 1 }], "load_minutes": 5, "unload_minutes": 10 });
    for (key, value) in fact.as_object().unwrap() {
        added[key] = value.clone();
    }
    told(board, 10, json!({ "transport": id }), added).await;
    id
}

async fn hospital(board: &Board, name: &str, fact: Value) -> String {
    let id = fresh_id().to_string();
    let mut added = json!({ "kind": "destination.added/1", "name": name, "place": "local_hospital",
        "minutes": { "road": 40, "air": 15 } });
    for (key, value) in fact.as_object().unwrap() {
        added[key] = value.clone();
    }
    told(board, 10, json!({ "destination": id }), added).await;
    id
}

fn rider(casualty: &str) -> String {
    format!("#evac-plan .lv-rider:has(a[href='/casualties/{casualty}'])")
}

/// The text of what fits; nothing where there is none.
async fn text(screen: &Screen, css: &str) -> String {
    let ask = format!(
        "return document.querySelector({})?.innerText ?? ''",
        json!(css)
    );
    screen.ask(&ask).await.as_str().unwrap().to_owned()
}

/// Waits until an element is gone from the page.
async fn gone(screen: &Screen, css: &str) {
    for _ in 0..100 {
        if text(screen, css).await.is_empty() {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("{css} is still there");
}

/// The issue of the page in one story: who goes next and why, the report and the next three handovers read out, sent, a
/// sheet and a code for each crew, and how many are left.
#[tokio::test(flavor = "multi_thread")]
async fn the_coordinator_answers_everything_from_one_page_without_typing_a_casualty_again() {
    let board = Board::start().await;
    let seven = casualty_seven(&board).await;
    let second = asks(
        &board,
        "man, blue hat",
        "delayed",
        json!({ "priority": "soon", "posture": "sitting" }),
    )
    .await;
    let third = asks(
        &board,
        "girl, red cap",
        "minor",
        json!({ "priority": "can_wait", "posture": "walking" }),
    )
    .await;
    let fourth = asks(&board, "man, beard", "minor", Value::Null).await;
    hospital(
        &board,
        "Valley",
        json!({ "abilities": ["surgery"], "places": { "immediate": 2, "delayed": 3, "minor": 4 } }),
    )
    .await;
    transport(&board, "Ambulance 1", json!({})).await;
    transport(
        &board,
        "Minibus",
        json!({ "means": "minibus", "layouts": [{ "lying": 0, "sitting": 8 }], "attendants": 0 }),
    )
    .await;
    let browsers = Browsers::start();
    let eva = browsers.tablet("Eva").await;
    // Her code opens her page.
    eva.join_as_evac(&board).await;
    assert!(eva.driver.current_url().await.unwrap().path() == "/evac");

    // How many are left, how bad, lying or sitting, as of now.
    let now = text(&eva, "#evac-now").await;
    assert!(now.contains("As of"), "{now}");
    assert!(text(&eva, ".lv-count__sum").await.contains('4'), "{now}");
    // Who goes next and why.
    eva.reads(&rider(&seven), "first, lying").await;
    let why = text(&eva, &format!("{} .lv-why", rider(&seven))).await;
    assert!(!why.is_empty());
    for who in [&second, &third] {
        eva.reads(
            "#evac-plan",
            &text(&eva, &format!("{} .number", rider(who))).await,
        )
        .await;
    }
    assert!(
        text(&eva, "#evac-rest")
            .await
            .contains("Nobody has asked for")
    );

    // The incident report, one line after the other, each a tick in the log.
    eva.tap("#evac-words [data-open=situation]").await;
    eva.tap_words("[data-view-name=situation] button", "none seen")
        .await;
    eva.fill("#situation-what", "rock fall onto a group").await;
    eva.fill("#situation-location", "below the east col").await;
    eva.fill("#situation-access", "forest track").await;
    eva.tap_words("[data-view-name=situation] button", "same")
        .await;
    eva.fill("#situation-services_present", "none").await;
    eva.fill("#situation-services_required", "helicopter").await;
    eva.tap("[data-view-name=situation] button[type=submit]")
        .await;
    eva.reads(
        "#evac-words > .lv-message:first-of-type",
        "rock fall onto a group",
    )
    .await;
    let unsaid = "#evac-words > .lv-message:first-of-type .lv-say__do button";
    for said in 1..=6 {
        eva.tap(unsaid).await;
        eva.reads(
            "#evac-words > .lv-message:first-of-type header",
            if said == 6 { "all said" } else { "to say" },
        )
        .await;
        // The line is ticked on the screen before the next is tapped.
        let left = format!(
            "return document.querySelectorAll('{unsaid}').length === {}",
            6 - said
        );
        let deadline = std::time::Instant::now() + crate::screen::SOON;
        while eva.ask(&left).await != true || board.count("line.said/1") < said {
            assert!(
                std::time::Instant::now() < deadline,
                "line {said} is not ticked"
            );
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
    }
    eva.tap_words(
        "#evac-words > .lv-message:first-of-type button",
        "Read back",
    )
    .await;
    eva.reads(
        "#evac-words > .lv-message:first-of-type header",
        "read back",
    )
    .await;
    eva.shot("report-said").await;

    // The handovers of the next three, filled from the board alone.
    let three = eva
        .ask("return document.querySelectorAll('#evac-words .lv-whom').length")
        .await;
    assert_eq!(three, json!(3));
    let first = text(&eva, "#evac-words .lv-whom").await;
    for words in [
        "ATMIST casualty 1, immediate",
        "fell about 6 m onto rock",
        "ON since",
        "allergy: penicillin",
        "ETA",
    ] {
        assert!(first.contains(words), "{words}: {first}");
    }
    for nth in 1..=3 {
        let whom = format!("#evac-words .lv-whom:nth-of-type({nth}) > .lv-message");
        eva.tap(&format!("{whom} .lv-say__do button")).await;
        eva.reads(&format!("{whom} .lv-say__do"), "said").await;
    }
    // The other orders of the first, and read aloud in figures one by one.
    eva.tap("#evac-words .lv-whom .lv-more > summary").await;
    eva.reads("#evac-words .lv-whom", "SBAR casualty 1").await;
    eva.reads("#evac-words .lv-whom", "IMIST-AMBO casualty 1")
        .await;
    let aloud = text(&eva, "#evac-words .lv-whom .lv-aloud").await;
    assert!(!aloud.chars().any(|c| c.is_ascii_digit()), "{aloud}");
    eva.is_sound().await;
    eva.shot("orders").await;

    // A sheet with a code for the crew, one tap away.
    eva.tap(&format!("{} a.button", rider(&seven))).await;
    eva.see(".along__code svg").await;
    assert_eq!(pages(&eva, "done-sheet").await, 1);
    eva.open(&board.url("/evac")).await;
    eva.see("body[data-link=live]").await;

    // Sent.
    eva.tap(&format!("{} .go", rider(&seven))).await;
    eva.reads("#evac-plan .lv-trip", "loading").await;
    eva.tap_words("#evac-plan button", "Left").await;
    eva.reads("#evac-plan .lv-trip--gone", "on the way").await;
    // What is left, as of now: three of four.
    eva.reads(".lv-count__sum b", "3").await;
    eva.tap_words("#evac-plan .lv-trip--gone button", "Arrived")
        .await;
    eva.tap_words("#evac-plan .lv-trip--gone button", "Handed over")
        .await;
    eva.reads(".lv-count__sum td:last-child", "1").await;
    // Places left have gone down with who was handed over.
    eva.reads("#evac-fleet .lv-beds", "1 first").await;
    // The report has news, and says only that.
    eva.is_sound().await;
    assert!(
        text(&eva, "#evac-rest").await.contains("man, beard"),
        "{fourth} was never asked for"
    );
    eva.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_child_goes_with_its_parent_and_pins_and_holds_are_kept() {
    let board = Board::start().await;
    let parent = asks(
        &board,
        "woman, green coat",
        "delayed",
        json!({ "priority": "soon", "posture": "sitting" }),
    )
    .await;
    let child = asks(
        &board,
        "boy, yellow hat",
        "minor",
        json!({ "priority": "can_wait", "posture": "sitting", "together_with": parent }),
    )
    .await;
    let other = asks(
        &board,
        "man, grey coat",
        "delayed",
        json!({ "priority": "soon", "posture": "sitting" }),
    )
    .await;
    hospital(&board, "Valley", json!({})).await;
    transport(
        &board,
        "Car 1",
        json!({ "means": "car", "layouts": [{ "lying": 0, "sitting": 2 }] }),
    )
    .await;
    transport(
        &board,
        "Car 2",
        json!({ "means": "car", "layouts": [{ "lying": 0, "sitting": 2 }] }),
    )
    .await;
    let site = json!({ "kind": "situation.reported/1", "position": "54.527 N 3.0165 W" });
    told(&board, 5, json!("incident"), site).await;
    let browsers = Browsers::start();
    let eva = browsers.tablet("Eva").await;
    eva.join_as_evac(&board).await;
    let trip_of = |who: String| format!("#evac-plan .lv-trip:has(a[href='/casualties/{who}'])");
    // The same trip, with the reason.
    eva.see(&format!(
        "{}:has(a[href='/casualties/{child}'])",
        trip_of(parent.clone())
    ))
    .await;
    assert!(
        text(&eva, "#evac-plan")
            .await
            .contains("together with casualty")
    );
    // A pin: on the other car, kept by every plan after.
    let before = text(&eva, &format!("{} h3", trip_of(other.clone()))).await;
    let wanted = if before.contains("Car 1") {
        "Car 2"
    } else {
        "Car 1"
    };
    // Something was read out, so that what changes after it is marked.
    eva.tap("#evac-words .lv-say__do button").await;
    eva.reads("#evac-words .lv-say__do", "said").await;
    eva.tap(&format!("{} .lv-more > summary", rider(&other)))
        .await;
    eva.tap_words(
        &format!("{} .lv-more button", rider(&other)),
        &format!("On {wanted}"),
    )
    .await;
    eva.reads(&format!("{} h3", trip_of(other.clone())), wanted)
        .await;
    eva.reads(&rider(&other), "fixed by the coordinator").await;
    eva.reads("#evac-plan", "changed since last read out").await;
    eva.reads(&format!("{} .lv-was", rider(&other)), "was:")
        .await;
    eva.reads("#evac-plan .lv-cause", "is to go on").await;
    eva.see(&format!(
        "{}:has(a[href='/casualties/{child}'])",
        trip_of(parent.clone())
    ))
    .await;
    eva.shot("pinned").await;
    // A hold: the child stays, and so does the parent who goes with it; both are named with the reason.
    eva.tap(&format!("{} .lv-more > summary", rider(&child)))
        .await;
    eva.tap_words(
        &format!("{} .lv-more button", rider(&child)),
        "Keep here for now",
    )
    .await;
    eva.reads("#evac-rest", "kept here by the coordinator")
        .await;
    eva.reads("#evac-rest", "boy, yellow hat").await;
    eva.is_sound().await;
    eva.shot("held").await;
    eva.tap_words("#evac-rest button", "Let go").await;
    eva.see(&format!(
        "{}:has(a[href='/casualties/{child}'])",
        trip_of(parent.clone())
    ))
    .await;
    // Reading out again takes the marks away.
    eva.tap("#evac-words .lv-say__do button").await;
    gone(&eva, "#evac-plan .lv-was").await;
    // Places and light are on the page.
    eva.reads("#evac-fleet .lv-beds", "can wait").await;
    let light = text(&eva, "#evac-now .lv-stamp").await;
    assert!(
        light.contains("light until") || light.contains("dark"),
        "{light}"
    );
    eva.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stretcher_party_is_timed_by_its_way() {
    let board = Board::start().await;
    asks(
        &board,
        "man, blue hat",
        "immediate",
        json!({ "priority": "first", "posture": "lying" }),
    )
    .await;
    hospital(
        &board,
        "Hut",
        json!({ "place": "meeting_point", "minutes": {} }),
    )
    .await;
    let browsers = Browsers::start();
    let eva = browsers.phone("Eva").await;
    eva.join_as_evac(&board).await;
    eva.tap("#evac-fleet [data-open=transport]").await;
    eva.tap_words(
        "[data-view-name=transport] button",
        "Stretcher party on foot",
    )
    .await;
    eva.fill("[data-view-name=transport-11] [name=name]", "Bearers")
        .await;
    eva.is_sound().await;
    eva.shot("party").await;
    eva.tap("[data-view-name=transport-11] button[type=submit]")
        .await;
    eva.reads("#evac-fleet", "no way told").await;
    eva.tap("#evac-fleet [data-open=on-foot]").await;
    eva.tap_words("[data-view-name=on-foot] label", "path")
        .await;
    eva.fill("#foot-metres", "1200").await;
    eva.is_sound().await;
    eva.shot("way-on-foot").await;
    eva.tap("[data-view-name=on-foot] button[type=submit]")
        .await;
    eva.reads("#evac-fleet", "46 min (estimate: 1200 m, path, 8 carry)")
        .await;
    eva.reads("#evac-plan .lv-trip", "Bearers").await;
    eva.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn command_goes_over_with_two_confirmations() {
    let board = Board::start().await;
    casualty_seven(&board).await;
    asks(
        &board,
        "man, blue hat",
        "immediate",
        json!({ "priority": "first", "posture": "lying" }),
    )
    .await;
    hospital(&board, "Valley", json!({ "abilities": ["surgery"] })).await;
    transport(&board, "Ambulance 1", json!({})).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    ina.reads("#heading", "lead: Ina").await;
    ina.tap("#heading a").await;
    ina.reads("h1", "Ina leads").await;
    ina.reads("#briefing", "Immediate, still here: 2").await;
    ina.shot("command").await;
    assert_eq!(pages(&ina, "briefing").await, 1);
    // The first tap asks; the second hands it over.
    ina.tap("[data-offer]:not([data-offer=\"\"])").await;
    ina.reads("[data-offer]", "Tap again").await;
    // A tap that follows at once is a trembling finger.
    tokio::time::sleep(std::time::Duration::from_millis(700)).await;
    ina.tap("[data-offer][data-armed]").await;
    ina.reads(".command__offer", "Ina hands command over to Teo")
        .await;
    assert_eq!(board.count("command.handed_over/1"), 0);
    // Told on every screen within a heartbeat; the notice leads there.
    teo.reads("[data-notices]", "Ina hands it over to Teo")
        .await;
    teo.tap("[data-notices] a").await;
    teo.reads("h1", "Ina leads").await;
    teo.is_sound().await;
    teo.shot("take-command").await;
    // Read back wrong, then right.
    teo.fill("#take-immediate", "3").await;
    teo.fill("#take-tourniquet", "1").await;
    teo.tap_words(".command__take label", "Ambulance 1").await;
    teo.tap(".command__take button[type=submit]").await;
    teo.reads(".command__take .error", "The board says: 2 immediate here")
        .await;
    teo.see("[data-take-all-the-same]").await;
    teo.shot("take-command-differs").await;
    teo.fill("#take-immediate", "2").await;
    teo.tap(".command__take button[type=submit]").await;
    // He leads; she is loaded again as a helper.
    teo.see("#duties").await;
    teo.reads("#heading", "lead: Teo").await;
    ina.reads("h1", "Teo leads").await;
    ina.see("body[data-role=helper]").await;
    ina.reads("[data-notices]", "Teo leads since").await;
    assert_eq!(board.count("command.handed_over/1"), 1);
    teo.open(&board.url("/log")).await;
    teo.reads(
        "#log-rows",
        "command handed over by Ina to Teo; read back: 2 immediate here",
    )
    .await;
    teo.is_sound().await;
    tokio::join!(ina.leave(), teo.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn everything_for_paper_has_the_pages_it_should_have() {
    let board = Board::start().await;
    let seven = casualty_seven(&board).await;
    for index in 0..6 {
        let posture = ["lying", "sitting", "walking"][index % 3];
        asks(
            &board,
            "man, blue hat",
            "delayed",
            json!({ "priority": "soon", "posture": posture }),
        )
        .await;
    }
    hospital(&board, "Valley", json!({ "abilities": ["surgery"] })).await;
    transport(&board, "Ambulance 1", json!({})).await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    // About fifty entries stand on two sheets; the blank forms are four, each casualty's sheet and the summary are one.
    let sheets = [
        ("/log/paper", "paper-log", 2),
        ("/forms", "paper-forms", 4),
        ("/summary", "paper-summary", 1),
        ("/evac", "paper-evac", 2),
    ];
    for (path, name, wanted) in sheets {
        ina.open(&board.url(path)).await;
        ina.see("main").await;
        ina.is_sound().await;
        let counted = pages(&ina, name).await;
        println!("{path} prints on {counted} pages");
        assert_eq!(counted, wanted, "{path}");
    }
    ina.open(&board.url(&format!("/casualties/{seven}/handover")))
        .await;
    assert_eq!(pages(&ina, "paper-sheet").await, 1);
    ina.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_screens_of_leaving_are_sound_in_every_look() {
    let board = Board::start().await;
    let seven = casualty_seven(&board).await;
    asks(
        &board,
        "man, blue hat",
        "delayed",
        json!({ "priority": "soon", "posture": "sitting" }),
    )
    .await;
    asks(&board, "girl, red cap", "minor", Value::Null).await;
    hospital(&board, "Valley", json!({ "abilities": ["surgery"] })).await;
    transport(&board, "Ambulance 1", json!({})).await;
    let site = json!({ "kind": "situation.reported/1", "position": "54.527 N 3.0165 W", "what": "rock fall" });
    told(&board, 5, json!("incident"), site).await;
    let browsers = Browsers::start();
    let (ina, teo) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Teo"));
    tokio::join!(ina.join_as_lead(&board), teo.join_by_poster(&board));
    let words = format!("/casualties/{seven}/words");
    let sheet = format!("/casualties/{seven}/handover");
    let all = [
        ("/evac", "evac"),
        (words.as_str(), "words"),
        (sheet.as_str(), "sheet"),
        ("/command", "command"),
        ("/forms", "forms"),
        ("/log/paper", "log-paper"),
    ];
    for look in ["light", "dark", "night"] {
        for screen in [&ina, &teo] {
            for (path, name) in all {
                screen.open(&board.url(path)).await;
                screen.see("main").await;
                screen
                    .ask(&format!(
                        "document.documentElement.dataset.theme = '{look}'"
                    ))
                    .await;
                screen.is_sound().await;
                screen.whole(&format!("leaving-{name}-{look}")).await;
            }
        }
    }
    // And at the narrowest.
    let narrow = json!({ "width": 320, "height": 640, "deviceScaleFactor": 1, "mobile": true });
    teo.cdp("Emulation.setDeviceMetricsOverride", narrow).await;
    for (path, name) in all {
        teo.open(&board.url(path)).await;
        teo.see("main").await;
        teo.is_sound().await;
        teo.whole(&format!("leaving-{name}-narrow")).await;
    }
    tokio::join!(ina.leave(), teo.leave());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_copy_is_saved_by_one_tap_and_noted_once() {
    let board = Board::start().await;
    casualty_seven(&board).await;
    let browsers = Browsers::start();
    let eva = browsers.tablet("Eva").await;
    eva.join_as_evac(&board).await;
    let folder = tempfile::tempdir().unwrap();
    let there = json!({ "behavior": "allow", "downloadPath": folder.path() });
    eva.cdp("Page.setDownloadBehavior", there).await;
    eva.open(&board.url("/copies")).await;
    eva.see("main").await;
    eva.shot("copies").await;
    for (count, code) in ["fhir", "csv", "geojson"].into_iter().enumerate() {
        eva.tap(&format!("a[href='/copies/{code}']")).await;
        let deadline = std::time::Instant::now() + crate::screen::SOON;
        loop {
            let whole = std::fs::read_dir(folder.path())
                .unwrap()
                .map(|file| file.unwrap().path())
                .filter(|path| path.extension().is_none_or(|end| end != "crdownload"))
                .filter(|path| path.metadata().is_ok_and(|about| about.len() > 0))
                .count();
            if whole == count + 1 {
                break;
            }
            assert!(std::time::Instant::now() < deadline, "{code} is not saved");
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        assert_eq!(board.count("record.copied/1"), count + 1, "{code}");
    }
    eva.is_sound().await;
    eva.leave().await;
}
