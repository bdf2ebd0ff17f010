//! Two records, one person: joined by the lead, proposed by helpers, pointed out by the board, and taken apart again.

use holdfast::incident::{CasualtyId, Fact};
use serde_json::{Value, json};

use crate::harness::{Device, TestBoard};

fn id(casualty: &str) -> CasualtyId {
    serde_json::from_value(json!(casualty)).unwrap()
}

fn about(casualty: &str) -> Value {
    json!({ "casualty": casualty })
}

fn same(other: &str) -> Value {
    json!({ "kind": "casualty.same/1", "other": other })
}

fn different(other: &str) -> Value {
    json!({ "kind": "casualty.different/1", "other": other })
}

/// The lead and two helpers who have all seen that somebody is there, and nothing after that; and who it is.
async fn three_who_know_of(board: &TestBoard, words: &str) -> (Device, Device, Device, String) {
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let who = teo.registers(words).await;
    for device in [&ina, &teo, &sol] {
        device.has_seen(board.head());
    }
    (ina, teo, sol, who)
}

/// The report behind the first button whose report holds these words.
fn offered(shown: &str, words: &str) -> Value {
    let report = shown
        .split("data-report=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .map(|report| report.replace("&#34;", "\"").replace("&quot;", "\""))
        .find(|report| report.contains(words))
        .expect("a button for each answer");
    serde_json::from_str(&report).unwrap()
}

/// Meets somebody at a place; returns their id.
async fn meets(device: &Device, age: &str, words: &str, place: &str) -> String {
    let casualty = holdfast::clock::fresh_id().to_string();
    let fact =
        json!({ "kind": "casualty.registered/1", "age": age, "words": words, "place": place });
    device.says(about(&casualty), fact).await;
    casualty
}

async fn part(device: &Device, name: &str) -> String {
    let page = device.opens("/board").await;
    page.part(name).unwrap_or_default().to_owned()
}

/// What stands in the board's tables: number, id, wounds.
async fn tables(board: &TestBoard) -> (Vec<Value>, Vec<Value>) {
    let casualties = board.read_table("select number, casualty_id, category_disputed, dressings_used from casualty order by number").await;
    let wounds = board
        .read_table("select casualty_number from wound order by casualty_number")
        .await;
    (casualties, wounds)
}

#[tokio::test]
async fn the_lead_joins_two_records_and_everything_leads_to_the_smaller_number() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let first = teo.registers("woman, green coat").await;
    let other = teo.registers("man").await;
    let second = sol.registers("woman, green").await;
    let wound = teo.finds_wound(&first, "forearm", "ooze").await;
    let leg = sol.finds_wound(&second, "thigh", "spurting").await;
    teo.sorts(&first, "delayed").await;
    sol.has_seen(board.head());
    // Sol saw the position, and not that it was about the same person.
    sol.sorts(&second, "immediate").await;
    let mut page = sol.opens(&format!("/casualties/{second}")).await;
    let mut stream = sol.watches(&format!("casualty:{second}"), page.seq()).await;
    board.minutes_pass(1);
    let joined = ina.says(about(&second), same(&first)).await;

    board.state(|incident| {
        assert_eq!(incident.casualties().count(), 2);
        let one = incident.casualty(id(&second)).unwrap();
        assert_eq!(
            (one.id, one.number),
            (id(&first), 1),
            "the smaller number stays"
        );
        assert_eq!(one.wounds.len(), 2);
        assert_eq!(incident.number(id(&second)), Some(1));
        assert_eq!(incident.also_numbers(id(&first)), [3]);
        assert!(
            one.category.is_disputed(),
            "nobody knew of the other's answer"
        );
        assert_eq!(incident.timeline(id(&second)).len(), 7);
        let both: Vec<_> = incident.evacuation().whereabouts.keys().collect();
        assert_eq!(both.len(), 0);
    });
    let (casualties, wounds) = tables(&board).await;
    assert_eq!(casualties.len(), 2);
    assert_eq!(casualties[0][0], 1);
    assert_eq!(casualties[0][2], 1, "two answers");
    assert_eq!(wounds, [json!([1]), json!([1])]);

    // The other number leads here, on a page that is open and on one that is opened.
    let event = stream
        .hears(|event| event.name == "parts" && event.data.to_string().contains("To 1"))
        .await;
    page.take_in(&event.data);
    assert!(
        page.part(&format!("who-{second}"))
            .unwrap()
            .contains("To 1")
    );
    let answer = sol.gets(&format!("/casualties/{second}")).await;
    assert_eq!(answer.status, 303);
    assert_eq!(answer.header("location"), format!("/casualties/{first}"));
    let row = part(&ina, &format!("row-{first}")).await;
    assert!(row.contains("was 3"), "{row}");
    assert!(part(&ina, &format!("row-{second}")).await.is_empty());
    assert!(part(&ina, &format!("row-{other}")).await.contains("man"));

    // Reports under either id land, also one that was on its way.
    let receipt = sol.takes_step(&leg, "tourniquet", "tourniquet").await;
    assert_eq!(
        receipt["number"], 1,
        "the phone learns the number that stands"
    );
    sol.moves(&second, "by the shelter").await;
    teo.requests_evac(&first, "first", "lying").await;
    board.state(|incident| {
        let one = incident.casualty(id(&first)).unwrap();
        assert!(one.tourniquet_since().is_some());
        assert_eq!(one.place.value().unwrap().as_str(), "by the shelter");
        assert!(one.evac.is_some());
    });
    let summary = ina.gets("/summary").await.body;
    assert!(summary.contains("tourniquet"));
    assert!(!wound.is_empty());

    // Who has seen both answers settles them.
    ina.has_seen(board.head());
    ina.sorts(&first, "immediate").await;
    board.state(|incident| {
        assert!(
            !incident
                .casualty(id(&first))
                .unwrap()
                .category
                .is_disputed()
        );
    });

    // The same after a restart, and the tables are those of the fold.
    let ids = (first.clone(), second.clone());
    let board = board.restart().await;
    board.state(|incident| {
        assert_eq!(incident.casualty(id(&ids.1)).unwrap().number, 1);
    });
    let ina = ina.at(&board.origin);

    // Taken back, they are two again and each has what was told of them.
    ina.strikes(about(&second), &joined).await;
    board.state(|incident| {
        assert_eq!(incident.casualties().count(), 3);
        let three = incident.casualty(id(&second)).unwrap();
        assert_eq!(three.number, 3);
        assert_eq!(three.place.value().unwrap().as_str(), "by the shelter");
        assert_eq!(three.wounds.len(), 1);
        assert_eq!(incident.casualty(id(&first)).unwrap().wounds.len(), 1);
    });
    let (casualties, wounds) = tables(&board).await;
    assert_eq!(casualties.len(), 3);
    assert_eq!(wounds, [json!([1]), json!([3])]);
    assert_eq!(ina.gets(&format!("/casualties/{second}")).await.status, 200);
    let stopped = board.stop_for_good().await;
    let verdict = holdfast::journal::verify(&stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{:?}", verdict.findings);
}

#[tokio::test]
async fn a_helper_proposes_and_the_lead_decides() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let one = meets(&teo, "adult", "red hat", "bus").await;
    let two = meets(&teo, "adult", "beard", "road").await;
    teo.says(about(&one), same(&two)).await;
    board.state(|incident| assert_eq!(incident.casualties().count(), 2, "it moves nothing"));
    let asked = part(&ina, "alike").await;
    assert!(asked.contains("Teo thinks so"), "{asked}");
    // Taking apart and deciding is the lead's.
    let refused = teo.reports(teo.fact(about(&one), different(&two))).await;
    assert_eq!(refused["problem"]["code"], "not-allowed");
    ina.says(about(&one), different(&two)).await;
    assert!(!part(&ina, "alike").await.contains("Teo"));
    board.minutes_pass(1);
    // He looks again and is surer; now the lead agrees.
    teo.says(about(&two), same(&one)).await;
    assert!(part(&ina, "alike").await.contains("Teo thinks so"));
    board.minutes_pass(1);
    ina.says(about(&two), same(&one)).await;
    board.state(|incident| assert_eq!(incident.casualties().count(), 1));
    let page = ina.gets(&format!("/casualties/{one}")).await.body;
    assert!(page.contains("Also entered as <b>2</b>"));
    board.minutes_pass(1);
    ina.says(about(&two), different(&one)).await;
    board.state(|incident| assert_eq!(incident.casualties().count(), 2));
    let nobody = holdfast::clock::fresh_id().to_string();
    let refused = ina.reports(ina.fact(about(&one), same(&nobody))).await;
    assert_eq!(refused["problem"]["code"], "refers-to-nothing");
    let refused = ina.reports(ina.fact(about(&one), same(&one))).await;
    assert!(
        refused["problem"].is_object(),
        "nobody is joined to themselves"
    );
}

