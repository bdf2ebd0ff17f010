//! Many phones on one board: how long a receipt takes, how long until the last screen shows it, what storms, slow readers
//! and floods do to the others, and how it all stops.

use std::io;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::task::{JoinHandle, JoinSet};
use tokio::time::{interval, sleep, timeout};

use crate::phone::{Phone, Watching, connect, own_address};
use crate::program::{CODE, Program, file_in};
use crate::table::{Outcome, Size, percentile};

/// Positions a screen was shown, with when.
type Shown = Arc<Mutex<Vec<(u64, Instant)>>>;

struct Screen {
    shown: Shown,
    reading: JoinHandle<Option<String>>,
}

struct Crowd {
    program: Program,
    /// The position up to which pages had heard when their streams were dropped.
    heard: u64,
    phones: Vec<Arc<tokio::sync::Mutex<Phone>>>,
    screens: Vec<Screen>,
    casualties: Vec<String>,
}

/// One report: its position, when it left, how long its receipt took.
#[derive(Clone, Copy)]
struct Sent {
    seq: u64,
    at: Instant,
    receipt: f64,
}

/// All trials on one board with its usual limits.
pub(crate) async fn run(size: Size) -> Vec<Outcome> {
    let folder = tempfile::tempdir().expect("a folder");
    let data = folder.path().join("data");
    let mut crowd = gather(&data, size.pick(100, 500)).await;
    let mut outcomes = busy(&mut crowd, &data, size).await;
    outcomes.push(storm(&mut crowd, size).await);
    outcomes.push(slow_readers(&mut crowd, size).await);
    outcomes.push(flood(&mut crowd, size).await);
    outcomes.push(stop(crowd, &data, size).await);
    outcomes
}

async fn gather(data: &std::path::Path, phones: usize) -> Crowd {
    let program = Program::start(data, &[]);
    let mut joined = Vec::new();
    for number in 0..phones {
        joined.push(
            Phone::join(program.board, number, CODE)
                .await
                .expect("it joins"),
        );
    }
    let mut casualties = Vec::new();
    for phone in joined.iter_mut().take(20) {
        casualties.push(phone.registers().await.expect("it reports"));
    }
    let mut crowd = Crowd {
        program,
        heard: 0,
        phones: joined
            .into_iter()
            .map(|one| Arc::new(tokio::sync::Mutex::new(one)))
            .collect(),
        screens: Vec::new(),
        casualties,
    };
    crowd.watch(true).await;
    crowd
}

impl Crowd {
    /// Every phone opens its stream, as browsers do: a page that is there goes on from the last position it heard, with
    /// `anew` it is loaded first. Gives how long until the last was greeted, and how many were not.
    async fn watch(&mut self, anew: bool) -> (Duration, usize) {
        let begun = Instant::now();
        let mut opening = JoinSet::new();
        for phone in &self.phones {
            let phone = Arc::clone(phone);
            let heard = self.heard;
            opening.spawn(async move {
                loop {
                    let mut phone = phone.lock().await;
                    let since = if anew {
                        phone.loads_board().await
                    } else {
                        Ok(heard)
                    };
                    let opened = match since {
                        Ok(since) => phone.watches("board", since).await,
                        Err(error) => Err(error),
                    };
                    drop(phone);
                    if let Ok(mut stream) = opened
                        && stream.until("hello").await.is_some()
                    {
                        return stream;
                    }
                    sleep(Duration::from_millis(300)).await;
                }
            });
        }
        let mut streams = Vec::new();
        let all = timeout(Duration::from_secs(30), async {
            while let Some(opened) = opening.join_next().await {
                streams.extend(opened.ok());
            }
        });
        drop(all.await);
        let missing = self.phones.len() - streams.len();
        let took = begun.elapsed();
        self.screens = streams.into_iter().map(reading).collect();
        (took, missing)
    }

