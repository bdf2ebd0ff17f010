//! `POST /journal`: what is taken, what is not, and that each fact gets its own answer.

use std::collections::BTreeSet;

use holdfast::clock::fresh_id;
use serde_json::{Value, json};

use crate::harness::TestBoard;
use crate::harness::facts::{BOARD_ONLY, CASUALTY, fixtures, kinds, set_the_scene};

fn code(receipt: &Value) -> &str {
    receipt["problem"]["code"].as_str().unwrap_or("taken")
}

/// A refusal as people and programs need it.
fn assert_is_problem(receipt: &Value, code: &str) {
    let problem = &receipt["problem"];
    assert_eq!(problem["code"], code, "{receipt}");
    assert_eq!(problem["type"], format!("/problems/{code}"));
    assert!(problem["status"].as_u64().unwrap() >= 400);
    for text in ["title", "detail"] {
        assert!(problem[text].as_str().unwrap().len() > 10, "{receipt}");
    }
    assert!(receipt.get("seq").is_none());
}

#[tokio::test]
async fn one_of_every_kind_is_taken() {
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    set_the_scene(&lead).await;
    let mut taken = BTreeSet::new();
    let mut waiting: Vec<(String, Value)> = fixtures()
        .iter()
        .filter(|one| !BOARD_ONLY.contains(&one.kind()))
        .map(|one| (one.path.display().to_string(), one.to_send(&lead)))
        .collect();
    // Some are about what others report: those wait for the next round.
    loop {
        let mut later = Vec::new();
        let before = waiting.len();
        for (path, fact) in waiting {
            let receipt = lead.reports(fact.clone()).await;
            match code(&receipt) {
                "taken" => {
                    assert_eq!(receipt["seq"], board.head());
                    assert_eq!(receipt["id"], fact["id"]);
                    taken.insert(fact["fact"]["kind"].as_str().unwrap().to_owned());
                }
                "refers-to-nothing" => later.push((path, fact)),
                _ => panic!("{path}: {receipt}"),
            }
        }
        if later.is_empty() {
            break;
        }
        assert!(
            later.len() < before,
            "nothing reports what these are about: {later:?}"
        );
        waiting = later;
    }
    let known: BTreeSet<String> = kinds()
        .into_iter()
        .filter(|kind| !BOARD_ONLY.contains(&kind.as_str()))
        .collect();
    assert_eq!(taken, known);
}

#[tokio::test]
async fn what_the_board_writes_itself_nobody_else_may_write() {
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    for one in fixtures()
        .iter()
        .filter(|one| BOARD_ONLY.contains(&one.kind()))
    {
        let receipt = lead.reports(one.to_send(&lead)).await;
        assert_is_problem(&receipt, "board-only");
    }
}

#[tokio::test]
async fn nobody_can_strike_the_opening_of_the_board() {
    let board = TestBoard::start().await;
    let id = board.id.clone();
    let lead = board.lead("Ina").await;
    for seq in [1, 2] {
        let entry = lead.reads_journal(0).await[seq - 1]["entry"].clone();
        let strike = json!({ "kind": "entry.struck/1", "entry": entry["id"] });
        let receipt = lead.reports(lead.fact(json!("incident"), strike)).await;
        assert_is_problem(&receipt, "board-only");
    }
    let board = board.restart().await;
    assert_eq!(board.id, id, "it is the same board");
}

#[tokio::test]
async fn a_resend_gets_its_first_receipt_also_after_a_restart_and_from_a_phone_that_joined_again() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = fresh_id();
    let fact = teo.fact(
        json!({ "casualty": casualty }),
        json!({ "kind": "casualty.registered/1", "age": "child" }),
    );
    let first = teo.reports(fact.clone()).await;
    let head = board.head();
    assert_eq!(teo.reports(fact.clone()).await, first);
    let twice = teo.reports_all(&[fact.clone(), fact.clone()]).await;
    assert_eq!(twice, [first.clone(), first.clone()]);
    let mut later = fact.clone();
    later["happened_at"] = json!("2026-01-01T00:00:00Z");
    assert_eq!(teo.reports(later).await, first, "as first said");
    assert_eq!(board.head(), head, "nothing was added");

    let board = board.restart().await;
    assert_eq!(teo.at(&board.origin).reports(fact.clone()).await, first);
    let again = board.device("Teo").await;
    let head = board.head();
    assert_eq!(again.reports(fact).await, first);
    assert_eq!(board.head(), head);
}

#[tokio::test]
async fn one_id_for_two_facts_is_told() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let one = teo.registers("woman").await;
    let other = teo.registers("man").await;
    let note = json!({ "kind": "note.added/1", "text": "cold" });
    let first = teo.fact(json!({ "casualty": one }), note);
    teo.reports(first.clone()).await;
    let mut other_text = first.clone();
    other_text["fact"]["text"] = json!("warm");
    assert_is_problem(&teo.reports(other_text).await, "id-used-twice");
    let mut about_another = first;
    about_another["about"] = json!({ "casualty": other });
    assert_is_problem(&teo.reports(about_another).await, "id-used-twice");
}

