//! The journal as a table: every entry there is, in words.
//!
//! Owns that table. What is told to the lead alone has its row, without its author.

use std::collections::HashMap;

use super::super::source::Source;
use super::table::{Cell, Column, Table, number, text, time, truth};
use crate::incident::{AboutKind, Role, Seq};

const JOURNAL: &[Column] = &[
    number("entry", "Its place in the journal").always(),
    text("id", "The report's own id").always(),
    time("happened_at", "When it happened").always(),
    truth("time_unsure", "The time is about").always(),
    time("recorded_at", "When the board had it on disk").always(),
    text("about", "What it is about")
        .like("incident|casualty|wound|kit|transport|destination")
        .always(),
    number("casualty", "The casualty's number"),
    text(
        "kind",
        "The kind of report; private: told to the lead alone",
    )
    .always(),
    text("words", "What was reported, in words").always(),
    text("by", "Who reported it; empty where it is private"),
    text("role", "In which role; empty: the board itself, or private")
        .like("lead|deputy|helper|evac|viewer"),
    truth("struck", "A later entry says that this was a mistake").always(),
    number("struck_by", "Which entry says so"),
];

/// Every entry.
pub(super) fn journal(source: &Source<'_>) -> Table {
    let incident = source.incident;
    let struck_by: HashMap<Seq, Seq> = incident
        .strikes()
        .iter()
        .filter(|(strike, _)| !incident.is_struck(*strike))
        .map(|(strike, named)| (*named, *strike))
        .collect();
    let rows = source.entries().map(|told| {
        let entry = told.entry;
        let role = entry
            .role
            .filter(|_| !told.is_sealed)
            .map_or("", Role::code);
        let strike = struck_by.get(&entry.seq).filter(|_| told.is_struck);
        vec![
            entry.seq.0.into(),
            entry.id.to_string().into(),
            entry.happened_at.into(),
            entry.time_unsure.into(),
            entry.recorded_at.into(),
            about(entry.about.kind()).into(),
            told.number.into(),
            told.kind.into(),
            told.words.into(),
            told.by.into(),
            role.into(),
            told.is_struck.into(),
            strike.map_or(Cell::Nothing, |strike| strike.0.into()),
        ]
    });
    Table {
        name: "journal",
        means: "Every entry, in the order in which they arrived",
        columns: JOURNAL.to_vec(),
        key: &["entry"],
        rows: rows.collect(),
    }
}

const fn about(kind: AboutKind) -> &'static str {
    match kind {
        AboutKind::Incident => "incident",
        AboutKind::Casualty => "casualty",
        AboutKind::Wound => "wound",
        AboutKind::Kit => "kit",
        AboutKind::Transport => "transport",
        AboutKind::Destination => "destination",
    }
}
