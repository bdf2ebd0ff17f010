//! Tables for spreadsheets and databases: one CSV file each (RFC 4180), and what their columns mean.
//!
//! Owns which tables there are. Every row says whether it is of an exercise; rows of struck reports say so and stay.

mod care;
mod leaving;
mod log;
mod metadata;
mod people;
mod table;

use super::File;
use super::source::Source;

pub(super) use table::Table;

/// Every table, and the metadata beside them.
pub(super) fn files(source: &Source<'_>) -> Vec<File> {
    let tables = tables(source);
    let metadata = File {
        name: "csv-metadata.json".to_owned(),
        kind: "application/csvm+json",
        bytes: metadata::metadata(source, &tables).into_bytes(),
    };
    let each = tables.iter().map(|table| File {
        name: table.file_name(),
        kind: "text/csv; charset=utf-8; header=present",
        bytes: table.write(source.is_exercise()).into_bytes(),
    });
    each.chain([metadata]).collect()
}

fn tables(source: &Source<'_>) -> Vec<Table> {
    vec![
        people::casualties(source),
        care::wounds(source),
        care::checks(source),
        care::treatments(source),
        people::vitals(source),
        leaving::trips(source),
        leaving::messages(source),
        log::journal(source),
    ]
}
