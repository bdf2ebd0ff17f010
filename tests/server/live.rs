//! The live stream: a page that resumes from any position ends as a fresh page is.

use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use holdfast::clock::fresh_id;
use serde_json::{Value, json};

use crate::harness::page::Page;
use crate::harness::{DEADLINE, Device, Stream, TestBoard};

/// Longer than the server waits to send together what comes together.
const QUIET: Duration = Duration::from_millis(600);

/// What a page must be told to become a fresh one, from the position it shows.
async fn catches_up(device: &Device, views: &str, page: &mut Page, head: u64) {
    let mut stream = device.watches(views, page.seq()).await;
    for event in until(&mut stream, head).await {
        page.take_in(&event);
    }
}

/// The parts that a stream sends until it has sent everything up to a position.
async fn until(stream: &mut Stream, head: u64) -> Vec<Value> {
    let hello = stream.hears_of("hello").await;
    let mut position = hello.data["seq"].as_u64().unwrap();
    let mut events = Vec::new();
    while position < head {
        // Nothing is sent for what does not touch these views: then quiet is the answer.
        let some = stream.hears_within(QUIET).await;
        if some.is_empty() {
            break;
        }
        for event in some {
            assert_eq!(event.name, "parts");
            assert_eq!(event.id, event.data["seq"].as_u64());
            position = event.id.unwrap();
            events.push(event.data);
        }
    }
    events
}

/// The ids a stream of these views ever speaks of.
async fn spoken_of(device: &Device, views: &str, head: u64) -> BTreeSet<String> {
    let mut stream = device.watches(views, 0).await;
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    until(&mut stream, head)
        .await
        .iter()
        .flat_map(|data| {
            let parts = data["parts"]
                .as_array()
                .unwrap()
                .iter()
                .map(|part| text(&part["id"]));
            let gone = data["gone"].as_array().into_iter().flatten().map(text);
            parts.chain(gone).collect::<Vec<_>>()
        })
        .collect()
}

