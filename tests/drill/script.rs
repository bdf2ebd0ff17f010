//! The story by itself: what is written in it agrees with the rules and with itself.

use std::collections::{BTreeMap, BTreeSet};

use holdfast::clock::fresh_id;
use holdfast::drill::{Care, Cast, Line, Moment, NINEFOLD_BEND, Person, What};
use holdfast::incident::{BoardId, DeviceId, Fact, Role, Seq};
use holdfast::rules::bleeding::Measure::{
    self, DirectPressure, Packing, PressureDressing, Tourniquet,
};
use holdfast::rules::bleeding::Region;
use holdfast::rules::triage::{Outcome, StartVariant};
use jiff::Timestamp;

fn told_of(line: &Line) -> Option<(u32, &Person)> {
    match &line.what {
        What::Casualty(number, told) => Some((*number, told)),
        _ => None,
    }
}

#[test]
fn every_assessment_agrees_with_the_algorithm() {
    let mut sorted = 0;
    for line in NINEFOLD_BEND.lines() {
        let Some((
            number,
            Person::Sort {
                answers,
                category,
                step,
            },
        )) = told_of(line)
        else {
            continue;
        };
        sorted += 1;
        assert_eq!(
            answers.assess(StartVariant::default()).outcome,
            Outcome::Final {
                category: *category,
                step
            },
            "casualty {number} at {:?}",
            line.at
        );
    }
    assert!(sorted >= 12, "only {sorted} assessments");
}

#[test]
fn the_cast_is_twelve_casualties_five_helpers_a_lead_and_a_coordinator() {
    let met: BTreeSet<u32> = NINEFOLD_BEND
        .lines()
        .into_iter()
        .filter_map(told_of)
        .filter(|(_, told)| matches!(told, Person::Meet { .. }))
        .map(|(number, _)| number)
        .collect();
    assert_eq!(met, (1..=12).collect());
    let count = |role| {
        let actors = NINEFOLD_BEND.actors.iter();
        actors.filter(|actor| actor.role == role).count()
    };
    assert_eq!(
        (count(Role::Helper), count(Role::Lead), count(Role::Evac)),
        (5, 1, 1)
    );
    let skills: BTreeSet<_> = NINEFOLD_BEND
        .actors
        .iter()
        .map(|actor| actor.skill)
        .collect();
    assert_eq!(skills.len(), 3, "of mixed skill");
}

#[test]
fn every_line_refers_to_what_was_told_before() {
    let mut cast = Cast::new(BoardId::new(fresh_id()), Timestamp::UNIX_EPOCH);
    for actor in NINEFOLD_BEND.actors {
        cast.joined(*actor, DeviceId::new(fresh_id()));
    }
    for line in NINEFOLD_BEND.lines() {
        assert!(
            line.at <= line.told && line.seen <= line.told,
            "{:?}",
            line.at
        );
        if let Err(error) = cast.report(line, Seq::START) {
            panic!("{:?}: {error}", line.at);
        }
    }
}

#[test]
fn whoever_opens_the_demo_sees_something_at_least_every_half_minute() {
    let told: Vec<u32> = NINEFOLD_BEND
        .lines()
        .iter()
        .map(|line| line.told.seconds())
        .filter(|told| *told > NINEFOLD_BEND.opens_at.seconds())
        .collect();
    assert!(told[0] - NINEFOLD_BEND.opens_at.seconds() <= 30);
    for pair in told.windows(2) {
        let longest = if pair[0] < Moment::at(30, 0).seconds() {
            30
        } else {
            120
        };
        assert!(pair[1] - pair[0] <= longest, "quiet from {}", pair[0]);
    }
    let last = told.last().copied().unwrap_or_default();
    assert!((70 * 60..=90 * 60).contains(&last));
}

#[test]
fn the_bleeds_climb_as_the_trade_knows_it() {
    let mut steps: BTreeMap<&str, Vec<Measure>> = BTreeMap::new();
    let mut regions: BTreeMap<&str, Region> = BTreeMap::new();
    let mut checks: BTreeMap<&str, Vec<bool>> = BTreeMap::new();
    for line in NINEFOLD_BEND.lines() {
        match &line.what {
            What::Wound(name, Care::Find { region, .. }) => {
                regions.insert(name, *region);
            }
            What::Wound(name, Care::Do(measure, _)) => {
                steps.entry(name).or_default().push(*measure);
            }
            What::Wound(name, Care::Feel(found)) => {
                checks.entry(name).or_default().push(found.passed());
            }
            _ => {}
        }
    }
    assert_eq!(
        steps["1a"],
        [DirectPressure, Packing, PressureDressing, Tourniquet]
    );
    assert_eq!(steps["2a"], [Tourniquet]);
    assert_eq!(checks["8a"][..2], [false, true], "too tight, then mended");
    for (wound, taken) in steps {
        let can = regions[wound].capability();
        assert!(
            can.tourniquet || !taken.contains(&Tourniquet),
            "no tourniquet works on {wound}"
        );
    }
}

#[test]
fn a_line_told_late_is_told_as_it_happened() {
    let mut cast = Cast::new(BoardId::new(fresh_id()), Timestamp::UNIX_EPOCH);
    let late = NINEFOLD_BEND
        .lines()
        .into_iter()
        .find(|line| {
            line.told > line.at && matches!(told_of(line), Some((12, Person::Meet { .. })))
        })
        .expect("casualty 12 is reported late");
    let report = cast.report(late, Seq(7)).unwrap();
    assert_eq!(
        report.happened_at,
        Timestamp::from_second(i64::from(late.at.seconds())).unwrap()
    );
    assert_eq!(report.based_on, Seq(7));
    assert!(matches!(report.fact, Fact::CasualtyRegistered(_)));
}