    /// Reports at this rate for so long.
    async fn report(&self, per_second: u32, lasting: Duration) -> (Vec<Sent>, usize) {
        let mut pace = interval(Duration::from_secs(1) / per_second);
        let mut sending: JoinSet<io::Result<Sent>> = JoinSet::new();
        let begun = Instant::now();
        let mut number = 0;
        while begun.elapsed() < lasting {
            pace.tick().await;
            let phone = Arc::clone(&self.phones[number % self.phones.len()]);
            let casualty = self.casualties[number % self.casualties.len()].clone();
            number += 1;
            sending.spawn(async move {
                let mut phone = phone.lock().await;
                let at = Instant::now();
                let receipts = phone.reports(&[Phone::note(&casualty)]).await?;
                let seq = receipts.first().map_or(0, |(_, seq)| *seq);
                Ok(Sent {
                    seq,
                    at,
                    receipt: at.elapsed().as_secs_f64() * 1000.0,
                })
            });
        }
        let (mut sent, mut failed) = (Vec::new(), 0);
        while let Some(one) = sending.join_next().await {
            match one {
                Ok(Ok(one)) => sent.push(one),
                _ => failed += 1,
            }
        }
        // For the last of them to be shown everywhere.
        sleep(Duration::from_secs(2)).await;
        (sent, failed)
    }

    /// For each report, how long until the last screen showed it (ms); and how many screens never did.
    fn last_screens(&self, sent: &[Sent]) -> (Vec<f64>, usize) {
        let (mut slowest, mut never) = (vec![0.0_f64; sent.len()], 0);
        for screen in &self.screens {
            let shown = screen
                .shown
                .lock()
                .expect("nothing panics while holding it");
            for (slot, one) in slowest.iter_mut().zip(sent) {
                let at = shown.partition_point(|(seq, _)| *seq < one.seq);
                match shown.get(at) {
                    Some((_, when)) => {
                        *slot =
                            slot.max(when.saturating_duration_since(one.at).as_secs_f64() * 1000.0);
                    }
                    None => never += 1,
                }
            }
        }
        (slowest, never)
    }

    fn forget_shown(&self) {
        for screen in &self.screens {
            screen
                .shown
                .lock()
                .expect("nothing panics while holding it")
                .clear();
        }
    }
}

impl Screen {
    /// The last position it heard.
    fn last(&self) -> Option<u64> {
        let shown = self.shown.lock().expect("nothing panics while holding it");
        shown.last().map(|(seq, _)| *seq)
    }
}

fn reading(mut stream: Watching) -> Screen {
    let shown: Shown = Arc::default();
    let list = Arc::clone(&shown);
    let reading = tokio::spawn(async move {
        let mut ended_with = None;
        while let Some((name, id)) = stream.next().await {
            if let Some(seq) = id {
                list.lock()
                    .expect("nothing panics while holding it")
                    .push((seq, Instant::now()));
            }
            ended_with = Some(name);
        }
        ended_with
    });
    Screen { shown, reading }
}