/// One step of a story: what somebody does next.
#[derive(Clone, Copy)]
enum Step {
    Registers(usize, &'static str),
    Finds(usize, usize, &'static str, &'static str),
    Does(usize, &'static str, &'static str),
    Looks(usize, &'static str),
    Sorts(usize, &'static str),
    Takes(usize),
    Moves(usize, &'static str),
    Notes(usize, &'static str),
    AsksEvac(usize),
    Counts(&'static str),
    /// Strikes what the step of this number said.
    Strikes(usize),
    Names(&'static str),
    /// Teo joins again under another name.
    Renames(&'static str),
}

/// Touches everything a page shows, and takes some of it back.
const STORY: [Step; 27] = [
    Step::Registers(0, "woman, green coat"),
    Step::Finds(0, 0, "forearm", "steady"),
    Step::Does(0, "packing", "packing_gauze"),
    Step::Registers(1, "man, beard"),
    Step::Finds(1, 1, "thigh", "spurting"),
    Step::Takes(1),
    Step::Does(1, "tourniquet", "tourniquet"),
    Step::Sorts(1, "immediate"),
    Step::Counts("packing_gauze"),
    Step::Looks(1, "stopped"),
    Step::Moves(0, "by the shelter"),
    Step::Registers(2, "nobody at all"),
    Step::Sorts(2, "minor"),
    Step::Strikes(12),
    Step::Strikes(11),
    Step::AsksEvac(1),
    Step::Notes(0, "cold"),
    Step::Strikes(1),
    Step::Names("Bus on the pass"),
    Step::Sorts(0, "delayed"),
    Step::Renames("Teodor"),
    Step::Does(0, "pressure_dressing", "pressure_bandage"),
    Step::Strikes(17),
    Step::Strikes(14),
    Step::Strikes(8),
    Step::Sorts(1, "dead"),
    Step::Strikes(25),
];

struct Story {
    teo: Device,
    ina: Device,
    kit: String,
    casualties: Vec<String>,
    wounds: Vec<String>,
    said: Vec<(Value, Value)>,
}

impl Story {
    async fn begin(board: &TestBoard) -> Self {
        let fresh = |count| (0..count).map(|_| fresh_id().to_string()).collect();
        Self {
            teo: board.device("Teo").await,
            ina: board.lead("Ina").await,
            kit: board.id.clone(),
            casualties: fresh(3),
            wounds: fresh(2),
            said: Vec::new(),
        }
    }

    async fn goes_on(&mut self, board: &TestBoard, step: Step) {
        let casualty = |number: usize| json!({ "casualty": self.casualties[number] });
        let wound = |number: usize| json!({ "wound": self.wounds[number] });
        let (about, fact) = match step {
            Step::Registers(one, words) => (
                casualty(one),
                json!({ "kind": "casualty.registered/1", "age": "adult", "words": words }),
            ),
            Step::Finds(number, one, region, flow) => (
                wound(number),
                json!({ "kind": "wound.found/1", "casualty": self.casualties[one], "region": region,
                    "side": "left", "flow": flow }),
            ),
            Step::Does(number, step, item) => (
                wound(number),
                json!({ "kind": "step.taken/1", "step": step, "used": [{ "item": item, "count": 1 }] }),
            ),
            Step::Looks(number, bleeding) => (
                wound(number),
                json!({ "kind": "wound.looked/1", "bleeding": bleeding }),
            ),
            Step::Sorts(one, category) => (
                casualty(one),
                json!({ "kind": "category.assigned/1", "category": category }),
            ),
            Step::Takes(one) => (
                casualty(one),
                json!({ "kind": "casualty.taken/1", "helper": self.teo.id }),
            ),
            Step::Moves(one, place) => (
                casualty(one),
                json!({ "kind": "casualty.moved/1", "place": place }),
            ),
            Step::Notes(one, text) => (
                casualty(one),
                json!({ "kind": "note.added/1", "text": text }),
            ),
            Step::AsksEvac(one) => (
                casualty(one),
                json!({ "kind": "evac.requested/1", "priority": "first", "posture": "lying" }),
            ),
            Step::Counts(item) => (
                json!({ "kit": self.kit }),
                json!({ "kind": "stock.counted/1", "item": item, "count": 7 }),
            ),
            Step::Strikes(of) => {
                let (about, receipt) = &self.said[of];
                (
                    about.clone(),
                    json!({ "kind": "entry.struck/1", "entry": receipt["id"] }),
                )
            }
            Step::Names(name) => (
                json!("incident"),
                json!({ "kind": "incident.described/1", "name": name }),
            ),
            Step::Renames(name) => {
                self.teo = self.teo.joins(&board.join_code, name).await;
                self.said.push((Value::Null, Value::Null));
                return;
            }
        };
        let receipt = self.ina.says(about.clone(), fact).await;
        self.said.push((about, receipt));
    }
}

/// The pages of a story with the views they ask for.
fn pages(story: &Story) -> Vec<(String, String)> {
    let [one, other, _] = &story.casualties[..] else {
        unreachable!()
    };
    [
        ("/board".to_owned(), "board".to_owned()),
        ("/next".to_owned(), "next".to_owned()),
        ("/summary".to_owned(), "summary".to_owned()),
        ("/log".to_owned(), "log".to_owned()),
        (format!("/casualties/{one}"), format!("casualty:{one}")),
        (format!("/casualties/{other}"), format!("casualty:{other}")),
    ]
    .into()
}

/// A sheet says as of when it is: that may be older than the head when nothing on it has changed since.
fn without_as_of(html: &str) -> String {
    match (html.find("<p class=\"as-of\">"), html.find("</header>")) {
        (Some(start), Some(end)) if start < end => format!("{}{}", &html[..start], &html[end..]),
        _ => html.to_owned(),
    }
}

#[tokio::test]
async fn a_page_resumed_from_any_position_equals_a_fresh_one() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let mut story = Story::begin(&board).await;
    // Each page as it was at each position at which it was there.
    let mut kept: Vec<(usize, Page)> = Vec::new();
    for step in STORY {
        story.goes_on(&board, step).await;
        board.minutes_pass(1);
        for (number, (path, _)) in pages(&story).iter().enumerate() {
            let answer = story.ina.gets(path).await;
            if answer.status == 200 {
                kept.push((number, Page::new(answer.body)));
            }
        }
    }
    assert!(kept.len() > 100);
    // A restarted board has rendered nothing before: what it shows is made from the state alone.
    let head = board.head();
    let board = board.restart().await;
    let ina = story.ina.at(&board.origin);
    for (number, (path, views)) in pages(&story).iter().enumerate() {
        let ids = spoken_of(&ina, views, head).await;
        assert!(!ids.is_empty(), "{views}");
        let fresh = ina.opens(path).await;
        let mut tries = tokio::task::JoinSet::new();
        for (_, page) in kept.iter().filter(|(of, _)| *of == number) {
            let (mut page, ina, views, ids, fresh) = (
                page.clone(),
                ina.clone(),
                views.clone(),
                ids.clone(),
                fresh.clone(),
            );
            tries.spawn(async move {
                let seq = page.seq();
                catches_up(&ina, &views, &mut page, head).await;
                for id in &ids {
                    assert_eq!(
                        page.part(id).map(without_as_of),
                        fresh.part(id).map(without_as_of),
                        "{views}: {id}, resumed from {seq}"
                    );
                }
            });
        }
        while let Some(tried) = tries.join_next().await {
            tried.unwrap();
        }
    }
}

#[tokio::test]
async fn a_page_that_stays_open_through_a_story_equals_a_fresh_one() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let mut story = Story::begin(&board).await;
    let begun: Vec<(String, String)> = pages(&story);
    let mut open = Vec::new();
    for (path, views) in begun.iter().take(4) {
        let page = story.ina.opens(path).await;
        let stream = story.ina.watches(views, page.seq()).await;
        open.push((path, page, stream));
    }
    for step in STORY {
        story.goes_on(&board, step).await;
    }
    for (path, page, stream) in &mut open {
        let mut ids = BTreeSet::new();
        for event in stream.hears_within(QUIET).await {
            if event.name == "parts" {
                page.take_in(&event.data);
                let parts = event.data["parts"].as_array().unwrap();
                ids.extend(
                    parts
                        .iter()
                        .map(|part| part["id"].as_str().unwrap().to_owned()),
                );
            }
        }
        let fresh = story.ina.opens(path).await;
        assert!(!ids.is_empty(), "{path}");
        for id in ids {
            assert_eq!(
                page.part(&id).map(without_as_of),
                fresh.part(&id).map(without_as_of),
                "{path}: {id}"
            );
        }
    }
}

#[tokio::test]
async fn a_stream_begins_with_hello_and_then_what_changed() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    let page = teo.opens("/board").await;
    let mut stream = teo.watches("board", page.seq()).await;
    assert_eq!(stream.status, 200);
    assert!(stream.content_type.starts_with("text/event-stream"));
    let hello = stream.next().await.unwrap();
    assert_eq!(hello.name, "hello");
    assert_eq!(hello.id, None);
    assert_eq!(hello.data["board"], board.id);
    assert_eq!(hello.data["now"], "2026-11-25T14:00:00Z");
    assert_eq!(hello.data["seq"], page.seq());
    assert_eq!(hello.data["build"], page.body("data-build"));
    assert_eq!(hello.data["board"], page.body("data-board"));
    let casualty = teo.registers("woman").await;
    let parts = stream.next().await.unwrap();
    assert_eq!(parts.name, "parts");
    assert_eq!(parts.id, Some(board.head()));
    let row = format!("row-{casualty}");
    let sent = parts.data["parts"].as_array().unwrap();
    let row = sent
        .iter()
        .find(|part| part["id"] == row)
        .expect("their row is sent");
    assert_eq!(row["into"], "rows");
    assert!(row["html"].as_str().unwrap().contains("woman"));
}

#[tokio::test]
async fn a_quiet_stream_says_that_the_board_lives() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let mut stream = teo.watches("next", board.head()).await;
    let begun = Instant::now();
    let beat = stream.hears_of("heartbeat").await;
    assert!(
        begun.elapsed() < Duration::from_secs(7),
        "{:?}",
        begun.elapsed()
    );
    assert_eq!(
        beat.id, None,
        "a heartbeat never moves where a page resumes"
    );
    assert_eq!(beat.data["seq"], board.head());
    assert_eq!(beat.data["board"], board.id);
    assert_eq!(beat.data["rate"], 1.0);
    assert!(beat.data["check"].as_str().unwrap().len() >= 6);
}

#[tokio::test]
async fn what_the_browser_heard_last_wins_over_what_the_page_was_made_at() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    teo.registers("woman").await;
    let head = board.head();
    let mut stream = teo.watches_again("board", 1, head).await;
    assert_eq!(stream.hears_of("hello").await.data["seq"], head);
    assert!(
        stream.hears_within(QUIET).await.is_empty(),
        "it has heard all of it"
    );
    let mut stream = teo.watches("board", 1).await;
    assert_eq!(stream.hears_of("hello").await.data["seq"], 1);
    assert_eq!(stream.next().await.unwrap().name, "parts");
}

#[tokio::test]
async fn a_position_from_the_future_is_another_history_and_gets_everything() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    for since in [board.head() + 1, u64::MAX] {
        let mut stream = teo.watches("board", since).await;
        assert_eq!(stream.hears_of("hello").await.data["seq"], 0);
        let parts = stream.next().await.unwrap();
        assert!(parts.data.to_string().contains(&format!("row-{casualty}")));
        assert_eq!(parts.id, Some(board.head()));
    }
}

#[tokio::test]
async fn changes_of_others_send_nothing() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let one = teo.registers("woman").await;
    let other = teo.registers("man").await;
    let view = format!("casualty:{one}");
    // As a phone does: the page first, which says what its lists held.
    teo.opens(&format!("/casualties/{one}")).await;
    let mut stream = teo.watches(&view, board.head()).await;
    stream.hears_of("hello").await;
    teo.finds_wound(&other, "thigh", "high").await;
    teo.notes(&other, "cold").await;
    assert_eq!(stream.hears_within(QUIET).await, []);
    // What is left matters to the forms of every open page, and to nothing else of it.
    teo.counts(&board.id, "large_pad", 3).await;
    let parts = stream.next().await.unwrap();
    let ids: Vec<&str> = parts.data["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["id"].as_str().unwrap())
        .collect();
    assert_eq!(ids, ["left"]);
    teo.notes(&one, "warm").await;
    let parts = stream.next().await.unwrap();
    let ids: Vec<&str> = parts.data["parts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| part["id"].as_str().unwrap())
        .collect();
    assert_eq!(
        ids,
        [format!("timeline-{one}")],
        "and only what reads otherwise"
    );
}

#[tokio::test]
async fn one_stream_serves_several_views() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let one = teo.registers("woman").await;
    let mut stream = teo
        .watches(&format!("log,casualty:{one},log"), board.head())
        .await;
    teo.notes(&one, "warm").await;
    let parts = stream.hears_of("parts").await.data["parts"].to_string();
    assert!(parts.contains(&format!("timeline-{one}")), "{parts}");
    assert!(
        parts.contains(&format!("entry-{}", board.head())),
        "{parts}"
    );
}

#[tokio::test]
async fn a_casualty_first_met_after_the_stream_opened_is_heard_of() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = fresh_id();
    let mut stream = teo
        .watches(&format!("casualty:{casualty}"), board.head())
        .await;
    stream.hears_of("hello").await;
    let fact = json!({ "kind": "casualty.registered/1", "age": "infant" });
    teo.says(json!({ "casualty": casualty }), fact).await;
    assert!(
        stream
            .hears_of("parts")
            .await
            .data
            .to_string()
            .contains("infant")
    );
}

#[tokio::test]
async fn a_casualty_struck_leaves_every_screen_and_comes_back_when_that_was_the_mistake() {
    async fn after(stream: &mut Stream, id: &str) -> String {
        let part = |data: &Value| {
            data["parts"]
                .as_array()
                .and_then(|parts| parts.iter().find(|part| part["id"] == id))
                .map(|part| part["html"].as_str().unwrap().to_owned())
        };
        let event = stream.hears(|event| part(&event.data).is_some()).await;
        part(&event.data).unwrap()
    }
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = fresh_id().to_string();
    let about = json!({ "casualty": casualty });
    let fact = json!({ "kind": "casualty.registered/1", "age": "adult", "words": "woman" });
    let registered = teo.says(about.clone(), fact).await;
    let (who, does) = (format!("who-{casualty}"), format!("does-{casualty}"));
    let row = format!("row-{casualty}");
    let mut page = teo
        .watches(&format!("casualty:{casualty}"), board.head())
        .await;
    // From the beginning, so that the row is on the shelf before it goes.
    let mut list = teo.watches("board", 0).await;
    assert!(after(&mut list, &row).await.contains("woman"));

    let strike = teo.strikes(about.clone(), &registered).await;
    assert!(after(&mut page, &who).await.contains("struck"));
    list.hears(|event| event.data["gone"].to_string().contains(&row))
        .await;
    let mut late = teo
        .watches(&format!("casualty:{casualty}"), board.head() - 1)
        .await;
    assert!(!after(&mut late, &does).await.contains("button"));

    teo.strikes(about, &strike).await;
    assert!(
        after(&mut list, &row).await.contains("woman"),
        "on the board"
    );
    assert!(
        after(&mut page, &does).await.contains("button"),
        "on their page"
    );
}

#[tokio::test]
async fn a_view_that_is_not_there_is_told() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    for views in ["nowhere", "casualty:7", "board,", "Board", "%62oard,x"] {
        let answer = teo.gets(&format!("/live/{views}")).await;
        assert_eq!(answer.status, 404, "{views}: {}", answer.body);
    }
    let many: Vec<String> = (0..13)
        .map(|_| format!("casualty:{}", fresh_id()))
        .collect();
    let answer = teo.gets(&format!("/live/{}", many.join(","))).await;
    assert_eq!(answer.status, 404, "{}", answer.body);
}

