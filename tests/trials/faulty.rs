//! The disk fails at one system call and works again: at the first, the second, ... of each kind, in the start or in the
//! middle of reports. Nothing that may not be on disk is acknowledged, nothing at all after the fault, and the program
//! neither goes on half alive nor disappears without a word.

use std::collections::HashMap;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::kill::ids;
use crate::phone::Phone;
use crate::program::{CODE, Program, file_in, panicked};
use crate::table::{Outcome, Size};

/// Calls that write. `ftruncate` stands for what tidies up.
const CALLS: [&str; 4] = ["fsync", "fdatasync", "pwrite64", "ftruncate"];
/// Reports of one run: enough for the two-hundredth write.
const REPORTS: usize = 45;
/// Reports after the fault, each of which must be refused.
const AFTER: usize = 3;

/// What came of one run.
#[derive(Default)]
struct Run {
    /// It said why it does not start.
    refused_start: bool,
    /// It said that it has stopped storing.
    stopped: bool,
    acknowledged: usize,
    /// What must not be, in words.
    wrong: Vec<String>,
}

/// The trial.
pub(crate) async fn run(size: Size) -> Outcome {
    let what = "one system call of the disk fails (EIO)";
    if !may_trace() {
        return Outcome {
            id: "R3",
            what,
            passed: size.pick(true, false),
            said: "SKIPPED: needs strace, and a machine that lets it trace".to_owned(),
        };
    }
    let (each, most) = size.pick(
        (vec![2, 9, 30, 41], Duration::from_secs(40)),
        ((1..=200).collect(), Duration::from_hours(1)),
    );
    let begun = Instant::now();
    let (mut runs, mut starts, mut stops, mut acknowledged) = (0, 0, 0, 0);
    let mut wrong = Vec::new();
    for when in each {
        for call in CALLS {
            if begun.elapsed() > most {
                break;
            }
            let one = one(call, when).await;
            runs += 1;
            starts += usize::from(one.refused_start);
            stops += usize::from(one.stopped);
            acknowledged += one.acknowledged;
            wrong.extend(
                one.wrong
                    .into_iter()
                    .map(|what| format!("{call} {when}: {what}")),
            );
        }
    }
    Outcome {
        id: "R3",
        what,
        passed: wrong.is_empty() && stops > 0,
        said: format!(
            "{runs} runs in {:.0} s: {starts} said at the start that they cannot, {stops} stopped storing in the middle, {acknowledged} acknowledged; {} wrong {}",
            begun.elapsed().as_secs_f64(),
            wrong.len(),
            wrong.first().map_or("", String::as_str)
        ),
    }
}

fn may_trace() -> bool {
    Command::new("strace")
        .args(["-o", "/dev/null", "true"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// One board, on which the call of this number fails once in each thread that comes so far.
async fn one(call: &str, when: usize) -> Run {
    let folder = tempfile::tempdir().expect("a folder");
    let data = folder.path().join("data");
    let traced = format!("trace={call}");
    let inject = format!("inject={call}:error=EIO:when={when}");
    let strace = [
        "strace",
        "-f",
        "--seccomp-bpf",
        "-o",
        "/dev/null",
        "-e",
        &traced,
        "-e",
        &inject,
    ];
    let mut run = Run::default();
    let mut known = HashMap::new();
    match Program::starts_under(&strace, &data, &[]) {
        Ok(program) => {
            let (refused, over) = reports(&program, &mut known, &mut run).await;
            if !program.lives() {
                run.wrong
                    .push(format!("it ended by itself after {refused:?}"));
            }
            run.stopped = over;
            program.kill();
        }
        Err((code, said)) => {
            run.refused_start = true;
            if code == Some(0) || said.trim().is_empty() {
                run.wrong
                    .push(format!("it did not start and said nothing ({code:?})"));
            }
        }
    }
    if panicked(&data) {
        run.wrong.push("something panicked".to_owned());
    }
    run.acknowledged = known.len();
    again(&data, &known, &mut run).await;
    run
}

/// Reports until one is refused and a few more; the first refusal, and whether storing is over.
async fn reports(
    program: &Program,
    known: &mut HashMap<String, u64>,
    run: &mut Run,
) -> (Option<u16>, bool) {
    let Ok(mut phone) = Phone::join(program.board, 0, CODE).await else {
        return (None, true);
    };
    let Ok(casualty) = phone.registers().await else {
        return (None, true);
    };
    let mut refused = None;
    let mut after = 0;
    for _ in 0..REPORTS {
        let body = serde_json::json!({ "facts": [Phone::note(&casualty)] }).to_string();
        let Ok((status, body, _)) = phone.post("/journal", &body).await else {
            run.wrong.push("no answer".to_owned());
            break;
        };
        let answer: Value = serde_json::from_slice(&body).unwrap_or_default();
        let receipt = &answer["receipts"][0];
        match (status, receipt["id"].as_str(), receipt["seq"].as_u64()) {
            (200, Some(_), Some(seq)) if refused.is_some() => {
                run.wrong
                    .push(format!("entry {seq} was acknowledged after the fault"));
            }
            (200, Some(id), Some(seq)) => {
                known.insert(id.to_owned(), seq);
            }
            (429, ..) => tokio::time::sleep(Duration::from_millis(200)).await,
            (507, ..) => {
                refused.get_or_insert(status);
                after += 1;
            }
            _ => run
                .wrong
                .push(format!("{status}: {}", String::from_utf8_lossy(&body))),
        }
        if after > AFTER {
            break;
        }
    }
    (refused, refused.is_some())
}

/// A start without the fault: the board is whole, and what was acknowledged is on it, once.
async fn again(data: &Path, known: &HashMap<String, u64>, run: &mut Run) {
    match Program::starts_under(&[], data, &[]) {
        Ok(program) => {
            let file = file_in(data);
            let on_disk = ids(&file).await.unwrap_or_default();
            for (id, seq) in known {
                let times = on_disk.iter().filter(|one| (&one.0, one.1) == (id, *seq));
                if times.count() != 1 {
                    run.wrong.push(format!("entry {seq} is lost or doubled"));
                }
            }
            if !holdfast::journal::verify(&file)
                .await
                .is_ok_and(|verdict| verdict.is_whole())
            {
                run.wrong.push("the file is not whole".to_owned());
            }
            program.kill();
        }
        Err((_, said)) => run
            .wrong
            .push(format!("it does not start again: {}", said.trim())),
    }
}
