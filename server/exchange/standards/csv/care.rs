//! Wounds as they stand, and every look at them and step taken.
//!
//! Owns these three tables.

use super::super::source::{Source, Told, code};
use super::super::theme::{Theme, theme};
use super::table::{Cell, Column, Table, number, text, time, truth};
use crate::incident::{About, Fact};

const WOUNDS: &[Column] = &[
    text("wound", "The wound's own id").always(),
    number("casualty", "The casualty's number").always(),
    text(
        "region",
        "Where; empty where the report that said so was struck",
    ),
    text("side", "The casualty's own side")
        .like("left|right|middle|unspecified")
        .always(),
    text("place", "Where, in words").always(),
    time("found_at", "When it was first heard of").always(),
    text("state", "Where it stands").always(),
    text("state_words", "The same in words").always(),
    time(
        "tourniquet_since",
        "When the first tourniquet that covers it went on, while one is tight",
    ),
];

/// Every wound.
pub(super) fn wounds(source: &Source<'_>) -> Table {
    let rows = source.incident.casualties().flat_map(|casualty| {
        casualty.wounds.iter().map(|wound| {
            vec![
                wound.id.to_string().into(),
                u64::from(casualty.number).into(),
                wound
                    .region
                    .map_or(Cell::Nothing, |region| region.code().into()),
                wound.side.code().into(),
                wound.place().into(),
                wound.found_at.into(),
                wound.standing.state.code().into(),
                wound.standing.state.words().into(),
                wound.tourniquet_since.into(),
            ]
        })
    });
    Table {
        name: "wounds",
        means: "Every wound, as it stands",
        columns: WOUNDS.to_vec(),
        key: &["wound"],
        rows: rows.collect(),
    }
}

const REPORTS: &[Column] = &[
    number("entry", "Its place in the journal").always(),
    number("casualty", "The casualty's number"),
    text(
        "wound",
        "The wound's own id; empty where it is about the person",
    ),
    text("place", "Where the wound is, in words"),
    time("at", "When it happened").always(),
    truth("time_unsure", "The time is about").always(),
    text("kind", "The kind of report").always(),
    text("words", "What was reported, in words").always(),
    text("by", "Who reported it").always(),
    truth("struck", "A later entry says that this was a mistake").always(),
];

fn report(source: &Source<'_>, told: &Told<'_>) -> Vec<Cell> {
    let wound = match told.entry.about {
        About::Wound(id) => id.to_string(),
        _ => String::new(),
    };
    vec![
        told.entry.seq.0.into(),
        told.number.into(),
        wound.into(),
        source.wound_place(&told.entry.about).into(),
        told.at().into(),
        told.entry.time_unsure.into(),
        told.kind.into(),
        told.words.as_str().into(),
        told.by.as_str().into(),
        told.is_struck.into(),
    ]
}

/// Every look and check, the first included.
pub(super) fn checks(source: &Source<'_>) -> Table {
    let is_check = |fact| matches!(theme(fact), Theme::Found | Theme::Check);
    let rows = source.entries().filter(|told| is_check(&told.entry.fact));
    Table {
        name: "checks",
        means: "Every look and check, struck ones included",
        columns: REPORTS.to_vec(),
        key: &["entry"],
        rows: rows.map(|told| report(source, &told)).collect(),
    }
}

/// Everything that was done.
pub(super) fn treatments(source: &Source<'_>) -> Table {
    let rows = source
        .entries()
        .filter(|told| theme(&told.entry.fact) == Theme::Treatment)
        .map(|told| {
            let used = told.entry.fact.used().iter();
            let used: Vec<String> = used
                .map(|used| format!("{} {}", used.count, used.item.words()))
                .collect();
            let mut row = report(source, &told);
            row.extend([step(&told.entry.fact).into(), used.join("; ").into()]);
            row
        });
    let more = [
        text(
            "step",
            "Which step, where it is one of the steps at a wound",
        ),
        text("used", "What it took from the bags"),
    ];
    Table {
        name: "treatments",
        means: "Everything that was done, struck reports included",
        columns: [REPORTS, &more].concat(),
        key: &["entry"],
        rows: rows.collect(),
    }
}

fn step(fact: &Fact) -> String {
    match fact {
        Fact::StepTaken(taken) => code(taken.step),
        Fact::StepDone(done) => done.step.code(),
        _ => String::new(),
    }
}