#[tokio::test]
async fn a_removed_devices_stream_ends_at_once_and_not_with_its_next_heartbeat() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    let mut his = teo.watches("board", board.head()).await;
    let mut hers = ina.watches("board", board.head()).await;
    his.hears_of("hello").await;
    hers.hears_of("hello").await;
    let begun = Instant::now();
    ina.posts(&format!("/devices/{}/revocation", teo.id), &json!({}))
        .await;
    assert_eq!(his.hears_of("bye").await.data["reason"], "revoked");
    assert_eq!(his.next().await, None);
    assert!(
        begun.elapsed() < Duration::from_secs(3),
        "{:?}",
        begun.elapsed()
    );
    ina.registers("woman").await;
    hers.hears_of("parts").await;
    assert_eq!(teo.watches("board", 0).await.status, 401);
}

#[tokio::test]
async fn a_stop_with_streams_open_takes_under_two_seconds() {
    let mut board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let mut streams = Vec::new();
    for _ in 0..20 {
        let mut stream = teo.watches("board", board.head()).await;
        stream.hears_of("hello").await;
        streams.push(stream);
    }
    let took = board.stop().await;
    assert!(took < Duration::from_secs(2), "{took:?}");
    for stream in &mut streams {
        assert_eq!(stream.hears_of("bye").await.data["reason"], "stopping");
        assert_eq!(stream.next().await, None);
    }
}

