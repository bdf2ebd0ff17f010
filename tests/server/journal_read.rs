//! `GET /journal?after=SEQ`: whoever copies the journal can prove that the copy is whole.

use serde_json::Value;

use crate::harness::{Device, TestBoard};

/// As published in the journal's own header: the chain is BLAKE3 in key derivation mode.
const CONTEXT: &str = "holdfast 2026-11-25 journal chain v1";

async fn some_reports(teo: &Device) {
    let casualty = teo.registers("woman, \"green\" coat <b>é ✓</b>").await;
    let wound = teo.finds_wound(&casualty, "forearm", "steady").await;
    teo.takes_step(&wound, "packing", "packing_gauze").await;
    let note = teo.notes(&casualty, "two\nlines \\ and a tab\t").await;
    teo.strikes(serde_json::json!({ "casualty": casualty }), &note)
        .await;
}

/// Works the chain out from the bodies alone.
fn chain_over(lines: &[Value]) -> Vec<String> {
    let mut last = [0_u8; 32];
    lines
        .iter()
        .map(|line| {
            let mut hasher = blake3::Hasher::new_derive_key(CONTEXT);
            hasher.update(&last);
            hasher.update(line["body"].as_str().unwrap().as_bytes());
            last = *hasher.finalize().as_bytes();
            blake3::Hash::from(last).to_hex().to_string()
        })
        .collect()
}

#[tokio::test]
async fn every_entry_in_order_without_a_gap_and_with_a_chain_that_anyone_can_work_out() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    some_reports(&teo).await;
    let ina = board.lead("Ina").await;
    let head = board.head();
    // That it was read is noted after what was read.
    let lines = ina.reads_journal(0).await;
    let seqs: Vec<u64> = lines
        .iter()
        .map(|line| line["seq"].as_u64().unwrap())
        .collect();
    assert_eq!(seqs, (1..=head).collect::<Vec<_>>());
    let told: Vec<&str> = lines
        .iter()
        .map(|line| line["chain"].as_str().unwrap())
        .collect();
    assert_eq!(told, chain_over(&lines));
    for line in &lines {
        let body: Value = serde_json::from_str(line["body"].as_str().unwrap()).unwrap();
        assert_eq!(body, line["entry"], "the entry is its body");
        assert_eq!(body["seq"], line["seq"]);
    }
    assert_eq!(lines[0]["entry"]["fact"]["kind"], "incident.opened/1");
}

#[tokio::test]
async fn the_chain_goes_on_across_a_restart() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    some_reports(&teo).await;
    let before = board.lead("Ina").await.reads_journal(0).await;
    let board = board.restart().await;
    some_reports(&teo.at(&board.origin)).await;
    let after = board.lead("Ina").await.reads_journal(0).await;
    assert_eq!(
        after[..before.len()],
        before[..],
        "what was stays as it was"
    );
    let told: Vec<&str> = after
        .iter()
        .map(|line| line["chain"].as_str().unwrap())
        .collect();
    assert_eq!(told, chain_over(&after));
}

#[tokio::test]
async fn reading_on_gives_what_came_after_and_nothing_else() {
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    some_reports(&lead).await;
    let all = lead.reads_journal(0).await;
    for after in 0..all.len() {
        let rest = lead.reads_journal(after as u64).await;
        // What came since is that it was read.
        assert_eq!(rest[..all.len() - after], all[after..]);
    }
    assert!(lead.reads_journal(board.head()).await.is_empty());
    assert!(lead.reads_journal(u64::MAX).await.is_empty());
    let few = lead.gets("/journal?after=1&limit=2").await;
    assert_eq!(few.body.lines().count(), 2);
    let head = board.head();
    let without = lead.gets("/journal").await;
    assert_eq!(without.body.lines().count() as u64, head, "from the start");
}

#[tokio::test]
async fn a_long_journal_is_read_over_several_pages() {
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    let casualty = lead.registers("woman").await;
    for _ in 0..24 {
        let facts: Vec<Value> = (0..50)
            .map(|n| {
                lead.fact(
                    serde_json::json!({ "casualty": casualty }),
                    serde_json::json!({ "kind": "note.added/1", "text": n.to_string() }),
                )
            })
            .collect();
        lead.reports_all(&facts).await;
    }
    let head = board.head();
    let lines = lead.reads_journal(0).await;
    assert_eq!(lines.len() as u64, head);
    assert!(lines.len() > 1200);
    let told: Vec<&str> = lines
        .iter()
        .map(|line| line["chain"].as_str().unwrap())
        .collect();
    assert_eq!(told, chain_over(&lines));
}

/// Who keeps the record without being the lead keeps every byte and reads no private report.
#[tokio::test]
async fn a_private_report_is_sealed_for_whoever_is_not_the_lead() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    some_reports(&teo).await;
    let report = serde_json::json!({ "kind": "exposure.reported/1", "route": "stick" });
    let receipt = teo.says(serde_json::json!("incident"), report).await;
    teo.strikes(serde_json::json!("incident"), &receipt).await;
    teo.registers("man").await;
    let whole = ina.reads_journal(0).await;
    let kept = board.evac("Eva").await.reads_journal(0).await;
    let sealed: Vec<&Value> = kept
        .iter()
        .filter(|line| line["sealed"].is_string())
        .collect();
    assert_eq!(sealed.len(), 2, "the report and its strike");
    for line in &kept {
        let theirs = whole.iter().find(|one| one["seq"] == line["seq"]);
        let Some(theirs) = theirs else { continue };
        assert_eq!(line["chain"], theirs["chain"], "the same chain");
        if line["sealed"].is_string() {
            assert!(line.get("body").is_none() && line.get("entry").is_none());
        } else {
            assert_eq!(line["body"], theirs["body"]);
        }
    }
    let text = serde_json::to_string(&sealed).unwrap();
    assert!(!text.contains("Teo") && !text.contains("stick"));
    // Nobody else is told who, by the log either, and not by asking it for a name.
    let log = board.device("Sol").await.gets("/log?by=Teo").await.body;
    assert!(!log.contains("private report"));
}
