//! What must hold for every algorithm and every sheet of answers, published or not.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use serde_json::{Value, json};

use holdfast::rules::scores::Consciousness;
use holdfast::rules::triage::notes::RULES;
use holdfast::rules::triage::{
    Algorithm, Answer, Answers, Assessment, Category, Edge, Input, Outcome, Table, assess,
};

/// Every table of every algorithm.
fn tables() -> Vec<&'static Table> {
    Algorithm::ALL.map(Algorithm::table).into()
}

/// A sheet with one entry per input the table reads, given by position.
#[derive(Clone, Debug, Default)]
struct Sheet {
    answers: Vec<(Input, Answer)>,
    numbers: Vec<(Input, u16)>,
    level: Option<Consciousness>,
}

impl Answers for Sheet {
    fn answer(&self, input: Input) -> Option<Answer> {
        self.answers
            .iter()
            .find(|(key, _)| *key == input)
            .map(|(_, answer)| *answer)
    }

    fn consciousness(&self) -> Option<Consciousness> {
        self.level
    }

    fn number(&self, input: Input) -> Option<u16> {
        self.numbers
            .iter()
            .find(|(key, _)| *key == input)
            .map(|(_, number)| *number)
    }
}

fn any_answer() -> impl Strategy<Value = Option<Answer>> {
    prop_oneof![
        Just(None),
        Just(Some(Answer::Yes)),
        Just(Some(Answer::No)),
        Just(Some(Answer::CannotTell)),
    ]
}

/// A table, an answer or gap for each of its steps, and a number or gap for each.
fn any_case() -> impl Strategy<Value = (&'static Table, Sheet)> {
    (0..tables().len())
        .prop_flat_map(|index| {
            let table = tables()[index];
            let answers = proptest::collection::vec(any_answer(), table.steps.len());
            let numbers = proptest::collection::vec(
                proptest::option::weighted(0.3, prop_oneof![0u16..50, 0u16..200]),
                table.steps.len(),
            );
            let level = proptest::option::weighted(0.3, 0..Consciousness::ALL.len());
            (Just(table), answers, numbers, level)
        })
        .prop_map(|(table, answers, numbers, level)| {
            let mut sheet = Sheet {
                level: level.map(|level| Consciousness::ALL[level]),
                ..Sheet::default()
            };
            for ((step, answer), number) in table.steps.iter().zip(answers).zip(numbers) {
                if let Some(answer) = answer
                    && sheet.answer(step.input).is_none()
                {
                    sheet.answers.push((step.input, answer));
                }
                if let (Some(measure), Some(number)) = (step.measure, number)
                    && sheet.number(measure.input).is_none()
                {
                    sheet.numbers.push((measure.input, number));
                }
            }
            (table, sheet)
        })
}

/// What is known about each step, as yes or no.
fn known(table: &Table, sheet: &Sheet) -> BTreeMap<&'static str, bool> {
    table
        .steps
        .iter()
        .filter_map(|step| Some((step.id, step.answered_by(sheet)?.known()?)))
        .collect()
}

/// One walk with every question answered, stand-ins by their own edge; written independently of the engine.
fn walk(table: &Table, answers: &BTreeMap<&'static str, Option<bool>>) -> Category {
    let mut at = table.steps[0].id;
    loop {
        let step = table.step(at).expect("OK because edges lead to steps");
        let edge = match answers[at] {
            Some(true) => step.yes,
            Some(false) => step.no,
            None => step.unknown.expect("OK because only such steps stay open"),
        };
        match edge {
            Edge::Step(next) => at = next,
            Edge::Category(category) => return category,
        }
    }
}

/// The rule for gaps done the long way: every completion, each walked on its own.
fn by_completions(table: &Table, sheet: &Sheet) -> BTreeSet<Category> {
    let known = known(table, sheet);
    let mut completions = vec![BTreeMap::new()];
    for step in table.steps {
        let choices = match (known.get(step.id), step.unknown) {
            (Some(answer), _) => vec![Some(*answer)],
            (None, Some(_)) => vec![None],
            (None, None) => vec![Some(true), Some(false)],
        };
        completions = completions
            .into_iter()
            .flat_map(|so_far: BTreeMap<_, _>| {
                choices.iter().map(move |choice| {
                    let mut completion = so_far.clone();
                    completion.insert(step.id, *choice);
                    completion
                })
            })
            .collect();
    }
    completions
        .iter()
        .map(|completion| walk(table, completion))
        .collect()
}