#[tokio::test]
async fn a_thousand_changes_come_together_each_part_once() {
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    let mut stream = teo.watches("board", board.head()).await;
    stream.hears_of("hello").await;
    for _ in 0..20 {
        let facts: Vec<Value> = (0..50)
            .map(|n| {
                let place = json!({ "kind": "casualty.moved/1", "place": format!("place {n}") });
                teo.fact(json!({ "casualty": casualty }), place)
            })
            .collect();
        teo.reports_all(&facts).await;
    }
    let head = board.head();
    let begun = Instant::now();
    loop {
        let event = stream.hears_of("parts").await;
        let parts = event.data["parts"].as_array().unwrap();
        let ids: BTreeSet<&str> = parts
            .iter()
            .map(|part| part["id"].as_str().unwrap())
            .collect();
        assert_eq!(ids.len(), parts.len(), "each part once");
        if event.id == Some(head) {
            assert!(event.data.to_string().contains("place 49"));
            break;
        }
        assert!(begun.elapsed() < DEADLINE);
    }
}

#[tokio::test]
async fn each_deed_reaches_the_screens_it_matters_to() {
    async fn shows(stream: &mut Stream, id: &str, text: &str) {
        stream
            .hears(|event| {
                let parts = event.data["parts"].as_array().into_iter().flatten();
                parts.into_iter().any(|part: &Value| {
                    part["id"] == id && part["html"].as_str().unwrap().contains(text)
                })
            })
            .await;
    }
    let board = TestBoard::start().await;
    let teo = board.device("Teo").await;
    let casualty = teo.registers("woman").await;
    let row = format!("row-{casualty}");
    let jo = board.device("Jo").await;
    let mut screen = jo.watches("board,summary", board.head()).await;
    teo.counts(&board.id, "packing_gauze", 37).await;
    shows(&mut screen, "stock", "37").await;
    let ina = board.lead("Ina").await;
    shows(&mut screen, "people", "Ina").await;
    let named = json!({ "kind": "incident.described/1", "name": "Bus on the pass" });
    ina.says(json!("incident"), named).await;
    shows(&mut screen, "summary", "Bus on the pass").await;
    let sorted = ina.sorts(&casualty, "immediate").await;
    shows(&mut screen, "totals", "IMMEDIATE").await;
    ina.strikes(json!({ "casualty": casualty }), &sorted).await;
    shows(&mut screen, "totals", "data-category=\"none\"").await;
    teo.takes(&casualty).await;
    shows(&mut screen, &row, "Teo").await;
    teo.joins(&board.join_code, "Teodor").await;
    shows(&mut screen, &row, "Teodor").await;
    ina.requests_evac(&casualty, "first", "lying").await;
    shows(&mut screen, "leaving", "first, lying").await;
    let wound = ina.finds_wound(&casualty, "forearm", "high").await;
    shows(&mut screen, "duties", "forearm").await;
    ina.takes_step(&wound, "packing", "packing_gauze").await;
    shows(&mut screen, "stock", "36").await;
}

