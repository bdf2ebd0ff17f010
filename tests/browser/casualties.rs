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

/// A practised hand needs no longer for one casualty (published budget of START: 30 to 60 s).
const PRACTISED: Duration = Duration::from_secs(30);
/// So many phones share the work, to be done sooner.
const PHONES: usize = 3;

/// One phone takes its share of the casualties through every system; the last suggestion is taken. Gives the longest
/// walk.
async fn takes_its_share(phone: &Screen, board: &Board, cases: &[Case], share: usize) -> Duration {
    let mut longest = Duration::ZERO;
    for (index, case) in cases.iter().enumerate().skip(share).step_by(PHONES) {
        let id = board.app.as_ref().unwrap().journal.read(|incident| {
            let mut all = incident.casualties();
            all.find(|one| usize::try_from(one.number) == Ok(index + 1))
                .map(|one| one.id)
        });
        let id = id.unwrap();
        phone.open(&board.url(&format!("/casualties/{id}"))).await;
        phone.tap(".does [data-open=assess]").await;
        let mut decided = "";
        for (system, column) in SYSTEMS {
            phone.tap("#assess-system summary").await;
            phone
                .tap_words("[data-triage-others] button", system.name())
                .await;
            phone.tap("#assess-system summary").await;
            let began = Instant::now();
            let step = walk(phone, case, system).await;
            let took = began.elapsed();
            assert!(took < PRACTISED, "{}: {took:?}", case.columns[1]);
            longest = longest.max(took);
            let category = case.columns[column];
            phone
                .see(&format!("[data-triage-suggested={category}]"))
                .await;
            phone
                .reads("[data-triage-final]", &format!("Decided by {step}: "))
                .await;
            decided = step;
            if case.columns[0] == "CX04" {
                phone.is_sound().await;
                phone
                    .shot(&format!("cx04-{}", system.table().algorithm))
                    .await;
            }
        }
        phone.tap("[data-triage-accept]").await;
        phone.reads("[data-pill]", "All on the board").await;
        // The deciding step stands on their page, in words.
        phone.reads(".sorted", &format!(", {decided}: ")).await;
    }
    longest
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_casualties_through_every_tool_by_hand() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, sol, jo) = tokio::join!(
        browsers.phone("Teo"),
        browsers.phone("Sol"),
        browsers.phone("Jo")
    );
    tokio::join!(
        teo.join_by_poster(&board),
        sol.join_by_poster(&board),
        jo.join_by_poster(&board)
    );
    let cases = cases();
    assert!(cases.len() >= 11);
    let mut expected: Vec<(u8, usize)> = Vec::new();
    for (index, case) in cases.iter().enumerate() {
        teo.tap("[data-open=add]").await;
        teo.tap("[data-view-name=add] input[value=adult] + span")
            .await;
        teo.fill("#add-words", case.columns[0]).await;
        teo.tap("[data-view-name=add] button[type=submit]").await;
        teo.tap("[data-view-name=sheet] [data-close]").await;
        let category: Category =
            serde_json::from_value(serde_json::json!(case.columns[3])).unwrap();
        expected.push((category.rank(), index + 1));
    }
    teo.reads("[data-pill]", "All on the board").await;
    let (one, two, three) = tokio::join!(
        takes_its_share(&teo, &board, &cases, 0),
        takes_its_share(&sol, &board, &cases, 1),
        takes_its_share(&jo, &board, &cases, 2)
    );
    println!(
        "the longest of 44 walks, a tap every 0.45 s: {:?}",
        one.max(two).max(three)
    );
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
    tokio::join!(teo.leave(), sol.leave(), jo.leave());
}
