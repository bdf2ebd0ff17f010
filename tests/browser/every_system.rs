//! The same casualties through every system, entered by taps on a phone, with the board in order at the end of each.
//!
//! The casualties, their answers and what each system makes of them are those of `tests/published/casualties.txt`.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use holdfast::incident::Casualty;
use holdfast::rules::triage::{Algorithm, Category, Input};
use serde_json::json;

use crate::board::Board;
use crate::care::register;
use crate::screen::{Browsers, Screen};
use crate::sorting::give;

/// Each system with the column that says what it makes of a casualty.
const SYSTEMS: [(&str, &str, usize); 4] = [
    ("start", "radial_then_crt", 3),
    ("salt", "standard", 4),
    ("ten_second", "standard", 5),
    ("mitt", "standard", 6),
];
/// A practised hand needs no longer for one casualty (field-guide budget of START: 30 to 60 s).
const PRACTISED: Duration = Duration::from_secs(30);

struct Row {
    id: &'static str,
    what: &'static str,
    answers: BTreeMap<&'static str, &'static str>,
    columns: Vec<&'static str>,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../published/casualties.txt");
    let lines = text.lines().filter(|line| line.starts_with("CX"));
    lines
        .map(|line| {
            let columns: Vec<&str> = line.split(" | ").map(str::trim).collect();
            let pairs = columns[2]
                .split(' ')
                .filter_map(|pair| pair.split_once('='));
            Row {
                id: columns[0],
                what: columns[1],
                answers: pairs.collect(),
                columns,
            }
        })
        .collect()
}

impl Row {
    fn says(&self, key: &str) -> bool {
        self.answers.get(key) == Some(&"y")
    }

    fn number(&self, key: &str) -> u16 {
        self.answers[key].parse().unwrap()
    }

    /// What a helper beside them answers to a question.
    fn answers(&self, input: Input, system: Algorithm) -> bool {
        let in_the_end = self.answers.get("open").or(self.answers.get("breathing")) == Some(&"y");
        match input {
            Input::Walks => self.says("walk"),
            // These two open the airway before they ask.
            Input::Breathing if matches!(system, Algorithm::Salt | Algorithm::TenSecond) => {
                in_the_end
            }
            Input::Breathing => self.says("breathing"),
            Input::BreathingAfterAirway => self.says("open"),
            Input::BreathingOver30 => self.number("rr") > 30,
            Input::BreathingOutside12To23 => !(12..=23).contains(&self.number("rr")),
            Input::RadialPulse | Input::PulseFelt => self.says("radial"),
            Input::Obeys | Input::ObeysOrMoves => self.says("obeys"),
            Input::RespondsToVoice => self.says("voice"),
            Input::Talking => self.says("talk"),
            Input::RespiratoryDistress => self.says("distress"),
            Input::PenetratingInjury => self.says("pen"),
            Input::SevereBleeding | Input::CatastrophicBleeding => self.says("bleed"),
            Input::BleedingControlled => self.says("haem"),
            Input::InjuriesMinor => self.says("minor"),
            Input::LikelyToSurvive => self.says("surv"),
            Input::Pulse100OrMore => self.number("hr") >= 100,
            Input::Under12 => self.number("age") < 12,
            Input::Under2 => self.number("age") < 2,
            Input::HypoxicCause => false,
            other => panic!("nobody is asked {other:?} here"),
        }
    }
}

/// Walks the open assessment to its end and takes the suggestion; says which step decided, and how long it took.
async fn sort(phone: &Screen, row: &Row, system: Algorithm, expected: Category) -> Duration {
    let began = Instant::now();
    let mut last = String::new();
    for _ in 0..12 {
        let state = phone
            .ask("return [document.querySelector('[data-triage-asking]').hidden, document.querySelector('[data-triage-place]').textContent]")
            .await;
        if state[0] == json!(true) {
            break;
        }
        let step = state[1].as_str().unwrap().to_owned();
        if step == last {
            tokio::time::sleep(Duration::from_millis(20)).await;
            continue;
        }
        let input = system.table().step(&step).unwrap().input;
        give(
            phone,
            if row.answers(input, system) {
                "yes"
            } else {
                "no"
            },
        )
        .await;
        last = step;
    }
    phone
        .see(&format!("[data-triage-suggested={}]", expected.code()))
        .await;
    phone
        .reads("[data-triage-final]", &format!("Decided by {last}: "))
        .await;
    phone.tap("[data-triage-accept]").await;
    began.elapsed()
}

