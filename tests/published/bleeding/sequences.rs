//! Every sequence of the file, token by token; and every transition reached.

use std::collections::BTreeSet;

use holdfast::rules::bleeding::{
    Case, Clock, ClockAbout, Dated, Picture, Policy, Rule, Standing, clocks, stand,
};

use super::names;
use super::sequences_file::{Line, Sequence, read, time};

const FILE: &str = include_str!("sequences.txt");

#[test]
fn every_sequence_token_by_token() {
    let policy = Policy::default();
    let mut wrong = Vec::new();
    for sequence in read(FILE) {
        let case = Case {
            policy: &policy,
            casualty: &sequence.casualty,
            wounds: &sequence.wounds,
        };
        let mut acts: Vec<Dated> = Vec::new();
        for line in &sequence.lines {
            acts.extend(line.act.clone());
            let picture = stand(&case, &acts);
            let running = clocks(&case, &picture, line.recorded_at);
            for token in &line.expected {
                if let Err(problem) = check(&sequence, line, token, (&picture, &running)) {
                    wrong.push(format!(
                        "[{}] {}\n    {token}: {problem}",
                        sequence.id, line.text
                    ));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} tokens differ:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

fn check(
    sequence: &Sequence,
    line: &Line,
    token: &str,
    got: (&Picture, &[Clock]),
) -> Result<(), String> {
    let (picture, running) = got;
    let standing = &picture.wounds[line.wound];
    let limb = sequence.wounds[line.wound].limb(line.wound);
    let own = |clock: &&Clock| match clock.about {
        ClockAbout::Wound(index) => index == line.wound,
        ClockAbout::Limb(other) => Some(other) == limb,
        _ => true,
    };
    let find = |id: &str| {
        let kind = names::clock(id);
        running
            .iter()
            .filter(own)
            .filter(move |clock| clock.kind == kind)
    };
    if let Some(id) = token.strip_prefix('-') {
        let found: Vec<_> = find(id).collect();
        return found.is_empty().then_some(()).ok_or(format!("{found:?}"));
    }
    if let Some(id) = token.strip_prefix("overdue=") {
        let late = find(id).any(|clock| clock.due_at < line.recorded_at);
        return late.then_some(()).ok_or("not overdue".to_owned());
    }
    if let Some(id) = token.strip_prefix("CONFIRM(") {
        let warning = names::warning(id.trim_end_matches(')'));
        let order = line.act.as_ref().expect("an act").order;
        let asked = standing
            .questions
            .iter()
            .any(|one| one.order == order && one.warning == warning);
        return asked
            .then_some(())
            .ok_or(format!("{:?}", standing.questions));
    }
    if let Some(at) = token.strip_prefix("isch=") {
        let since = limb
            .and_then(|limb| picture.limbs.get(&limb))
            .and_then(holdfast::rules::bleeding::LimbStanding::without_blood_since);
        let wanted = (at != "none").then(|| time(at));
        return (since == wanted).then_some(()).ok_or(format!("{since:?}"));
    }
    if let Some((id, at)) = token.split_once('@') {
        let found: Vec<_> = find(id).map(|clock| clock.due_at).collect();
        return (found == [time(at)])
            .then_some(())
            .ok_or(format!("due {found:?}"));
    }
    check_standing(standing, token)
}

fn check_standing(standing: &Standing, token: &str) -> Result<(), String> {
    match token.chars().next() {
        Some('S') => {
            let wanted = names::state(token);
            (standing.state == wanted)
                .then_some(())
                .ok_or(format!("{:?}", standing.state))
        }
        Some('A') => {
            let wanted = names::step(token);
            (standing.next == wanted)
                .then_some(())
                .ok_or(format!("{:?}", standing.next))
        }
        Some('W') => {
            let shown = standing.warnings.contains(&names::warning(token));
            shown
                .then_some(())
                .ok_or(format!("{:?}", standing.warnings))
        }
        _ => panic!("no token {token}"),
    }
}

fn final_pictures() -> Vec<(Sequence, Picture)> {
    let policy = Policy::default();
    read(FILE)
        .into_iter()
        .map(|sequence| {
            let case = Case {
                policy: &policy,
                casualty: &sequence.casualty,
                wounds: &sequence.wounds,
            };
            let acts: Vec<Dated> = sequence
                .lines
                .iter()
                .filter_map(|line| line.act.clone())
                .collect();
            let picture = stand(&case, &acts);
            (sequence, picture)
        })
        .collect()
}

#[test]
fn every_transition_is_reached() {
    let reached: BTreeSet<Rule> = final_pictures()
        .iter()
        .flat_map(|(_, picture)| &picture.wounds)
        .flat_map(|standing| &standing.trail)
        .map(|(_, rule)| *rule)
        .collect();
    let missing: Vec<_> = names::TRANSITIONS
        .iter()
        .filter(|(_, rule)| !reached.contains(rule))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn the_file_is_whole() {
    let all = read(FILE);
    let published = all
        .iter()
        .filter(|sequence| sequence.id.starts_with('B'))
        .count();
    let tokens: usize = all
        .iter()
        .flat_map(|sequence| &sequence.lines)
        .map(|line| line.expected.len())
        .sum();
    assert_eq!(published, 34);
    assert!(tokens > 500, "{tokens}");
}

#[test]
fn a_tourniquet_acts_on_wounds_below_it_only() {
    let (sequence, picture) = final_pictures()
        .into_iter()
        .find(|(sequence, _)| sequence.id == "B23")
        .expect("B23");
    assert_eq!(picture.wounds[0].state, names::state("S8"));
    assert_eq!(
        picture.wounds[1].state,
        names::state("S2"),
        "{}",
        sequence.id
    );
}
