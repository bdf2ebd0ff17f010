//! The player: waits, tries again, and goes on when something is refused.

use std::net::TcpListener;
use std::time::Duration;

use holdfast::clock::Clock;
use holdfast::drill::{
    Actor, Door, Expected, Line, Moment, NINEFOLD_BEND, Played, Scenario, What, play,
};
use holdfast::incident::Role;
use holdfast::incident::fact::Skill;

use crate::running::{LEAD_WORDS, Running};

const LEAD: Actor = Actor {
    name: "Ilva",
    role: Role::Lead,
    skill: Skill::None,
};
const HELPER: Actor = Actor {
    name: "Joren",
    role: Role::Helper,
    skill: Skill::None,
};

const fn short(actors: &'static [Actor], chapters: &'static [&'static [Line]]) -> Scenario {
    Scenario {
        name: "Short",
        actors,
        opens_at: Moment::at(1, 0),
        chapters,
        expected: Expected {
            categories: &[],
            tourniquets: &[],
            disputed: &[],
            struck: 0,
        },
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_player_waits_for_the_boards_clock() {
    let clock = Clock::told("2026-11-25T14:00:00Z".parse().unwrap());
    let running = Running::start("127.0.0.1:0", clock.clone()).await;
    let (told_clock, door) = (clock.clone(), running.door.clone());
    let playing = tokio::spawn(async move { play(&NINEFOLD_BEND, &door, &told_clock).await });

    let told_by = |seconds: u32| {
        let lines = NINEFOLD_BEND.lines();
        let told = lines.iter().filter(|line| line.told.seconds() <= seconds);
        told.count() + NINEFOLD_BEND.actors.len() + 1
    };
    let opens = NINEFOLD_BEND.opens_at.seconds();
    let mut head = running.app.journal.watch();
    for later in [0, 60, 120] {
        let expected = told_by(opens + later) as u64;
        let reached = head.wait_for(|head| head.seq.0 >= expected);
        tokio::time::timeout(Duration::from_secs(20), reached)
            .await
            .expect("told in time")
            .unwrap();
        // Nothing more comes while the clock stands.
        tokio::time::sleep(Duration::from_millis(100)).await;
        assert_eq!(running.app.journal.head().seq.0, expected);
        clock.advance(60);
    }
    playing.abort();
    drop(head);
    assert!(running.stop().await.took < Duration::from_secs(2));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_phone_tries_again_until_the_board_is_there() {
    const STORY: Scenario = short(&[LEAD], &[&[LEAD.at(0, 30, What::Note("here"))]]);
    let address = {
        let held = TcpListener::bind("127.0.0.1:0").unwrap();
        held.local_addr().unwrap()
    };
    let door = Door {
        address,
        helper_code: String::new(),
        evac_code: String::new(),
        viewer_code: String::new(),
        lead_words: LEAD_WORDS.to_owned(),
    };
    let clock = Clock::wall();
    let playing = tokio::spawn(async move { play(&STORY, &door, &clock).await });
    tokio::time::sleep(Duration::from_millis(200)).await;
    let running = Running::start(&address.to_string(), Clock::wall()).await;
    let Played { taken, unsent, .. } = playing.await.unwrap().unwrap();
    assert_eq!((taken, unsent), (1, 0));
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_refused_or_makes_no_sense_is_counted_and_the_story_goes_on() {
    const NOT_A_HELPERS: What = What::Describe {
        place: "somewhere",
        note: "something",
    };
    const NOBODY_MET: What = What::Casualty(1, holdfast::drill::Person::Take);
    const STORY: Scenario = short(
        &[LEAD, HELPER],
        &[&[
            HELPER.at(0, 10, NOT_A_HELPERS),
            HELPER.at(0, 20, NOBODY_MET),
            HELPER.at(0, 30, What::Note("and on")),
        ]],
    );
    let running = Running::start("127.0.0.1:0", Clock::wall()).await;
    let played = play(&STORY, &running.door, &Clock::wall()).await.unwrap();
    let codes: Vec<&str> = played
        .refused
        .iter()
        .map(|problem| problem.code.as_str())
        .collect();
    assert_eq!(codes, ["not-allowed"]);
    assert_eq!((played.taken, played.unsent), (1, 1));
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_wrong_code_ends_the_play_at_once() {
    const STORY: Scenario = short(&[LEAD], &[]);
    let running = Running::start("127.0.0.1:0", Clock::wall()).await;
    let door = Door {
        lead_words: "not these words".to_owned(),
        ..running.door.clone()
    };
    let error = play(&STORY, &door, &Clock::wall()).await.unwrap_err();
    assert!(error.to_string().contains("403"), "{error}");
    running.stop().await;
}
