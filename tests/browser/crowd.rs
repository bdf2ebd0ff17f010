//! Sixty casualties on one board: who bleeds, whose hands, which tourniquets, what is out, seen at a glance in every
//! look; and the strip that calls until somebody has seen it.

use holdfast::clock::{Clock, fresh_id};
use holdfast::incident::{Author, DeviceId, Report, Role, Seq, Words};
use jiff::SignedDuration;
use serde_json::{Value, json};

use crate::board::Board;
use crate::screen::Browsers;

/// Invented people and wounds, in every state the board tells apart.
async fn crowd(board: &Board, people: usize) {
    let app = board.app.as_ref().unwrap();
    let author = Author {
        device: DeviceId::new(fresh_id()),
        name: Words::new("Teo").unwrap(),
        role: Some(Role::Lead),
        skill: None,
    };
    let now = app.journal.now();
    let mut reports: Vec<Report> = Vec::new();
    let mut tell = |about: Value, ago: i64, fact: Value| {
        let report = json!({ "id": fresh_id(), "about": about, "based_on": 0,
            "happened_at": now - SignedDuration::from_mins(ago), "fact": fact });
        reports.push(serde_json::from_value(report).unwrap());
    };
    let kit = json!({ "kit": app.board });
    let items = json!([{ "item": "tourniquet", "count": 0 }, { "item": "haemostatic_gauze", "count": 1 },
        { "item": "pressure_bandage", "count": 60 }, { "item": "packing_gauze", "count": 9 }]);
    tell(
        kit,
        200,
        json!({ "kind": "stock.counted/2", "items": items }),
    );
    let places = ["road", "slope above", "in the bus", "by the shelter"];
    let words = [
        "man, red coat",
        "woman, glasses",
        "boy, blue hat",
        "old man, beard",
    ];
    for index in 0..people {
        let (casualty, wound) = (fresh_id(), fresh_id());
        let who = json!({ "casualty": casualty });
        let met = json!({ "kind": "casualty.registered/1", "age": "adult",
            "words": words[index % 4], "place": places[index % 4] });
        tell(who.clone(), 190, met);
        let category = ["minor", "delayed", "minor", "immediate", "delayed"][index % 5];
        tell(
            who,
            185,
            json!({ "kind": "category.assigned/1", "category": category }),
        );
        if index % 3 == 1 {
            continue;
        }
        let region = ["thigh", "forearm", "lower_leg", "groin", "scalp"][index % 5];
        let flow = ["steady", "high", "spurting", "ooze"][index % 4];
        let found = json!({ "kind": "wound.found/1", "casualty": casualty, "region": region,
            "side": "left", "flow": flow });
        let on = json!({ "wound": wound });
        // The longest tourniquet is past two hours, one is past one, the rest are fresh.
        let since = [130, 70, 20, 8, 3][(index / 12) % 5];
        tell(on.clone(), since + 2, found);
        let did = |step: &str| json!({ "kind": "step.taken/2", "step": step });
        match index % 12 {
            0 => {}
            2 => tell(on, 3, did("press")),
            3 => tell(on, 6, did("pack")),
            5 | 11 => {
                tell(on.clone(), since, did("tourniquet"));
                let holds =
                    json!({ "kind": "tourniquet.checked/1", "bleeding": false, "pulse": "absent" });
                tell(on, since - 1, holds);
            }
            _ => {
                tell(
                    on.clone(),
                    9,
                    json!({ "kind": "step.taken/2", "step": "pressure_dressing",
                    "used": [{ "item": "pressure_bandage", "count": 1 }] }),
                );
                tell(
                    on,
                    8,
                    json!({ "kind": "dressing.checked/1", "stain": "dry", "circulation": "present",
                    "movement": "as_before", "feeling": "as_before" }),
                );
            }
        }
    }
    for some in reports.chunks(40) {
        let receipts = app
            .journal
            .append(some.to_vec(), author.clone())
            .await
            .unwrap();
        assert!(receipts.iter().all(Result::is_ok), "{receipts:?}");
    }
    assert_eq!(
        app.journal.read(|incident| incident.head() > Seq(100)),
        people > 20
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_crowd_is_read_at_a_glance_and_an_alarm_is_quiet_once_seen() {
    let board = Board::start_with(Clock::ahead()).await;
    crowd(&board, 60).await;
    let browsers = Browsers::start();
    let (ina, sol) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Sol"));
    tokio::join!(ina.join_as_lead(&board), sol.join_by_poster(&board));

    ina.reads("#totals", "bleeding now").await;
    ina.reads("#totals", "held by hand").await;
    ina.reads("#totals", "under tourniquet").await;
    ina.reads("#totals", "none left: tourniquet").await;
    ina.reads("#rows", "hands pressing: Teo").await;
    let bands = ina
        .ask("return [...new Set([...document.querySelectorAll('#rows [data-band]')].map((one) => one.dataset.band))].sort()")
        .await;
    assert_eq!(
        bands,
        json!(["under-1", "under-2", "under-6"]),
        "bands of tourniquets"
    );
    for look in ["light", "dark", "night"] {
        let script = format!("document.documentElement.dataset.theme = '{look}'");
        ina.ask(&script).await;
        ina.shot(&format!("sixty-{look}")).await;
        sol.open(&board.url("/board")).await;
        sol.ask(&script).await;
        sol.shot(&format!("sixty-{look}")).await;
    }
    sol.is_sound().await;

    ina.see("[data-alarms][data-level=critical]").await;
    ina.see("[data-sound-off]").await;
    ina.tap("[data-alarm-seen]").await;
    // Quiet, and still to be done.
    ina.reads("#duties", "seen by Ina, quiet until").await;
    assert!(board.count("alarm.seen/1") > 0);
    ina.tap("[data-sound-off] [data-sound-toggle]").await;
    ina.reads("footer [data-sound-word]", "on").await;
    ina.is_sound().await;

    sol.tap("footer [data-open=exposure]").await;
    sol.tap("[data-view-name=exposure] input[value=stick] + span")
        .await;
    sol.shot("exposure").await;
    sol.tap("[data-view-name=exposure] button[type=submit]")
        .await;
    ina.reads("#exposures", "a needle or blade went in").await;
    ina.shot("sixty-exposure").await;
    ina.leave().await;
    sol.leave().await;
}

/// Twelve, as an ordinary accident has them: the board, the kits, the settings and one casualty in every look.
#[tokio::test(flavor = "multi_thread")]
async fn twelve_are_read_at_a_glance() {
    let board = Board::start_with(Clock::ahead()).await;
    crowd(&board, 12).await;
    let browsers = Browsers::start();
    let (ina, sol) = tokio::join!(browsers.tablet("Ina"), browsers.phone("Sol"));
    tokio::join!(ina.join_as_lead(&board), sol.join_by_poster(&board));
    for words in [
        "bleeding now",
        "held by hand",
        "under tourniquet",
        "none left: tourniquet",
    ] {
        ina.reads("#totals", words).await;
    }
    // What is out stands among what needs somebody, and calls.
    ina.reads("#duties .duty--short", "tourniquet: none left")
        .await;
    // Seen without scrolling: who bleeds, whose hands, the tourniquets, what is due, what is out.
    let below = ina
        .ask("return ['#totals', '#duties .duty', '#rows tr:nth-child(4)', '#duties .duty--short'].filter((css) => document.querySelector(css).getBoundingClientRect().top > innerHeight)")
        .await;
    ina.shot_in_every_look("twelve").await;
    assert_eq!(below, json!([]), "below the edge of the tablet");
    sol.open(&board.url("/board")).await;
    sol.see("body[data-link=live]").await;
    sol.shot_in_every_look("twelve").await;
    let casualty = board.app.as_ref().unwrap().journal.read(|incident| {
        let tied = incident
            .casualties()
            .find(|one| one.tourniquet_since().is_some());
        tied.unwrap().id.to_string()
    });
    for (path, name) in [
        ("/kits".to_owned(), "kits"),
        (format!("/casualties/{casualty}"), "tied"),
    ] {
        for screen in [&ina, &sol] {
            screen.open(&board.url(&path)).await;
            screen.see("body[data-link=live]").await;
            screen.shot_in_every_look(name).await;
            screen.is_sound().await;
        }
    }
    ina.open(&board.url("/settings")).await;
    ina.see("body[data-link=live]").await;
    ina.shot_in_every_look("settings").await;
    ina.ask("document.querySelector('.setting--person').scrollIntoView({ block: 'center' })")
        .await;
    ina.shot_in_every_look("settings-people").await;
    ina.is_sound().await;
    let lead = browsers.phone("Lea").await;
    lead.join_as_lead(&board).await;
    lead.open(&board.url("/settings")).await;
    lead.see("body[data-link=live]").await;
    lead.shot_in_every_look("settings").await;
    lead.ask("document.querySelector('.setting--person').scrollIntoView({ block: 'center' })")
        .await;
    lead.shot_in_every_look("settings-people").await;
    lead.is_sound().await;
    tokio::join!(ina.leave(), sol.leave(), lead.leave());
}
