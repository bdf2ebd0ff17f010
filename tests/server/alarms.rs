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
    ina.says(json!("incident"), seen).await;
    assert!(
        ina.gets("/board")
            .await
            .body
            .contains("A doctor has seen them")
    );
}
