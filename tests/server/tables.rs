//! The file on disk: readable with any `SQLite` shell, hard to change by accident, and checked.

use holdfast::clock::fresh_id;
use holdfast::journal::verify;
use serde_json::{Value, json};

use crate::harness::{Stopped, TestBoard};

/// Woman 1 with a packed forearm, man 2 under a tourniquet waiting to leave; some gauze counted.
async fn a_story() -> TestBoard {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    let woman = teo.registers("woman, green coat").await;
    board.minutes_pass(1);
    let arm = teo.finds_wound(&woman, "forearm", "steady").await;
    board.minutes_pass(1);
    teo.takes_step(&arm, "packing", "packing_gauze").await;
    let man = teo.registers("man, beard").await;
    let leg = teo.finds_wound(&man, "thigh", "spurting").await;
    teo.takes_step(&leg, "tourniquet", "tourniquet").await;
    board.minutes_pass(1);
    let ina = board.lead("Ina").await;
    teo.checks_tourniquet(&leg, false, "absent").await;
    ina.sorts(&man, "immediate").await;
    ina.moves(&woman, "by the shelter").await;
    teo.takes(&man).await;
    ina.counts(&board.id, "packing_gauze", 10).await;
    board.minutes_pass(1);
    teo.takes_step(&arm, "packing", "packing_gauze").await;
    let wrong = teo.notes(&woman, "wrong person").await;
    teo.strikes(json!({ "casualty": woman }), &wrong).await;
    ina.requests_evac(&man, "first", "lying").await;
    board
}

async fn verdict(stopped: &Stopped) -> String {
    let verdict = verify(&stopped.file).await.unwrap();
    verdict
        .findings
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}

#[tokio::test]
async fn the_tables_say_what_happened() {
    let board = a_story().await;
    let casualties = board
        .read_table(
            "select number, words, place, category, bleeding, tourniquet_since, dressings_used, evac, helper \
             from board",
        )
        .await;
    assert_eq!(
        casualties,
        [
            json!([
                1,
                "woman, green coat",
                "by the shelter",
                null,
                "held_by_hand",
                null,
                2,
                "none",
                null
            ]),
            json!([
                2,
                "man, beard",
                null,
                "immediate",
                "tourniquet",
                "2026-11-25T14:02:00Z",
                1,
                "requested",
                "Teo"
            ]),
        ]
    );
    let wounds = board
        .read_table("select casualty_number, region, side, hold, found_at from wound order by 1")
        .await;
    assert_eq!(
        wounds,
        [
            json!([
                1,
                "forearm",
                "left",
                "pack_pressing",
                "2026-11-25T14:01:00Z"
            ]),
            json!([
                2,
                "thigh",
                "left",
                "tourniquet_holds",
                "2026-11-25T14:02:00Z"
            ]),
        ]
    );
    let stock = board
        .read_table("select item, counted, used, in_the_bags from stock order by 1")
        .await;
    assert_eq!(
        stock,
        [
            json!(["gloves", null, 2, 0]),
            json!(["packing_gauze", 10, 1, 9]),
            json!(["tourniquet", null, 1, 0])
        ]
    );
    let evac = board
        .read_table("select casualty_number, priority, posture from evac_request")
        .await;
    assert_eq!(evac, [json!([2, "first", "lying"])]);
    let people = board
        .read_table("select name, role, skill from person order by 1")
        .await;
    assert_eq!(
        people,
        [
            json!(["Ina", "lead", "first_aider"]),
            json!(["Teo", "helper", "first_aider"])
        ]
    );
    let kinds = board
        .read_table("select kind, by_name from entry order by seq limit 3")
        .await;
    assert_eq!(kinds[0][0], "incident.opened/1");
    assert_eq!(kinds[2], json!(["casualty.registered/1", "Teo"]));
}

#[tokio::test]
async fn the_file_holds_no_token_and_no_words_of_the_lead() {
    let board = a_story().await;
    let ina = board.lead("Ina").await;
    let token = ina
        .cookie
        .clone()
        .unwrap()
        .split_once('=')
        .unwrap()
        .1
        .to_owned();
    let stopped = board.stop_for_good().await;
    let bytes = std::fs::read(&stopped.file).unwrap();
    let holds = |text: &str| {
        bytes
            .windows(text.len())
            .any(|window| window == text.as_bytes())
    };
    assert!(holds("green coat"), "this looks into the file at all");
    assert!(!holds(&token));
    assert!(!holds("river"));
}

#[tokio::test]
async fn entries_are_neither_changed_nor_deleted() {
    let stopped = a_story().await.stop_for_good().await;
    let refused = stopped
        .is_kept_from("update entry set body = replace(body, 'green', 'red')")
        .await;
    assert!(refused.contains("never changed"), "{refused}");
    let refused = stopped
        .is_kept_from("delete from entry where seq = 3")
        .await;
    assert!(refused.contains("never deleted"), "{refused}");
    let refused = stopped
        .is_kept_from("insert into entry (seq, id, body, chain) select 900, id, body, chain from entry limit 1")
        .await;
    assert!(refused.contains("never replaced"), "{refused}");
    let refused = stopped
        .is_kept_from("insert or replace into entry (seq, id, body, chain) select seq, id, body, chain from entry limit 1")
        .await;
    assert!(refused.contains("never replaced"), "{refused}");
    assert_eq!(verdict(&stopped).await, "");
}

