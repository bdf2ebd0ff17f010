//! Every timed sequence, reported over HTTP to a board whose clock is told, and read off the pages it then serves.
//!
//! After each report: the state, the next step, its rule and source, the warnings, the questions and the clocks of
//! everybody's are read in the casualty's page; what only some see (a medic's clock) is read in the board's state.

use std::collections::BTreeSet;

use holdfast::clock::fresh_id;
use holdfast::incident::{CareClock, Wound};
use holdfast::rules::bleeding::clocks::Audience;
use holdfast::rules::bleeding::{ClockKind, LimbStanding, Rule, State};
use jiff::{SignedDuration, Timestamp};
use serde_json::json;

use super::names;
use super::reports::{About, Line, Sequence, fact, minutes, read};
use crate::harness::{Device, TestBoard};

const FILE: &str = include_str!("../../published/bleeding/sequences.txt");
const ZERO: &str = "2026-06-01T08:00:00Z";

fn time(minutes: i64) -> Timestamp {
    let zero: Timestamp = ZERO.parse().unwrap();
    zero + SignedDuration::from_mins(minutes)
}

/// One sequence being told to a board.
struct Told<'a> {
    board: &'a TestBoard,
    /// First aider, lead, medic.
    devices: &'a [Device; 3],
    casualty: String,
    wounds: Vec<(String, bool)>,
}

impl Told<'_> {
    async fn says(
        &self,
        device: &Device,
        at: i64,
        about: serde_json::Value,
        fact: serde_json::Value,
    ) -> String {
        let mut report = device.fact(about, fact);
        report["happened_at"] = json!(time(at).to_string());
        let receipt = device.reports(report).await;
        assert!(receipt["seq"].is_u64(), "not taken: {receipt}");
        receipt["id"].as_str().unwrap().to_owned()
    }

    async fn sets_up(&self, sequence: &Sequence) {
        let about = json!({ "casualty": self.casualty });
        let device = &self.devices[0];
        let registered =
            json!({ "kind": "casualty.registered/1", "age": "adult", "words": sequence.id });
        self.says(device, 0, about.clone(), registered).await;
        let injured = json!({ "kind": "history.told/1", "injured_at": ZERO });
        self.says(device, 0, about.clone(), injured).await;
        let mut told = json!({ "kind": "risks.told/1", "cold": false });
        if sequence.about_the_person("anticoagulant") == Some("yes") {
            told["blood_thinners"] = json!(true);
        }
        if let Some(eta) = sequence.about_the_person("handover_eta") {
            told["hospital_at"] = json!(time(minutes(eta)).to_string());
        }
        self.says(device, 0, about, told).await;
    }

    /// Reports one line; returns the id of the report the expectations are about.
    async fn reports(&mut self, sequence: &Sequence, line: &Line) -> Option<String> {
        let device = match (line.key("role"), line.event.as_str()) {
            ("lead", _) | (_, "VOID") => &self.devices[1],
            ("medic", _) => &self.devices[2],
            _ => &self.devices[0],
        };
        let (wound, known) = self.wounds[line.wound()].clone();
        let about = json!({ "wound": wound });
        self.wounds[line.wound()].1 |= line.event != "NOTE";
        let place = sequence.wounds()[line.wound()];
        let rate = match line.event.as_str() {
            "ASSESS" | "DID_FOUND" => Some(line.key("rate")),
            _ => None,
        };
        if !known && line.event != "NOTE" {
            let mut found = json!({ "kind": "wound.found/2", "casualty": self.casualty, "region": place["region"],
                "side": "left", "depth": place.get("depth").map_or("deep", String::as_str) });
            if let Some(amputation) = place.get("amputation") {
                found["amputation"] = json!(amputation);
            }
            if let Some(rate) = rate {
                found["flow"] = json!(rate);
            }
            let id = self.says(device, line.at, about.clone(), found).await;
            if rate.is_some() || line.event == "WOUND" {
                return Some(id);
            }
        }
        if let Some(rate) = rate {
            let seen = json!({ "kind": "wound.assessed/1", "flow": rate });
            return Some(self.says(device, line.at, about, seen).await);
        }
        if line.key("distal") == "none_before" {
            let before =
                json!({ "kind": "beyond.checked/1", "before": true, "circulation": "absent" });
            self.says(device, line.at, about.clone(), before).await;
        }
        let (on, fact) = fact(line, &|text| time(minutes(text)).to_string())?;
        let about = match on {
            About::Wound => about,
            About::Person => json!({ "casualty": self.casualty }),
        };
        let id = self.says(device, line.at, about.clone(), fact).await;
        if line.key("confirmed") == "yes" {
            let confirmed = json!({ "kind": "report.confirmed/1", "entry": id });
            self.says(device, line.at, about, confirmed).await;
        }
        Some(id)
    }

    fn state(&self, index: usize) -> (Option<Wound>, Vec<CareClock>) {
        let (id, _) = &self.wounds[index];
        self.board.state(|incident| {
            let casualty = incident
                .casualties()
                .find(|one| one.id.to_string() == self.casualty)
                .unwrap();
            let wound = casualty
                .wounds
                .iter()
                .find(|one| one.id.to_string() == *id)
                .cloned();
            let first_of_limb = casualty
                .wounds
                .iter()
                .find(|one| {
                    wound
                        .as_ref()
                        .is_some_and(|wound| one.limb.is_some() && one.limb == wound.limb)
                })
                .map(|one| one.id);
            let own = |clock: &&CareClock| match clock.wound {
                None => true,
                Some(of) => {
                    of.to_string() == *id || (of_limb(clock.kind) && Some(of) == first_of_limb)
                }
            };
            (wound, casualty.clocks.iter().filter(own).cloned().collect())
        })
    }
}

