//! Reading the data files: rows of columns separated by `|`, `#` starts a comment line.

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use holdfast::rules::triage::{Assessment, Outcome};

/// One row, with its columns trimmed.
pub(crate) struct Row {
    columns: Vec<&'static str>,
}

impl Row {
    pub(crate) fn column(&self, index: usize) -> &'static str {
        self.columns
            .get(index)
            .unwrap_or_else(|| panic!("row {:?} has no column {index}", self.columns))
    }

    pub(crate) fn id(&self) -> &'static str {
        self.column(0)
    }
}

/// The rows of `text`; every row must have `width` columns and none may repeat an id.
pub(crate) fn rows(text: &'static str, width: usize) -> Vec<Row> {
    let rows: Vec<Row> = text
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(|line| Row {
            columns: line.split('|').map(str::trim).collect(),
        })
        .collect();
    let mut seen = std::collections::BTreeSet::new();
    for row in &rows {
        assert_eq!(row.columns.len(), width, "{:?}", row.columns);
        assert!(seen.insert(row.id()), "{} appears twice", row.id());
        assert!(
            !row.column(width - 1).is_empty(),
            "{} names no source",
            row.id()
        );
    }
    rows
}

/// `walks=no breaths_per_minute=20` as the JSON of the answer sheet it stands for.
pub(crate) fn answers(given: &str) -> Value {
    let mut map = Map::new();
    for pair in given.split_whitespace() {
        let (key, value) = pair
            .split_once('=')
            .unwrap_or_else(|| panic!("{pair:?} is no answer"));
        let value = value
            .parse::<u16>()
            .map_or_else(|_| Value::from(value), Value::from);
        assert!(
            map.insert(key.to_owned(), value).is_none(),
            "{key} twice in {given:?}"
        );
    }
    Value::Object(map)
}

/// The answer sheet itself, by way of its JSON.
pub(crate) fn sheet<T: DeserializeOwned>(given: &str) -> T {
    serde_json::from_value(answers(given)).unwrap_or_else(|error| panic!("{given:?}: {error}"))
}

/// How the data files write an outcome.
pub(crate) fn written(assessment: &Assessment) -> String {
    match assessment.outcome {
        Outcome::Untriaged => "untriaged".to_owned(),
        Outcome::Provisional { category, .. } => format!("?{}", category.code()),
        Outcome::Final { category, .. } => category.code().to_owned(),
    }
}
