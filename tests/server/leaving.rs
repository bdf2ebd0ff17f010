//! Leaving from outside: what is said and numbered, the last light, the way on foot, and paper.

use holdfast::clock::fresh_id;
use serde_json::{Value, json};

use crate::harness::{Device, TestBoard};

async fn tells(device: &Device, fact: Value) {
    device.says(json!("incident"), fact).await;
}

/// A line of the incident report as it stands, said by the coordinator.
async fn reads(device: &Device, message: &str, line: &str, text: &str) {
    let fact = json!({ "kind": "line.said/1", "message": message, "line": line, "text": text });
    tells(device, fact).await;
}

async fn adds_transport(device: &Device, fact: Value) -> String {
    let id = fresh_id().to_string();
    let mut whole = json!({ "kind": "transport.added/1", "layouts": [{ "lying": 1, "sitting": 1 }],
        "attendants": 1, "load_minutes": 5, "unload_minutes": 5 });
    for (key, value) in fact.as_object().unwrap() {
        whole[key] = value.clone();
    }
    device.says(json!({ "transport": id }), whole).await;
    id
}

async fn adds_destination(device: &Device, name: &str, place: &str, minutes: Value) -> String {
    let id = fresh_id().to_string();
    let fact =
        json!({ "kind": "destination.added/1", "name": name, "place": place, "minutes": minutes });
    device.says(json!({ "destination": id }), fact).await;
    id
}

/// The words of a message's lines that are to be said now.
fn section<'a>(page: &'a str, title: &str) -> &'a str {
    let from = page
        .find(title)
        .unwrap_or_else(|| panic!("no {title} in {page}"));
    let rest = &page[from..];
    &rest[..rest.find("</article>").unwrap()]
}

#[tokio::test]
async fn the_incident_report_is_numbered_and_an_update_says_only_what_changed() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let eva = board.evac("Eva").await;
    let situation = json!({ "kind": "situation.reported/1", "location": "below the col", "what": "rock fall",
        "hazards_present": "none seen", "hazards_potential": "none", "access": "track", "egress": "same",
        "services_present": "none", "services_required": "helicopter" });
    tells(&eva, situation).await;
    let page = || async { eva.gets("/evac").await.body };
    let first = page().await;
    let report = section(&first, "ETHANE no. 1");
    assert!(!report.contains("only what changed"));
    assert!(report.contains("rock fall") && report.contains("below the col"));
    // Read out line by line, and read back: it stays number 1.
    reads(&eva, "methane", "E Exact location", "below the col").await;
    reads(&eva, "methane", "T Type", "rock fall").await;
    reads(&eva, "methane", "H Hazards", "none seen").await;
    reads(&eva, "methane", "A Access", "track. Out: same").await;
    let services = "present: none. Required: helicopter";
    reads(&eva, "methane", "E Emergency services", services).await;
    tells(
        &eva,
        json!({ "kind": "message.read_back/1", "message": "methane" }),
    )
    .await;
    let said = page().await;
    let report = section(&said, "ETHANE no. 1");
    assert!(
        report.contains("all said") || report.contains("1 to say"),
        "{report}"
    );
    assert!(report.contains("read back"));
    // Something changes: the next message is number 2 and has that line alone.
    tells(
        &eva,
        json!({ "kind": "situation.reported/1", "hazards_present": "loose rock" }),
    )
    .await;
    let changed = page().await;
    let report = section(&changed, "ETHANE no. 2");
    assert!(report.contains("only what changed"));
    let (news, before) = report.split_once("Said before, unchanged").unwrap();
    assert!(news.contains("loose rock") && news.contains("Say the change"));
    assert!(!news.contains("rock fall"), "{news}");
    assert!(before.contains("rock fall"));
    // Said: it is message 2, and stays so until something changes again.
    let hazards = "present: loose rock. potential: none";
    reads(&eva, "methane", "H Hazards", hazards).await;
    assert!(page().await.contains("ETHANE no. 2"));
    tells(
        &eva,
        json!({ "kind": "situation.reported/1", "what": "rock fall, two groups" }),
    )
    .await;
    reads(&eva, "methane", "T Type", "rock fall, two groups").await;
    let second = page().await;
    assert!(second.contains("ETHANE no. 2"), "still the same message");
    // A line of it changes again: another message.
    tells(
        &eva,
        json!({ "kind": "situation.reported/1", "hazards_present": "loose rock, rain" }),
    )
    .await;
    assert!(page().await.contains("ETHANE no. 3"));
    // A declared major incident puts M first.
    let ina = board.lead("Ina").await;
    tells(
        &ina,
        json!({ "kind": "situation.reported/1", "major": "declared" }),
    )
    .await;
    let major = page().await;
    assert!(section(&major, "METHANE no. 3").contains("declared 1400Z by Ina"));
}

