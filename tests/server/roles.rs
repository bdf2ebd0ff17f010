//! Every page and endpoint, for every role, against the one table of who may do what.

use holdfast::incident::{Deed, Role};
use serde_json::json;

use crate::harness::{LEAD_WORDS, TestBoard};

#[tokio::test]
async fn every_door_asks_the_one_table() {
    let board = TestBoard::start().await;
    let casualty = board.device("Teo").await.registers("woman").await;
    let doors = [
        ("/board".to_owned(), Deed::SeeCasualties),
        ("/log".to_owned(), Deed::SeeCasualties),
        (format!("/casualties/{casualty}"), Deed::SeeCasualties),
        (
            format!("/casualties/{casualty}/handover"),
            Deed::SeeCasualties,
        ),
        ("/next".to_owned(), Deed::ReportCare),
        ("/summary".to_owned(), Deed::SeeSummary),
        ("/evac".to_owned(), Deed::SeeCasualties),
        (format!("/casualties/{casualty}/words"), Deed::SeeCasualties),
        (format!("/live/words:{casualty}"), Deed::SeeCasualties),
        ("/log/paper".to_owned(), Deed::SeeCasualties),
        ("/forms".to_owned(), Deed::SeeSummary),
        ("/command".to_owned(), Deed::SeeCasualties),
        ("/live/command".to_owned(), Deed::SeeCasualties),
        ("/live/evac".to_owned(), Deed::SeeCasualties),
        ("/poster".to_owned(), Deed::ManageDevices),
        ("/settings".to_owned(), Deed::ChangeSettings),
        ("/live/settings".to_owned(), Deed::ChangeSettings),
        ("/live/lead".to_owned(), Deed::ManageDevices),
        ("/kits".to_owned(), Deed::SeeCasualties),
        ("/cards".to_owned(), Deed::SeeCasualties),
        ("/live/kits".to_owned(), Deed::SeeCasualties),
        ("/live/known".to_owned(), Deed::SeeCasualties),
        // It hands out join codes and what sessions are known by.
        ("/standby".to_owned(), Deed::ManageDevices),
        ("/journal".to_owned(), Deed::ReadJournal),
        ("/copies".to_owned(), Deed::ReadJournal),
        ("/copies/csv".to_owned(), Deed::ReadJournal),
        ("/live/board".to_owned(), Deed::SeeCasualties),
        ("/live/next".to_owned(), Deed::SeeCasualties),
        ("/live/log".to_owned(), Deed::SeeCasualties),
        (format!("/live/casualty:{casualty}"), Deed::SeeCasualties),
        ("/live/summary".to_owned(), Deed::SeeSummary),
        ("/live/summary,board".to_owned(), Deed::SeeCasualties),
    ];
    for role in Role::ALL {
        let device = board.of_role(role).await;
        for (path, deed) in &doors {
            let status = if path.starts_with("/live") {
                device
                    .watches(path.strip_prefix("/live/").unwrap(), 0)
                    .await
                    .status
            } else {
                device.gets(path).await.status
            };
            let wanted = if role.may(*deed) { 200 } else { 403 };
            assert_eq!(status, wanted, "{role:?} at {path}");
        }
    }
}

#[tokio::test]
async fn only_the_lead_removes_devices() {
    let board = TestBoard::start().await;
    for role in Role::ALL {
        let other = board.device("Jo").await;
        let device = board.of_role(role).await;
        let path = format!("/devices/{}/revocation", other.id);
        let status = device.posts(&path, &json!({})).await.status;
        let may = role.may(Deed::ManageDevices);
        assert_eq!(status, if may { 204 } else { 403 }, "{role:?}");
        let wanted = if may { 401 } else { 200 };
        assert_eq!(other.gets("/session").await.status, wanted, "{role:?}");
    }
    let ina = board.lead("Ina").await;
    for nobody in [board.id.as_str(), "7"] {
        let answer = ina
            .posts(&format!("/devices/{nobody}/revocation"), &json!({}))
            .await;
        assert_eq!(answer.status, 404, "{}", answer.body);
    }
}

#[tokio::test]
async fn each_role_starts_at_its_own_page() {
    let board = TestBoard::start().await;
    for role in Role::ALL {
        let device = board.of_role(role).await;
        let session = device.gets("/session").await.json();
        assert_eq!(session["role"], role.code());
        assert_eq!(session["board"], board.id);
        assert_eq!(session["device"], device.id);
        let home = device.gets("/").await;
        assert_eq!(home.status, 303);
        assert_eq!(home.header("location"), session["next"]);
        let own = match role {
            Role::Lead | Role::Deputy => "/board",
            Role::Helper => "/next",
            Role::Evac => "/evac",
            Role::Viewer => "/summary",
        };
        assert_eq!(session["next"], own);
        assert_eq!(device.gets(home.header("location")).await.status, 200);
    }
    assert_eq!(board.stranger().gets("/").await.header("location"), "/join");
}

