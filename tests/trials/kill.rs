//! Killed hard while eight devices report, again and again: what was acknowledged is there, once.

use std::collections::HashMap;
use std::path::Path;
use std::time::{Duration, Instant};

use holdfast::clock::random_bytes;
use sqlx::{ConnectOptions, Connection, Row};
use tokio::sync::mpsc;

use crate::phone::Phone;
use crate::program::{CODE, Program, file_in};
use crate::table::{Outcome, Size};

const WRITERS: usize = 8;
/// Cycles on one board before another is begun: otherwise most of the time goes into reading what is known to be whole.
const ON_ONE: usize = 50;

/// The trial.
pub(crate) async fn run(size: Size) -> Outcome {
    let (cycles, most) = size.pick(
        (500, Duration::from_secs(32)),
        (10_000, Duration::from_hours(1)),
    );
    let begun = Instant::now();
    let (mut done, mut acknowledged, mut lost, mut doubled, mut damaged) = (0, 0, 0, 0, 0);
    let mut slowest = Duration::ZERO;
    while done < cycles && begun.elapsed() < most {
        let folder = tempfile::tempdir().expect("a folder");
        let data = folder.path().join("data");
        let mut known = HashMap::new();
        for _ in 0..ON_ONE {
            if done >= cycles || begun.elapsed() >= most {
                break;
            }
            slowest = slowest.max(cycle(&data, &mut known).await);
            done += 1;
            let (rows, whole) = rows_in(&data).await;
            damaged += usize::from(!whole);
            let mut on_disk = HashMap::new();
            for (id, seq) in rows {
                doubled += usize::from(on_disk.insert(id, seq).is_some());
            }
            lost += known
                .iter()
                .filter(|(id, seq)| on_disk.get(*id) != Some(seq))
                .count();
        }
        acknowledged += known.len();
    }
    Outcome {
        id: "R1",
        what: "kill -9 while 8 devices report",
        passed: lost + doubled + damaged == 0 && acknowledged > 0,
        said: format!(
            "{done} cycles in {:.0} s, {acknowledged} acknowledged: {lost} lost, {doubled} doubled, {damaged} damaged; slowest start {} ms",
            begun.elapsed().as_secs_f64(),
            slowest.as_millis()
        ),
    }
}

/// One start, some reports, one kill; adds what was acknowledged. Gives how long the start took.
async fn cycle(data: &Path, known: &mut HashMap<String, u64>) -> Duration {
    let program = Program::start(data, &[]);
    let (tell, mut told) = mpsc::unbounded_channel();
    let mut writers = tokio::task::JoinSet::new();
    for number in 0..WRITERS {
        let (tell, board) = (tell.clone(), program.board);
        writers.spawn(async move {
            let Ok(mut phone) = Phone::join(board, number, CODE).await else {
                return;
            };
            let Ok(casualty) = phone.registers().await else {
                return;
            };
            // Ends with the connection.
            while let Ok(receipts) = phone
                .reports(&[Phone::note(&casualty), Phone::note(&casualty)])
                .await
            {
                if tell.send(receipts).is_err() {
                    return;
                }
            }
        });
    }
    drop(tell);
    let [random] = random_bytes::<1>();
    // From the first answer on: a machine under load must not be killed before it has said anything.
    if let Ok(Some(first)) = tokio::time::timeout(Duration::from_secs(10), told.recv()).await {
        known.extend(first);
    }
    tokio::time::sleep(Duration::from_millis(u64::from(random) / 4)).await;
    let ready = program.ready_after;
    program.kill();
    while writers.join_next().await.is_some() {}
    while let Some(receipts) = told.recv().await {
        known.extend(receipts);
    }
    ready
}

async fn rows_in(data: &Path) -> (Vec<(String, u64)>, bool) {
    let file = file_in(data);
    let whole = holdfast::journal::verify(&file)
        .await
        .is_ok_and(|verdict| verdict.is_whole());
    (ids(&file).await.unwrap_or_default(), whole)
}

/// Every entry's id and position.
pub(crate) async fn ids(file: &Path) -> Result<Vec<(String, u64)>, sqlx::Error> {
    let mut connection = sqlx::sqlite::SqliteConnectOptions::new()
        .filename(file)
        .connect()
        .await?;
    let rows = sqlx::query("select id, seq from entry")
        .fetch_all(&mut connection)
        .await?;
    connection.close().await?;
    rows.iter()
        .map(|row| Ok((row.try_get(0)?, row.try_get::<i64, _>(1)?.unsigned_abs())))
        .collect()
}
