//! Requests nobody should send, in numbers: no fault of ours, no panic, and the board whole afterwards.
//!
//! Random and bounded, from the stored fixtures of every kind of fact and every form our pages send; the seed is printed.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use holdfast::clock::random_bytes;
use tokio::task::JoinSet;

use crate::phone::Phone;
use crate::program::{CODE, Program, WORDS, file_in, panicked};
use crate::table::{Outcome, Size};

/// A small generator that can be run again from its seed (xorshift64*, Vigna 2016; from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() >> 33).unwrap_or(0) % most.max(1)
    }

    fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

const WORSE: [&[u8]; 18] = [
    b"\"",
    b"{",
    b"}",
    b"[[[[[[[[[[[[[[[[",
    b"null",
    b"-1",
    b"1e999",
    b"18446744073709551616",
    b"\\u0000",
    b"\\ud800",
    b"\xff\xfe",
    b"%00",
    b"../..",
    b"'; drop table entry;--",
    b"<script>",
    b"\r\n\r\n",
    b"99999-13-45T99:99:99Z",
    b"\xf0\x9f\xa9\xb9",
];
const PATHS: [&str; 21] = [
    "/journal",
    "/journal",
    "/journal",
    "/journal",
    "/join",
    "/seen",
    "/restoration",
    "/restoration/people",
    "/restoration/end",
    "/record/file",
    "/session/renewal",
    "/code/renewal",
    "/promotion",
    "/devices/x/revocation",
    "/devices/x/reversal",
    "/log?before=",
    "/log?by=",
    "/live/",
    "/casualties/",
    "/journal?after=",
    "/problems/",
];

/// Devices that send at once. Each has a generator of its own, begun from the seed and its number.
const SENDERS: usize = 8;

/// Requests to one board: some of them take the whole record, and many boards of a usual size are more than one large one.
const ON_ONE_BOARD: usize = 50_000;

/// What one sender saw, or all of them.
#[derive(Default)]
struct Tally {
    sent: usize,
    answered: usize,
    /// Connections that ended without an answer.
    unanswered: usize,
    /// What must not be answered, with what was sent; and what else went wrong.
    faults: Vec<String>,
    /// What the program held at most (MB).
    memory: u64,
}

impl Tally {
    fn add(&mut self, other: Self) {
        self.sent += other.sent;
        self.answered += other.answered;
        self.unanswered += other.unanswered;
        self.faults.extend(other.faults);
        self.memory = self.memory.max(other.memory);
    }
}

/// The trial.
pub(crate) async fn run(size: Size) -> Outcome {
    let (wanted, most) = size.pick(
        (8_000, Duration::from_secs(10)),
        (1_000_000, Duration::from_hours(1)),
    );
    let mut seed = u64::from_le_bytes(random_bytes());
    if let Ok(given) = std::env::var("HOLDFAST_SEED") {
        seed = given.parse().unwrap_or(seed);
    }
    let examples: Arc<[Vec<u8>]> = examples().into();
    let (mut tally, mut boards, begun) = (Tally::default(), 0_u64, Instant::now());
    while tally.sent < wanted && begun.elapsed() < most {
        let how_many = ON_ONE_BOARD.min(wanted - tally.sent);
        let board = OneBoard {
            // Far from each other: neighbouring seeds begin alike.
            seed: seed ^ boards.wrapping_mul(0xD1B5_4A32_D192_ED03),
            how_many,
            until: begun + most,
        };
        tally.add(board.run(&examples).await);
        boards += 1;
    }
    let Tally {
        sent,
        answered,
        unanswered,
        faults,
        memory,
    } = tally;
    Outcome {
        id: "R14",
        what: "malformed requests",
        passed: faults.is_empty() && answered > 0 && unanswered <= sent / 1000,
        said: format!(
            "{sent} to {boards} boards in {:.0} s (seed {seed}): {} faults, {unanswered} connections ended without an answer; at most {memory} MB{}",
            begun.elapsed().as_secs_f64(),
            faults.len(),
            faults
                .first()
                .map(|one| format!("; first: {one}"))
                .unwrap_or_default()
        ),
    }
}

struct OneBoard {
    seed: u64,
    how_many: usize,
    until: Instant,
}

