//! Alarms that were seen, and what only the lead is told.

use serde_json::json;

use crate::harness::TestBoard;

#[tokio::test]
async fn seen_is_quiet_for_a_while_and_never_done() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    let wound = teo.finds_wound(&casualty, "thigh", "spurting").await;
    let duty = || {
        board.state(|incident| {
            let all = incident.duties();
            let begin = all.iter().find(|one| one.task.code() == "begin_tourniquet");
            begin.map(|one| (one.due_at, one.quiet.as_ref().map(|quiet| quiet.until)))
        })
    };
    let (due_at, quiet) = duty().expect("a tourniquet is due");
    assert_eq!(quiet, None);
    let seen = json!({ "kind": "alarm.seen/1", "duty": "begin_tourniquet", "due_at": due_at });
    let before = board.state(|incident| incident.casualties().next().unwrap().wounds.clone());
    // Before it is due there is nothing to silence.
    teo.says(json!({ "wound": wound }), seen.clone()).await;
    assert_eq!(duty(), Some((due_at, None)));
    board.minutes_pass(3);
    teo.says(json!({ "wound": wound }), seen).await;
    let (still_due, until) = duty().expect("it is still to be done");
    assert_eq!(still_due, due_at);
    assert_eq!(
        until.unwrap().to_string(),
        "2026-11-25T12:05:00Z",
        "two minutes"
    );
    let after = board.state(|incident| incident.casualties().next().unwrap().wounds.clone());
    assert_eq!(before, after, "seeing changes nothing");
    let page = teo.gets("/board").await.body;
    assert!(page.contains("quiet until"));
}

#[tokio::test]
async fn blood_on_a_helper_is_told_to_the_lead_alone() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let report = json!({ "kind": "exposure.reported/1", "route": "stick" });
    let receipt = teo.says(json!("incident"), report).await;
    let shown = ina.gets("/board").await.body;
    assert!(shown.contains("a needle or blade went in") && shown.contains("Doctor by"));
    for path in ["/board", "/log", "/next"] {
        let page = sol.gets(path).await.body;
        let without_form = page.split("data-view-name=\"exposure\"").next().unwrap();
        assert!(!without_form.contains("needle or blade"), "{path}");
    }
    let log = sol.gets("/log").await.body;
    let row = log
        .split("<tr id=\"entry-")
        .find(|row| row.contains("private report"));
    assert!(!row.unwrap().contains("Teo"), "nobody else is told who");
    assert_eq!(sol.watches("lead", 0).await.status, 403);

    let seen = json!({ "kind": "exposure.seen/1", "report": receipt["id"] });
    let answer = teo.reports(teo.fact(json!("incident"), seen.clone())).await;
    assert_eq!(answer["problem"]["code"], "not-allowed");
    // It calls when it is due; the lead makes it quiet for a while, and only the lead, and nobody else can tell of whom.
    board.minutes_pass(150);
    let exposures = || board.state(holdfast::incident::Incident::exposures);
    let due = exposures()[0].due_at.unwrap();
    let quiet = json!({ "kind": "alarm.seen/1", "due_at": due,
        "duty": format!("exposure {}", receipt["id"].as_str().unwrap()) });
    let page = ina.gets("/board").await.body;
    assert!(page.contains("data-ack=\"") && page.contains("exposure 0"));
    assert!(exposures()[0].quiet.is_none());
    let answer = teo
        .reports(teo.fact(json!("incident"), quiet.clone()))
        .await;
    assert_eq!(answer["problem"]["code"], "not-allowed");
    ina.says(json!("incident"), quiet).await;
    let silent = exposures()[0].quiet.clone().unwrap();
    assert_eq!(silent.by.as_str(), "Ina");
    assert!(
        ina.gets("/board")
            .await
            .body
            .contains("Seen by Ina, quiet until")
    );
    let log = sol.gets("/log").await.body;
    assert!(log.contains("private report to the lead: seen, quiet for now"));
    let private = board.state(holdfast::incident::Incident::private_entries);
    assert_eq!(private.len(), 2, "the report and that it was seen");

    ina.says(json!("incident"), seen).await;
    assert!(
        ina.gets("/board")
            .await
            .body
            .contains("A doctor has seen them")
    );
}

