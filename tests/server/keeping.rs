//! The record as a whole: who took it out, how long it is kept, and what is left when it is removed.

use std::path::Path;

use holdfast::clock::Clock;
use holdfast::incident::{Fact, Incident, Role};
use serde_json::{Value, json};
use tokio::process::Command;

use crate::harness::{Device, TestBoard};
use crate::program::{CODE, Program};

async fn keeps(lead: &Device, days: u32) -> Value {
    let fact = json!({ "kind": "record.kept/1", "days": days });
    lead.reports(lead.fact(json!("incident"), fact)).await
}

fn takings(board: &TestBoard) -> Vec<(String, u64)> {
    board.state(|incident| {
        incident
            .entries()
            .iter()
            .filter_map(|entry| match &entry.fact {
                Fact::RecordTaken(taken) => Some((entry.by.to_string(), taken.seq.0)),
                _ => None,
            })
            .collect()
    })
}

#[tokio::test]
async fn whoever_takes_the_record_out_stands_in_it() {
    let board = TestBoard::start().await;
    let (ina, eva) = (board.lead("Ina").await, board.evac("Eva").await);
    ina.registers("woman").await;
    let head = board.head();
    let lines = eva.reads_journal(0).await;
    assert_eq!(lines.len() as u64, head);
    assert_eq!(takings(&board), [("Eva".to_owned(), head)]);
    // Reading on is none; leaving out the first entry does not help.
    eva.reads_journal(head).await;
    assert_eq!(takings(&board).len(), 1);
    eva.reads_journal(1).await;
    assert_eq!(takings(&board).len(), 2);
    let saved = ina.posts("/record/file", &json!({})).await;
    assert_eq!(saved.status, 200);
    assert!(saved.header("content-disposition").contains("attachment"));
    assert!(!saved.header("content-disposition").contains("Ina"));
    let last: Value = serde_json::from_str(saved.body.lines().last().unwrap()).unwrap();
    assert_eq!(last["entry"]["fact"]["kind"], "record.taken/1");
    assert_eq!(last["entry"]["fact"]["how"], "file");
    assert_eq!(last["entry"]["by"], "Ina");
    assert!(ina.opens("/record").await.says("Eva, up to entry"));
    assert!(ina.opens("/log").await.says("record taken out as a file"));
    // Nobody unsays it.
    let strike = json!({ "kind": "entry.struck/1", "entry": last["entry"]["id"] });
    let refused = ina.reports(ina.fact(json!("incident"), strike)).await;
    assert_eq!(refused["problem"]["code"], "board-only", "{refused}");
    for role in [Role::Helper, Role::Evac, Role::Viewer] {
        let device = board.of_role(role).await;
        assert_eq!(device.gets("/record").await.status, 403, "{role:?}");
        assert_eq!(
            device.posts("/record/file", &json!({})).await.status,
            403,
            "{role:?}"
        );
    }
}

#[tokio::test]
async fn how_long_the_record_is_kept_is_said_by_the_lead_and_counted_from_then() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    for days in [0, 91] {
        assert_eq!(keeps(&ina, days).await["problem"]["code"], "out-of-range");
    }
    assert_eq!(keeps(&teo, 30).await["problem"]["code"], "not-allowed");
    let said = keeps(&ina, 30).await;
    assert!(said["seq"].is_u64(), "{said}");
    let kept = board.state(|incident| (incident.description().kept, incident.kept_until()));
    let (at, days) = kept.0.unwrap();
    assert_eq!(days, 30);
    assert_eq!(kept.1.unwrap().duration_since(at).as_hours(), 24 * 30);
    ina.strikes(json!("incident"), &said).await;
    assert_eq!(board.state(Incident::kept_until), None);
}

