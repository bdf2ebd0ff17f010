//! Copies for other systems: who gets one, that it stands in the record, as of when it is, and that the command line
//! makes the same.

use holdfast::exchange::standards::Form;
use holdfast::incident::{Deed, Fact, Role};
use serde_json::json;
use tokio::process::Command;

use crate::harness::TestBoard;

/// Who took which, up to where.
fn taken(board: &TestBoard) -> Vec<(String, String, u64)> {
    board.state(|incident| {
        let entries = incident.entries().iter();
        entries
            .filter_map(|entry| match &entry.fact {
                Fact::RecordCopied(copied) => {
                    Some((entry.by.to_string(), copied.form.to_string(), copied.seq.0))
                }
                _ => None,
            })
            .collect()
    })
}

#[tokio::test]
async fn lead_deputy_and_coordinator_get_copies_and_nobody_else() {
    let board = TestBoard::start().await;
    for role in Role::ALL {
        let device = board.of_role(role).await;
        let may = matches!(role, Role::Lead | Role::Deputy | Role::Evac);
        assert_eq!(role.may(Deed::ReadJournal), may);
        for form in Form::ALL {
            let before = taken(&board).len();
            let answer = device.gets(&format!("/copies/{}", form.code())).await;
            assert_eq!(
                answer.status,
                if may { 200 } else { 403 },
                "{role:?} {form:?}"
            );
            let noted = taken(&board).len() - before;
            assert_eq!(noted, usize::from(may), "{role:?} {form:?}");
        }
        let page = device.gets("/copies").await;
        assert_eq!(page.status, if may { 200 } else { 403 }, "{role:?}");
        // The way there is offered to those who may go it.
        if role.may(Deed::SeeCasualties) {
            let evac = device.opens("/evac").await;
            assert_eq!(evac.says("Copies for other systems"), may, "{role:?}");
        }
    }
    let stranger = board.stranger();
    assert_eq!(stranger.gets("/copies/csv").await.status, 401);
    let eva = board.evac("Eva").await;
    assert_eq!(eva.gets("/copies/pdf").await.status, 404);
}

#[tokio::test]
async fn a_copy_stands_in_the_record_with_who_and_up_to_where_and_says_so_itself() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, eva) = (board.lead("Ina").await, board.evac("Eva").await);
    ina.registers("woman").await;
    let head = board.head();
    let saved = eva.gets("/copies/geojson").await;
    assert_eq!(saved.header("content-type"), "application/geo+json");
    assert_eq!(saved.header("cache-control"), "no-store");
    let name =
        format!("attachment; filename=\"holdfast-places-entry-{head}-20261125T140000Z.geojson\"");
    assert_eq!(saved.header("content-disposition"), name);
    assert_eq!(saved.json()["holdfast"]["as_of_entry"], head);
    let check = saved.json()["holdfast"]["check"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(
        taken(&board),
        [("Eva".to_owned(), "geojson".to_owned(), head)]
    );
    let noted =
        format!("copy for other systems taken out (geojson), up to entry {head}, check {check}");
    assert!(ina.opens("/log").await.says(&noted));
    for page in ["/record", "/copies"] {
        let page = ina.opens(page).await;
        assert!(page.says(&format!("Eva: GeoJSON, up to entry {head}")));
    }
    // Nobody unsays it.
    let entry = board.state(|incident| incident.entries().last().unwrap().id);
    let strike = json!({ "kind": "entry.struck/1", "entry": entry });
    let refused = ina.reports(ina.fact(json!("incident"), strike)).await;
    assert_eq!(refused["problem"]["code"], "board-only", "{refused}");
    let forged = json!({ "kind": "record.copied/1", "seq": 1, "check": "x", "form": "csv" });
    let refused = ina.reports(ina.fact(json!("incident"), forged)).await;
    assert_eq!(refused["problem"]["code"], "board-only", "{refused}");
}

#[tokio::test]
async fn who_was_exposed_is_in_no_copy_whoever_takes_it() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Theodora").await);
    let report = json!({ "kind": "exposure.reported/1", "route": "broken_skin" });
    teo.says(json!("incident"), report).await;
    let seq = board.head();
    let saved = ina.gets("/copies/csv").await;
    // Tables are packed without being compressed, so that they can be searched as they are.
    let rows: Vec<&str> = saved.body.lines().collect();
    let row = rows
        .iter()
        .find(|row| row.starts_with(&format!("{seq},")))
        .unwrap();
    assert!(
        row.contains("private") && !row.contains("Theodora"),
        "{row}"
    );
    assert!(!saved.body.contains("exposure.reported"));
}

#[tokio::test]
async fn the_command_line_makes_the_same_while_the_board_runs() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    ina.registers("woman in a green coat").await;
    let head = board.head();
    let out = tempfile::tempdir().unwrap();
    let done = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .arg("export")
        .arg(&board.file)
        .args(Form::ALL.iter().flat_map(|form| ["--as", form.code()]))
        .arg("--to")
        .arg(out.path())
        .output()
        .await
        .unwrap();
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(
        done.status.success(),
        "{said} {}",
        String::from_utf8_lossy(&done.stderr)
    );
    assert!(
        said.starts_with(&format!("As of entry {head}, check ")),
        "{said}"
    );
    let casualties = std::fs::read_to_string(out.path().join("casualties.csv")).unwrap();
    assert!(casualties.contains("woman in a green coat"), "{casualties}");
    let journal = std::fs::read_to_string(out.path().join("journal.csv")).unwrap();
    assert_eq!(
        journal.matches("\r\n").count() as u64,
        head + 1,
        "a header and every entry"
    );
    assert_eq!(board.head(), head, "nothing is written to the journal");
    // Without a standard it says which there are.
    let done = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .args(["export", "--as", "pdf", "--to", "x"])
        .output()
        .await
        .unwrap();
    assert!(!done.status.success());
    assert!(String::from_utf8_lossy(&done.stderr).contains("geojson"));
}