#[tokio::test]
async fn likely_pairs_are_pointed_out_and_never_joined() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    meets(&teo, "adult", "woman, green coat", "on the road").await;
    board.minutes_pass(4);
    let again = meets(&sol, "adult", "green coat, glasses", "On the road").await;
    let asked = part(&ina, "alike").await;
    assert!(
        asked.contains("both “coat green”, on the road, 4 min apart"),
        "{asked}"
    );
    board.state(|incident| assert_eq!(incident.casualties().count(), 2));
    // Each of these differs in what tells people apart.
    meets(&sol, "child", "green coat", "on the road").await;
    meets(&sol, "adult", "green coat", "in the bus").await;
    meets(&sol, "adult", "beard", "on the road").await;
    meets(&teo, "adult", "woman, green coat", "on the road").await;
    board.minutes_pass(40);
    meets(&sol, "adult", "woman, green coat", "on the road").await;
    let asked = part(&ina, "alike").await;
    assert_eq!(asked.matches("<li>").count(), 2, "{asked}");
    // Said to be two, it is not asked again.
    let first = board.state(|incident| incident.casualties().next().unwrap().id.to_string());
    ina.says(about(&again), different(&first)).await;
    assert_eq!(part(&ina, "alike").await.matches("<li>").count(), 1);
    let helper = sol.gets("/board").await.body;
    assert!(
        helper.contains("data-needs-lead"),
        "the answers are the lead's"
    );
}

