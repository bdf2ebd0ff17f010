//! The power is cut: the program runs under a trace of its system calls, and from the trace every file is built up as it may
//! have stood on the disk at a moment: what was synced, and of what was not, nothing, a random part, or torn sectors.
//!
//! Not modelled: whether the directory knew the files. The memory-mapped index is left out; `SQLite` builds it anew. The
//! same trace of a writer with `synchronous = NORMAL` is the check of the check: there something must be lost.

use std::collections::{BTreeMap, HashSet};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use holdfast::clock::random_bytes;
use sqlx::{ConnectOptions, Connection, Row};

use crate::kill::ids;
use crate::phone::Phone;
use crate::program::{CODE, Program, file_in};
use crate::table::{Outcome, Size};

const SECTOR: usize = 512;
const TRACE: &str = "trace=pwrite64,ftruncate,fsync,fdatasync,write,writev,sendto";

/// What happened to files, and what was answered, in the order it happened.
enum Event {
    Write {
        file: String,
        at: usize,
        bytes: Vec<u8>,
    },
    Truncate {
        file: String,
        length: usize,
    },
    Sync {
        file: String,
    },
    /// Answered: these ids are on disk.
    Acknowledged(Vec<String>),
}

/// The trial.
pub(crate) async fn run(size: Size) -> Outcome {
    let what = "power cut, replayed from the system calls";
    let strace = Command::new("strace")
        .args(["-o", "/dev/null", "true"])
        .stderr(Stdio::null())
        .status();
    if !strace.is_ok_and(|status| status.success()) {
        return Outcome {
            id: "R2",
            what,
            // Where a machine lets nobody trace, the fast cut says so and goes on; the full one is for what it measures.
            passed: size.pick(true, false),
            said: "SKIPPED: needs strace, and a machine that lets it trace".to_owned(),
        };
    }
    let (points, most) = size.pick(
        (240, Duration::from_secs(12)),
        (5000, Duration::from_mins(30)),
    );
    let folder = tempfile::tempdir().expect("a folder");
    let begun = Instant::now();
    let traced = the_program(folder.path(), size.pick(60, 400)).await;
    let full = replay(&traced, points, most, true).await;
    let traced = a_writer(folder.path(), "NORMAL", size.pick(150, 400));
    let normal = replay(&traced, points.min(1200), most, false).await;
    let traced = a_writer(folder.path(), "FULL", size.pick(150, 400));
    let again = replay(&traced, points.min(1200), most, false).await;
    let enough = full.points >= points || begun.elapsed() >= most;
    Outcome {
        id: "R2",
        what,
        passed: enough
            && full.lossy + full.damaged + again.lossy + again.damaged == 0
            && full.acknowledged > 0
            && normal.lossy > 0,
        said: format!(
            "the program: {full}; a bare writer with FULL: {again}; with NORMAL, which must lose: {normal}; {:.0} s",
            begun.elapsed().as_secs_f64()
        ),
    }
}

#[derive(Default)]
struct Replayed {
    points: usize,
    acknowledged: usize,
    lossy: usize,
    worst: usize,
    damaged: usize,
}

impl std::fmt::Display for Replayed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} crash points, {} acknowledged, {} points with loss (worst {}), {} damaged",
            self.points, self.acknowledged, self.lossy, self.worst, self.damaged
        )
    }
}

/// Reports under the trace; gives the trace.
async fn the_program(folder: &Path, batches: usize) -> Vec<Event> {
    let (data, trace) = (folder.join("data"), folder.join("program.trace"));
    let path = trace.to_string_lossy().into_owned();
    let wrapper = [
        "strace",
        "-f",
        "-y",
        "-xx",
        "-s",
        "4000000",
        "-o",
        &path,
        "-e",
        TRACE,
        "-e",
        "signal=none",
    ];
    let program = Program::under(&wrapper, &data, &[]);
    let mut devices = tokio::task::JoinSet::new();
    for number in 0..3 {
        let board = program.board;
        devices.spawn(async move {
            let mut phone = Phone::join(board, number, CODE).await.expect("it joins");
            let casualty = phone.registers().await.expect("it reports");
            for _ in 0..batches / 3 {
                drop(
                    phone
                        .reports(&[Phone::note(&casualty), Phone::note(&casualty)])
                        .await,
                );
            }
        });
    }
    while devices.join_next().await.is_some() {}
    let file = file_in(&data);
    program.kill();
    read_trace(&trace, &file)
}

/// The bare writer under the trace.
fn a_writer(folder: &Path, synchronous: &str, rows: usize) -> Vec<Event> {
    let file = folder.join(format!("{synchronous}.db"));
    let trace = folder.join(format!("{synchronous}.trace"));
    let own = std::env::current_exe().expect("this program");
    let done = Command::new("strace")
        .args([
            "-f",
            "-y",
            "-xx",
            "-s",
            "4000000",
            "-e",
            TRACE,
            "-e",
            "signal=none",
            "-o",
        ])
        .arg(&trace)
        .arg(own)
        .args(["write", synchronous, &rows.to_string()])
        .arg(&file)
        .stdout(Stdio::null())
        .status();
    assert!(
        done.is_ok_and(|status| status.success()),
        "the writer writes"
    );
    read_trace(&trace, &file)
}