#[tokio::test]
async fn every_order_stands_on_the_page_and_on_the_casualtys_own() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let eva = board.lead("Eva").await;
    let casualty = eva.registers("woman, red coat").await;
    eva.sorts(&casualty, "immediate").await;
    let wound = eva.finds_wound(&casualty, "thigh", "spurting").await;
    eva.takes_step(&wound, "tourniquet", "tourniquet").await;
    let told = json!({ "kind": "history.told/1", "sex": "female", "about_years": 30, "mechanism": "fell",
        "injured_at": "2026-11-25T13:55:00Z", "complaints": "leg hurts", "allergies": "penicillin" });
    eva.says(json!({ "casualty": casualty }), told).await;
    let asked = json!({ "kind": "evac.requested/2", "priority": "first", "posture": "lying", "needs": ["surgery"] });
    eva.says(json!({ "casualty": casualty }), asked).await;
    adds_transport(&eva, json!({ "name": "Ambulance 1", "means": "ambulance" })).await;
    adds_destination(&eva, "Valley", "trauma_centre", json!({ "road": 40 })).await;
    let hospital =
        board.state(|incident| *incident.evacuation().destinations.keys().next().unwrap());
    let able = json!({ "kind": "destination.changed/1", "abilities": ["surgery"] });
    eva.says(json!({ "destination": hospital }), able).await;
    board.minutes_pass(32);
    eva.notes(&casualty, "asleep").await;
    let own = format!("/casualties/{casualty}/words");
    for path in ["/evac", own.as_str()] {
        let page = eva.gets(path).await.body;
        for title in [
            "ATMIST casualty 1, immediate",
            "ATMIST, fire service&#39;s reading: casualty 1, immediate",
            "MIST casualty 1, immediate",
            "IMIST-AMBO casualty 1, immediate",
            "SBAR casualty 1, immediate",
        ] {
            assert!(page.contains(title), "{path}: {title}");
        }
        // One source for all of them; the minutes run.
        let health = section(&page, ">ATMIST casualty 1");
        assert!(health.contains("adult female, about 30"), "{health}");
        assert!(health.contains("injured 1355Z, expected"), "{health}");
        assert!(health.contains("ON since 1400Z (32 min)"), "{health}");
        assert!(health.contains("ETA ") && health.contains("allergy: penicillin"));
        let fire = section(&page, "fire service");
        assert!(
            fire.contains("Adult or child") && fire.contains("Says: leg hurts"),
            "{fire}"
        );
        let sbar = section(&page, ">SBAR casualty 1");
        assert!(
            sbar.contains("To leave on the first free place, lying, with surgery, there by 1455Z"),
            "{sbar}"
        );
        assert!(section(&page, ">IMIST-AMBO casualty 1").contains("Medicines"));
    }
    // What was said is ticked, with minutes that have run on, and in every order that has the same line.
    let stable = "tourniquet thigh, left ON since 1400Z";
    let said = json!({ "kind": "line.said/1", "message": "atmist", "line": "T Treatment", "text": stable });
    eva.says(json!({ "casualty": casualty }), said).await;
    board.minutes_pass(3);
    eva.notes(&casualty, "awake").await;
    let page = eva.gets("/evac").await.body;
    let health = section(&page, ">ATMIST casualty 1");
    assert!(
        health.contains("(35 min)") && health.contains("said <time"),
        "{health}"
    );
}

#[tokio::test]
async fn the_nine_lines_count_who_waits_and_say_each_letter_with_its_word() {
    let board = TestBoard::start().await;
    let eva = board.lead("Eva").await;
    let requests = [
        ("first", "lying", vec!["surgery"]),
        ("first", "lying", vec![]),
        ("soon", "sitting", vec![]),
        ("can_wait", "walking", vec![]),
    ];
    for (priority, posture, needs) in requests {
        let casualty = eva.registers("man").await;
        eva.sorts(&casualty, "delayed").await;
        eva.finds_wound(&casualty, "forearm", "steady").await;
        let asked = json!({ "kind": "evac.requested/2", "priority": priority, "posture": posture, "needs": needs });
        eva.says(json!({ "casualty": casualty }), asked).await;
    }
    let dead = eva.registers("man").await;
    eva.sorts(&dead, "dead").await;
    let page = eva.gets("/evac").await.body;
    let nine = section(&page, "Evacuation request, nine lines");
    for words in [
        "1 Bravo, urgent surgical. Break. 1 Alfa, urgent. Break. 1 Charlie, priority. Break. 1 Delta, routine",
        "2 Lima, lying. Break. 2 Alfa, sitting",
        "Wounds: 4 forearm",
        "Not in line 3: 1 dead",
    ] {
        assert!(nine.contains(words), "{words}: {nine}");
    }
    assert!(nine.contains("not known: ask"), "line 4 is asked for");
    // Peacetime by default: nothing of enemies.
    assert!(!nine.contains("enemy") && !nine.contains("Contamination"));
    let told = json!({ "kind": "pickup.told/1", "special": ["hoist"], "status": "civilians" });
    tells(&eva, told).await;
    let page = eva.gets("/evac").await.body;
    let nine = section(&page, "Evacuation request, nine lines");
    assert!(nine.contains("Bravo, hoist") && nine.contains("civilians"));
    let war = json!({ "kind": "pickup.told/1", "wording": "wartime", "security": "no_enemy" });
    tells(&eva, war).await;
    let page = eva.gets("/evac").await.body;
    let nine = section(&page, "Evacuation request, nine lines");
    assert!(nine.contains("November, no enemy troops"));
    assert!(
        !nine.contains("Line 9"),
        "nothing to say in wartime without contamination"
    );
}