#[tokio::test]
async fn a_page_and_its_stream_name_whose_they_are() {
    let board = TestBoard::start().await;
    let teo = (board.device("Teo").await, "helper");
    for (who, role) in [teo, (board.lead("Ina").await, "lead")] {
        let page = who.gets("/board").await;
        assert_eq!(page.header("vary").to_lowercase(), "cookie");
        let mut stream = who.watches("board", 0).await;
        let hello = stream.hears_of("hello").await;
        let device = hello.data["device"].as_str().unwrap();
        assert_eq!(hello.data["role"], role);
        assert!(page.body.contains(&format!("data-role=\"{role}\"")));
        assert!(page.body.contains(&format!("data-device=\"{device}\"")));
    }
}

#[tokio::test]
async fn a_summary_read_late_says_when_its_last_entry_came() {
    let board = TestBoard::start_at("2026-11-25T14:00:00Z").await;
    let teo = board.device("Teo").await;
    teo.registers("woman").await;
    board.minutes_pass(50);
    let board = board.restart().await;
    let page = teo.at(&board.origin).opens("/summary").await;
    let head = board.head();
    let sheet = page.part("summary").unwrap();
    assert!(sheet.contains(&format!("Entry {head} of")), "{sheet}");
    assert!(sheet.contains("datetime=\"2026-11-25T14:00"), "{sheet}");
    assert!(!sheet.contains("datetime=\"2026-11-25T14:5"), "{sheet}");
}