/// What `a_writer` runs: a row a commit, and a word after each.
pub(crate) async fn write(synchronous: &str, rows: usize, file: &Path) -> Result<(), sqlx::Error> {
    use std::io::Write;
    let mut connection = sqlx::sqlite::SqliteConnectOptions::new()
        .filename(file)
        .create_if_missing(true)
        .journal_mode(sqlx::sqlite::SqliteJournalMode::Wal)
        .pragma("synchronous", synchronous.to_owned())
        .pragma("wal_autocheckpoint", "20")
        .connect()
        .await?;
    sqlx::query("create table entry (seq integer primary key, id text not null)")
        .execute(&mut connection)
        .await?;
    for number in 1..=rows {
        let id = holdfast::clock::fresh_id().to_string();
        sqlx::query("insert into entry (seq, id) values (?, ?)")
            .bind(i64::try_from(number).unwrap_or(0))
            .bind(&id)
            .execute(&mut connection)
            .await?;
        let mut out = std::io::stdout();
        drop(out.write_all(format!("{{\"id\":\"{id}\",\"seq\":{number}}}\n").as_bytes()));
        drop(out.flush());
    }
    // Left as it is: the end of a program is no power cut.
    drop(connection.close().await);
    Ok(())
}

fn read_trace(trace: &Path, file: &Path) -> Vec<Event> {
    let text = std::fs::read_to_string(trace).expect("there is a trace");
    let file = file.to_string_lossy().into_owned();
    let mut begun: BTreeMap<&str, String> = BTreeMap::new();
    let mut events = Vec::new();
    for line in text.lines() {
        let Some((pid, call)) = line.split_once(' ') else {
            continue;
        };
        let call = call.trim_start();
        if let Some(before) = call.strip_suffix("<unfinished ...>") {
            // An answer counts from where it began to leave.
            events.extend(acknowledged(before));
            begun.insert(pid, before.trim_end().to_owned());
        } else if let Some(rest) = call.strip_prefix("<... ") {
            let after = rest.split_once("resumed>").map_or("", |(_, after)| after);
            let whole = begun.remove(pid).unwrap_or_default() + after;
            events.extend(touched(&whole, &file));
        } else {
            events.extend(acknowledged(call));
            events.extend(touched(call, &file));
        }
    }
    events
}

/// Ids in what a call sends.
fn acknowledged(call: &str) -> Option<Event> {
    if !(call.starts_with("write(") || call.starts_with("writev(") || call.starts_with("sendto(")) {
        return None;
    }
    let sent: Vec<u8> = call.split('"').skip(1).step_by(2).flat_map(unhex).collect();
    let text = String::from_utf8_lossy(&sent);
    let ids: Vec<String> = text
        .split("\"id\":\"")
        .skip(1)
        .filter(|rest| rest.get(36..43) == Some("\",\"seq\""))
        .map(|rest| rest[..36].to_owned())
        .collect();
    (!ids.is_empty()).then_some(Event::Acknowledged(ids))
}

/// What a finished call did to one of the board's two files.
fn touched(call: &str, file: &str) -> Option<Event> {
    let (name, rest) = call.split_once('(')?;
    // With `-xx` the path of a handle is written as its bytes, too.
    let path = rest.split_once('<')?.1.split_once('>')?.0;
    let decoded = String::from_utf8_lossy(&unhex(path)).into_owned();
    let path = if path.contains("\\x") {
        decoded.as_str()
    } else {
        path
    };
    let ours = path == file || path.strip_prefix(file) == Some("-wal");
    let result: i64 = call.rsplit_once("= ")?.1.split(' ').next()?.parse().ok()?;
    if !ours || result < 0 {
        return None;
    }
    let file = path.to_owned();
    let last = |text: &str| {
        text.rsplit_once(')')?
            .0
            .rsplit(", ")
            .next()?
            .trim()
            .parse()
            .ok()
    };
    match name {
        "fsync" | "fdatasync" => Some(Event::Sync { file }),
        "ftruncate" => Some(Event::Truncate {
            file,
            length: last(rest)?,
        }),
        "pwrite64" => {
            let bytes = unhex(rest.split('"').nth(1)?);
            Some(Event::Write {
                file,
                at: last(rest.rsplit_once(" = ")?.0)?,
                bytes,
            })
        }
        _ => None,
    }
}

fn unhex(text: &str) -> Vec<u8> {
    text.split("\\x")
        .skip(1)
        .filter_map(|byte| u8::from_str_radix(byte.get(..2)?, 16).ok())
        .collect()
}

/// A file as the disk has it for sure, and what was done to it since.
#[derive(Clone, Default)]
struct OnDisk {
    durable: Vec<u8>,
    pending: Vec<(Option<usize>, Vec<u8>, usize)>,
}

fn apply(to: &mut Vec<u8>, at: usize, bytes: &[u8]) {
    if to.len() < at + bytes.len() {
        to.resize(at + bytes.len(), 0);
    }
    to[at..at + bytes.len()].copy_from_slice(bytes);
}