/// 54.527 N 3.0165 W on 25 November 2026: civil twilight ends at about 16:36 UTC (it is 16:31 on 14 December by the
/// published row, and 25 minutes is what the sun gains at most).
#[tokio::test]
async fn no_flight_is_planned_after_the_end_of_civil_twilight() {
    let board = TestBoard::start_at("2026-11-25T15:30:00Z").await;
    let eva = board.lead("Eva").await;
    tells(
        &eva,
        json!({ "kind": "situation.reported/1", "position": "54.527 N 3.0165 W" }),
    )
    .await;
    adds_destination(&eva, "Valley", "trauma_centre", json!({ "air": 20 })).await;
    let helicopter = adds_transport(
        &eva,
        json!({ "name": "Helicopter 1", "means": "helicopter", "load_minutes": 10 }),
    )
    .await;
    let early = eva.registers("man").await;
    let late = eva.registers("woman").await;
    for (casualty, ready) in [
        (&early, "2026-11-25T15:40:00Z"),
        (&late, "2026-11-25T16:40:00Z"),
    ] {
        let asked = json!({ "kind": "evac.requested/2", "priority": "first", "posture": "lying", "ready_at": ready });
        eva.says(json!({ "casualty": casualty }), asked).await;
    }
    let page = eva.gets("/evac").await.body;
    let light = page.split("light until <time datetime=\"").nth(1).unwrap();
    let dusk: jiff::Timestamp = light.split('"').next().unwrap().parse().unwrap();
    let bounds = ["2026-11-25T16:31:00Z", "2026-11-25T16:56:00Z"]
        .map(|at| at.parse::<jiff::Timestamp>().unwrap());
    assert!(bounds[0] < dusk && dusk < bounds[1], "{dusk}");
    let plan = page.split("id=\"evac-plan\"").nth(1).unwrap();
    let (plan, rest) = plan.split_once("id=\"evac-rest\"").unwrap();
    assert!(
        plan.contains(&format!("/casualties/{early}\"")),
        "who is ready in the light flies"
    );
    assert!(
        !plan.contains(&format!("/casualties/{late}\"")),
        "who is ready in the dark does not"
    );
    assert!(rest.contains(&format!("/casualties/{late}\"")));
    assert!(rest.contains("after the last departure"), "{rest}");
    // One that flies by night takes her.
    let night = json!({ "kind": "transport.changed/1", "night": true });
    eva.says(json!({ "transport": helicopter }), night).await;
    let page = eva.gets("/evac").await.body;
    let plan = page.split("id=\"evac-plan\"").nth(1).unwrap();
    let (plan, _) = plan.split_once("id=\"evac-rest\"").unwrap();
    assert!(plan.contains(&format!("/casualties/{late}\"")));
}

