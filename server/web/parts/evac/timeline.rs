//! The plan over time: one row per transport, time along the width. Drawn here, so that paper and screens without
//! scripts have it; the list of trips is its twin in words.

use jiff::{SignedDuration, Timestamp};

use super::super::super::plans::Standing;
use super::super::super::view::hour;
use crate::incident::Incident;
use crate::incident::evac::Transport;

/// Width of the drawing and of the room for names.
const WIDTH: i64 = 1000;
const LEFT: i64 = 150;
/// Height of a row, and of the hours above.
const ROW: i64 = 62;
const HOURS: i64 = 28;

/// The drawing.
pub(super) struct Timeline {
    pub(super) width: i64,
    pub(super) height: i64,
    pub(super) ticks: Vec<(i64, String)>,
    pub(super) rows: Vec<Row>,
}

/// A transport's row.
pub(super) struct Row {
    pub(super) name: String,
    pub(super) state: &'static str,
    pub(super) top: i64,
    pub(super) bars: Vec<Bar>,
}

/// A trip.
pub(super) struct Bar {
    pub(super) x: i64,
    pub(super) width: i64,
    /// Under way or loading; planned ones are hollow.
    pub(super) firm: bool,
    /// "4 7 to Valley hospital".
    pub(super) words: String,
    pub(super) at: String,
}

struct Span {
    departs: Timestamp,
    arrives: Timestamp,
    firm: bool,
    who: Vec<u32>,
    destination: String,
}

impl Timeline {
    /// Draws the trips under way and planned; nothing where there is none.
    pub(super) fn of(incident: &Incident, standing: &Standing) -> Option<Self> {
        let transports: Vec<(&Transport, Vec<Span>)> = incident
            .evacuation()
            .transports
            .values()
            .map(|one| (one, spans(incident, standing, one)))
            .collect();
        let all = || transports.iter().flat_map(|(_, spans)| spans);
        let last = all().map(|span| span.arrives).max()?;
        let first = all().map(|span| span.departs).min()?.min(standing.as_of);
        let minutes = (last.as_second() - first.as_second())
            .div_euclid(60)
            .max(30)
            + 5;
        let x = |at: Timestamp| {
            LEFT + (at.as_second() - first.as_second()) * (WIDTH - LEFT - 10) / (minutes * 60)
        };
        let rows: Vec<Row> = transports
            .iter()
            .enumerate()
            .map(|(index, (transport, spans))| Row {
                name: transport.details.name.to_string(),
                state: transport.state.words(),
                top: HOURS + i64::try_from(index).unwrap_or(0) * ROW,
                bars: spans
                    .iter()
                    .map(|span| Bar {
                        x: x(span.departs),
                        width: (x(span.arrives) - x(span.departs)).max(6),
                        firm: span.firm,
                        words: words(span),
                        at: format!("{} to {}", hour(span.departs), hour(span.arrives)),
                    })
                    .collect(),
            })
            .collect();
        let step = if minutes <= 90 {
            15
        } else if minutes <= 240 {
            30
        } else {
            60
        };
        Some(Self {
            width: WIDTH,
            height: HOURS + i64::try_from(rows.len()).unwrap_or(0) * ROW,
            ticks: ticks(first, last, step)
                .map(|at| (x(at), hour(at)))
                .collect(),
            rows,
        })
    }
}

fn spans(incident: &Incident, standing: &Standing, transport: &Transport) -> Vec<Span> {
    let evacuation = incident.evacuation();
    let name = |id| {
        let known = evacuation.destinations.get(id);
        known
            .map(|one| one.details.name.to_string())
            .unwrap_or_default()
    };
    let numbers = |ids: &[crate::incident::CasualtyId]| {
        ids.iter().filter_map(|id| incident.number(*id)).collect()
    };
    let under_way = transport
        .under_way()
        .filter(|trip| trip.arrived_at.is_none())
        .map(|trip| {
            let to = trip
                .destination
                .and_then(|id| evacuation.destinations.get(&id));
            let minutes = to.and_then(|to| to.minutes(transport)).unwrap_or(10);
            Span {
                departs: trip.left_at,
                arrives: trip.left_at + SignedDuration::from_mins(minutes.into()),
                firm: true,
                who: numbers(&trip.casualties),
                destination: trip.destination.as_ref().map(name).unwrap_or_default(),
            }
        });
    let planned = standing
        .plan
        .trips
        .iter()
        .filter(|trip| trip.transport == transport.id);
    under_way
        .into_iter()
        .chain(planned.map(|trip| Span {
            departs: trip.departs,
            arrives: trip.arrives,
            firm: trip.loading,
            who: numbers(&trip.casualties),
            destination: name(&trip.destination),
        }))
        .collect()
}

fn words(span: &Span) -> String {
    let who: Vec<String> = span.who.iter().map(ToString::to_string).collect();
    format!("{} · {}", who.join(" "), span.destination)
}

/// Full steps of so many minutes between two moments.
fn ticks(first: Timestamp, last: Timestamp, step: i64) -> impl Iterator<Item = Timestamp> {
    let step = step * 60;
    let begin = first.as_second().div_euclid(step) + 1;
    let end = last.as_second().div_euclid(step);
    (begin..=end).filter_map(move |tick| Timestamp::from_second(tick * step).ok())
}
