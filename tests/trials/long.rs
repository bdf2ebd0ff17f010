//! A long incident: many casualties and entries; how soon the board is there, and how large its pages are.

use std::path::Path;
use std::time::{Duration, Instant};

use holdfast::boot::{self, Config};
use holdfast::clock::{Clock, fresh_id};
use holdfast::incident::fact::Skill;
use holdfast::incident::{Author, DeviceId, Report, Role, Words};
use holdfast::journal::Journal;
use holdfast::web::Limits;
use serde_json::json;

use crate::phone::Phone;
use crate::program::{Program, WORDS};
use crate::table::{Outcome, Size};

const LONGEST_START: Duration = Duration::from_secs(5);
const LARGEST_PAGE: usize = 500_000;

/// Fills a folder with an incident of this size.
pub(crate) async fn fill(data: &Path, casualties: usize, entries: usize) {
    let config = Config {
        data: data.to_owned(),
        listen: "127.0.0.1:0".parse().expect("an address"),
        file: None,
        incident: Some("A long one".to_owned()),
        begin_new: false,
        tls: None,
        lead_only_secure: false,
        practice: true,
        join_code: None,
        lead_words: None,
        names: Vec::new(),
        wifi: None,
        limits: Limits::default(),
        clock: Clock::wall(),
    };
    let board = boot::prepare(config).await.expect("the board starts");
    let journal = board.app.journal.clone();
    let author = Author {
        device: DeviceId::new(fresh_id()),
        name: Words::new("Teo").expect("a name"),
        role: Some(Role::Lead),
        skill: Some(Skill::Medic),
    };
    let reports = reports(&journal, casualties, entries);
    for batch in reports.chunks(2000) {
        let receipts = journal
            .append(batch.to_vec(), author.clone())
            .await
            .expect("it is stored");
        assert!(receipts.iter().all(Result::is_ok), "they are taken");
    }
    drop(journal);
    board.serve(std::future::ready(())).await.expect("it stops");
}

/// So many casualties, and reports about them round after round.
fn reports(journal: &Journal, casualties: usize, entries: usize) -> Vec<Report> {
    let report = |about: serde_json::Value, fact: serde_json::Value| -> Report {
        let report = json!({ "id": fresh_id(), "about": about, "happened_at": journal.now(), "based_on": 0, "fact": fact });
        serde_json::from_value(report).expect("a report")
    };
    let ids: Vec<String> = (0..casualties).map(|_| fresh_id().to_string()).collect();
    let mut reports: Vec<Report> = ids
        .iter()
        .enumerate()
        .map(|(number, id)| {
            let words = format!("number {number}, dark coat, by the third coach");
            report(
                json!({ "casualty": id }),
                json!({ "kind": "casualty.registered/1", "age": "adult", "words": words }),
            )
        })
        .collect();
    let categories = ["immediate", "delayed", "minor"];
    let mut number = 0;
    while reports.len() < entries {
        let about = json!({ "casualty": ids[number % casualties] });
        let round = number / casualties;
        reports.push(match round {
            0 => report(
                about,
                json!({ "kind": "category.assigned/1", "category": categories[number % 3] }),
            ),
            1 => report(
                about,
                json!({ "kind": "casualty.moved/1", "place": format!("coach {}", number % 7) }),
            ),
            _ => report(
                about,
                json!({ "kind": "note.added/1", "text": format!("seen again, round {round}") }),
            ),
        });
        number += 1;
    }
    reports
}

/// The trial.
pub(crate) async fn run(size: Size) -> Outcome {
    let (casualties, entries) = size.pick((200, 4_000), (2_000, 100_000));
    let folder = tempfile::tempdir().expect("a folder");
    let data = folder.path().join("data");
    let begun = Instant::now();
    fill(&data, casualties, entries).await;
    let filled = begun.elapsed();
    let program = Program::start(&data, &[]);
    let ready = program.ready_after;
    let mut lead = Phone::join(program.board, 0, WORDS)
        .await
        .expect("it joins");
    let (mut largest, mut slowest, mut said) = (0, Duration::ZERO, Vec::new());
    for path in ["/board", "/next", "/log", "/evac", "/summary"] {
        let begun = Instant::now();
        let (status, body, _) =
            lead.get(path, true)
                .await
                .unwrap_or((0, Vec::new(), String::new()));
        assert_eq!(status, 200, "{path}");
        slowest = slowest.max(begun.elapsed());
        largest = largest.max(body.len());
        said.push(format!(
            "{path} {} kB in {} ms",
            body.len() / 1000,
            begun.elapsed().as_millis()
        ));
    }
    let (_, peak) = program.memory();
    program.kill();
    Outcome {
        id: "R24",
        what: "a long incident: start and pages",
        passed: size.in_time(ready <= LONGEST_START) && largest <= LARGEST_PAGE,
        said: format!(
            "{casualties} casualties, {entries} entries (filled in {:.1} s): ready after {} ms; compressed {}; at most {peak} MB",
            filled.as_secs_f64(),
            ready.as_millis(),
            said.join(", ")
        ),
    }
}