#[tokio::test]
async fn an_untouched_file_is_whole_and_its_check_is_what_the_board_showed() {
    let board = a_story().await;
    let head = board.head();
    let teo = board.device("Teo").await;
    let mut stream = teo.watches("board", 0).await;
    let check = stream.hears_of("hello").await.data["check"].clone();
    drop(stream);
    let stopped = board.stop_for_good().await;
    let verdict = verify(&stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{:?}", verdict.findings);
    assert_eq!(verdict.head.0, head + 1);
    assert_eq!(check, verdict.check);
}

#[tokio::test]
async fn one_changed_byte_is_found_and_the_board_does_not_start_on_it() {
    let stopped = a_story().await.stop_for_good().await;
    let at = stopped
        .read_table("select seq from entry where body like '%green coat%'")
        .await;
    stopped
        .tampers(&[
            "drop trigger entry_is_never_changed",
            "update entry set body = replace(body, 'green coat', 'green cost')",
        ])
        .await;
    let found = verdict(&stopped).await;
    assert!(
        found.contains(&format!("CHANGED at entry {}", at[0][0])),
        "{found}"
    );
    let told = stopped.fails_to_start().await;
    assert!(
        told.contains("damaged") && told.contains("holdfast verify"),
        "{told}"
    );
}

#[tokio::test]
async fn other_ways_to_change_the_record_are_found_too() {
    let cases: [(&[&str], &str); 5] = [
        (
            &[
                "drop trigger entry_is_never_deleted",
                "delete from entry where seq = 4",
            ],
            "CHANGED at entry 4",
        ),
        (
            &[
                "drop trigger entry_is_never_changed",
                "update entry set chain = zeroblob(32) where seq = 5",
            ],
            "CHANGED at entry 5",
        ),
        (
            &[
                "drop trigger entry_is_never_changed",
                "update entry set id = 'x' where seq = 3",
            ],
            "CHANGED at entry 3",
        ),
        (
            &[
                "drop trigger entry_is_never_replaced",
                "insert or replace into entry (seq, id, body, chain) \
               select seq, id, replace(body, 'beard', 'board'), chain from entry where body like '%beard%'",
            ],
            "CHANGED at entry",
        ),
        // The end cut off leaves a whole chain: the state tables tell.
        (
            &[
                "drop trigger entry_is_never_deleted",
                "delete from entry where seq = (select max(seq) from entry)",
            ],
            "STATE TABLE",
        ),
    ];
    for (statements, wanted) in cases {
        let stopped = a_story().await.stop_for_good().await;
        stopped.tampers(statements).await;
        let found = verdict(&stopped).await;
        assert!(found.contains(wanted), "{statements:?}: {found}");
    }
}

#[tokio::test]
async fn a_changed_state_table_is_found_and_mended_at_the_next_start() {
    for (statement, table) in [
        (
            "update casualty set category = 'minor' where number = 2",
            "casualty",
        ),
        ("delete from wound where casualty_number = 1", "wound"),
        ("update stock set used = 0", "stock"),
        (
            "insert into evac_request values (1, 'now', 'first', 'lying', null)",
            "evac_request",
        ),
        ("update person set role = 'lead'", "person"),
    ] {
        let stopped = a_story().await.stop_for_good().await;
        let query = format!("select * from {table} order by 1");
        let before: Vec<Value> = stopped.read_table(&query).await;
        stopped.tampers(&[statement]).await;
        assert_ne!(stopped.read_table(&query).await, before);
        let found = verdict(&stopped).await;
        assert_eq!(
            found,
            format!("STATE TABLE {table} does not equal the journal")
        );
        let stopped = stopped.start().await.stop_for_good().await;
        assert_eq!(stopped.read_table(&query).await, before);
        assert_eq!(verdict(&stopped).await, "");
    }
}

#[tokio::test]
async fn what_comes_in_one_batch_is_in_the_tables_as_if_it_had_come_one_by_one() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualties: Vec<String> = (0..5).map(|_| fresh_id().to_string()).collect();
    let mut facts = Vec::new();
    for (number, casualty) in casualties.iter().enumerate() {
        let registered = json!({ "kind": "casualty.registered/1", "age": "adult", "words": format!("person {}", number + 1) });
        facts.push(teo.fact(json!({ "casualty": casualty }), registered));
        let wound = json!({ "wound": fresh_id() });
        let found = json!({ "kind": "wound.found/1", "casualty": casualty, "region": "thigh", "flow": "high" });
        facts.push(teo.fact(wound.clone(), found));
        facts.push(teo.fact(wound, json!({ "kind": "step.taken/1", "step": "packing", "used": [{ "item": "cloth", "count": 2 }] })));
        if number == 1 {
            let strike = json!({ "kind": "entry.struck/1", "entry": facts[facts.len() - 1]["id"] });
            facts.push(teo.fact(json!("incident"), strike));
        }
    }
    for receipt in teo.reports_all(&facts).await {
        assert!(receipt["seq"].is_u64(), "{receipt}");
    }
    let rows = board
        .read_table("select number, words, dressings_used from casualty order by 1")
        .await;
    let wanted: Vec<Value> = [2, 0, 2, 2, 2]
        .into_iter()
        .zip(1..)
        .map(|(used, number)| json!([number, format!("person {number}"), used]))
        .collect();
    assert_eq!(rows, wanted);
    let owners = board
        .read_table("select casualty_number from wound order by 1")
        .await;
    assert_eq!(owners, [[1], [2], [3], [4], [5]].map(|one| json!(one)));
    assert_eq!(verdict(&board.stop_for_good().await).await, "");
}

