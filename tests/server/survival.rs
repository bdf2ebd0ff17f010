//! The machine that keeps the board is lost: a second one goes on, from a standby's copy or from one device's, and
//! nothing that any surviving device saw acknowledged is missing.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tokio::task::JoinSet;
use tokio::time::{sleep, timeout};

use crate::harness::{DEADLINE, Device, LEAD_WORDS, TestBoard};
use crate::program::{CODE, Program, holdfast, standby_words, verifies};

/// A phone as it was when its board fell silent: what it reported and saw acknowledged.
struct Survivor {
    device: Device,
    acknowledged: Vec<Value>,
}

/// Reports until the board is gone.
async fn reports_on(
    device: Device,
    casualty: String,
    count: Arc<AtomicUsize>,
    over: Arc<AtomicBool>,
) -> Survivor {
    let mut acknowledged = Vec::new();
    while !over.load(Ordering::SeqCst) {
        let note = json!({ "kind": "note.added/1", "text": "under way" });
        let fact = device.fact(json!({ "casualty": casualty }), note);
        let request = device
            .request(reqwest::Method::POST, "/journal")
            .header("origin", &device.origin)
            .header("x-holdfast", "1")
            .header("content-type", "application/json")
            .body(json!({ "facts": [fact] }).to_string());
        let Ok(response) = request.send().await else {
            break;
        };
        let status = response.status();
        let Ok(text) = response.text().await else {
            break;
        };
        if status == 200 {
            let answer: Value = serde_json::from_str(&text).unwrap();
            assert!(answer["receipts"][0]["seq"].is_u64(), "{text}");
            acknowledged.push(fact);
            count.fetch_add(1, Ordering::SeqCst);
        }
        sleep(Duration::from_millis(60)).await;
    }
    Survivor {
        device,
        acknowledged,
    }
}

/// A busy incident on a program of its own.
struct Busy {
    program: Program,
    phones: JoinSet<Survivor>,
    count: Arc<AtomicUsize>,
    over: Arc<AtomicBool>,
}

impl Busy {
    async fn begin(data: &Path, phones: usize) -> Self {
        let program = Program::start(data).await;
        let first = program.device(CODE, "Teo").await;
        let casualty = first.registers("woman in green").await;
        let (count, over) = (Arc::<AtomicUsize>::default(), Arc::<AtomicBool>::default());
        let mut running = JoinSet::new();
        for number in 0..phones {
            let device = program.device(CODE, &format!("Phone {number}")).await;
            running.spawn(reports_on(
                device,
                casualty.clone(),
                Arc::clone(&count),
                Arc::clone(&over),
            ));
        }
        Self {
            program,
            phones: running,
            count,
            over,
        }
    }

    async fn has_taken(&self, many: usize) {
        timeout(DEADLINE, async {
            while self.count.load(Ordering::SeqCst) < many {
                sleep(Duration::from_millis(10)).await;
            }
        })
        .await
        .expect("the phones get answers");
    }

    /// The machine is gone with everything on it.
    async fn lose(mut self, data: &Path) -> Vec<Survivor> {
        self.program.kill_hard().await;
        std::fs::remove_dir_all(data).unwrap();
        self.over.store(true, Ordering::SeqCst);
        let mut survivors = Vec::new();
        while let Some(one) = self.phones.join_next().await {
            survivors.push(one.unwrap());
        }
        survivors
    }
}

/// Offers again what the phone saw acknowledged, as phones do when they meet another epoch.
async fn offers_again(device: &Device, facts: &[Value]) {
    for batch in facts.chunks(40) {
        timeout(Duration::from_secs(30), async {
            loop {
                let answer = device.posts("/journal", &json!({ "facts": batch })).await;
                if answer.status == 200 {
                    for receipt in answer.json()["receipts"].as_array().unwrap() {
                        assert!(receipt["seq"].is_u64(), "{receipt}");
                    }
                    return;
                }
                assert_eq!(answer.status, 429, "{}", answer.body);
                sleep(Duration::from_millis(500)).await;
            }
        })
        .await
        .expect("the board takes them");
    }
}