/// A page stays open for hours: its lists follow, and it is told when the times and systems in its forms are old.
#[tokio::test]
async fn forms_of_an_open_page_follow_who_joins_and_what_the_lead_changes() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let mut page = ina.opens("/board").await;
    let mut stream = ina.watches("board", page.seq()).await;
    let hello = stream.hears_of("hello").await;
    assert_eq!(hello.data["forms"].to_string(), page.body("data-forms"));

    let teo = board.device("Teo").await;
    teo.registers("woman in red").await;
    for event in stream.hears_within(QUIET).await {
        if event.name == "parts" {
            page.take_in(&event.data);
        }
    }
    let id = teo.id.clone();
    for (one, words) in [
        (format!("given-{id}"), "Teo"),
        (format!("named-{id}"), "Teo"),
        ("choices-others".to_owned(), "woman in red"),
    ] {
        let html = page
            .part(&one)
            .unwrap_or_else(|| panic!("{one} is not there"));
        assert!(html.contains(words), "{one}: {html}");
    }
    // Whoever loads the page now finds them in the lists.
    let fresh = ina.opens("/board").await;
    for list in ["choices-people", "choices-names"] {
        assert!(fresh.part(list).unwrap().contains("Teo"), "{list}");
    }

    // Who is deputy, trained or keeps the record stands in no form: nobody need load their page again for it.
    for named in [
        json!({ "kind": "deputy.named/1", "helper": id, "deputy": true }),
        json!({ "kind": "witness.chosen/1", "helper": id, "witness": true }),
    ] {
        ina.says(json!("incident"), named).await;
    }
    let named = teo.registers("named by mistake").await;
    let note = teo.notes(&named, "shoe lost").await;
    let strike =
        json!({ "kind": "entry.struck/1", "entry": note["id"], "reason": "wrong casualty" });
    ina.says(json!("incident"), strike).await;
    let before = page.body("data-forms");
    assert_eq!(ina.opens("/board").await.body("data-forms"), before);
    let longer = json!({ "kind": "policy.changed/1", "setting": "hold_pressure", "value": 15, "decided_by": "Ina" });
    let salt =
        json!({ "kind": "triage.chosen/1", "adult": "salt.standard", "child": "salt.standard" });
    ina.says(json!("incident"), longer).await;
    let changed = ina.opens("/board").await.body("data-forms");
    assert_eq!(changed, board.head().to_string());
    ina.says(json!("incident"), salt).await;
    let hello = ina
        .watches("board", board.head())
        .await
        .hears_of("hello")
        .await;
    assert_eq!(hello.data["forms"], board.head());
    let told = hello.data["forms"].to_string();
    assert!(told > page.body("data-forms"));
    assert_eq!(
        ina.opens("/board").await.body("data-forms"),
        board.head().to_string()
    );
}