/// What is low or out calls by itself, anew when the number that is left changes; medium and high after the clock table.
#[tokio::test]
async fn what_runs_out_calls_until_it_is_seen_and_again_when_it_is_less() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let alarms = || {
        board.state(|incident| {
            let all = incident.stock_alarms();
            let line = |one: &holdfast::incident::StockAlarm| {
                (
                    one.code(),
                    format!("{:?}", one.severity),
                    one.since,
                    one.quiet.as_ref().map(|quiet| quiet.until.to_string()),
                )
            };
            all.iter().map(line).collect::<Vec<_>>()
        })
    };
    ina.counts(&board.id, "tourniquet", 5).await;
    assert_eq!(alarms(), [], "five, and nobody needs one");
    board.minutes_pass(10);
    let casualty = teo.registers("woman").await;
    let wound = teo.finds_wound(&casualty, "thigh", "spurting").await;
    for _ in 0..3 {
        teo.takes_step(&wound, "tourniquet", "tourniquet").await;
    }
    let low = alarms();
    assert_eq!(
        (low[0].0.as_str(), low[0].1.as_str()),
        ("stock.tourniquet", "Medium")
    );
    let since = low[0].2;
    assert_eq!(
        since.to_string(),
        "2026-11-25T12:10:00Z",
        "when it became two"
    );
    assert!(ina.gets("/board").await.body.contains("tourniquet: 2 left"));
    let seen = json!({ "kind": "alarm.seen/1", "duty": "stock.tourniquet", "due_at": since });
    ina.says(json!({ "kit": board.id }), seen).await;
    assert_eq!(alarms()[0].3.as_deref(), Some("2026-11-25T12:25:00Z"));
    assert!(
        ina.gets("/log")
            .await
            .body
            .contains("seen, quiet for now: tourniquet")
    );
    board.minutes_pass(1);
    // Somebody else is met: no other number, no new call.
    let other = teo.registers("man").await;
    teo.sorts(&other, "minor").await;
    assert_eq!(alarms()[0].3.as_deref(), Some("2026-11-25T12:25:00Z"));
    for _ in 0..2 {
        teo.takes_step(&wound, "tourniquet", "tourniquet").await;
    }
    let out = alarms();
    assert_eq!(
        (out[0].1.as_str(), out[0].3.as_ref()),
        ("High", None),
        "none left calls anew, louder"
    );
    let page = ina.gets("/board").await.body;
    assert!(page.contains("tourniquet: none left") && page.contains("data-severity=\"high\""));
    board.minutes_pass(1);
    ina.counts(&board.id, "tourniquet", 9).await;
    assert_eq!(alarms(), [], "restocked");
}

/// Needed by those who are here: since the one was sorted who made it too few.
#[tokio::test]
async fn what_became_too_few_by_need_is_short_since_then() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let ina = board.lead("Ina").await;
    ina.counts(&board.id, "triangular_bandage", 3).await;
    for number in 0..4 {
        board.minutes_pass(5);
        let casualty = ina.registers(&format!("man {number}")).await;
        ina.sorts(&casualty, "immediate").await;
    }
    let since = board.state(|incident| {
        let all = incident.stock_alarms();
        let one = all
            .iter()
            .find(|one| one.code() == "stock.triangular_bandage");
        one.map(|one| one.since.to_string())
    });
    assert_eq!(
        since.as_deref(),
        Some("2026-11-25T12:20:00Z"),
        "the fourth needs a fourth"
    );
}

/// The clock table: a hold that is up is medium, and high two minutes later; so it stands in line and calls.
#[tokio::test]
async fn a_hold_nobody_looks_at_becomes_worse_and_what_was_seen_before_calls_again() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    teo.takes(&casualty).await;
    let wound = teo.finds_wound(&casualty, "forearm", "steady").await;
    teo.says(
        json!({ "wound": wound }),
        json!({ "kind": "step.taken/2", "step": "press" }),
    )
    .await;
    let hold = || {
        board.state(|incident| {
            let all = incident.duties();
            let one = all.iter().find(|one| one.task.is_hold()).unwrap().clone();
            (
                one.due_at,
                one.worse,
                one.quiet.map(|quiet| quiet.until.to_string()),
            )
        })
    };
    let (due_at, worse, _) = hold();
    let (at, severity) = worse.expect("it becomes worse");
    assert_eq!(at.to_string(), "2026-11-25T12:12:00Z");
    assert_eq!(format!("{severity:?}"), "High");
    let page = teo.gets("/next").await.body;
    assert!(page.contains("data-worse-at=\"2026-11-25T12:12:00Z\" data-worse=\"high\""));
    let seen = json!({ "kind": "alarm.seen/1", "duty": "pressure_hold", "due_at": due_at });
    board.minutes_pass(11);
    teo.says(json!({ "wound": wound }), seen.clone()).await;
    assert_eq!(
        hold().2.as_deref(),
        Some("2026-11-25T12:12:00Z"),
        "not beyond its becoming worse"
    );
    board.minutes_pass(2);
    teo.says(json!({ "wound": wound }), seen).await;
    assert_eq!(
        hold().2.as_deref(),
        Some("2026-11-25T12:18:00Z"),
        "five minutes, as for high"
    );
}