#[tokio::test]
async fn who_leaves_leaves_once() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol) = (
        board.lead("Ina").await,
        board.device("Teo").await,
        board.device("Sol").await,
    );
    let one = teo.registers("woman").await;
    let two = sol.registers("old woman").await;
    let transport = holdfast::clock::fresh_id().to_string();
    let added = json!({ "kind": "transport.added/1", "name": "Ambulance 1", "means": "ambulance",
        "layouts": [{ "lying": 1, "sitting": 1 }], "attendants": 1, "load_minutes": 5, "unload_minutes": 5 });
    ina.says(json!({ "transport": transport }), added).await;
    let loaded = json!({ "kind": "casualty.loaded/1", "transport": transport });
    sol.says(about(&two), loaded.clone()).await;
    board.minutes_pass(1);
    ina.says(about(&one), same(&two)).await;
    let aboard = || {
        board.state(|incident| {
            let evacuation = incident.evacuation();
            let aboard: Vec<_> = evacuation
                .transports
                .values()
                .flat_map(|one| one.aboard.clone())
                .collect();
            (
                aboard,
                evacuation.whereabouts.keys().copied().collect::<Vec<_>>(),
            )
        })
    };
    assert_eq!(
        aboard(),
        (vec![id(&one)], vec![id(&one)]),
        "under the number that stands"
    );
    // Loaded again under the other number: still one place.
    teo.says(about(&one), loaded).await;
    assert_eq!(aboard().0.len(), 1);
    let away = board.read_table("select * from away").await;
    assert_eq!(away.len(), 1, "{away:?}");
    let asked = |incident: &holdfast::incident::Incident| {
        incident
            .entries()
            .iter()
            .filter(|entry| matches!(entry.fact, Fact::CasualtySame(_)))
            .count()
    };
    assert_eq!(board.state(asked), 1);
}

