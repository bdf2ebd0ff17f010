//! A standby beside a board that changed: another one in its place, one that came back with less, other words, and what
//! must be done on the board itself.

use std::path::Path;
use std::time::Duration;

use holdfast::clock::Clock;
use serde_json::{Value, json};
use tempfile::tempdir;
use tokio::time::{sleep, timeout};

use crate::harness::{DEADLINE, Device, LEAD_WORDS, TestBoard};
use crate::program::{CODE, Program, holdfast, standby_words, verifies};
use crate::survival::{head_of, restores, rows, until_read};

/// Until the board page of a machine says this.
async fn says(watcher: &Device, words: &str) {
    timeout(DEADLINE, async {
        while !watcher.opens("/board").await.says(words) {
            sleep(Duration::from_millis(100)).await;
        }
    })
    .await
    .unwrap_or_else(|_| panic!("it never says {words}"));
}

/// A board at the very address of a lost one.
async fn in_the_place_of(origin: &str, data: &Path) -> Program {
    let address = origin.trim_start_matches("http://");
    let words = [
        "--listen",
        address,
        "--join-code",
        CODE,
        "--lead-words",
        LEAD_WORDS,
    ];
    Program::run(&[], &words, data).await
}

async fn joins(origin: &str, code: &str) -> u16 {
    let stranger = Device::stranger(origin, Clock::wall());
    stranger.tries_code(code, "Eve").await.status
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_that_holds_the_only_record_is_not_started_anew_because_another_board_answers() {
    let (first, second, third) = (tempdir().unwrap(), tempdir().unwrap(), tempdir().unwrap());
    let board = Program::start(first.path()).await;
    board
        .device(CODE, "Teo")
        .await
        .registers("woman in red")
        .await;
    let origin = board.origin.clone();
    let words = standby_words(&origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, second.path()).await;
    let vic = standby.device(LEAD_WORDS, "Vic").await;
    says(&vic, "only follows").await;
    board.kill_hard().await;
    let fresh = in_the_place_of(&origin, third.path()).await;
    says(&vic, "ANOTHER BOARD answers").await;
    assert!(vic.opens("/board").await.says("entries are here"));
    assert!(!vic.opens("/board").await.says("lives"));
    standby.kill_hard().await;
    // Whoever starts it again all the same is told what lies there.
    let (done, said) = holdfast(&words, second.path()).await;
    assert!(!done && said.contains("copy of another board"), "{said}");
    let (done, said) = holdfast(&["promote"], second.path()).await;
    assert!(done, "{said}");
    let again = Program::start(second.path()).await;
    let ina = again.device(LEAD_WORDS, "Ina").await;
    assert!(ina.opens("/board").await.says("woman in red"));
    again.kill_hard().await;
    fresh.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_that_has_more_than_the_board_that_came_back_says_so() {
    let (first, second, stick) = (tempdir().unwrap(), tempdir().unwrap(), tempdir().unwrap());
    let board = Program::start(first.path()).await;
    let teo = board.device(CODE, "Teo").await;
    let woman = teo.registers("woman in red").await;
    let words = standby_words(&board.origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, second.path()).await;
    let vic = standby.device(LEAD_WORDS, "Vic").await;
    let file = crate::program::file_in(first.path());
    holdfast::journal::copy(&file, stick.path(), holdfast::clock::wall_now())
        .await
        .unwrap();
    let mut last = Value::Null;
    for _ in 0..5 {
        last = teo.notes(&woman, "under way").await;
    }
    until_read(&vic, &last["id"]).await;
    let origin = board.origin.clone();
    board.kill_hard().await;
    let less = in_the_place_of(&origin, stick.path()).await;
    says(&vic, "HAS NOT ALL THAT IS HERE").await;
    assert!(!vic.opens("/board").await.says("not kept up"));
    // Still where the board has gone on past it.
    let mia = less.device(CODE, "Mia").await;
    for _ in 0..8 {
        mia.notes(&woman, "cold").await;
    }
    says(&vic, "is another one there").await;
    standby.kill_hard().await;
    // Nor does it follow over what is here when it is started again, or take other codes in.
    let origin = origin.clone();
    let (done, said) = holdfast(&standby_words(&origin, LEAD_WORDS), second.path()).await;
    assert!(!done && said.contains("went on apart"), "{said}");
    assert!(
        said.contains("promote --data") && !said.contains("--new"),
        "{said}"
    );
    less.kill_hard().await;
    let (done, said) = holdfast(&["promote"], second.path()).await;
    assert!(done, "{said}");
    let again = Program::start(second.path()).await;
    let ina = again.device(LEAD_WORDS, "Ina").await;
    until_read(&ina, &last["id"]).await;
    again.kill_hard().await;
}

/// What lets people in comes with a record that goes on from the one here, or not at all.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_started_beside_a_board_that_came_back_with_less_takes_nothing_from_it() {
    let (first, second, stick) = (tempdir().unwrap(), tempdir().unwrap(), tempdir().unwrap());
    let board = Program::start(first.path()).await;
    let teo = board.device(CODE, "Teo").await;
    let woman = teo.registers("woman in red").await;
    holdfast::journal::copy(
        &crate::program::file_in(first.path()),
        stick.path(),
        holdfast::clock::wall_now(),
    )
    .await
    .unwrap();
    let origin = board.origin.clone();
    let words = standby_words(&origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, second.path()).await;
    let vic = standby.device(LEAD_WORDS, "Vic").await;
    let mia = board.device(CODE, "Mia").await;
    let mut last = Value::Null;
    for _ in 0..4 {
        last = mia.notes(&woman, "under way").await;
    }
    until_read(&vic, &last["id"]).await;
    standby.kill_hard().await;
    let head = head_of(&mia).await["seq"].as_u64().unwrap();
    board.kill_hard().await;
    let less = in_the_place_of(&origin, stick.path()).await;
    let (done, said) = holdfast(&words, second.path()).await;
    assert!(!done && said.contains("it ends at entry"), "{said}");
    // As many entries, and others.
    let sol = less.device(CODE, "Sol").await;
    while head_of(&sol).await["seq"].as_u64().unwrap() < head {
        sol.notes(&woman, "cold").await;
    }
    assert_eq!(head_of(&sol).await["seq"], head);
    let (done, said) = holdfast(&words, second.path()).await;
    assert!(
        !done && said.contains(&format!("entry {head} is another one")),
        "{said}"
    );
    less.kill_hard().await;
    let (done, said) = holdfast(&["promote"], second.path()).await;
    assert!(done, "{said}");
    // Who joined after that copy was made is in still.
    let again = Program::start(second.path()).await;
    assert_eq!(mia.at(&again.origin).gets("/session").await.status, 200);
    again.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_the_board_hands_over_is_changed_on_the_board_and_words_of_the_standbys_own_stay() {
    let (first, second) = (tempdir().unwrap(), tempdir().unwrap());
    let board = Program::start(first.path()).await;
    let teo = board.device(CODE, "Teo").await;
    let words = standby_words(&board.origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, second.path()).await;
    let vic = standby.device(LEAD_WORDS, "Vic").await;
    let mia = standby.device(CODE, "Mia").await;
    for path in [
        format!("/devices/{}/revocation", teo.id),
        format!("/devices/{}/reversal", teo.id),
        "/code/renewal".to_owned(),
    ] {
        let refused = vic.posts(&path, &json!({})).await;
        assert_eq!(refused.status, 409, "{path}: {}", refused.body);
        assert_eq!(refused.json()["code"], "only-follows");
    }
    assert_eq!(teo.at(&standby.origin).gets("/session").await.status, 200);
    // Who is in on this machine alone is this machine's to remove.
    let removed = vic
        .posts(&format!("/devices/{}/revocation", mia.id), &json!({}))
        .await;
    assert_eq!(removed.status, 204, "{}", removed.body);
    assert_eq!(mia.gets("/session").await.status, 401);
    // Words made here on purpose open this machine, whatever is made on the board.
    let (done, said) = holdfast(&["words"], second.path()).await;
    assert!(done, "{said}");
    let own = said.lines().next().unwrap().replace("Lead words", "");
    let (done, said) = holdfast(&["words"], first.path()).await;
    assert!(done, "{said}");
    // Some rounds of following.
    sleep(Duration::from_secs(3)).await;
    assert_eq!(joins(&standby.origin, &own).await, 200);
    assert_eq!(joins(&standby.origin, LEAD_WORDS).await, 403);
    assert!(!vic.opens("/board").await.says("are others there now"));
    standby.kill_hard().await;
    board.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_rebuilt_board_opens_to_the_words_made_last_and_is_not_rebuilt_again() {
    let lost = TestBoard::start().await;
    lost.device("Teo").await.registers("woman in red").await;
    let copy = rows(&lost.lead("Ina").await.reads_journal(0).await);
    let data = tempdir().unwrap();
    let fresh = Program::start(data.path()).await;
    let ina = fresh.device(LEAD_WORDS, "Ina").await;
    let (done, said) = holdfast(&["words"], data.path()).await;
    assert!(done, "{said}");
    let words = said.lines().next().unwrap().replace("Lead words", "");
    let site = restores(&ina, Value::Null, &copy).await;
    let ends = json!({ "site": site, "seq": copy.last().unwrap()["seq"], "codes": {} });
    // Two that end it at once: one does, and the other opens nothing again.
    let (one, other) = tokio::join!(
        ina.posts("/restoration/end", &ends),
        ina.posts("/restoration/end", &ends)
    );
    let mut answers = [one.status, other.status];
    answers.sort_unstable();
    assert_eq!(answers, [202, 409]);
    timeout(DEADLINE, async {
        let request = || ina.request(reqwest::Method::GET, "/session").send();
        while !request().await.is_ok_and(|answer| answer.status() == 401) {
            sleep(Duration::from_millis(50)).await;
        }
    })
    .await
    .expect("the rebuilt board answers");
    assert_eq!(joins(&fresh.origin, LEAD_WORDS).await, 403);
    let ina = fresh.device(&words, "Ina").await;
    assert!(ina.opens("/board").await.says("woman in red"));
    // Whose answer was lost taps again, and is not told to begin a third board.
    let again = json!({ "entries": copy[..2] });
    let refused = ina.posts("/restoration", &again).await;
    assert_eq!(refused.status, 409, "{}", refused.body);
    assert_eq!(refused.json()["code"], "rebuilt-already");
    assert!(!refused.body.contains("--new"), "{}", refused.body);
    fresh.kill_hard().await;
    verifies(data.path()).await;
}

/// The numbers of a board that went on are the same as those of the one before: what tells that both live is when a phone
/// heard it.
#[tokio::test]
async fn the_board_that_went_on_is_told_that_the_one_before_still_lives() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman in red").await;
    let stick = tempdir().unwrap();
    let to = stick.path().to_owned();
    holdfast::journal::copy(&board.file, &to, holdfast::clock::wall_now())
        .await
        .unwrap();
    let second = TestBoard::open(stick, Clock::ahead(), LEAD_WORDS).await;
    second.minutes_pass(10);
    teo.notes(&woman, "under way").await;
    let mut heard = head_of(&teo).await;
    let there = teo.at(&second.origin);
    // Heard before the other machine went on: what it took last was left behind, no more.
    heard["ago"] = json!(700);
    let verdict = there.posts("/seen", &heard).await.json();
    assert_eq!(verdict["verdict"], "left-behind");
    assert!(!there.opens("/board").await.says("ANOTHER BOARD"));
    heard["ago"] = json!(20);
    let verdict = there.posts("/seen", &heard).await.json();
    assert_eq!(verdict["verdict"], "elsewhere");
    assert!(there.opens("/board").await.says("ANOTHER BOARD"));
}