/// The page of a board that was empty may stand open, or come out of a phone's keeping: what it says of that must follow.
#[tokio::test]
async fn the_lead_is_told_for_how_long_a_lost_board_can_be_rebuilt_here() {
    let board = TestBoard::start().await;
    let (ina, teo) = (board.lead("Ina").await, board.device("Teo").await);
    let untouched = async |who: &Device, view: &str| {
        let mut stream = who.watches(view, board.head()).await;
        stream.hears_of("hello").await.data["untouched"] == true
    };
    assert!(untouched(&ina, "board").await);
    assert!(!untouched(&teo, "board").await, "for the lead alone");
    teo.registers("woman in red").await;
    assert!(!untouched(&ina, "board").await);
}

/// With hundreds of people on a board, whoever joins costs every screen a few lines and not the lists of all.
#[tokio::test]
async fn a_screen_is_told_of_whoever_joins_and_not_of_everybody_again() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    let teo = board.device("Teo").await;
    let mut stream = teo.watches("next", board.head()).await;
    let sol = board.device("Sol").await;
    let mut told = String::new();
    for event in stream.hears_within(QUIET).await {
        told.push_str(&event.data.to_string());
    }
    assert!(told.contains(&format!("\"given-{}\"", sol.id)), "{told}");
    assert!(!told.contains(&format!("given-{}", teo.id)), "{told}");
    assert!(!told.contains(&format!("given-{}", ina.id)), "{told}");
    // A coordinator of evacuation reports no care: casualties are not given to them.
    let eva = board.evac("Eva").await;
    let mut page = teo.opens("/next").await;
    for event in stream.hears_within(QUIET).await {
        if event.name == "parts" {
            page.take_in(&event.data);
        }
    }
    assert!(page.part(&format!("given-{}", eva.id)).is_none());
    for list in ["given", "taking-over", "named"] {
        let one = page.part(&format!("{list}-{}", sol.id));
        assert!(one.is_some_and(|html| html.contains("Sol")), "{list}");
    }
}

#[tokio::test]
async fn a_log_that_stands_still_is_not_kept_by_the_browser() {
    let board = TestBoard::start().await;
    let ina = board.lead("Ina").await;
    for (path, kept) in [
        ("/log", true),
        ("/log?casualty=1", false),
        ("/log?before=2", false),
    ] {
        let answer = ina.gets(path).await;
        let rule = answer.header("cache-control");
        assert_eq!(rule.contains("max-age"), kept, "{path}: {rule}");
    }
}