#[tokio::test]
async fn other_single_answers_stand_side_by_side_until_somebody_chooses() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol, who) = three_who_know_of(&board, "woman").await;
    board.minutes_pass(1);
    teo.moves(&who, "on the road").await;
    sol.moves(&who, "in the bus").await;
    sol.requests_evac(&who, "first", "lying").await;
    board.minutes_pass(1);
    teo.requests_evac(&who, "can_wait", "sitting").await;
    teo.says(
        about(&who),
        json!({ "kind": "casualty.described/1", "age": "child" }),
    )
    .await;
    sol.says(
        about(&who),
        json!({ "kind": "casualty.described/1", "age": "infant" }),
    )
    .await;
    let row = part(&ina, &format!("row-{who}")).await;
    assert!(row.contains("2 answers, place: "), "{row}");
    assert!(
        row.contains("in the bus (Sol") && row.contains("on the road (Teo"),
        "{row}"
    );
    assert!(row.contains("2 answers, looks like: "), "{row}");
    let leaves = row
        .split("2 answers, leaves: ")
        .nth(1)
        .expect("two requests");
    let (first, wait) = (
        leaves.find("first, lying"),
        leaves.find("can wait, sitting"),
    );
    assert!(
        first.is_some() && first < wait,
        "the more urgent first: {row}"
    );
    board.state(|incident| {
        let (_, asked) = incident.casualty(id(&who)).unwrap().evac.clone().unwrap();
        assert_eq!(
            asked.priority.code(),
            "first",
            "and it is the one that counts"
        );
    });
    // Choosing is one tap: the report that stands on the page, from somebody who sees both.
    let page = ina.opens(&format!("/casualties/{who}")).await;
    ina.has_seen(page.seq());
    let shown = page.part(&format!("who-{who}")).unwrap().to_owned();
    let report = offered(&shown, "in the bus");
    ina.says(report["about"].clone(), report["fact"].clone())
        .await;
    let row = part(&ina, &format!("row-{who}")).await;
    assert!(
        !row.contains("answers, place") && row.contains("in the bus"),
        "{row}"
    );
}

#[tokio::test]
async fn none_known_never_hides_an_allergy_that_somebody_else_was_told_of() {
    let board = TestBoard::start_at("2026-11-25T12:00:00Z").await;
    let (ina, teo, sol, who) = three_who_know_of(&board, "woman").await;
    let told = |allergies: &str| json!({ "kind": "history.told/1", "allergies": allergies });
    board.minutes_pass(1);
    teo.says(about(&who), told("penicillin")).await;
    teo.says(
        about(&who),
        json!({ "kind": "risks.told/1", "blood_thinners": true }),
    )
    .await;
    board.minutes_pass(1);
    sol.says(about(&who), told("none known")).await;
    sol.says(
        about(&who),
        json!({ "kind": "risks.told/1", "blood_thinners": false }),
    )
    .await;
    let page = ina.opens(&format!("/casualties/{who}")).await;
    assert!(page.says("Allergies: <b>penicillin; also told: none known</b>"));
    assert!(page.says("takes blood thinners"));
    assert!(
        part(&ina, &format!("row-{who}"))
            .await
            .contains("2 answers, allergies: ")
    );
    let sheet = ina.opens(&format!("/casualties/{who}/handover")).await;
    assert!(sheet.says("penicillin; also told: none known"));
    // Another allergy is another one, though its teller's phone had heard of the first; so is "None known.", too late.
    for device in [&teo, &sol] {
        device.has_seen(page.seq());
    }
    board.minutes_pass(1);
    teo.says(about(&who), told("latex")).await;
    sol.has_seen(board.head());
    sol.says(about(&who), told("None known.")).await;
    let page = ina.opens(&format!("/casualties/{who}")).await;
    assert!(
        page.says("latex; penicillin; also told: none known"),
        "{}",
        page.part(&format!("state-{who}")).unwrap_or_default()
    );
    // Somebody who has read it all says what holds: that is a button, and it drops nothing of what holds.
    ina.has_seen(page.seq());
    board.minutes_pass(1);
    let shown = page.part(&format!("who-{who}")).unwrap().to_owned();
    let report = offered(&shown, "latex");
    assert_eq!(report["fact"]["allergies"], "latex; penicillin");
    ina.says(report["about"].clone(), report["fact"].clone())
        .await;
    let page = ina.opens(&format!("/casualties/{who}")).await;
    assert!(page.says("Allergies: <b>latex; penicillin</b>") && !page.says("also told"));
    assert!(
        !part(&ina, &format!("row-{who}"))
            .await
            .contains("answers, allergies")
    );
}