#[tokio::test]
async fn one_bad_fact_never_takes_the_batch_with_it() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = fresh_id();
    let about = json!({ "casualty": casualty });
    let wound = json!({ "wound": fresh_id() });
    let facts = [
        teo.fact(about.clone(), json!({ "kind": "casualty.registered/1", "age": "adult" })),
        teo.fact(about.clone(), json!({ "kind": "casualty.beamed_up/1" })),
        json!("not even an object"),
        teo.fact(
            wound.clone(),
            json!({ "kind": "wound.found/1", "casualty": casualty, "region": "wing", "flow": "ooze" }),
        ),
        teo.fact(
            wound.clone(),
            json!({ "kind": "wound.found/1", "casualty": casualty, "region": "hand", "flow": "ooze" }),
        ),
        teo.fact(wound, json!({ "kind": "step.taken/1", "step": "packing" })),
        json!(null),
    ];
    let head = board.head();
    let receipts = teo.reports_all(&facts).await;
    let codes: Vec<&str> = receipts.iter().map(code).collect();
    let wanted = [
        "taken",
        "not-understood",
        "not-understood",
        "not-understood",
        "taken",
        "taken",
        "not-understood",
    ];
    assert_eq!(codes, wanted);
    assert_eq!(board.head(), head + 3);
    assert_eq!(
        receipts[3]["id"], facts[3]["id"],
        "a refusal names its fact"
    );
    assert_eq!(receipts[2]["id"], Value::Null);
}

#[tokio::test]
async fn what_cannot_be_meant_is_refused_by_name() {
    let board = TestBoard::start().await;
    let lead = board.lead("Ina").await;
    set_the_scene(&lead).await;
    let casualty = json!({ "casualty": CASUALTY });
    let nobody = json!({ "casualty": fresh_id() });
    let no_wound = json!({ "wound": fresh_id() });
    let kit = json!({ "kit": board.id });
    let text = "x".repeat(281);
    let used: Vec<Value> = (0..13)
        .map(|_| json!({ "item": "cloth", "count": 1 }))
        .collect();
    let cases = [
        (
            "out-of-range",
            casualty.clone(),
            json!({ "kind": "vitals.measured/1", "pulse_per_minute": 301 }),
        ),
        (
            "out-of-range",
            casualty.clone(),
            json!({ "kind": "vitals.measured/1", "temperature_tenths_c": 149 }),
        ),
        (
            "out-of-range",
            kit.clone(),
            json!({ "kind": "stock.counted/1", "item": "cloth", "count": 10000 }),
        ),
        (
            "out-of-range",
            json!({ "wound": crate::harness::facts::WOUND }),
            json!({ "kind": "step.taken/1", "step": "packing", "used": used }),
        ),
        (
            "out-of-range",
            json!({ "wound": crate::harness::facts::WOUND }),
            json!({ "kind": "step.taken/1", "step": "packing", "used": [{ "item": "cloth", "count": 0 }] }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "vitals.measured/1", "pulse_per_minute": -1 }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "vitals.measured/1", "pulse_per_minute": 7.5 }),
        ),
        (
            "not-understood",
            kit,
            json!({ "kind": "stock.counted/1", "item": "magic", "count": 1 }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "note.added/1", "text": text }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "note.added/1", "text": "  \u{7}" }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "note.added/1", "text": "a", "mood": "b" }),
        ),
        (
            "not-understood",
            casualty.clone(),
            json!({ "kind": "note.added/2", "text": "a" }),
        ),
        ("not-understood", casualty.clone(), json!({ "text": "a" })),
        (
            "not-understood",
            json!({ "ghost": CASUALTY }),
            json!({ "kind": "note.added/1", "text": "a" }),
        ),
        (
            "not-understood",
            json!({ "casualty": "7" }),
            json!({ "kind": "note.added/1", "text": "a" }),
        ),
        (
            "says-nothing",
            casualty.clone(),
            json!({ "kind": "vitals.measured/1" }),
        ),
        (
            "says-nothing",
            casualty.clone(),
            json!({ "kind": "casualty.described/1" }),
        ),
        (
            "says-nothing",
            json!("incident"),
            json!({ "kind": "incident.described/1" }),
        ),
        (
            "does-not-fit",
            json!("incident"),
            json!({ "kind": "casualty.moved/1", "place": "road" }),
        ),
        (
            "does-not-fit",
            casualty.clone(),
            json!({ "kind": "wound.looked/1", "bleeding": "stopped" }),
        ),
        (
            "refers-to-nothing",
            nobody.clone(),
            json!({ "kind": "casualty.moved/1", "place": "road" }),
        ),
        (
            "refers-to-nothing",
            nobody,
            json!({ "kind": "note.added/1", "text": "a" }),
        ),
        (
            "refers-to-nothing",
            no_wound.clone(),
            json!({ "kind": "wound.looked/1", "bleeding": "stopped" }),
        ),
        (
            "refers-to-nothing",
            no_wound,
            json!({ "kind": "wound.found/1", "casualty": fresh_id(), "region": "hand", "flow": "ooze" }),
        ),
        (
            "refers-to-nothing",
            casualty.clone(),
            json!({ "kind": "casualty.taken/1", "helper": fresh_id() }),
        ),
        (
            "refers-to-nothing",
            casualty,
            json!({ "kind": "entry.struck/1", "entry": fresh_id() }),
        ),
    ];
    let head = board.head();
    for (wanted, about, fact) in cases {
        let receipt = lead.reports(lead.fact(about, fact.clone())).await;
        assert_eq!(code(&receipt), wanted, "{fact}: {receipt}");
        assert_is_problem(&receipt, wanted);
    }
    assert_eq!(board.head(), head, "nothing of it was written");
}