fn act(to: &mut Vec<u8>, (at, bytes, length): &(Option<usize>, Vec<u8>, usize)) {
    match at {
        Some(at) => apply(to, *at, bytes),
        None => to.resize(*length, 0),
    }
}

impl OnDisk {
    fn sync(&mut self) {
        for one in std::mem::take(&mut self.pending) {
            act(&mut self.durable, &one);
        }
    }

    /// As it may stand after the cut.
    fn cut(&self, policy: usize) -> Vec<u8> {
        let mut bytes = self.durable.clone();
        for (at, written, length) in &self.pending {
            let [coin, tear] = random_bytes::<2>();
            match policy {
                0 => {}
                1 if coin % 2 == 0 => {}
                1 => act(&mut bytes, &(*at, written.clone(), *length)),
                _ => {
                    let sectors = written.len().div_ceil(SECTOR);
                    let kept = usize::from(tear) % (sectors + 1) * SECTOR;
                    let part = &written[..kept.min(written.len())];
                    match at {
                        Some(at) if coin % 4 != 0 => apply(&mut bytes, *at, part),
                        None if coin % 2 == 0 => bytes.resize(*length, 0),
                        _ => {}
                    }
                }
            }
        }
        bytes
    }
}

async fn replay(events: &[Event], points: usize, most: Duration, is_board: bool) -> Replayed {
    let folder = tempfile::tempdir().expect("a folder");
    let begun = Instant::now();
    let mut done = Replayed::default();
    let first = events
        .iter()
        .position(|event| matches!(event, Event::Acknowledged(_)))
        .unwrap_or(events.len());
    // Around each sync, and evenly between: as many as are wanted, with all three policies.
    let near = |at: usize| {
        (at.saturating_sub(1)..=at + 1)
            .any(|one| matches!(events.get(one), Some(Event::Sync { .. })))
    };
    let candidates: Vec<usize> = (first..events.len())
        .filter(|at| near(*at) || at % 3 == 0)
        .collect();
    let rounds = points.div_ceil(3 * candidates.len().max(1)).max(1);
    let stride = (candidates.len() * 3 / points.max(1)).max(1);
    let chosen: HashSet<usize> = candidates.iter().copied().step_by(stride).collect();
    let mut files: BTreeMap<String, OnDisk> = BTreeMap::new();
    let mut acknowledged: HashSet<String> = HashSet::new();
    for (at, event) in events.iter().enumerate() {
        match event {
            Event::Write { file, at, bytes } => {
                files
                    .entry(file.clone())
                    .or_default()
                    .pending
                    .push((Some(*at), bytes.clone(), 0));
            }
            Event::Truncate { file, length } => {
                files
                    .entry(file.clone())
                    .or_default()
                    .pending
                    .push((None, Vec::new(), *length));
            }
            Event::Sync { file } => files.entry(file.clone()).or_default().sync(),
            Event::Acknowledged(ids) => acknowledged.extend(ids.iter().cloned()),
        }
        if !chosen.contains(&at) {
            continue;
        }
        for policy in (0..3 * rounds).map(|one| one % 3) {
            if begun.elapsed() > most {
                break;
            }
            done.points += 1;
            let (whole, there) = look(folder.path(), &files, policy, is_board).await;
            done.damaged += usize::from(!whole);
            let lost = acknowledged.difference(&there).count();
            done.lossy += usize::from(lost > 0);
            done.worst = done.worst.max(lost);
        }
    }
    done.acknowledged = acknowledged.len();
    done
}

/// Builds the files as they may stand, opens them, and reads what is there.
async fn look(
    folder: &Path,
    files: &BTreeMap<String, OnDisk>,
    policy: usize,
    is_board: bool,
) -> (bool, HashSet<String>) {
    // A folder of its own for each: a connection that is still being closed tidies up by name.
    let folder = tempfile::tempdir_in(folder).expect("a folder");
    let board: PathBuf = folder.path().join("cut.holdfast.db");
    for (path, on_disk) in files {
        let side = if path.ends_with("-wal") { "-wal" } else { "" };
        std::fs::write(format!("{}{side}", board.display()), on_disk.cut(policy))
            .expect("it can be written");
    }
    let whole = if is_board {
        holdfast::journal::verify(&board)
            .await
            .is_ok_and(|verdict| verdict.is_whole())
    } else {
        integrity(&board).await.is_ok_and(|said| said == "ok")
    };
    match ids(&board).await {
        Ok(there) => (whole, there.into_iter().map(|(id, _)| id).collect()),
        // Before its first table there is nothing to read; after that there always is.
        Err(_) => (false, HashSet::new()),
    }
}

async fn integrity(file: &Path) -> Result<String, sqlx::Error> {
    let mut connection = sqlx::sqlite::SqliteConnectOptions::new()
        .filename(file)
        .connect()
        .await?;
    let said = sqlx::query("pragma integrity_check")
        .fetch_one(&mut connection)
        .await?
        .try_get(0)?;
    connection.close().await?;
    Ok(said)
}