async fn removes(words: &[&str], data: &Path) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .arg("remove")
        .args(words)
        .arg("--data")
        .arg(data)
        .output()
        .await
        .unwrap();
    format!(
        "{}{}",
        String::from_utf8_lossy(&done.stdout),
        String::from_utf8_lossy(&done.stderr)
    )
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|item| item.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_record_whose_time_is_over_is_removed_by_a_person_with_its_copies_and_only_its_number_stays()
 {
    let data = tempfile::tempdir().unwrap();
    let stick = tempfile::tempdir().unwrap();
    let program = Program::start(data.path()).await;
    let teo = program.device(CODE, "Theodora").await;
    teo.registers("woman in a green coat").await;
    let board = teo.gets("/session").await.json()["board"]
        .as_str()
        .unwrap()
        .to_owned();
    let ina = program.device(crate::harness::LEAD_WORDS, "Ina").await;
    // Said so long ago that its day of keeping is over.
    let old = holdfast::clock::wall_now() - jiff::SignedDuration::from_hours(47);
    let mut fact = ina.fact(
        json!("incident"),
        json!({ "kind": "record.kept/1", "days": 1 }),
    );
    fact["happened_at"] = json!(old.to_string());
    assert!(ina.reports(fact).await["seq"].is_u64());
    let refused = removes(&["--yes"], data.path()).await;
    assert!(refused.contains("already runs"), "{refused}");
    program.kill_hard().await;
    let file = crate::program::file_in(data.path());
    holdfast::journal::copy(&file, stick.path(), holdfast::clock::wall_now())
        .await
        .unwrap();
    let said = removes(&[], data.path()).await;
    assert!(said.contains("Nothing was removed"), "{said}");
    assert!(file.exists());
    let copies = stick.path().to_string_lossy().into_owned();
    let said = removes(&["--yes", "--copies", &copies], data.path()).await;
    assert!(said.contains("removed"), "{said}");
    assert!(names(stick.path()).is_empty(), "{:?}", names(stick.path()));
    let left = names(data.path());
    assert!(
        left.iter()
            .all(|name| ["lock", "removed.log", "reserve"].contains(&name.as_str())),
        "{left:?}"
    );
    let list = std::fs::read_to_string(data.path().join("removed.log")).unwrap();
    assert!(
        list.contains(&board) && list.contains("5 entries") || list.contains("entries"),
        "{list}"
    );
    for word in ["Theodora", "Ina", "green", "incident"] {
        assert!(!list.contains(word), "{list}");
    }
    // Its phones forget it when they come by: the next board at this address tells them which one is gone.
    let program = Program::start(data.path()).await;
    let visitor = Device::stranger(&program.origin, Clock::wall());
    assert!(
        visitor
            .gets("/join")
            .await
            .body
            .contains(&format!("data-removed=\"{board}\""))
    );
    program.kill_hard().await;
    // And nothing is removed before its time.
    assert!(
        removes(&["--yes"], data.path())
            .await
            .contains("No record is due")
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn fresh_lead_words_are_had_at_the_machines_own_keyboard_and_nowhere_kept() {
    let data = tempfile::tempdir().unwrap();
    let program = Program::start(data.path()).await;
    let ina = program.device(crate::harness::LEAD_WORDS, "Ina").await;
    let done = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .arg("words")
        .arg("--data")
        .arg(data.path())
        .output()
        .await
        .unwrap();
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    let words = said
        .lines()
        .next()
        .unwrap()
        .strip_prefix("Lead words  ")
        .unwrap();
    assert_eq!(words.split(' ').count(), 3, "{said}");
    let visitor = Device::stranger(&program.origin, Clock::wall());
    let old = visitor.tries_code(crate::harness::LEAD_WORDS, "Eve").await;
    assert_eq!(old.status, 403, "{}", old.body);
    let fresh = visitor.joins(words, "Ida").await;
    assert_eq!(fresh.gets("/session").await.json()["role"], "lead");
    assert_eq!(ina.gets("/session").await.status, 200, "who is in stays in");
    program.kill_hard().await;
    for name in names(data.path()) {
        let bytes = std::fs::read(data.path().join(&name)).unwrap();
        let needle = words.to_uppercase().replace(' ', "");
        for one in [words.as_bytes(), needle.as_bytes()] {
            assert!(
                !bytes.windows(one.len()).any(|at| at == one),
                "{name} holds the words"
            );
        }
    }
}
