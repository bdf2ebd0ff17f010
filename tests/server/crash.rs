//! The real program, killed hard in the middle of its work, again and again: what was acknowledged is there.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use holdfast::clock::random_bytes;
use serde_json::{Value, json};
use tokio::process::Command;
use tokio::sync::Mutex;
use tokio::time::timeout;

use crate::harness::{DEADLINE, Device, LEAD_WORDS, read_table};
use crate::program::{CODE, Program, file_in, verifies};

const CYCLES: usize = 10;
const WRITERS: usize = 6;
/// Posts batches until the connection breaks; what is receipted goes to `acknowledged` as (id, seq).
async fn writes(
    device: Device,
    casualty: String,
    acknowledged: Arc<Mutex<Vec<(String, u64)>>>,
    count: Arc<AtomicUsize>,
    over: Arc<AtomicBool>,
) {
    while !over.load(Ordering::SeqCst) {
        let facts: Vec<Value> = (0..3)
            .map(|_| {
                let note = json!({ "kind": "note.added/1", "text": "under way" });
                device.fact(json!({ "casualty": casualty }), note)
            })
            .collect();
        let body = json!({ "facts": facts });
        let request = device
            .request(reqwest::Method::POST, "/journal")
            .header("origin", &device.origin)
            .header("x-holdfast", "1")
            .header("content-type", "application/json")
            .body(body.to_string());
        // An answer that did not come whole is no acknowledgement.
        let Ok(response) = request.send().await else {
            return;
        };
        if response.status() != 200 {
            continue;
        }
        let Ok(text) = response.text().await else {
            return;
        };
        let answer: Value = serde_json::from_str(&text).unwrap();
        let mut known = acknowledged.lock().await;
        for receipt in answer["receipts"].as_array().unwrap() {
            known.push((
                receipt["id"].as_str().unwrap().to_owned(),
                receipt["seq"].as_u64().unwrap(),
            ));
        }
        count.fetch_add(1, Ordering::SeqCst);
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_acknowledged_survives_being_killed() {
    let data = tempfile::tempdir().unwrap();
    let acknowledged = Arc::new(Mutex::new(Vec::new()));
    let mut casualty = None;
    for cycle in 0..CYCLES {
        let program = Program::start(data.path()).await;
        let first = program.device(CODE, "Teo").await;
        if casualty.is_none() {
            casualty = Some(first.registers("woman").await);
        }
        let casualty = casualty.clone().unwrap();
        let over = Arc::new(AtomicBool::new(false));
        let answers = Arc::new(AtomicUsize::new(0));
        let mut writers = tokio::task::JoinSet::new();
        for _ in 0..WRITERS {
            let device = program.device(CODE, "Teo").await;
            writers.spawn(writes(
                device,
                casualty.clone(),
                Arc::clone(&acknowledged),
                Arc::clone(&answers),
                Arc::clone(&over),
            ));
        }
        // Killed between the answers: after a random number of them, so that no wait is guessed.
        let [random] = random_bytes::<1>();
        let enough = 1 + usize::from(random) % 40;
        timeout(DEADLINE, async {
            while answers.load(Ordering::SeqCst) < enough {
                tokio::task::yield_now().await;
            }
        })
        .await
        .expect("the writers get answers");
        program.kill_hard().await;
        over.store(true, Ordering::SeqCst);
        timeout(DEADLINE, async {
            while writers.join_next().await.is_some() {}
        })
        .await
        .expect("the writers end");
        verifies(data.path()).await;
        let rows = read_table(
            &file_in(data.path()),
            "select id, seq from entry order by seq",
        )
        .await;
        let known = acknowledged.lock().await;
        let mut on_disk = std::collections::HashMap::new();
        for row in &rows {
            let before = on_disk.insert(row[0].as_str().unwrap(), row[1].as_u64().unwrap());
            assert_eq!(before, None, "each once");
        }
        assert!(!known.is_empty());
        for (id, seq) in known.iter() {
            assert_eq!(
                on_disk.get(id.as_str()),
                Some(seq),
                "cycle {cycle}: acknowledged and gone"
            );
        }
        drop(known);
    }
    // And it goes on from there: a resend of everything acknowledged would find it.
    let program = Program::start(data.path()).await;
    let lead = program.device(LEAD_WORDS, "Ina").await;
    let lines = lead.reads_journal(0).await;
    let gaps = (1..)
        .zip(&lines)
        .find(|(seq, line)| line["seq"].as_u64() != Some(*seq));
    assert_eq!(gaps, None);
    program.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_session_outlives_being_killed() {
    let data = tempfile::tempdir().unwrap();
    let program = Program::start(data.path()).await;
    let teo = program.device(CODE, "Teo").await;
    program.kill_hard().await;
    let program = Program::start(data.path()).await;
    assert_eq!(
        teo.at(&program.origin).gets("/session").await.json()["device"],
        teo.id
    );
    program.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_programs_never_write_one_board() {
    let data = tempfile::tempdir().unwrap();
    let program = Program::start(data.path()).await;
    let second = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .args(["--listen", "127.0.0.1:0"])
        .arg("--data")
        .arg(data.path())
        .output();
    let second = timeout(DEADLINE, second)
        .await
        .expect("it gives up at once")
        .unwrap();
    assert!(!second.status.success());
    let said = String::from_utf8_lossy(&second.stderr).into_owned();
    assert!(said.contains("already runs"), "{said}");
    program.kill_hard().await;
}

#[cfg(unix)]
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_polite_stop_ends_well_and_a_damaged_file_makes_verify_fail() {
    let data = tempfile::tempdir().unwrap();
    let mut program = Program::start(data.path()).await;
    let teo = program.device(CODE, "Teo").await;
    teo.registers("woman in green").await;
    let process = program.child.id().unwrap().to_string();
    let sent = Command::new("kill")
        .args(["-TERM", &process])
        .status()
        .await
        .unwrap();
    assert!(sent.success());
    let status = timeout(Duration::from_secs(3), program.child.wait())
        .await
        .expect("it stops")
        .unwrap();
    assert!(status.success(), "{status}");
    verifies(data.path()).await;
    // The words stand in the file as they were typed; one letter of them is changed from outside.
    let file = file_in(data.path());
    let mut bytes = std::fs::read(&file).unwrap();
    let word = b"woman in green";
    let at: Vec<usize> = bytes
        .windows(word.len())
        .enumerate()
        .filter(|(_, w)| w == word)
        .map(|(at, _)| at)
        .collect();
    assert!(!at.is_empty());
    for at in at {
        bytes[at] = b'W';
    }
    std::fs::write(&file, bytes).unwrap();
    let verified = Command::new(env!("CARGO_BIN_EXE_holdfast"))
        .arg("verify")
        .arg("--data")
        .arg(data.path())
        .output()
        .await
        .unwrap();
    let said = String::from_utf8_lossy(&verified.stdout).into_owned();
    assert_eq!(verified.status.code(), Some(2), "{said}");
    assert!(said.contains("CHANGED at entry 3"), "{said}");
}