#[tokio::test]
async fn a_watcher_sees_the_summary_and_no_more() {
    let board = TestBoard::start().await;
    let teo = board.device("Theodora").await;
    teo.registers("woman in a green coat").await;
    let viewer = board.viewer("Vic").await;
    let page = viewer.opens("/summary").await;
    // Nobody asked for her to leave: a watcher is told that there is somebody, and not who.
    assert!(page.says("Not asked for") && !page.says("green coat"));
    for code in [&board.join_code, &board.evac_code, &board.viewer_code] {
        assert!(!page.says(&format!("{}-{}", &code[..4], &code[4..])));
    }
    assert!(!page.says("Join sheet") && !page.says("href=\"/board\""));
    let said = json!({ "kind": "note.added/1", "text": "from a watcher" });
    let refused = viewer.reports(viewer.fact(json!("incident"), said)).await;
    assert_eq!(refused["problem"]["code"], "not-allowed");
}

#[tokio::test]
async fn codes_are_shown_to_the_lead_alone() {
    let board = TestBoard::start().await;
    let group = |code: &str| format!("{}-{}", &code[..4], &code[4..]);
    let codes = [&board.join_code, &board.evac_code, &board.viewer_code].map(|code| group(code));
    let poster = board.lead("Ina").await.opens("/poster").await;
    for code in &codes {
        assert!(poster.says(code), "{code}");
    }
    assert!(
        !poster.says("river"),
        "nobody's page shows the lead's words"
    );
    for role in [Role::Helper, Role::Evac, Role::Viewer] {
        let device = board.of_role(role).await;
        for path in ["/board", "/next", "/summary", "/log", "/poster"] {
            let answer = device.gets(path).await;
            for code in &codes {
                assert!(!answer.body.contains(code.as_str()), "{role:?} {path}");
            }
        }
    }
}

#[tokio::test]
async fn everything_a_device_reported_is_taken_back_and_put_back() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo, eve) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Eve").await,
    );
    let woman = teo.registers("woman").await;
    let early = eve.registers("somebody early").await;
    board.minutes_pass(20);
    let late = eve.registers("somebody late").await;
    let about = json!({ "casualty": woman });
    eve.sorts(&woman, "dead").await;
    let true_note = teo.notes(&woman, "breathing well").await;
    let entries = board.head();
    let path = format!("/devices/{}/reversal", eve.id);
    for (device, status) in [(&teo, 403), (&eve, 403)] {
        assert_eq!(device.posts(&path, &json!({})).await.status, status);
    }
    let since = json!({ "since": "2026-11-25T14:10:00Z" });
    let done = ina.posts(&path, &since).await;
    assert_eq!(done.json()["entries"], 2, "{}", done.body);
    let here = |id: &str| board.state(|incident| incident.casualty(id.parse().unwrap()).is_some());
    assert!(here(&woman) && here(&early) && !here(&late));
    assert_eq!(ina.posts(&path, &json!({})).await.json()["entries"], 1);
    assert!(here(&woman) && !here(&early));
    assert_eq!(board.head(), entries + 3, "nothing is deleted");
    assert!(ina.opens("/log").await.says("taken back"));
    let again = json!({ "put_back": true });
    assert_eq!(ina.posts(&path, &again).await.json()["entries"], 3);
    assert!(here(&early) && here(&late));
    assert_eq!(ina.posts(&path, &again).await.json()["entries"], 0);
    // What the device struck stands again when that is taken back.
    eve.joins(LEAD_WORDS, "Eve")
        .await
        .strikes(about, &true_note)
        .await;
    let struck = |id: &str| {
        board.state(|incident| {
            let seq = incident.position(id.parse().unwrap()).unwrap();
            incident.is_struck(seq)
        })
    };
    let note = true_note["id"].as_str().unwrap();
    assert!(struck(note));
    ina.posts(&path, &json!({})).await;
    assert!(!struck(note));
}

#[tokio::test]
async fn a_new_join_code_closes_the_old_sheet_and_nobody_who_is_in_notices() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let path = "/code/renewal";
    for role in [Role::Helper, Role::Evac, Role::Viewer] {
        let device = board.of_role(role).await;
        assert_eq!(device.posts(path, &json!({})).await.status, 403);
    }
    let old = board.join_code.clone();
    assert_eq!(ina.posts(path, &json!({})).await.status, 204);
    assert_eq!(board.stranger().tries_code(&old, "Eve").await.status, 403);
    assert_eq!(teo.gets("/session").await.status, 200);
    assert!(
        !ina.opens("/poster")
            .await
            .says(&format!("{}-{}", &old[..4], &old[4..]))
    );
    let board = board.restart().await;
    assert_eq!(board.stranger().tries_code(&old, "Eve").await.status, 403);
    let fresh = board.join_code.clone();
    assert_eq!(board.stranger().tries_code(&fresh, "Jo").await.status, 200);
}
