//! Who went on which trip, and what was read out.
//!
//! Owns both tables.

use super::super::rides::rides;
use super::super::source::Source;
use super::table::{Cell, Column, Table, number, text, time, truth};
use crate::incident::Fact;

const TRIPS: &[Column] = &[
    text("transport", "The transport's own id").always(),
    number("trip", "Its first trip is 1").always(),
    number("casualty", "The casualty's number").always(),
    text("transport_name", "What the transport is called").always(),
    text("destination", "For where"),
    time("loaded_at", "On it since; known until it left"),
    time("left_at", "Left at; empty while it is being loaded"),
    time("arrived_at", "Arrived at"),
    time("handed_over_at", "Handed over at, after the last trip"),
    text("handed_over_to", "To whom"),
];

/// One row for each casualty and trip.
pub(super) fn trips(source: &Source<'_>) -> Table {
    let evacuation = source.incident.evacuation();
    let rows = rides(source.incident).into_iter().map(|ride| {
        let destination = ride
            .destination
            .and_then(|id| evacuation.destinations.get(&id));
        let (handed_at, handed_to) = ride.handed_over.unzip();
        vec![
            ride.transport.to_string().into(),
            u64::try_from(ride.trip).unwrap_or(u64::MAX).into(),
            u64::from(source.incident.number(ride.casualty).unwrap_or(0)).into(),
            ride.name.into(),
            Cell::from(destination.map(|one| &one.details.name)),
            ride.loaded_at.into(),
            ride.left_at.into(),
            ride.arrived_at.into(),
            handed_at.into(),
            handed_to.unwrap_or_default().into(),
        ]
    });
    Table {
        name: "trips",
        means: "Who went, or is being loaded, on which trip",
        columns: TRIPS.to_vec(),
        key: &["transport", "trip", "casualty"],
        rows: rows.collect(),
    }
}

const MESSAGES: &[Column] = &[
    number("entry", "Its place in the journal").always(),
    number(
        "casualty",
        "The casualty's number; empty for a message about the incident",
    ),
    time("at", "When it was read out or read back").always(),
    text("message", "Which message").always(),
    truth("read_back", "The other side read it back").always(),
    text("line", "Which line was read out"),
    text("words", "What it said"),
    text("other_side", "To whom it was read, or who read it back"),
    text("by", "Who reported it").always(),
    truth("struck", "A later entry says that this was a mistake").always(),
];

/// Every line that was read out, and every reading back.
pub(super) fn messages(source: &Source<'_>) -> Table {
    let rows = source.entries().filter_map(|told| {
        let (message, line, said, other) = match &told.entry.fact {
            Fact::LineSaid(said) => (
                said.message,
                Cell::from(Some(&said.line)),
                Cell::from(Some(&said.text)),
                Cell::from(said.to.as_ref()),
            ),
            Fact::MessageReadBack(back) => (
                back.message,
                Cell::Nothing,
                Cell::Nothing,
                Cell::from(back.by.as_ref()),
            ),
            _ => return None,
        };
        let is_back = line == Cell::Nothing;
        Some(vec![
            told.entry.seq.0.into(),
            told.number.into(),
            told.at().into(),
            message.code().into(),
            is_back.into(),
            line,
            said,
            other,
            told.by.as_str().into(),
            told.is_struck.into(),
        ])
    });
    Table {
        name: "messages",
        means: "Every line that was read out, and every reading back",
        columns: MESSAGES.to_vec(),
        key: &["entry"],
        rows: rows.collect(),
    }
}