fn of_limb(kind: ClockKind) -> bool {
    kind.is_limb_line()
        || matches!(
            kind,
            ClockKind::TourniquetReview | ClockKind::TourniquetTimeMissing
        )
}

/// As askama writes text.
fn escaped(text: &str) -> String {
    text.replace('&', "&#38;")
        .replace('<', "&#60;")
        .replace('>', "&#62;")
        .replace('"', "&#34;")
        .replace('\'', "&#39;")
}

/// The card of a wound on its casualty's page; nothing where it is not shown.
pub(super) fn card<'a>(page: &'a str, wound: &str) -> &'a str {
    page.split("<article")
        .find(|card| card.contains(&format!("why-{wound}")))
        .map_or("", |card| card.split("</article>").next().unwrap())
}

pub(super) fn shows(html: &str, what: &str) -> Result<(), String> {
    html.contains(&escaped(what))
        .then_some(())
        .ok_or_else(|| format!("the page does not say `{what}`"))
}

/// A duty row of these words, due then.
fn shows_duty(page: &str, kind: ClockKind, due: Timestamp) -> Result<(), String> {
    let due = format!("data-due=\"{due}\"");
    page.split("<div class=\"duty")
        .any(|row| row.split('>').next().unwrap().contains(&due))
        .then_some(())
        .ok_or_else(|| format!("the page shows no duty {kind:?} with {due}"))
}