/// Everything the survivors saw acknowledged is in the journal once, in an unbroken record.
async fn nothing_is_missing(lead: &Device, survivors: &[Survivor]) -> Vec<Value> {
    let lines = lead.reads_journal(0).await;
    for (number, line) in (1_u64..).zip(&lines) {
        assert_eq!(line["seq"], number);
    }
    for fact in survivors.iter().flat_map(|one| &one.acknowledged) {
        let times = lines
            .iter()
            .filter(|line| line["entry"]["id"] == fact["id"])
            .count();
        assert_eq!(times, 1, "{fact}");
    }
    lines
}

pub(crate) async fn until_read(device: &Device, id: &Value) {
    timeout(DEADLINE, async {
        loop {
            let lines = device.reads_journal(0).await;
            if lines.iter().any(|line| line["entry"]["id"] == *id) {
                return;
            }
            sleep(Duration::from_millis(50)).await;
        }
    })
    .await
    .expect("the standby has it");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_goes_on_when_the_machine_and_its_data_are_lost() {
    let (first, second) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let data = first.path().join("data");
    let busy = Busy::begin(&data, 6).await;
    busy.has_taken(10).await;
    let origin = busy.program.origin.clone();
    let words = standby_words(&origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, second.path()).await;
    let watcher = standby.device(LEAD_WORDS, "Ina").await;
    // It is read there, and what is reported on the board is there soon.
    let mia = busy.program.device(CODE, "Mia").await;
    let child = mia.registers("child with a red cap").await;
    let seen = mia
        .reports(mia.fact(
            json!({ "casualty": child }),
            json!({ "kind": "note.added/1", "text": "calm" }),
        ))
        .await;
    until_read(&watcher, &seen["id"]).await;
    let page = watcher.opens("/board").await;
    assert!(
        page.says("red cap") && page.says("STANDBY"),
        "{}",
        page.html
    );
    // Nothing is reported there, and nobody who tries loses anything.
    let stray = mia.at(&standby.origin);
    timeout(DEADLINE, async {
        while stray.gets("/session").await.status == 401 {
            sleep(Duration::from_millis(50)).await;
        }
    })
    .await
    .expect("whoever is in on the board is in here");
    let refused = stray.posts("/journal", &json!({ "facts": [stray.fact(json!({ "casualty": child }), json!({ "kind": "note.added/1", "text": "stray" }))] })).await;
    assert_eq!(refused.status, 503, "{}", refused.body);
    // Nor can it be started as a board of its own by mistake.
    busy.has_taken(60).await;
    let begun = Instant::now();
    let survivors = busy.lose(&data).await;
    timeout(DEADLINE, async {
        while !watcher.opens("/board").await.says("holdfast promote") {
            sleep(Duration::from_millis(100)).await;
        }
    })
    .await
    .expect("the standby says what to do");
    let (done, said) = holdfast(&["promote"], second.path()).await;
    assert!(done && said.contains("is the board now"), "{said}");
    // Phones that were in are in: the machine took the address over, or they came by hand.
    for one in &survivors {
        let there = one.device.at(&standby.origin);
        assert_eq!(there.gets("/session").await.json()["device"], one.device.id);
        offers_again(&there, &one.acknowledged).await;
    }
    let after = mia.at(&standby.origin).notes(&child, "still calm").await;
    assert!(after["seq"].is_u64());
    report_time("from a standby", begun);
    let ina = standby.device(LEAD_WORDS, "Ina").await;
    let lines = nothing_is_missing(&ina, &survivors).await;
    let went_on: Vec<&Value> = lines
        .iter()
        .filter(|line| line["entry"]["fact"]["kind"] == "board.continued/1")
        .collect();
    assert_eq!(went_on.len(), 1);
    assert_eq!(went_on[0]["entry"]["fact"]["from"], "standby");
    let log = ina.opens("/log").await;
    assert!(log.says("ANOTHER MACHINE KEEPS THE BOARD"));
    assert!(!ina.opens("/board").await.says("STANDBY"));
    standby.kill_hard().await;
    verifies(second.path()).await;
    // From now on it starts as a board like any other.
    let again = Program::start(second.path()).await;
    assert_eq!(
        survivors[0]
            .device
            .at(&again.origin)
            .gets("/session")
            .await
            .status,
        200
    );
    again.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_copy_is_not_started_as_a_board_before_somebody_decides_so() {
    let board = TestBoard::start().await;
    board.device("Teo").await.registers("woman").await;
    let data = tempfile::tempdir().unwrap();
    let words = standby_words(&board.origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, data.path()).await;
    standby.kill_hard().await;
    let (done, said) = holdfast(&["--listen", "127.0.0.1:0"], data.path()).await;
    let promote = format!("holdfast promote --data \"{}\"", data.path().display());
    assert!(!done && said.contains(&promote), "{said}");
    // It goes on following where it stopped.
    let woman = board.device("Mia").await.registers("second woman").await;
    let standby = Program::run(&[], &words, data.path()).await;
    let watcher = standby.device(LEAD_WORDS, "Ina").await;
    timeout(DEADLINE, async {
        while watcher.gets(&format!("/casualties/{woman}")).await.status != 200 {
            sleep(Duration::from_millis(50)).await;
        }
    })
    .await
    .expect("it caught up");
    standby.kill_hard().await;
    let (done, said) = holdfast(&["promote"], data.path()).await;
    let start = format!("Start it: holdfast --data \"{}\"", data.path().display());
    assert!(done && said.contains(&start), "{said}");
    let (done, said) = holdfast(&["promote"], data.path()).await;
    assert!(!done && said.contains("no standby's copy"), "{said}");
    verifies(data.path()).await;
    let wrong = standby_words(&board.origin, "river stone lump");
    let (done, said) = holdfast(&wrong, &data.path().join("other")).await;
    assert!(!done && said.contains("lead words"), "{said}");
}

/// Rows of a copy as a device keeps them.
pub(crate) fn rows(lines: &[Value]) -> Vec<Value> {
    lines
        .iter()
        .map(|line| json!({ "seq": line["seq"], "body": line["body"], "chain": line["chain"] }))
        .collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn one_device_that_kept_the_record_is_enough_to_go_on() {
    let (first, second) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let data = first.path().join("data");
    let busy = Busy::begin(&data, 6).await;
    let ina = busy.program.device(LEAD_WORDS, "Ina").await;
    busy.has_taken(30).await;
    let copy = rows(&ina.reads_journal(0).await);
    let handed = ina.gets("/standby").await.json();
    // What came after the device's last look is on the phones that reported it.
    busy.has_taken(90).await;
    let begun = Instant::now();
    let survivors = busy.lose(&data).await;
    let fresh = Program::start(second.path()).await;
    let lead = fresh.device(LEAD_WORDS, "Ina").await;
    assert!(lead.opens("/board").await.says("Was another board lost?"));
    let helper = fresh.device(CODE, "Teo").await;
    let refused = helper
        .posts("/restoration", &json!({ "entries": copy[..2] }))
        .await;
    assert_eq!(refused.status, 403, "only the lead");
    // A copy in which one word was changed is refused, and nothing of it is used.
    let mut forged = copy.clone();
    let body = forged[2]["body"]
        .as_str()
        .unwrap()
        .replace("woman in green", "woman in black");
    forged[2]["body"] = json!(body);
    let refused = lead
        .posts("/restoration", &json!({ "entries": forged[..10] }))
        .await;
    assert_eq!(refused.status, 422, "{}", refused.body);
    assert_eq!(refused.json()["code"], "not-whole");
    // Another device of the lead's cannot pull it out from under this one, nor end it where it stands.
    let (first, rest) = copy.split_at(copy.len() - 5);
    let site = restores(&lead, Value::Null, first).await;
    let deputy = fresh.device(LEAD_WORDS, "Eva").await;
    let refused = deputy
        .posts("/restoration", &json!({ "entries": copy[..20] }))
        .await;
    assert_eq!(refused.status, 409, "{}", refused.body);
    assert_eq!(refused.json()["code"], "occupied");
    let ends =
        json!({ "site": site, "seq": copy.last().unwrap()["seq"], "codes": handed["codes"] });
    let refused = lead.posts("/restoration/end", &ends).await;
    assert_eq!(refused.json()["code"], "incomplete", "{}", refused.body);
    restores(&lead, site.clone(), rest).await;
    let astray = json!({ "site": holdfast::clock::fresh_id(), "entries": copy[..2] });
    let refused = lead.posts("/restoration", &astray).await;
    assert_eq!(refused.json()["code"], "begin-again", "{}", refused.body);
    let people = json!({ "site": site, "sessions": handed["sessions"] });
    let taken = lead.posts("/restoration/people", &people).await;
    assert_eq!(taken.status, 204, "{}", taken.body);
    let ended = lead.posts("/restoration/end", &ends).await;
    assert_eq!(ended.status, 202, "{}", ended.body);
    // The same address serves the rebuilt board.
    timeout(DEADLINE, async {
        loop {
            let request = lead.request(reqwest::Method::GET, "/session");
            if request
                .send()
                .await
                .is_ok_and(|answer| answer.status() == 401)
            {
                return;
            }
            sleep(Duration::from_millis(50)).await;
        }
    })
    .await
    .expect("the rebuilt board answers");
    let ina = fresh.device(LEAD_WORDS, "Ina").await;
    assert!(ina.opens("/board").await.says("woman in green"));
    // Phones that were in are in, as who they were: what is theirs stays theirs.
    for one in &survivors {
        let again = one.device.at(&fresh.origin);
        assert_eq!(again.gets("/session").await.json()["device"], one.device.id);
        offers_again(&again, &one.acknowledged).await;
    }
    // So an undo that the lost machine had taken in, and the copy has not, is taken again.
    let first = &survivors[0];
    let undo = json!({ "kind": "entry.struck/1", "entry": first.acknowledged[0]["id"] });
    let undo = first
        .device
        .fact(first.acknowledged[0]["about"].clone(), undo);
    let undone = first.device.at(&fresh.origin).reports(undo).await;
    assert!(undone["seq"].is_u64(), "{undone}");
    // The poster is good as it hangs.
    fresh.device(CODE, "Mia").await;
    report_time("from one device", begun);
    let lines = nothing_is_missing(&ina, &survivors).await;
    let went_on = lines
        .iter()
        .find(|line| line["entry"]["fact"]["kind"] == "board.continued/1")
        .unwrap();
    assert_eq!(went_on["entry"]["fact"]["from"], "witness");
    assert_eq!(went_on["entry"]["fact"]["by"], "Ina");
    let refused = ina
        .posts("/restoration", &json!({ "entries": copy[..2] }))
        .await;
    assert_eq!(
        refused.json()["code"],
        "rebuilt-already",
        "a board with reports is never built over"
    );
    fresh.kill_hard().await;
    verifies(second.path()).await;
    let again = Program::start(second.path()).await;
    assert!(
        again
            .device(LEAD_WORDS, "Ina")
            .await
            .opens("/board")
            .await
            .says("woman in green")
    );
    again.kill_hard().await;
}

/// Sends rows of a copy; gives the site they belong to.
pub(crate) async fn restores(lead: &Device, mut site: Value, copy: &[Value]) -> Value {
    for chunk in copy.chunks(20) {
        let taken = lead
            .posts("/restoration", &json!({ "site": site, "entries": chunk }))
            .await;
        assert_eq!(taken.status, 200, "{}", taken.body);
        assert_eq!(taken.json()["head"], chunk.last().unwrap()["seq"]);
        site = taken.json()["site"].clone();
    }
    site
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_board_started_from_a_copy_on_a_stick_is_another_machines_and_phones_bring_the_rest() {
    let board = TestBoard::start().await;
    let (teo, mia) = (board.device("Teo").await, board.device("Mia").await);
    let woman = teo.registers("woman in green").await;
    let stick = tempfile::tempdir().unwrap();
    let to = stick.path().join("copies");
    holdfast::journal::copy(&board.file, &to, holdfast::clock::wall_now())
        .await
        .unwrap();
    // What came after the copy.
    let noted = teo.notes(&woman, "sits up").await;
    let head = head_of(&teo).await;
    assert_eq!(head["seq"], noted["seq"]);
    let again = Program::start(&to).await;
    assert!(again.said.contains("It was a copy"), "{}", again.said);
    let there = teo.at(&again.origin);
    // The phone is told that it saw more, and brings it; numbers of before mean nothing here.
    let verdict = there.posts("/seen", &head).await.json();
    assert_eq!(verdict["verdict"], "left-behind");
    for _ in 0..5 {
        mia.at(&again.origin).notes(&woman, "under way").await;
    }
    let fact = json!({ "kind": "note.added/1", "text": "sits up" });
    let mut fact = there.fact(json!({ "casualty": woman }), fact);
    fact["epoch"] = head["epoch"].clone();
    fact["based_on"] = head["seq"].clone();
    let brought = there.reports(fact).await;
    let lead = again.device(LEAD_WORDS, "Ina").await;
    let lines = lead.reads_journal(0).await;
    let went_on = lines
        .iter()
        .find(|line| line["entry"]["fact"]["kind"] == "board.continued/1")
        .unwrap();
    assert_eq!(went_on["entry"]["fact"]["from"], "copy");
    let kept = lines
        .iter()
        .find(|line| line["seq"] == brought["seq"])
        .unwrap();
    let copied = went_on["seq"].as_u64().unwrap() - 1;
    assert!(copied < head["seq"].as_u64().unwrap());
    assert_eq!(kept["entry"]["based_on"], copied);
    assert!(lead.opens("/log").await.says("a copy of its file"));
    // It is a board of its own from here on.
    again.kill_hard().await;
    verifies(&to).await;
    let again = Program::start(&to).await;
    assert!(!again.said.contains("It was a copy"), "{}", again.said);
    again.kill_hard().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_standby_speaks_of_taking_over_only_while_the_board_is_silent() {
    let (first, second) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let board = Program::start(&first.path().join("data")).await;
    let words = standby_words(&board.origin, LEAD_WORDS);
    // Somebody typed `holdfast promote` here once and nothing came of it.
    std::fs::write(second.path().join("take-over"), b"").unwrap();
    let standby = Program::run(&[], &words, second.path()).await;
    let watcher = standby.device(LEAD_WORDS, "Vic").await;
    let ina = board.device(LEAD_WORDS, "Ina").await;
    let says = async |words: &str| {
        timeout(DEADLINE, async {
            while !watcher.opens("/board").await.says(words) {
                sleep(Duration::from_millis(100)).await;
            }
        })
        .await
        .unwrap_or_else(|_| panic!("it never says {words}"));
    };
    says("only follows").await;
    // The lead's words leak and are made anew: the old ones open nothing on the second machine either.
    let (done, said) = holdfast(&["words"], &first.path().join("data")).await;
    assert!(done, "{said}");
    says("are others there now").await;
    let eve = Device::stranger(&standby.origin, holdfast::clock::Clock::wall());
    let refused = eve
        .posts("/join", &json!({ "code": LEAD_WORDS, "name": "Eve" }))
        .await;
    assert_eq!(refused.status, 403, "{}", refused.body);
    // The lead removes the second machine: the board lives, and nobody is told to take over beside it.
    let lines = ina.reads_journal(0).await;
    let joined = lines
        .iter()
        .find(|line| line["entry"]["by"] == "standby machine");
    let machine = joined.unwrap()["entry"]["device"].as_str().unwrap();
    let removed = ina
        .posts(&format!("/devices/{machine}/revocation"), &json!({}))
        .await;
    assert_eq!(removed.status, 204, "{}", removed.body);
    says("does not let this machine follow").await;
    assert!(!watcher.opens("/board").await.says("holdfast promote"));
    board.kill_hard().await;
    says("holdfast promote").await;
    // It does so within a moment, however long an answer would be waited for.
    let begun = Instant::now();
    let (done, said) = holdfast(&["promote"], second.path()).await;
    assert!(done && said.contains("is the board now"), "{said}");
    assert!(begun.elapsed() < Duration::from_secs(5));
    standby.kill_hard().await;
}

/// Where a board says it stands.
pub(crate) async fn head_of(device: &Device) -> Value {
    let mut stream = device.watches("board", 0).await;
    stream.hears_of("hello").await.data["head"].clone()
}

#[tokio::test]
async fn a_missing_end_is_found_by_the_first_phone_that_saw_it() {
    let board = TestBoard::start().await;
    let (teo, ina) = (board.device("Teo").await, board.lead("Ina").await);
    let woman = teo.registers("woman").await;
    for _ in 0..4 {
        teo.notes(&woman, "under way").await;
    }
    let head = head_of(&teo).await;
    assert_eq!(head["seq"], board.head());
    assert_eq!(teo.posts("/seen", &head).await.json()["verdict"], "here");
    let stopped = board.stop_for_good().await;
    stopped
        .tampers(&[
            "drop trigger entry_is_never_deleted",
            "delete from entry where seq > (select max(seq) - 2 from entry)",
        ])
        .await;
    // The file alone holds together: nothing in it says that there was more.
    let board = stopped.start().await;
    let (teo, ina) = (teo.at(&board.origin), ina.at(&board.origin));
    assert_eq!(
        teo.posts("/seen", &head).await.json()["verdict"],
        "end-missing"
    );
    assert_eq!(
        teo.posts("/seen", &head).await.json()["verdict"],
        "end-missing"
    );
    assert!(ina.opens("/board").await.says("ENTRIES ARE MISSING: Teo"));
    let log = ina.opens("/log").await.html;
    assert_eq!(
        log.matches("saw entry").count(),
        2,
        "in the banner and once in the log"
    );
}

#[tokio::test]
async fn another_history_of_the_same_board_is_told_apart() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    let stopped = board.stop_for_good().await;
    let twin = tempfile::tempdir().unwrap();
    std::fs::copy(
        &stopped.file,
        twin.path().join(stopped.file.file_name().unwrap()),
    )
    .unwrap();
    let (one, other) = (stopped.start().await, TestBoard::start_in(twin).await);
    let (here, there) = (teo.at(&one.origin), teo.at(&other.origin));
    here.notes(&woman, "said here").await;
    there.notes(&woman, "said there").await;
    let head = head_of(&here).await;
    assert_eq!(
        there.posts("/seen", &head).await.json()["verdict"],
        "changed"
    );
    assert!(there.opens("/board").await.says("ANOTHER HISTORY"));
    assert_eq!(here.posts("/seen", &head).await.json()["verdict"], "here");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_boards_that_both_went_on_are_told_apart() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman").await;
    let before = head_of(&teo).await;
    let data = tempfile::tempdir().unwrap();
    let words = standby_words(&board.origin, LEAD_WORDS);
    let standby = Program::run(&[], &words, data.path()).await;
    let (done, said) = holdfast(&["promote"], data.path()).await;
    assert!(done, "{said}");
    // The first machine was not lost at all, and went on.
    teo.notes(&woman, "only on the first").await;
    let after = head_of(&teo).await;
    let there = standby.device(LEAD_WORDS, "Ina").await;
    assert_eq!(
        there.posts("/seen", &before).await.json()["verdict"],
        "here"
    );
    let verdict = there.posts("/seen", &after).await.json()["verdict"].clone();
    assert_eq!(verdict, "left-behind");
    assert!(there.opens("/log").await.says("on the machine before"));
    let second = head_of(&there).await;
    assert_ne!(second["epoch"], before["epoch"]);
    assert_eq!(
        teo.posts("/seen", &second).await.json()["verdict"],
        "elsewhere"
    );
    assert!(teo.opens("/board").await.says("ANOTHER BOARD"));
    standby.kill_hard().await;
}

#[expect(clippy::print_stderr, reason = "measured, said, not asserted")]
fn report_time(how: &str, begun: Instant) {
    eprintln!("went on {how} after {:.1} s", begun.elapsed().as_secs_f64());
}

/// A copy kept by somebody who is not the lead: whole, with what only the lead may read sealed in it.
#[tokio::test]
async fn a_copy_with_sealed_entries_is_restored_with_the_lost_boards_words_and_not_without() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    teo.registers("woman in green").await;
    let report = json!({ "kind": "exposure.reported/1", "route": "eyes" });
    teo.says(json!("incident"), report.clone()).await;
    teo.registers("man in grey").await;
    // A restart makes other words for the lead; what is private opens with the first ones all the same.
    let board = board.restart_with("stone lamp river").await;
    let teo = teo.at(&board.origin);
    teo.says(json!("incident"), report).await;
    let lines = board.evac("Eva").await.reads_journal(0).await;
    let keeps = |line: &Value| match line["sealed"].as_str() {
        Some(sealed) => json!({ "seq": line["seq"], "sealed": sealed, "chain": line["chain"] }),
        None => json!({ "seq": line["seq"], "body": line["body"], "chain": line["chain"] }),
    };
    let copy: Vec<Value> = lines.iter().map(keeps).collect();
    assert!(copy.iter().any(|line| line["sealed"].is_string()));
    let other = TestBoard::start_with_words("lamp stone river").await;
    let lead = other.stranger().joins("lamp stone river", "Ina").await;
    let refused = lead
        .posts("/restoration", &json!({ "entries": copy }))
        .await;
    assert_eq!(refused.status, 422, "{}", refused.body);
    assert_eq!(refused.json()["code"], "sealed");
    assert!(refused.body.contains("--lead-words"));
    let fresh = TestBoard::start().await;
    let lead = fresh.lead("Ina").await;
    let taken = lead
        .posts("/restoration", &json!({ "entries": copy }))
        .await;
    assert_eq!(taken.status, 200, "{}", taken.body);
    assert_eq!(taken.json()["head"], lines.last().unwrap()["seq"]);
}
