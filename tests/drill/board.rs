//! The whole story told to a real board: same door as people, on disk, in a few seconds.

use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

use holdfast::clock::Clock;
use holdfast::drill::{NINEFOLD_BEND, Played, play};
use holdfast::incident::{Entry, Fact, Incident, Task};
use holdfast::journal;
use holdfast::rules::bleeding::{ClockKind, Severity, State};
use holdfast::rules::supplies::Item;
use holdfast::rules::triage::Category;
use jiff::{SignedDuration, Timestamp};

use crate::running::{Running, Stopped};

/// What a telling left behind.
struct Told {
    played: Played,
    incident: Incident,
    now: Timestamp,
    stopped: Stopped,
}

/// Tells the story with a clock that runs so fast that all of it takes seconds.
async fn told() -> Told {
    let clock = Clock::scaled("2026-11-25T14:00:00Z".parse().unwrap(), 4000.0);
    let running = Running::start("127.0.0.1:0", clock.clone()).await;
    let playing = play(&NINEFOLD_BEND, &running.door, &clock);
    let played = tokio::time::timeout(Duration::from_mins(1), playing)
        .await
        .expect("told within a minute")
        .unwrap();
    let incident = running.app.journal.read(Incident::clone);
    let now = last_happened(&incident);
    Told {
        played,
        incident,
        now,
        stopped: running.stop().await,
    }
}

fn last_happened(incident: &Incident) -> Timestamp {
    let told = incident
        .entries()
        .iter()
        .filter(|entry| !matches!(entry.fact, Fact::HelperJoined(_)));
    told.map(|entry| entry.happened_at).max().unwrap()
}

/// The state after each entry.
fn states(incident: &Incident) -> impl Iterator<Item = Incident> {
    let entries: Vec<Entry> = incident
        .entries()
        .iter()
        .map(|entry| Entry::clone(entry))
        .collect();
    (1..=entries.len()).map(move |upto| Incident::replay(entries[..upto].to_vec()))
}

fn disputed(incident: &Incident) -> Vec<u32> {
    incident
        .casualties()
        .filter(|casualty| casualty.category.is_disputed())
        .map(|casualty| casualty.number)
        .collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_whole_story_is_taken_and_adds_up() {
    let told = told().await;
    let expected = NINEFOLD_BEND.expected;
    assert_eq!(told.played.refused, []);
    assert_eq!(told.played.unsent, 0);
    assert_eq!(told.played.taken, NINEFOLD_BEND.lines().len());

    let incident = &told.incident;
    assert!(incident.description().practice);
    assert_eq!(incident.casualties().count(), 12);
    let totals: BTreeMap<Option<Category>, usize> = expected
        .categories
        .iter()
        .map(|(category, count)| (Some(*category), *count))
        .collect();
    assert_eq!(incident.totals(), totals);
    let tourniquets: Vec<u32> = incident
        .casualties()
        .filter(|casualty| casualty.tourniquet_since().is_some())
        .map(|casualty| casualty.number)
        .collect();
    assert_eq!(tourniquets, expected.tourniquets);
    assert_eq!(disputed(incident), expected.disputed);
    let struck = incident
        .entries()
        .iter()
        .filter(|entry| incident.is_struck(entry.seq));
    assert_eq!(struck.count(), expected.struck);
    assert!(
        incident
            .entries()
            .iter()
            .all(|entry| entry.claimed_at.is_none())
    );
    bleeding_is_in_hand(&told);
    verified(&told).await;
}

/// At the end nobody bleeds unattended, and next to nothing is overdue.
fn bleeding_is_in_hand(told: &Told) {
    for casualty in told.incident.casualties() {
        for wound in &casualty.wounds {
            assert_ne!(
                wound.standing.state,
                State::Bleeding,
                "{} {}",
                casualty.number,
                wound.place()
            );
        }
    }
    let late: Vec<_> = told
        .incident
        .duties()
        .into_iter()
        // In this story rounds come late and vital signs wait; what can kill within minutes does not.
        .filter(|duty| duty.due_at < told.now && duty.severity == Severity::Critical)
        .collect();
    assert_eq!(late, [], "overdue at the end");
    assert!(
        told.incident
            .duties()
            .iter()
            .any(|duty| matches!(duty.task, Task::Care(ClockKind::TwoHours, _)))
    );
}

async fn verified(told: &Told) {
    let verdict = journal::verify(&told.stopped.file).await.unwrap();
    assert!(verdict.is_whole(), "{:?}", verdict.findings);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_the_way_there_is_a_dispute_a_shortage_and_a_late_arrival() {
    let told = told().await;
    let mut disputes = BTreeSet::new();
    let mut short = BTreeSet::new();
    for state in states(&told.incident) {
        disputes.extend(disputed(&state));
        let gone = state
            .stock()
            .iter()
            .filter(|(_, level)| level.is_counted && level.left() == 0);
        short.extend(gone.map(|(item, _)| *item));
    }
    assert_eq!(disputes, BTreeSet::from([4, 6]));
    for item in [
        Item::Tourniquet,
        Item::HaemostaticGauze,
        Item::PressureBandage,
    ] {
        assert!(short.contains(&item), "{item:?} never ran out");
    }
    let late = told.incident.entries().iter().filter(|entry| {
        entry.recorded_at.duration_since(entry.happened_at) > SignedDuration::from_mins(10)
    });
    assert!(late.count() > 50, "the first minutes arrive late");
    for level in told.incident.stock().values() {
        assert_eq!(level.overdrawn(), 0);
    }
}