#[cfg(unix)]
#[tokio::test]
async fn only_its_owner_reads_the_file() {
    use std::os::unix::fs::PermissionsExt;
    let board = a_story().await;
    let mode =
        |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let stopped = board.stop_for_good().await;
    assert_eq!(mode(&stopped.file), 0o600);
    assert_eq!(mode(stopped.file.parent().unwrap()), 0o700);
}

/// With nothing but `sqlite3`: what the incident works with, who counts as what, and what is in which kit.
#[tokio::test]
async fn settings_and_kits_are_read_in_the_tables() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let policies = "select count(*), sum(changed_at is not null) from policy";
    let all = holdfast::incident::Setting::ALL.len();
    assert_eq!(
        board.read_table(policies).await,
        [json!([all, 0])],
        "all, as they were brought"
    );
    let longer = json!({ "kind": "policy.changed/1", "setting": "hold_pressure", "value": 15, "decided_by": "Dr. Okoro" });
    let receipt = ina.says(json!("incident"), longer).await;
    let medic = json!({ "kind": "helper.trained/2", "helper": teo.id, "named_as": "medic" });
    ina.says(json!("incident"), medic).await;
    let box_id = fresh_id().to_string();
    let about = json!({ "kit": box_id });
    let said = json!({ "kind": "kit.described/1", "name": "red bag", "carrier": teo.id });
    teo.says(about.clone(), said).await;
    board.minutes_pass(1);
    ina.counts(&board.id, "tourniquet", 4).await;
    let counted = json!({ "kind": "stock.counted/2", "items": [{ "item": "haemostatic_gauze", "count": 3, "out_of_date": 1 }] });
    teo.says(about.clone(), counted).await;
    board.minutes_pass(1);
    let moved = json!({ "kind": "stock.moved/1", "to": box_id, "items": [{ "item": "tourniquet", "count": 2 }] });
    ina.says(json!({ "kit": board.id }), moved).await;
    let woman = teo.registers("woman").await;
    let leg = teo.finds_wound(&woman, "thigh", "spurting").await;
    teo.takes_step(&leg, "packing", "haemostatic_gauze").await;
    let changed = "select words, value, brought_as, changed_by, decided_by from changed_settings";
    assert_eq!(
        board.read_table(changed).await,
        [json!([
            "Direct pressure, without looking",
            "15 min",
            "10 min",
            "Ina",
            "Dr. Okoro"
        ])]
    );
    let named = board
        .read_table("select person.name, named_as from named join person using (device)")
        .await;
    assert_eq!(named, [json!(["Teo", "medic"])]);
    let kits = board
        .read_table("select kit, with_or_at, item, left_in_it, out_of_date, moved, used from kits where item <> 'gloves'")
        .await;
    assert_eq!(
        kits,
        [
            json!(["common bag", null, "tourniquet", 2, 0, -2, 0]),
            json!(["red bag", "Teo", "haemostatic_gauze", 2, 1, 0, 1]),
            json!(["red bag", "Teo", "tourniquet", 2, 0, 2, 0]),
        ]
    );
    ina.strikes(json!("incident"), &receipt).await;
    assert_eq!(
        board.read_table(changed).await,
        Vec::<Value>::new(),
        "a strike undoes it here too"
    );
    let stopped = board.stop_for_good().await;
    assert_eq!(verdict(&stopped).await, "");
    stopped
        .tampers(&[
            "update kit_item set left_in_it = 9 where item = 'tourniquet'",
            "update policy set value = '99 min' where setting = 'hold_pressure'",
        ])
        .await;
    let found = verdict(&stopped).await;
    assert!(
        found.contains("kit_item") && found.contains("policy"),
        "{found}"
    );
    let board = stopped.start().await;
    let mended = board
        .read_table("select value from policy where setting = 'hold_pressure'")
        .await;
    assert_eq!(
        mended,
        [json!(["10 min"])],
        "worked out anew from the entries"
    );
}
