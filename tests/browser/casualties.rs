//! The invented casualties that are run through every tool, entered by hand on a phone: each shows the expected
//! category in each system with the step that decided, and the board puts them in order.
//!
//! The casualties and what they must come to stand in `tests/published/casualties.txt`.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use holdfast::rules::triage::{Algorithm, Answer, Category, Input, Measure, Sheet, StartVariant};
use thirtyfour::By;

use crate::board::Board;
use crate::screen::{Browsers, Screen};
use crate::sorting::give;

const FILE: &str = include_str!("../published/casualties.txt");
/// The column of each system, the one that is assigned in the end last.
const SYSTEMS: [(Algorithm, usize); 4] = [
    (Algorithm::Salt, 4),
    (Algorithm::TenSecond, 5),
    (Algorithm::Mitt, 6),
    (Algorithm::Start(StartVariant::RadialThenCrt), 3),
];

struct Case {
    columns: Vec<&'static str>,
    given: BTreeMap<&'static str, &'static str>,
}

fn cases() -> Vec<Case> {
    FILE.lines()
        .filter(|line| !line.trim().is_empty() && !line.starts_with('#'))
        .map(|line| {
            let columns: Vec<&str> = line.split('|').map(str::trim).collect();
            let given = columns[2]
                .split(' ')
                .filter_map(|pair| pair.split_once('='))
                .collect();
            Case { columns, given }
        })
        .collect()
}

impl Case {
    fn yes(&self, key: &str) -> bool {
        self.given.get(key) == Some(&"y")
    }

    fn number(&self, key: &str) -> u16 {
        self.given[key].parse().unwrap()
    }

    /// What somebody who looks at them answers.
    fn says(&self, input: Input, measure: Option<Measure>, system: Algorithm) -> bool {
        if let Some(measure) = measure {
            let value = match measure.input {
                Input::BreathsPerMinute => self.number("rr"),
                Input::PulsePerMinute => self.number("hr"),
                Input::AgeYears => self.number("age"),
                other => panic!("{other:?} is not told"),
            };
            return measure.yes_when.met_by(value);
        }
        match input {
            Input::Walks => self.yes("walk"),
            // SALT asks after the interventions, Ten Second Triage with the airway opened.
            Input::Breathing if matches!(system, Algorithm::Salt | Algorithm::TenSecond) => {
                self.yes("breathing") || self.yes("open")
            }
            Input::Breathing => self.yes("breathing"),
            Input::BreathingAfterAirway => self.yes("open"),
            Input::RadialPulse | Input::PulseFelt => self.yes("radial"),
            Input::Obeys | Input::ObeysOrMoves => self.yes("obeys"),
            Input::RespondsToVoice => self.yes("voice"),
            Input::Talking => self.yes("talk"),
            Input::PenetratingInjury => self.yes("pen"),
            Input::SevereBleeding | Input::CatastrophicBleeding => self.yes("bleed"),
            Input::BleedingControlled => self.yes("haem"),
            Input::RespiratoryDistress => self.yes("distress"),
            Input::InjuriesMinor => self.yes("minor"),
            Input::LikelyToSurvive => self.yes("surv"),
            Input::HypoxicCause => false,
            other => panic!("{other:?} is not told"),
        }
    }
}

/// Answers what the screen asks until it suggests; gives the step that must be named as deciding.
async fn walk(phone: &Screen, case: &Case, system: Algorithm) -> &'static str {
    let mut sheet = Sheet::new(system);
    while let Some(step) = sheet.next_step() {
        phone.reads("[data-triage-place]", step.id).await;
        phone.reads("[data-triage-question]", step.question).await;
        let yes = case.says(step.input, step.measure, system);
        give(phone, if yes { "yes" } else { "no" }).await;
        assert!(sheet.record(step.input, Some(Answer::from(yes))));
    }
    let table = system.table();
    let sheet = sheet.with_suggestion();
    table.step(sheet.step().unwrap()).unwrap().id
}

async fn numbers(phone: &Screen) -> Vec<String> {
    let mut seen = Vec::new();
    for number in phone
        .driver
        .find_all(By::Css("#rows .number"))
        .await
        .unwrap()
    {
        seen.push(number.text().await.unwrap());
    }
    seen
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_casualties_through_every_tool_by_hand() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let teo = browsers.phone("Teo").await;
    teo.join_by_poster(&board).await;
    let cases = cases();
    assert!(cases.len() >= 11);
    let mut longest = Duration::ZERO;
    let mut expected: Vec<(u8, usize)> = Vec::new();
    for (index, case) in cases.iter().enumerate() {
        let id = case.columns[0];
        teo.tap("[data-open=add]").await;
        teo.tap("[data-view-name=add] input[value=adult] + span")
            .await;
        teo.fill("#add-words", id).await;
        teo.tap("[data-view-name=add] button[type=submit]").await;
        teo.tap("[data-view-name=sheet] [data-open=assess]").await;
        for (system, column) in SYSTEMS {
            teo.tap("#assess-system summary").await;
            teo.tap_words("[data-triage-others] button", system.name())
                .await;
            teo.tap("#assess-system summary").await;
            let began = Instant::now();
            let step = walk(&teo, case, system).await;
            longest = longest.max(began.elapsed());
            let category = case.columns[column];
            teo.see(&format!("[data-triage-suggested={category}]"))
                .await;
            teo.reads("[data-triage-final]", &format!("Decided by {step}: "))
                .await;
            if id == "CX04" || category == "not_breathing" {
                teo.is_sound().await;
                teo.shot(&format!("cx04-{}", system.table().algorithm))
                    .await;
            }
        }
        teo.tap("[data-triage-accept]").await;
        teo.reads("[data-pill]", "All on the board").await;
        let category: Category =
            serde_json::from_value(serde_json::json!(case.columns[3])).unwrap();
        expected.push((category.rank(), index + 1));
    }
    println!("the longest of 44 walks, a tap every 0.45 s: {longest:?}");
    expected.sort_unstable();
    let expected: Vec<String> = expected
        .iter()
        .map(|(_, number)| number.to_string())
        .collect();
    teo.open(&board.url("/board")).await;
    teo.see("#rows tr").await;
    assert_eq!(numbers(&teo).await, expected, "the order of the board");
    teo.shot("cx-board").await;
    teo.is_sound().await;
    teo.leave().await;
}
