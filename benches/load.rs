//! What the program does on this machine and this disk: receipted facts a second beside one commit for each fact, how soon
//! many screens show a fact, memory, and the start with a long record. One run, so that its ratios can be compared.
//!
//!     cargo bench --bench load
#![expect(clippy::print_stdout, reason = "a program for the terminal")]

#[expect(dead_code, reason = "the trials use more of it")]
#[path = "../tests/trials/long.rs"]
mod long;
#[expect(dead_code, reason = "the trials use more of it")]
#[path = "../tests/trials/phone.rs"]
mod phone;
#[expect(dead_code, reason = "the trials use more of it")]
#[path = "../tests/trials/program.rs"]
mod program;
#[expect(dead_code, reason = "the trials use more of it")]
#[path = "../tests/trials/table.rs"]
mod table;

use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use sqlx::ConnectOptions;
use tokio::task::JoinSet;

use phone::Phone;
use program::{CODE, Program};
use table::percentile;

const EACH: Duration = Duration::from_secs(3);

fn main() {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let folder = tempfile::tempdir().expect("a folder");
        let disk = sync_rate(folder.path());
        let alone = one_commit_each(folder.path()).await;
        println!("the disk: {disk:.0} synced 4 kB writes a second");
        println!("one commit for each fact, no server: {alone:.0} a second");
        let data = folder.path().join("data");
        let program = Program::start(&data, &["--measuring"]);
        let idle = program.memory().0;
        println!("\nclients  facts/s  x one commit each  receipt p50/p99 ms");
        for clients in [1, 16, 64, 256] {
            let (rate, p50, p99) = posts(&program, clients).await;
            println!(
                "{clients:>7}  {rate:>7.0}  {:>17.1}  {p50:.2} / {p99:.1}",
                rate / alone
            );
        }
        drop(program);
        let data = folder.path().join("screens");
        let program = Program::start(&data, &["--measuring"]);
        println!("\nscreens  last screen p50/p99 ms  MB in all (idle {idle})");
        for screens in [50, 200, 500] {
            let (p50, p99, memory) = screens_show(&program, screens).await;
            println!("{screens:>7}  {p50:>10.1} / {p99:<9.1}  {memory}");
        }
        drop(program);
        let data = folder.path().join("long");
        long::fill(&data, 2_000, 100_000).await;
        let program = Program::start(&data, &[]);
        println!(
            "\nstart with 100,000 entries: {} ms, {} MB",
            program.ready_after.as_millis(),
            program.memory().0
        );
    });
}

/// Writes that are on disk, a second.
fn sync_rate(folder: &Path) -> f64 {
    let mut file = std::fs::File::create(folder.join("sync")).expect("it can be written");
    let (begun, mut count) = (Instant::now(), 0.0);
    while begun.elapsed() < EACH {
        file.write_all(&[7; 4096])
            .and_then(|()| file.sync_data())
            .expect("it can be synced");
        count += 1.0;
    }
    count / begun.elapsed().as_secs_f64()
}

/// The plain way: a transaction with full sync for every fact.
async fn one_commit_each(folder: &Path) -> f64 {
    let mut connection = sqlx::sqlite::SqliteConnectOptions::new()
        .filename(folder.join("alone.db"))
        .create_if_missing(true)
        .journal_mode(sqlx::sqlite::SqliteJournalMode::Wal)
        .synchronous(sqlx::sqlite::SqliteSynchronous::Full)
        .connect()
        .await
        .expect("it opens");
    sqlx::query(
        "create table entry (seq integer primary key, id text not null unique, body text not null)",
    )
    .execute(&mut connection)
    .await
    .expect("a table");
    let (begun, mut count) = (Instant::now(), 0.0);
    while begun.elapsed() < EACH {
        let note = Phone::note("019aa000-0000-7000-8000-000000000001");
        sqlx::query("insert into entry (id, body) values (?, ?)")
            .bind(note["id"].to_string())
            .bind(note.to_string())
            .execute(&mut connection)
            .await
            .expect("it is stored");
        count += 1.0;
    }
    count / begun.elapsed().as_secs_f64()
}

/// So many devices post one fact after another: rate, and receipt in ms.
async fn posts(program: &Program, clients: usize) -> (f64, f64, f64) {
    let mut joined = Vec::new();
    for number in 0..clients {
        let mut phone = Phone::join(program.board, number, CODE)
            .await
            .expect("it joins");
        let casualty = phone.registers().await.expect("it reports");
        joined.push((phone, casualty));
    }
    let begun = Instant::now();
    let mut posting = JoinSet::new();
    for (mut phone, casualty) in joined {
        posting.spawn(async move {
            let mut times = Vec::new();
            while begun.elapsed() < EACH {
                let at = Instant::now();
                phone
                    .reports(&[Phone::note(&casualty)])
                    .await
                    .expect("it is receipted");
                times.push(at.elapsed().as_secs_f64() * 1000.0);
            }
            times
        });
    }
    let mut times: Vec<f64> = posting.join_all().await.into_iter().flatten().collect();
    let rate =
        f64::from(u32::try_from(times.len()).unwrap_or(u32::MAX)) / begun.elapsed().as_secs_f64();
    (rate, percentile(&mut times, 50), percentile(&mut times, 99))
}

/// So many screens of the board, ten facts a second: how long until the last shows each, and the memory.
async fn screens_show(program: &Program, screens: usize) -> (f64, f64, u64) {
    let mut reporter = Phone::join(program.board, 0, CODE).await.expect("it joins");
    let casualty = reporter.registers().await.expect("it reports");
    let mut watching = JoinSet::new();
    let (tell, _) = tokio::sync::watch::channel(u64::MAX);
    for number in 0..screens {
        let phone = Phone::join(program.board, number, CODE)
            .await
            .expect("it joins");
        let mut stream = phone.watches("board", 0).await.expect("it watches");
        stream.until("hello").await.expect("it is greeted");
        let mut until = tell.subscribe();
        watching.spawn(async move {
            let mut shown = Vec::new();
            loop {
                tokio::select! {
                    event = stream.next() => match event {
                        Some((_, Some(seq))) => shown.push((seq, Instant::now())),
                        Some(_) => {}
                        None => return shown,
                    },
                    _ = until.changed() => return shown,
                }
            }
        });
    }
    let mut receipted = Vec::new();
    let mut pace = tokio::time::interval(Duration::from_millis(100));
    for _ in 0..40 {
        pace.tick().await;
        let at = Instant::now();
        let receipts = reporter
            .reports(&[Phone::note(&casualty)])
            .await
            .expect("it is receipted");
        receipted.push((receipts[0].1, at));
    }
    tokio::time::sleep(Duration::from_secs(1)).await;
    let memory = program.memory().0;
    tell.send_replace(0);
    let shown = watching.join_all().await;
    let mut last: Vec<f64> = receipted
        .iter()
        .map(|(seq, said)| {
            let when = |list: &Vec<(u64, Instant)>| {
                let first = list.partition_point(|(one, _)| one < seq);
                list.get(first).map_or(f64::INFINITY, |(_, when)| {
                    when.saturating_duration_since(*said).as_secs_f64() * 1000.0
                })
            };
            shown.iter().map(when).fold(0.0, f64::max)
        })
        .collect();
    (percentile(&mut last, 50), percentile(&mut last, 99), memory)
}