fn outcome_category(assessment: &Assessment) -> Option<Category> {
    match assessment.outcome {
        Outcome::Untriaged => None,
        Outcome::Provisional { category, .. } | Outcome::Final { category, .. } => Some(category),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_engine_agrees_with_trying_every_completion((table, sheet) in any_case()) {
        let got = assess(table, &sheet);
        prop_assert_eq!(&got.possible, &by_completions(table, &sheet));
        match got.outcome {
            Outcome::Untriaged => prop_assert!(known(table, &sheet).is_empty()),
            Outcome::Final { category, .. } => {
                prop_assert_eq!(got.possible.iter().collect::<Vec<_>>(), vec![&category]);
                prop_assert_eq!(got.next, None);
            }
            Outcome::Provisional { category, open_step } => {
                prop_assert!(got.possible.len() > 1);
                prop_assert_eq!(Some(&category), got.possible.first());
                prop_assert_eq!(open_step, got.next);
            }
        }
    }

    #[test]
    fn an_added_answer_never_widens_what_is_possible((table, sheet) in any_case()) {
        let before = assess(table, &sheet);
        for step in table.steps {
            // A sign that something else stood in for is corrected by its answer, not added to.
            let has_stand_in = table.steps.iter().any(|other| other.input == step.input && other.unknown.is_some());
            if known(table, &sheet).contains_key(step.id) || has_stand_in {
                continue;
            }
            for answer in [Answer::Yes, Answer::No] {
                let mut more = sheet.clone();
                more.answers.retain(|(input, _)| *input != step.input);
                more.answers.push((step.input, answer));
                let after = assess(table, &more);
                prop_assert!(after.possible.is_subset(&before.possible), "{} {answer:?}", step.id);
                prop_assert!(outcome_category(&before) <= outcome_category(&after));
            }
        }
    }

    #[test]
    fn an_added_number_narrows_too_where_it_contradicts_no_answer((table, sheet) in any_case(), value in 0u16..150) {
        let before = assess(table, &sheet);
        for measure in table.steps.iter().filter_map(|step| step.measure) {
            let mut readers = table.steps.iter().filter(|step| step.measure.map(|other| other.input) == Some(measure.input));
            let stands_in = |id| table.steps.iter().any(|step| step.unknown == Some(Edge::Step(id)));
            if readers.any(|step| known(table, &sheet).contains_key(step.id) || stands_in(step.id)) {
                continue;
            }
            let mut more = sheet.clone();
            more.numbers.push((measure.input, value));
            prop_assert!(assess(table, &more).possible.is_subset(&before.possible), "{measure:?} {value}");
        }
    }

    #[test]
    fn a_first_sign_narrows_too_while_nothing_stood_in_for_it((table, sheet) in any_case()) {
        let before = assess(table, &sheet);
        for step in table.steps {
            let Some(Edge::Step(stand_in)) = step.unknown else { continue };
            let facts = known(table, &sheet);
            if facts.contains_key(step.id) || facts.contains_key(stand_in) {
                continue;
            }
            for answer in [Answer::Yes, Answer::No] {
                let mut more = sheet.clone();
                more.answers.retain(|(input, _)| *input != step.input);
                more.answers.push((step.input, answer));
                prop_assert!(assess(table, &more).possible.is_subset(&before.possible));
            }
        }
    }

    #[test]
    fn gaps_move_nobody_to_dead_or_expectant((table, sheet) in any_case()) {
        let got = assess(table, &sheet);
        if let Outcome::Provisional { category, .. } = got.outcome {
            prop_assert!(!matches!(category, Category::Dead | Category::NotBreathing));
            if category == Category::Expectant {
                prop_assert_eq!(&got.possible, &BTreeSet::from([Category::Expectant, Category::Dead]));
            }
        }
    }

    #[test]
    fn cannot_tell_says_no_more_than_a_gap((table, sheet) in any_case()) {
        let mut bare = sheet.clone();
        bare.answers.retain(|(_, answer)| *answer != Answer::CannotTell);
        prop_assert_eq!(assess(table, &sheet).possible, assess(table, &bare).possible);
        prop_assert_eq!(assess(table, &sheet).category(), assess(table, &bare).category());
    }

    #[test]
    fn the_next_question_is_one_nobody_answered((table, sheet) in any_case()) {
        if let Some(next) = assess(table, &sheet).next {
            prop_assert_eq!(table.step(next).unwrap().answered_by(&sheet), None);
        }
    }
}

#[test]
fn following_the_next_question_always_ends_in_a_decision() {
    for table in tables() {
        for answer in [Answer::Yes, Answer::No] {
            let mut sheet = Sheet::default();
            for _ in 0..=table.steps.len() {
                let Some(next) = assess(table, &sheet).next else {
                    break;
                };
                sheet
                    .answers
                    .push((table.step(next).unwrap().input, answer));
            }
            assert!(
                assess(table, &sheet).is_final(),
                "{}/{} {answer:?}",
                table.algorithm,
                table.variant
            );
        }
    }
}

#[test]
fn tables_are_sound() {
    for table in tables() {
        let name = format!("{}/{}", table.algorithm, table.variant);
        let mut led_to = BTreeSet::from([table.steps[0].id]);
        for (index, step) in table.steps.iter().enumerate() {
            assert!(
                led_to.contains(step.id),
                "{name}: nothing leads to {}",
                step.id
            );
            for edge in [Some(step.yes), Some(step.no), step.unknown]
                .into_iter()
                .flatten()
            {
                if let Edge::Step(next) = edge {
                    let target = table.steps.iter().position(|other| other.id == next);
                    assert!(
                        target > Some(index),
                        "{name}: {} leads back or nowhere",
                        step.id
                    );
                    led_to.insert(next);
                }
            }
            assert!(
                step.question.split_whitespace().count() <= 12,
                "{name}: {} is long",
                step.id
            );
            assert!(!step.source.is_empty() && !step.help.is_empty());
            let twins = table
                .steps
                .iter()
                .filter(|other| other.id == step.id)
                .count();
            assert_eq!(twins, 1, "{name}: {} twice", step.id);
        }
    }
}

/// The sheet as a phone holds it: answers, numbers and the level under the names of the inputs.
fn on_the_phone(sheet: &Sheet) -> BTreeMap<String, Value> {
    let name = |input: &Input| {
        serde_json::from_value(json!(input)).expect("OK because an input is a name")
    };
    let answers = sheet
        .answers
        .iter()
        .map(|(input, answer)| (name(input), json!(answer)));
    let numbers = sheet
        .numbers
        .iter()
        .map(|(input, number)| (name(input), json!(number)));
    let level = sheet
        .level
        .map(|level| ("consciousness".to_owned(), json!(level)));
    answers.chain(numbers).chain(level).collect()
}

/// What a phone makes of one step, from nothing but the JSON.
fn phone_answer(step: &Value, given: &BTreeMap<String, Value>) -> Option<bool> {
    let of = |part: &Value| given.get(part["input"].as_str()?).cloned();
    if let Some(number) = of(&step["measure"]).and_then(|value| value.as_u64()) {
        let measure = &step["measure"];
        let limit = |key: &str| measure[key].as_u64();
        let outside = measure["outside"]
            .as_array()
            .map(|pair| (pair[0].as_u64(), pair[1].as_u64()));
        return limit("above")
            .map(|limit| number > limit)
            .or(limit("below").map(|limit| number < limit))
            .or(limit("at_least").map(|limit| number >= limit))
            .or(outside.map(|(low, high)| Some(number) < low || Some(number) > high));
    }
    if let Some(level) = of(&step["choice"]) {
        let lists = |key: &str| {
            step["choice"][key]
                .as_array()
                .is_some_and(|list| list.contains(&level))
        };
        match (lists("yes"), lists("no")) {
            (true, _) => return Some(true),
            (_, true) => return Some(false),
            _ => {}
        }
    }
    match of(step)?.as_str()? {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

/// Everything a phone can reach from one edge, by recursion as its script does it.
fn phone_walk(table: &Value, edge: &Value, given: &BTreeMap<String, Value>) -> BTreeSet<String> {
    if let Some(category) = edge["category"].as_str() {
        return BTreeSet::from([category.to_owned()]);
    }
    let step = &table["steps"][edge["step"]
        .as_str()
        .expect("OK because an edge leads somewhere")];
    match (phone_answer(step, given), step.get("unknown")) {
        (Some(true), _) => phone_walk(table, &step["yes"], given),
        (Some(false), _) => phone_walk(table, &step["no"], given),
        (None, Some(unknown)) => phone_walk(table, unknown, given),
        (None, None) => {
            let mut both = phone_walk(table, &step["yes"], given);
            both.extend(phone_walk(table, &step["no"], given));
            both
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn a_phone_that_walks_the_json_sees_what_the_engine_sees((table, sheet) in any_case()) {
        let json = serde_json::to_value(table).expect("OK because a table is plain data");
        let first = json!({ "step": json["first"] });
        let seen = phone_walk(&json, &first, &on_the_phone(&sheet));
        let possible = assess(table, &sheet).possible.into_iter().map(|category| category.code().to_owned());
        prop_assert_eq!(seen, possible.collect());
    }
}

/// The tables in one JSON object, their steps in order, as the file of the script's tests keeps them.
fn written_tables() -> String {
    let lines: Vec<String> = tables()
        .into_iter()
        .map(|table| {
            let json = serde_json::to_string(table).expect("OK because a table is plain data");
            format!("\"{}.{}\": {json}", table.algorithm, table.variant)
        })
        .collect();
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

/// When to mind what, as a page is given it.
fn written_notes() -> String {
    let lines: Vec<String> = RULES
        .iter()
        .map(|rule| {
            let mut written = serde_json::to_value(rule).expect("OK because a rule is plain data");
            written["words"] = rule.note.words().into();
            written.to_string()
        })
        .collect();
    format!("[\n{}\n]\n", lines.join(",\n"))
}

/// `HOLDFAST_WRITE_TABLES=1` writes the files anew.
#[test]
fn the_script_is_tested_with_these_very_tables() {
    for (name, now) in [
        ("triage_tables.json", written_tables()),
        ("triage_notes.json", written_notes()),
    ] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/js");
        let file = folder.join(name);
        if std::env::var_os("HOLDFAST_WRITE_TABLES").is_some() {
            std::fs::write(&file, &now).expect("the file can be written");
        }
        let known = std::fs::read_to_string(&file).unwrap_or_default();
        assert_eq!(known, now, "write tests/js/{name} anew");
    }
}