async fn busy(crowd: &mut Crowd, data: &std::path::Path, size: Size) -> Vec<Outcome> {
    let lasting = size.pick(Duration::from_mins(1), Duration::from_mins(30));
    let before = crowd.program.memory();
    let handles = crowd.program.handles();
    // A copy in the middle of it.
    let (file, stick) = (file_in(data), data.with_extension("copies"));
    let half = lasting / 2;
    let copying = tokio::spawn(async move {
        sleep(half).await;
        let begun = Instant::now();
        let ended = tokio::process::Command::new(env!("CARGO_BIN_EXE_holdfast"))
            .arg("copy")
            .arg(&stick)
            .arg("--data")
            .arg(file.parent().unwrap_or(&file))
            .stdout(std::process::Stdio::null())
            .status()
            .await;
        (
            begun,
            Instant::now(),
            ended.is_ok_and(|status| status.success()),
        )
    });
    let (sent, failed) = crowd.report(50, lasting).await;
    let (slowest, never) = crowd.last_screens(&sent);
    let (resident, peak) = crowd.program.memory();
    let p99 = percentile(
        &mut sent.iter().map(|one| one.receipt).collect::<Vec<_>>(),
        99,
    );
    let mut each = slowest.clone();
    let (p99_last, worst_last) = (percentile(&mut each, 99), percentile(&mut each, 100));
    let minutes = lasting.as_secs_f64() / 60.0;
    let (from, to, copied) = copying
        .await
        .unwrap_or((Instant::now(), Instant::now(), false));
    let during = sent.iter().filter(|one| {
        one.at <= to && one.at + Duration::from_secs_f64(one.receipt / 1000.0) >= from
    });
    let pause = during.map(|one| one.receipt).fold(0.0, f64::max);
    vec![
        Outcome {
            id: "R10",
            what: "phones on one board, 50 facts a second",
            passed: failed == 0
                && never == 0
                && size.in_time(p99 <= 1000.0 && p99_last <= 2000.0)
                && peak <= 300,
            said: format!(
                "{} phones, {} facts in {minutes:.1} min, {failed} failed: receipt p99 {p99:.0} ms, last screen p99 {p99_last:.0} ms, at worst {worst_last:.0} ms; {never} gaps; at most {peak} MB",
                crowd.phones.len(),
                sent.len(),
            ),
        },
        Outcome {
            id: "R19",
            what: "the same as a soak: memory and handles",
            passed: crowd.program.handles() <= handles + 8,
            said: format!(
                "{minutes:.1} min only: {} -> {resident} MB, {handles} -> {} handles",
                before.0,
                crowd.program.handles()
            ),
        },
        Outcome {
            id: "R22",
            what: "a verified copy made meanwhile",
            passed: copied && size.in_time(pause <= 500.0),
            said: format!(
                "it took {} ms; the slowest receipt during it {pause:.0} ms",
                (to - from).as_millis()
            ),
        },
    ]
}

async fn storm(crowd: &mut Crowd, size: Size) -> Outcome {
    let (mut worst, mut missing) = (Duration::ZERO, 0);
    let times = size.pick(3, 20);
    for time in 0..times {
        // All of them were live: the position any of them heard last is as good as another's.
        let heard = crowd.screens.iter().filter_map(Screen::last).max();
        crowd.heard = heard.unwrap_or(0);
        for screen in crowd.screens.drain(..) {
            screen.reading.abort();
        }
        // As after the loss of the air, and as after a start of the board, when pages load themselves again.
        let (took, lost) = crowd.watch(time % 2 == 1 || heard.is_none()).await;
        worst = worst.max(took);
        missing += lost;
    }
    Outcome {
        id: "R11",
        what: "every stream dropped at once and opened again, each second time with its page",
        passed: missing == 0 && size.in_time(worst <= Duration::from_secs(15)),
        said: format!(
            "{times} times {} phones: all live after {} ms at worst, {missing} not",
            crowd.phones.len(),
            worst.as_millis()
        ),
    }
}

async fn slow_readers(crowd: &mut Crowd, size: Size) -> Outcome {
    let lasting = size.pick(Duration::from_secs(4), Duration::from_mins(1));
    let measure = async |crowd: &Crowd| {
        crowd.forget_shown();
        let (sent, failed) = crowd.report(30, lasting).await;
        let (mut slowest, never) = crowd.last_screens(&sent);
        (percentile(&mut slowest, 50), failed + never)
    };
    let (before, missed) = measure(crowd).await;
    let memory = crowd.program.memory().0;
    let mut readers = JoinSet::new();
    // No more than there are sessions for: of one too many in a session, its oldest is ended.
    let (slow, stuck) = size.pick((40, 10), (200, 50));
    for number in 0..slow + stuck {
        let phone = crowd.phones[number % crowd.phones.len()].lock().await;
        // Streams of their own sessions: a session's own oldest would be ended instead.
        let request = phone.stream_request("board", 0);
        let (board, from) = (phone.board, own_address(10_000 + number));
        drop(phone);
        readers.spawn(reads_slowly(board, from, request, number < slow));
    }
    sleep(Duration::from_secs(1)).await;
    let (after, missed_too) = measure(crowd).await;
    let held = crowd.program.memory().0.saturating_sub(memory);
    readers.abort_all();
    let bound = before * 1.2 + 25.0;
    Outcome {
        id: "R12",
        what: size.pick(
            "40 that read 1 kB a second, 10 that read nothing",
            "200 that read 1 kB a second, 50 that read nothing",
        ),
        passed: size.in_time(after <= bound) && missed_too <= missed && held <= 100,
        said: format!(
            "last screen p50 {before:.1} -> {after:.1} ms (bound {bound:.1}); {held} MB more; {} missed",
            missed + missed_too
        ),
    }
}