fn check(
    line: &Line,
    token: &str,
    told: &Told<'_>,
    seen: (&str, Option<&str>),
) -> Result<(), String> {
    let (page, report) = seen;
    let index = line.wound();
    let (wound, clocks) = told.state(index);
    let card = card(page, &told.wounds[index].0);
    let due = |id: &str| -> Vec<Timestamp> {
        let kind = names::clock(id);
        clocks
            .iter()
            .filter(|clock| clock.kind == kind)
            .map(|clock| clock.due_at)
            .collect()
    };
    if let Some(id) = token.strip_prefix('-') {
        return due(id)
            .is_empty()
            .then_some(())
            .ok_or(format!("runs: {:?}", due(id)));
    }
    if let Some(id) = token.strip_prefix("overdue=") {
        let late = due(id).iter().any(|due| *due < time(line.recorded));
        return late.then_some(()).ok_or("not overdue".to_owned());
    }
    if let Some(id) = token.strip_prefix("CONFIRM(") {
        shows(card, names::warning(id.trim_end_matches(')')).text())?;
        shows(card, "Was it done all the same?")?;
        return shows(card, report.unwrap());
    }
    if let Some(at) = token.strip_prefix("isch=") {
        let since = wound
            .as_ref()
            .and_then(|wound| wound.limb.as_ref())
            .and_then(LimbStanding::without_blood_since);
        let wanted = (at != "none").then(|| time(minutes(at)));
        return (since == wanted).then_some(()).ok_or(format!("{since:?}"));
    }
    if let Some((id, at)) = token.split_once('@') {
        let wanted = time(minutes(at));
        if due(id) != [wanted] {
            return Err(format!("due {:?}", due(id)));
        }
        let kind = names::clock(id);
        return if kind.audience() == Audience::Everyone {
            shows_duty(page, kind, wanted)
        } else {
            Ok(())
        };
    }
    match token.chars().next() {
        Some('S') if names::state(token) == State::Void => card
            .is_empty()
            .then_some(())
            .ok_or("still shown".to_owned()),
        Some('S') => shows(card, names::state(token).words()),
        Some('A') => {
            let region = wound.and_then(|wound| wound.region).unwrap();
            shows(card, names::step(token).line_at(region))
        }
        Some('W') => shows(card, names::warning(token).text()),
        _ => panic!("no token {token}"),
    }
}

/// Why the wound stands where it stands: the rule in words, and its source.
fn names_its_rule(told: &Told<'_>, index: usize, page: &str) -> Result<(), String> {
    let Some(wound) = told
        .state(index)
        .0
        .filter(|wound| wound.standing.state != State::Void)
    else {
        return Ok(());
    };
    let card = card(page, &told.wounds[index].0);
    shows(card, wound.standing.rule.words())?;
    shows(card, wound.standing.rule.source())
}

#[tokio::test]
async fn every_sequence_is_reported_and_read_token_by_token() {
    let mut wrong = Vec::new();
    let mut tokens = 0;
    let mut reached: BTreeSet<Rule> = BTreeSet::new();
    for sequence in read(FILE) {
        // A board of its own: each sequence begins at the beginning of time.
        let board = TestBoard::start_at(ZERO).await;
        let devices = [
            board.device("Teo").await,
            board.lead("Ina").await,
            board.medic("Mara").await,
        ];
        let mut told = Told {
            board: &board,
            devices: &devices,
            casualty: fresh_id().to_string(),
            wounds: sequence
                .wounds()
                .iter()
                .map(|_| (fresh_id().to_string(), false))
                .collect(),
        };
        told.sets_up(&sequence).await;
        let mut now = 0;
        for line in &sequence.lines {
            board.minutes_pass((line.recorded - now).max(0));
            now = now.max(line.recorded);
            let report = told.reports(&sequence, line).await;
            let page = devices[0]
                .opens(&format!("/casualties/{}", told.casualty))
                .await
                .html;
            for token in &line.expected {
                tokens += 1;
                if let Err(problem) = check(line, token, &told, (&page, report.as_deref())) {
                    wrong.push(format!(
                        "[{}] {}\n    {token}: {problem}",
                        sequence.id, line.text
                    ));
                }
            }
            if let Err(problem) = names_its_rule(&told, line.wound(), &page) {
                wrong.push(format!(
                    "[{}] {}\n    why: {problem}",
                    sequence.id, line.text
                ));
            }
        }
        for index in 0..told.wounds.len() {
            if let Some(wound) = told.state(index).0 {
                reached.extend(wound.standing.trail.iter().map(|(_, rule)| *rule));
            }
        }
        let mut board = board;
        board.stop().await;
    }
    assert!(
        wrong.is_empty(),
        "{} of {tokens} tokens differ:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(tokens > 500, "{tokens}");
    let missing: Vec<_> = names::TRANSITIONS
        .iter()
        .filter(|(_, rule)| !reached.contains(rule))
        .collect();
    assert!(missing.is_empty(), "no report reaches {missing:?}");
}