/// The board's rows from the top: each number with its category.
async fn order(lead: &Screen, all: usize) -> Vec<(u64, String)> {
    let deadline = Instant::now() + crate::screen::SOON;
    loop {
        let rows = lead
            .ask("return [...document.querySelectorAll('#rows tr')].map((row) => [Number(row.querySelector('.number').textContent), row.querySelector('[data-category]').dataset.category])")
            .await;
        let rows: Vec<(u64, String)> = serde_json::from_value(rows).unwrap();
        if rows.len() == all || Instant::now() > deadline {
            return rows;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn eleven_casualties_by_hand_through_every_system() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let (teo, ina) = tokio::join!(browsers.phone("Teo"), browsers.tablet("Ina"));
    tokio::join!(teo.join_by_poster(&board), ina.join_as_lead(&board));
    let rows = rows();
    assert_eq!(rows.len(), 11);
    let mut longest = Duration::ZERO;
    for (code, variant, column) in SYSTEMS {
        let system = Algorithm::from_codes(code, variant).unwrap();
        for (index, row) in rows.iter().enumerate() {
            let expected = Category::ALL
                .into_iter()
                .find(|one| one.code() == row.columns[column])
                .unwrap();
            if code == "start" {
                teo.open(&board.url("/next")).await;
                register(&teo, "adult", &["old"]).await;
                teo.tap("[data-view-name=sheet] [data-open=assess]").await;
            } else {
                let number = u32::try_from(index + 1).unwrap();
                let id = board.app.as_ref().unwrap().journal.read(|incident| {
                    let mut all = incident.casualties();
                    all.find(|one| one.number == number).map(|one| one.id)
                });
                teo.open(&board.url(&format!("/casualties/{}", id.unwrap())))
                    .await;
                teo.tap(".does [data-open=assess]").await;
                teo.tap("#assess-system summary").await;
                teo.tap_words("[data-triage-others] button", system.name())
                    .await;
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
            let took = sort(&teo, row, system, expected).await;
            assert!(took < PRACTISED, "{} {}: {took:?}", row.id, row.what);
            longest = longest.max(took);
        }
        teo.reads_within("[data-pill]", "All on the board", Duration::from_secs(30))
            .await;
        // The board: by category, most urgent first, and by number within one.
        let rank = |row: &Row| {
            let category = row.columns[column];
            ["immediate", "delayed", "minor", "expectant"]
                .iter()
                .position(|known| *known == category)
                .unwrap_or(4)
        };
        let mut expected: Vec<(usize, u64, String)> = rows
            .iter()
            .enumerate()
            .map(|(index, row)| (rank(row), index as u64 + 1, row.columns[column].to_owned()))
            .collect();
        expected.sort();
        let expected: Vec<(u64, String)> =
            expected.into_iter().map(|(_, n, word)| (n, word)).collect();
        let deadline = Instant::now() + crate::screen::SOON;
        while order(&ina, rows.len()).await != expected && Instant::now() < deadline {
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        assert_eq!(order(&ina, rows.len()).await, expected, "{code}");
        ina.shot(&format!("every-{code}")).await;
    }
    let decided = board.app.as_ref().unwrap().journal.read(|incident| {
        let words = |one: &Casualty| one.sorting.decisions.len();
        incident.casualties().map(words).collect::<Vec<_>>()
    });
    assert_eq!(decided, vec![4; 11], "every decision is kept");
    println!("44 casualties sorted by taps; the longest walk took {longest:?}");
    // The deciding step stands on the casualty's page, in words.
    teo.reads(".sorted", "MITT, I").await;
    teo.is_sound().await;
    ina.is_sound().await;
    tokio::join!(teo.leave(), ina.leave());
}