#[tokio::test]
async fn a_wound_stays_with_its_casualty() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let one = teo.registers("woman").await;
    let other = teo.registers("man").await;
    let wound = teo.finds_wound(&one, "thigh", "high").await;
    let fact =
        json!({ "kind": "wound.found/1", "casualty": other, "region": "thigh", "flow": "high" });
    assert_is_problem(
        &teo.reports(teo.fact(json!({ "wound": wound }), fact)).await,
        "does-not-fit",
    );
}

#[tokio::test]
async fn a_role_is_asked_for_each_fact() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let jo = board.device("Jo").await;
    let eva = board.evac("Eva").await;
    let viewer = board.viewer("Vic").await;
    let lead = board.lead("Ina").await;
    let casualty = teo.registers("woman").await;
    let about = json!({ "casualty": casualty });
    let note = teo.notes(&casualty, "cold").await;
    let bare = json!({ "kind": "entry.struck/1", "entry": note["id"] });
    let strike =
        json!({ "kind": "entry.struck/1", "entry": note["id"], "reason": "of somebody else" });
    let give = |to: &str| json!({ "kind": "casualty.taken/1", "helper": to });
    let nobody = json!({ "kind": "casualty.taken/1", "helper": null });
    let sorted = |category: &str| json!({ "kind": "category.assigned/1", "category": category });
    let evac = json!({ "kind": "evac.requested/1", "priority": "soon", "posture": "lying" });
    let named = json!({ "kind": "incident.described/1", "name": "Bus" });
    let text = json!({ "kind": "note.added/1", "text": "a" });
    let cases = [
        (&teo, "not-allowed", &about, sorted("expectant")),
        (&lead, "taken", &about, sorted("expectant")),
        (&teo, "taken", &about, sorted("immediate")),
        (&eva, "not-allowed", &about, sorted("immediate")),
        (&teo, "not-allowed", &about, give(&jo.id)),
        (&teo, "not-allowed", &about, nobody.clone()),
        (&teo, "taken", &about, give(&teo.id)),
        // Nobody but the lead takes a casualty from another; who has them may hand them on or put them down.
        (&jo, "not-allowed", &about, nobody.clone()),
        (&jo, "not-allowed", &about, give(&lead.id)),
        (&teo, "taken", &about, give(&jo.id)),
        (&jo, "taken", &about, nobody.clone()),
        (&lead, "taken", &about, give(&jo.id)),
        (&lead, "taken", &about, nobody),
        (&jo, "not-allowed", &about, strike.clone()),
        (&eva, "not-allowed", &about, strike.clone()),
        // One's own mistake needs no reason; what somebody else said does.
        (&lead, "needs-reason", &about, bare.clone()),
        (&teo, "taken", &about, bare),
        (&lead, "taken", &about, strike),
        (&eva, "taken", &about, evac.clone()),
        (&viewer, "not-allowed", &about, evac),
        (&viewer, "not-allowed", &about, text),
        (&teo, "not-allowed", &json!("incident"), named.clone()),
        (&lead, "taken", &json!("incident"), named),
    ];
    for (who, wanted, about, fact) in cases {
        let receipt = who.reports(who.fact(about.clone(), fact.clone())).await;
        assert_eq!(code(&receipt), wanted, "{fact}: {receipt}");
    }
}