async fn reads_slowly(
    board: SocketAddr,
    from: std::net::Ipv4Addr,
    request: String,
    at_all: bool,
) -> io::Result<()> {
    let mut stream = connect(from, board).await?;
    stream.write_all(request.as_bytes()).await?;
    let mut some = [0; 1024];
    loop {
        sleep(Duration::from_secs(1)).await;
        if at_all && stream.read(&mut some).await? == 0 {
            return Ok(());
        }
    }
}

async fn flood(crowd: &mut Crowd, size: Size) -> Outcome {
    let lasting = size.pick(Duration::from_secs(4), Duration::from_mins(1));
    let board = crowd.program.board;
    let mut attackers = JoinSet::new();
    for number in 0..1200_usize {
        // A thousand from fifty addresses, and two hundred from one.
        let from = if number < 1000 {
            own_address(20_000 + number % 50 * 8)
        } else {
            own_address(30_000)
        };
        attackers.spawn(async move {
            loop {
                if let Ok(mut stream) = connect(from, board).await {
                    // A head that never ends, a body that never comes, or nothing at all.
                    let part: &[u8] = match number % 3 {
                        0 => b"GET /join HTTP/1.1\r\nHost: x\r\nX-A: ",
                        1 => b"POST /join HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 60000\r\n\r\n{",
                        _ => b"",
                    };
                    drop(stream.write_all(part).await);
                    let mut some = [0; 64];
                    while timeout(Duration::from_secs(2), stream.read(&mut some)).await.is_ok_and(|read| read.is_ok_and(|read| read > 0)) {}
                }
                sleep(Duration::from_millis(200)).await;
            }
        });
    }
    sleep(Duration::from_millis(500)).await;
    let (sent, failed) = crowd.report(20, lasting).await;
    attackers.abort_all();
    let p99 = percentile(
        &mut sent.iter().map(|one| one.receipt).collect::<Vec<_>>(),
        99,
    );
    Outcome {
        id: "R13",
        what: "1,200 connections that send half a request, over and over",
        passed: failed == 0 && size.in_time(p99 <= 1000.0),
        said: format!(
            "{} facts of others meanwhile, {failed} failed, receipt p99 {p99:.0} ms",
            sent.len()
        ),
    }
}

async fn stop(mut crowd: Crowd, data: &std::path::Path, size: Size) -> Outcome {
    let streams = crowd.screens.len();
    let program = crowd.program;
    let (took, well) = tokio::task::spawn_blocking(move || program.stop())
        .await
        .unwrap_or_default();
    let mut told = 0;
    for screen in crowd.screens.drain(..) {
        let last = timeout(Duration::from_secs(5), screen.reading).await;
        told += usize::from(matches!(last, Ok(Ok(Some(name))) if name == "bye"));
    }
    let file = file_in(data);
    let log = std::fs::metadata(format!("{}-wal", file.display())).map_or(0, |log| log.len());
    let whole = holdfast::journal::verify(&file)
        .await
        .is_ok_and(|verdict| verdict.is_whole());
    Outcome {
        id: "R23",
        what: "asked to stop with every screen open",
        passed: well
            && whole
            && log == 0
            && told == streams
            && size.in_time(took <= Duration::from_secs(5)),
        said: format!(
            "{} ms, {told} of {streams} screens told, {log} bytes left in the write-ahead log, verified {whole}",
            took.as_millis()
        ),
    }
}