impl OneBoard {
    /// Sends so many to a board of its own; it must stop by itself, whole, and without a panic.
    async fn run(self, examples: &Arc<[Vec<u8>]>) -> Tally {
        let folder = tempfile::tempdir().expect("a folder");
        let data = folder.path().join("data");
        // Without limits: a refusal for haste would hide what is behind it.
        let program = Program::start(&data, &["--measuring"]);
        let helper = Phone::join(program.board, SENDERS, CODE)
            .await
            .expect("it lets people in")
            .cookie;
        let mut senders = JoinSet::new();
        for number in 0..SENDERS {
            let own = (number as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
            let sender = Sender {
                board: program.board,
                number,
                helper: helper.clone(),
                random: Random((self.seed ^ own) | 1),
                examples: Arc::clone(examples),
            };
            senders.spawn(sender.sends(self.how_many / SENDERS, self.until));
        }
        let mut tally = Tally::default();
        while let Some(one) = senders.join_next().await {
            tally.add(one.expect("a sender ends by itself"));
        }
        tally.memory = program.memory().1;
        let (_, well) = program.stop();
        let whole = holdfast::journal::verify(&file_in(&data))
            .await
            .is_ok_and(|verdict| verdict.is_whole());
        for (is_wrong, what) in [
            (!well, "it did not stop as asked"),
            (!whole, "its record is not whole"),
            (panicked(&data), "it panicked"),
        ] {
            tally.faults.extend(is_wrong.then(|| what.to_owned()));
        }
        tally
    }
}

struct Sender {
    board: SocketAddr,
    number: usize,
    /// The session of a helper who came in before anybody made a new code.
    helper: String,
    random: Random,
    examples: Arc<[Vec<u8>]>,
}

impl Sender {
    async fn sends(mut self, how_many: usize, until: Instant) -> Tally {
        let mut tally = Tally::default();
        let mut phone = self.join().await;
        while tally.sent < how_many && Instant::now() < until {
            let (path, body) = request(&mut self.random, &self.examples);
            tally.sent += 1;
            // A stream that opens answers for ever: ask only for what cannot be one.
            let get = self.random.below(4) == 0 && !path.starts_with("/journal")
                || path.contains('?')
                || path.ends_with('/');
            let answer = if get {
                phone.get(&path, self.random.below(2) == 0).await
            } else {
                post(&mut phone, &mut self.random, &path, &body).await
            };
            if let Ok((status, _, _)) = answer {
                tally.answered += 1;
                if status >= 500 && status != 503 && status != 507 {
                    tally.faults.push(format!(
                        "{status} at {path}: {}",
                        String::from_utf8_lossy(&body)
                    ));
                }
                match status {
                    401 => phone = self.join().await,
                    // It closes the connection after these.
                    408 | 413 => phone.reconnects().await.expect("it takes connections"),
                    _ => {}
                }
            } else {
                tally.unanswered += 1;
                phone.reconnects().await.expect("it takes connections");
            }
        }
        tally
    }

    /// A connection of the lead's or, for every other sender, with the helper's session.
    async fn join(&mut self) -> Phone {
        let mut phone = Phone::join(self.board, self.number, WORDS)
            .await
            .expect("it still lets the lead in");
        if self.number.is_multiple_of(2) {
            self.helper.clone_into(&mut phone.cookie);
        }
        phone
    }
}

/// As our pages send it, with a header gone now and then.
async fn post(
    phone: &mut Phone,
    random: &mut Random,
    path: &str,
    body: &[u8],
) -> std::io::Result<crate::phone::Answer> {
    let board = phone.board;
    let own = if random.below(20) == 0 {
        ""
    } else {
        "X-Holdfast: 1\r\n"
    };
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {board}\r\nOrigin: http://{board}\r\n{own}Content-Type: application/json\r\nCookie: {}\r\nContent-Length: {}\r\n\r\n",
        phone.cookie,
        body.len()
    );
    phone.exchange(&[head.as_bytes(), body].concat()).await
}

/// Bodies that are right as they stand.
fn examples() -> Vec<Vec<u8>> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/facts");
    let mut bodies: Vec<Vec<u8>> = std::fs::read_dir(folder)
        .expect("the fixtures are there")
        .filter_map(|item| serde_json::from_slice::<serde_json::Value>(&std::fs::read(item.ok()?.path()).ok()?).ok())
        .map(|entry| {
            let report = serde_json::json!({ "id": holdfast::clock::fresh_id(), "about": entry["about"],
                "happened_at": entry["happened_at"], "based_on": 0, "fact": entry["fact"] });
            serde_json::json!({ "facts": [report] }).to_string().into_bytes()
        })
        .collect();
    for body in [
        r#"{"code":"K7QFM2TX","name":"Teo","skill":"medic"}"#,
        r#"{"epoch":"019aa000-0000-7000-8000-000000000001","seq":3,"check":"7K3-FQ2"}"#,
        r#"{"entries":[{"seq":1,"body":"{}","chain":"00"}]}"#,
        r#"{"since":"2026-11-25T14:00:00Z","put_back":true}"#,
        "{}",
    ] {
        bodies.push(body.as_bytes().to_vec());
    }
    bodies
}

fn request(random: &mut Random, examples: &[Vec<u8>]) -> (String, Vec<u8>) {
    let mut path = (*random.one(&PATHS)).to_owned();
    if path.contains('?') || path.ends_with('/') {
        for _ in 0..random.below(6) {
            let piece = random.one(&WORSE);
            path.extend(piece.iter().map(|byte| match byte {
                b' ' | b'\r' | b'\n' | b'#' | 0x80.. => '%',
                other => char::from(*other),
            }));
        }
    }
    let mut body = random.one(examples).clone();
    for _ in 0..random.below(4) {
        spoil(random, &mut body);
    }
    (path, body)
}

fn spoil(random: &mut Random, body: &mut Vec<u8>) {
    let at = random.below(body.len() + 1);
    let end = (at + random.below(12)).min(body.len());
    match random.below(6) {
        0 => drop(body.drain(at..end)),
        1 => drop(body.splice(at..at, random.one(&WORSE).iter().copied())),
        2 => drop(body.splice(at..end, random.one(&WORSE).iter().copied())),
        3 => {
            let again = body[at..end].to_vec();
            drop(body.splice(at..at, again));
        }
        4 if at < body.len() => body[at] ^= 1 << random.below(8),
        4 => {}
        _ => body.truncate(at),
    }
}