#[tokio::test]
async fn the_time_on_foot_follows_from_the_way_and_too_few_cannot_carry() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let eva = board.lead("Eva").await;
    let hut = adds_destination(&eva, "Hut", "meeting_point", json!({})).await;
    let party = adds_transport(
        &eva,
        json!({ "name": "Bearers", "means": "stretcher_party",
        "layouts": [{ "lying": 1, "sitting": 0 }], "load_minutes": 0 }),
    )
    .await;
    let casualty = eva.registers("man").await;
    eva.requests_evac(&casualty, "first", "lying").await;
    let page = eva.gets("/evac").await.body;
    assert!(page.contains("no way told"));
    assert!(page.contains("no transport goes where they could go"));
    let way = |bearers: u32, metres: u32| json!({ "kind": "travel.told/2", "transport": party, "metres": metres, "ground": "path", "bearers": bearers });
    // Worked by hand: 10 to package and 36 for 1.2 km at 2 km/h.
    eva.says(json!({ "destination": hut }), way(8, 1200)).await;
    let page = eva.gets("/evac").await.body;
    assert!(page.contains("46 min (estimate: 1200 m, path, 8 carry)"));
    let arrives = board.state(|incident| {
        let evacuation = incident.evacuation();
        let transport = evacuation.transports.values().next().unwrap();
        evacuation
            .destinations
            .values()
            .next()
            .unwrap()
            .minutes(transport)
    });
    assert_eq!(arrives, Some(46));
    assert!(page.contains("2026-11-25T14:46:00Z"), "there at 14:46");
    eva.says(json!({ "destination": hut }), way(5, 1200)).await;
    let page = eva.gets("/evac").await.body;
    assert!(page.contains("too few to carry: 6 people are needed"));
    assert!(page.contains("no transport goes where they could go"));
    // Somebody who knows better: the later word stands.
    let told = json!({ "kind": "travel.told/1", "transport": party, "minutes": 70 });
    eva.says(json!({ "destination": hut }), told).await;
    assert!(eva.gets("/evac").await.body.contains("70 min, as told"));
}

#[tokio::test]
async fn the_log_for_paper_has_a_row_for_each_entry_in_order_and_marks_corrections() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("man").await;
    board.minutes_pass(5);
    let mistaken = teo.notes(&casualty, "left arm hurts").await;
    board.minutes_pass(5);
    // Told late: it stands where it happened.
    let mut late = teo.fact(
        json!({ "casualty": casualty }),
        json!({ "kind": "note.added/1", "text": "fell at two" }),
    );
    late["happened_at"] = json!("2026-11-25T14:02:00Z");
    teo.reports(late).await;
    teo.strikes(json!({ "casualty": casualty }), &mistaken)
        .await;
    let page = teo.gets("/log/paper").await.body;
    let rows: Vec<u64> = page
        .split("data-entry=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap().parse().unwrap())
        .collect();
    let mut sorted = rows.clone();
    sorted.sort_unstable();
    assert_eq!(
        sorted,
        (1..=board.head()).collect::<Vec<_>>(),
        "one row for each entry"
    );
    let place = |seq: u64| rows.iter().position(|row| *row == seq).unwrap();
    let wrong = mistaken["seq"].as_u64().unwrap();
    assert!(
        place(wrong + 1) < place(wrong),
        "in the order in which things happened"
    );
    let strike = board.head();
    assert!(page.contains(&format!("struck by entry {strike}")));
    assert!(page.contains(&format!("corrects entry {wrong}")));
    assert!(
        page.contains("25 Nov 2026") && page.contains("hours of UTC"),
        "day and zone are named"
    );
}

#[tokio::test]
async fn the_blank_forms_have_the_boards_own_letters_and_choices() {
    let board = TestBoard::start().await;
    let vic = board.viewer("Vic").await;
    let page = vic.gets("/forms").await.body;
    for words in [
        "<b>M</b> Major incident",
        "<b>E</b> Exact location",
        "<b>E</b> Emergency services",
        "<b>A</b> Age and sex",
        "<b>R</b> Requirements",
        "<b>A</b> Allergies",
        "<b>Line 9</b> Terrain",
        "IMMEDIATE",
        "spine kept still",
        "stretcher party",
        "meeting point",
        "tourniquet ON at",
        "read back",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!page.contains("Contamination"));
}

/// What is short stands on the coordinator's page as soon as somebody has counted, and goes when there is enough.
#[tokio::test]
async fn what_is_short_is_there_to_be_asked_for() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let eva = board.evac("Eva").await;
    let casualty = ina.registers("woman").await;
    ina.sorts(&casualty, "immediate").await;
    assert!(!eva.opens("/evac").await.says("Supplies to ask for"));
    let bring = |data: &Value| {
        let parts = data["parts"].as_array()?;
        let part = parts.iter().find(|part| part["id"] == "evac-bring")?;
        Some(part["html"].as_str()?.contains("tourniquet"))
    };
    let mut evas = eva.watches("evac", board.head()).await;
    ina.counts(&board.id, "tourniquet", 0).await;
    let heard = evas.hears(|event| bring(&event.data).is_some()).await;
    assert_eq!(bring(&heard.data), Some(true));
    assert!(eva.opens("/evac").await.says("Supplies to ask for"));
    ina.counts(&board.id, "tourniquet", 99).await;
    let heard = evas.hears(|event| bring(&event.data).is_some()).await;
    assert_eq!(bring(&heard.data), Some(false));
}
