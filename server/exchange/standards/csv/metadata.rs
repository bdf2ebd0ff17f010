//! What the columns mean, for programs: CSV on the Web (W3C Recommendation of 17 December 2015, *Metadata Vocabulary for
//! Tabular Data*).
//!
//! Owns the document beside the tables. It says as of when they are, and that a practice incident is one.

use serde_json::{Value, json};

use super::super::source::Source;
use super::table::{Column, EXERCISE, Kind, Table};

/// The document.
pub(super) fn metadata(source: &Source<'_>, tables: &[Table]) -> String {
    let document = json!({
        "@context": ["http://www.w3.org/ns/csvw", { "@language": "en" }],
        "dc:title": source.name(),
        "dc:description": source.as_of_words(),
        "dc:date": source.as_of.at.to_string(),
        "dialect": { "encoding": "utf-8", "header": true, "lineTerminators": ["\r\n"], "doubleQuote": true },
        "tables": tables.iter().map(table).collect::<Vec<_>>(),
    });
    format!("{document:#}\n")
}

fn table(table: &Table) -> Value {
    let columns = table.columns.iter().chain([&EXERCISE]);
    json!({
        "url": table.file_name(),
        "dc:description": table.means,
        "tableSchema": {
            "columns": columns.map(column).collect::<Vec<_>>(),
            "primaryKey": table.key,
        },
    })
}

fn column(column: &Column) -> Value {
    let datatype = match (column.kind, column.pattern) {
        (Kind::Text, Some(pattern)) => json!({ "base": "string", "format": pattern }),
        (Kind::Text, None) => json!("string"),
        (Kind::Number, _) => json!({ "base": "integer", "minimum": 0 }),
        (Kind::Tenths, _) => json!({ "base": "decimal", "minimum": 0 }),
        (Kind::Time, _) => json!("dateTime"),
        (Kind::Truth, _) => json!({ "base": "boolean", "format": "true|false" }),
    };
    json!({
        "name": column.name,
        "titles": column.name,
        "dc:description": column.means,
        "datatype": datatype,
        "required": column.always,
    })
}