#[tokio::test]
async fn a_time_from_the_future_or_long_past_is_marked_and_never_refused() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let lead = board.lead("Ina").await;
    let casualty = lead.registers("woman").await;
    let at = |time: &str| {
        let mut fact = lead.fact(
            json!({ "casualty": casualty }),
            json!({ "kind": "note.added/1", "text": time }),
        );
        fact["happened_at"] = json!(time);
        fact
    };
    // Told and kept; the slack between clocks is no future, and its edge is where what lies beyond is put, so that
    // two reports of one phone that runs ahead keep their order.
    let cases = [
        ("2026-11-25T17:00:00Z", "2026-11-25T14:00:02Z", true),
        ("9999-12-30T22:00:00Z", "2026-11-25T14:00:02Z", true),
        ("2026-11-25T14:00:01Z", "2026-11-25T14:00:01Z", false),
        ("2026-11-25T15:30:00+02:00", "2026-11-25T13:30:00Z", false),
        (
            "2026-11-25T13:59:59.123456789Z",
            "2026-11-25T13:59:59.123Z",
            false,
        ),
        ("0000-01-01T00:00:00Z", "2026-11-25T14:00:00Z", true),
        ("-009999-01-02T02:00:00Z", "2026-11-25T14:00:00Z", true),
    ];
    for (told, kept, marked) in cases {
        let receipt = lead.reports(at(told)).await;
        assert_eq!(receipt["happened_at"], kept, "{receipt}");
        let line = lead.reads_journal(board.head() - 1).await.remove(0);
        assert_eq!(line["entry"]["happened_at"], kept);
        assert_eq!(line["entry"]["recorded_at"], "2026-11-25T14:00:00Z");
        let claimed = line["entry"].get("claimed_at");
        assert_eq!(claimed, marked.then_some(&json!(told)), "{line}");
    }
    // And every page can show what is that old.
    for page in [
        "/board",
        "/log",
        "/summary",
        &format!("/casualties/{casualty}"),
    ] {
        assert!(
            lead.opens(page).await.says("woman") || page == "/summary",
            "{page}"
        );
    }
    assert!(lead.opens("/log").await.says("phone's clock was wrong"));
}

#[tokio::test]
async fn a_based_on_beyond_the_end_is_no_knowledge_of_the_future() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    teo.has_seen(9_000_000);
    teo.notes(&casualty, "cold").await;
    let lead = board.lead("Ina").await;
    let lines = lead.reads_journal(0).await;
    let note = lines
        .iter()
        .find(|line| line["entry"]["fact"]["text"] == "cold")
        .unwrap();
    assert_eq!(note["entry"]["based_on"], note["seq"].as_u64().unwrap() - 1);
}

#[tokio::test]
async fn too_much_at_once_is_told_and_nothing_of_it_written() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    let note = |text: &str| {
        teo.fact(
            json!({ "casualty": casualty }),
            json!({ "kind": "note.added/1", "text": text }),
        )
    };
    let head = board.head();
    let fifty: Vec<Value> = (0..50).map(|n| note(&n.to_string())).collect();
    let mut too_many = fifty.clone();
    too_many.push(note("one more"));
    let answer = teo.posts("/journal", &json!({ "facts": too_many })).await;
    assert_eq!(answer.status, 413, "{}", answer.body);
    assert_eq!(answer.json()["code"], "too-large");
    let long = json!({ "facts": [note(&"x".repeat(66_000))] });
    let answer = teo.posts("/journal", &long).await;
    assert_eq!(answer.status, 413, "{}", answer.body);
    assert_eq!(answer.json()["code"], "too-large");
    assert_eq!(board.head(), head);
    let receipts = teo.reports_all(&fifty).await;
    let seqs: Vec<u64> = receipts
        .iter()
        .map(|one| one["seq"].as_u64().unwrap())
        .collect();
    assert_eq!(seqs, (head + 1..=head + 50).collect::<Vec<_>>());
    assert!(
        teo.reports_all(&[]).await.is_empty(),
        "an empty batch is no error"
    );
}

#[tokio::test]
async fn the_answer_names_the_board_its_time_and_its_head() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    let answer = teo.posts("/journal", &json!({ "facts": [] })).await.json();
    assert_eq!(answer["board"], board.id);
    assert_eq!(answer["now"], "2026-11-25T14:00:00Z");
    assert_eq!(answer["head"], board.head());
}

#[tokio::test]
async fn many_at_once_get_different_places_and_none_is_lost() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    let head = board.head();
    let mut writers = tokio::task::JoinSet::new();
    for writer in 0..8 {
        let (teo, casualty) = (teo.clone(), casualty.clone());
        writers.spawn(async move {
            let mut seqs = Vec::new();
            for turn in 0..10 {
                let receipt = teo.notes(&casualty, &format!("{writer}.{turn}")).await;
                seqs.push(receipt["seq"].as_u64().unwrap());
            }
            seqs
        });
    }
    let mut seqs: Vec<u64> = writers.join_all().await.concat();
    seqs.sort_unstable();
    assert_eq!(seqs, (head + 1..=head + 80).collect::<Vec<_>>());
}
