//! Every limit of the door, reached: each refusal is a clear problem, and nobody else feels it.

use std::time::Duration;

use holdfast::clock::{Clock, fresh_id};
use holdfast::incident::fact::NoteAdded;
use holdfast::incident::{About, Author, DeviceId, EntryId, Fact, Note, Report, Seq, Words};
use holdfast::web::Limits;
use serde_json::json;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpSocket, TcpStream};
use tokio::time::timeout;

use crate::harness::{DEADLINE, Device, TestBoard, connect};

const NOTE: &str = "note.added/1";

#[tokio::test]
async fn a_stream_too_many_is_told_when_to_try_again_and_a_place_is_free_once_one_ends() {
    let board = TestBoard::start_limited(Limits {
        streams: 2,
        ..Limits::default()
    })
    .await;
    let (teo, mia) = (board.device("Teo").await, board.device("Mia").await);
    let mut first = teo.watches("board", 0).await;
    first.hears_of("hello").await;
    let mut second = mia.watches("board", 0).await;
    second.hears_of("hello").await;
    let refused = board.device("Jo").await.gets("/live/board").await;
    assert_eq!(refused.status, 429, "{}", refused.body);
    assert_eq!(refused.json()["code"], "too-many-streams");
    assert_eq!(refused.header("retry-after"), "15");
    drop(first);
    timeout(DEADLINE, async {
        while teo.watches("board", 0).await.status != 200 {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    })
    .await
    .expect("the place is given back");
}

#[tokio::test]
async fn one_session_cannot_use_up_the_streams_of_all_and_is_never_locked_out_itself() {
    let board = TestBoard::start_limited(Limits {
        streams: 5,
        ..Limits::default()
    })
    .await;
    let teo = board.device("Teo").await;
    let mut oldest = teo.watches("board", 0).await;
    oldest.hears_of("hello").await;
    let mut later = Vec::new();
    for _ in 0..8 {
        let mut stream = teo.watches("board", 0).await;
        assert_eq!(stream.status, 200);
        stream.hears_of("hello").await;
        later.push(stream);
    }
    assert_eq!(oldest.hears_of("bye").await.data["reason"], "replaced");
    assert_eq!(oldest.next().await, None);
    let mut other = board.device("Mia").await.watches("board", 0).await;
    assert_eq!(other.status, 200, "there is room for others");
    other.hears_of("hello").await;
}

#[tokio::test]
async fn a_device_that_reports_faster_than_people_can_is_slowed_and_loses_nothing() {
    let board = TestBoard::start_limited(Limits::default()).await;
    let (teo, mia) = (board.device("Teo").await, board.device("Mia").await);
    let woman = mia.registers("woman").await;
    let batch = |device: &Device| -> Vec<_> {
        (0..50)
            .map(|n| {
                let note = json!({ "kind": NOTE, "text": format!("remark {n}") });
                device.fact(json!({ "casualty": woman }), note)
            })
            .collect()
    };
    teo.reports_all(&batch(&teo)).await;
    let head = board.head();
    let second = batch(&teo);
    let refused = teo.posts("/journal", &json!({ "facts": second })).await;
    assert_eq!(refused.status, 429, "{}", refused.body);
    assert_eq!(refused.json()["code"], "too-fast");
    assert_eq!(board.head(), head, "nothing of it was taken");
    mia.reports_all(&batch(&mia)).await;
    let wait: u64 = refused.header("retry-after").parse().unwrap();
    assert!((1..=3).contains(&wait), "{wait}");
    tokio::time::sleep(Duration::from_secs(wait)).await;
    let receipts = teo.reports_all(&second).await;
    assert!(receipts.iter().all(|receipt| receipt["seq"].is_u64()));
}

/// A connection from an address of this machine that is not the usual one.
#[cfg(target_os = "linux")]
async fn from_address(address: &str, host: &str) -> TcpStream {
    let socket = TcpSocket::new_v4().unwrap();
    socket
        .bind(format!("{address}:0").parse().unwrap())
        .unwrap();
    socket.connect(host.parse().unwrap()).await.unwrap()
}

#[cfg(target_os = "linux")]
#[tokio::test]
async fn one_address_with_many_connections_is_turned_away_and_others_are_served() {
    let board = TestBoard::start_limited(Limits::default()).await;
    let mut open = Vec::new();
    for _ in 0..16 {
        open.push(from_address("127.0.0.9", board.host()).await);
    }
    let mut one_more = from_address("127.0.0.9", board.host()).await;
    one_more
        .write_all(b"GET /join HTTP/1.1\r\nHost: localhost\r\n\r\n")
        .await
        .unwrap();
    let mut answer = String::new();
    timeout(DEADLINE, one_more.read_to_string(&mut answer))
        .await
        .unwrap()
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 429 "), "{answer}");
    assert!(answer.contains("Retry-After: 5"), "{answer}");
    assert!(answer.contains("application/problem+json"), "{answer}");
    assert!(answer.contains("too-many-connections"), "{answer}");
    let other = Device::at_address(
        &board.origin,
        Clock::wall(),
        Some("127.0.0.10".parse().unwrap()),
    );
    assert_eq!(other.gets("/join").await.status, 200);
    drop(open);
    let same = Device::at_address(
        &board.origin,
        Clock::wall(),
        Some("127.0.0.9".parse().unwrap()),
    );
    timeout(DEADLINE, async {
        while same.gets("/join").await.status != 200 {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    })
    .await
    .expect("the places are given back");
}

#[tokio::test]
async fn brackets_without_end_are_refused_unread() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let deep = format!("{{\"facts\":{}{}}}", "[".repeat(200), "]".repeat(200));
    let answer = teo
        .request(reqwest::Method::POST, "/journal")
        .header("origin", &board.origin)
        .header("x-holdfast", "1")
        .header("content-type", "application/json")
        .body(deep)
        .send()
        .await
        .unwrap();
    assert_eq!(answer.status(), 400);
    assert!(answer.text().await.unwrap().contains("deeper"));
}

#[tokio::test]
async fn a_body_that_trickles_is_given_fifteen_seconds() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let mut stream = TcpStream::connect(board.host()).await.unwrap();
    let head = format!(
        "POST /journal HTTP/1.1\r\nHost: {}\r\nOrigin: {}\r\nX-Holdfast: 1\r\nContent-Type: application/json\r\nCookie: {}\r\nContent-Length: 500\r\nConnection: close\r\n\r\n{{",
        board.host(),
        board.origin,
        teo.cookie.clone().unwrap()
    );
    stream.write_all(head.as_bytes()).await.unwrap();
    let mut answer = String::new();
    timeout(Duration::from_secs(20), stream.read_to_string(&mut answer))
        .await
        .expect("it does not wait for ever")
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 408 "), "{answer}");
    assert!(answer.contains("too-slow"), "{answer}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn when_more_waits_than_the_board_holds_it_says_so_and_takes_it_later() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    // Another program holds the file for a moment, so that the queue fills.
    let mut other = connect(&board.file, false).await;
    sqlx::query("begin immediate")
        .execute(&mut other)
        .await
        .unwrap();
    let journal = board.journal();
    let author = Author {
        device: DeviceId::new(fresh_id()),
        name: Words::new("Mia").unwrap(),
        role: None,
        skill: None,
    };
    let report = || Report {
        id: EntryId::new(fresh_id()),
        about: About::Casualty(woman.parse().unwrap()),
        happened_at: journal.now(),
        based_on: Seq::START,
        time_unsure: false,
        epoch: None,
        fact: Fact::NoteAdded(NoteAdded {
            text: Note::new("waits").unwrap(),
        }),
    };
    let mut waiting = tokio::task::JoinSet::new();
    for _ in 0..1500 {
        let (journal, author, report) = (journal.clone(), author.clone(), report());
        waiting.spawn(async move { journal.append(vec![report], author).await });
    }
    let fact = teo.fact(
        json!({ "casualty": woman }),
        json!({ "kind": NOTE, "text": "kept" }),
    );
    let busy = timeout(DEADLINE, async {
        loop {
            let answer = teo.posts("/journal", &json!({ "facts": [fact] })).await;
            if answer.status == 503 {
                break answer;
            }
        }
    })
    .await
    .expect("the queue is full");
    assert_eq!(busy.json()["code"], "busy");
    assert_eq!(busy.header("retry-after"), "1");
    sqlx::query("rollback").execute(&mut other).await.unwrap();
    while waiting.join_next().await.is_some() {}
    let receipt = teo.reports(fact).await;
    assert!(receipt["seq"].is_u64(), "{receipt}");
}
