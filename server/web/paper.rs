//! What is printed beside the sheets of the casualties: the log as an activity log, and blank forms for when there is no
//! power.
//!
//! Owns their rows. The activity log has the blocks of ICS 214 (FEMA, *ICS-300 student manual*: incident, period, name,
//! position, resources, activities, prepared by): one row for each entry, in the order in which things happened. The
//! blank forms have the letters and choices of the board itself, so that what is written on them can be typed in.

use std::collections::HashMap;

use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use jiff::{SignedDuration, Timestamp};
use tokio::sync::Semaphore;

use super::app::App;
use super::page::{Frame, html};
use super::problem::Problem;
use super::session::Session;
use super::view::{EntryView, day, hour, zone};
use crate::incident::fact::{Ability, DestinationKind, EvacPriority, Need, Posture, TransportKind};
use crate::incident::{Deed, Entry, Fact, Incident, Seq};
use crate::rules::evac::Way;
use crate::rules::evac::on_foot::Ground;
use crate::rules::triage::Category;
use crate::rules::words::{self, Line, Moment, NineLine, Structure};

/// An entry that arrived later than this after it happened says both.
const LATE: SignedDuration = SignedDuration::from_mins(1);

/// A row of the activity log.
struct Row {
    /// The day, where it is another than the row before.
    day: String,
    at: String,
    /// When it arrived, where that was later.
    arrived: String,
    seq: u64,
    number: String,
    words: String,
    by: String,
    /// Which entry says that this one was a mistake.
    struck_by: Option<u64>,
    /// Which entry this one says was a mistake.
    strikes: Option<u64>,
}

#[derive(Template)]
#[template(path = "activity_log.html")]
struct ActivityLog {
    frame: Frame,
    rows: Vec<Row>,
    /// Name, role, when they joined.
    people: Vec<(String, &'static str, String)>,
    from: String,
    until: String,
    printed: String,
    zone: String,
    check: String,
    lead: String,
}

/// Whose turn it is to have the whole log put together.
static TURN: Semaphore = Semaphore::const_new(1);

/// `GET /log/paper`: the whole log in the order in which things happened, for paper.
pub(super) async fn log(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    // One after the other: it goes through the whole record while nothing is taken in.
    let _turn = TURN.acquire().await;
    let now = app.journal.now();
    let page = app.journal.read(|incident| {
        let entries = incident.entries();
        let stamp = |at: Option<Timestamp>| {
            at.map(|at| format!("{} on {}", hour(at), day(at)))
                .unwrap_or_default()
        };
        ActivityLog {
            frame: Frame::new(
                &app,
                &session,
                incident,
                "log",
                crate::live::View::Pulse.to_string(),
            ),
            rows: rows(incident),
            people: incident
                .people()
                .map(|one| {
                    (
                        one.name.to_string(),
                        incident.role_of(one.device).unwrap_or(one.role).code(),
                        hour(one.joined_at),
                    )
                })
                .collect(),
            from: stamp(entries.iter().map(|entry| entry.happened_at).min()),
            until: stamp(entries.iter().map(|entry| entry.happened_at).max()),
            printed: stamp(Some(now)),
            zone: zone(now),
            check: app.journal.head().check,
            lead: incident
                .in_command()
                .map(|lead| lead.name.to_string())
                .unwrap_or_default(),
        }
    });
    // Not kept by the browser: an old print must not pass for a new one.
    html(&page).map(IntoResponse::into_response)
}

fn rows(incident: &Incident) -> Vec<Row> {
    let struck_by: HashMap<Seq, u64> = incident
        .entries()
        .iter()
        .filter(|entry| !incident.is_struck(entry.seq))
        .filter_map(|entry| Some((named(entry, incident)?, entry.seq.0)))
        .collect();
    let mut ordered: Vec<&Entry> = incident.entries().iter().map(AsRef::as_ref).collect();
    ordered.sort_by_key(|entry| (entry.happened_at, entry.seq));
    let mut last_day = String::new();
    ordered
        .into_iter()
        .map(|entry| {
            let view = EntryView::of(entry, incident);
            let today = day(entry.happened_at);
            let is_new = today != last_day;
            last_day.clone_from(&today);
            let late = entry.recorded_at.duration_since(entry.happened_at) > LATE;
            Row {
                day: if is_new { today } else { String::new() },
                at: hour(entry.happened_at),
                arrived: if late {
                    hour(entry.recorded_at)
                } else {
                    String::new()
                },
                seq: view.seq,
                number: view.number.map(|n| n.to_string()).unwrap_or_default(),
                words: view.words,
                by: view.by,
                struck_by: view
                    .is_struck
                    .then(|| struck_by.get(&entry.seq).copied().unwrap_or_default()),
                strikes: named(entry, incident).map(|seq| seq.0),
            }
        })
        .collect()
}

/// The entry that a strike names.
fn named(entry: &Entry, incident: &Incident) -> Option<Seq> {
    match &entry.fact {
        Fact::EntryStruck(strike) => incident.position(strike.entry),
        _ => None,
    }
}

#[derive(Template)]
#[template(path = "forms.html")]
struct BlankForms {
    frame: Frame,
    categories: Vec<&'static str>,
    priorities: [&'static str; 3],
    postures: [&'static str; 3],
    needs: Vec<&'static str>,
    atmist: Vec<Line>,
    background: Vec<Line>,
    methane: Vec<Line>,
    nine: Vec<Line>,
    means: Vec<&'static str>,
    kinds: Vec<&'static str>,
    abilities: Vec<&'static str>,
    grounds: Vec<&'static str>,
    ways: [&'static str; 4],
}

/// `GET /forms`: blank forms with the board's own fields.
pub(super) async fn forms(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeSummary)?;
    let page = app.journal.read(|incident| BlankForms {
        frame: Frame::new(
            &app,
            &session,
            incident,
            "forms",
            crate::live::View::Pulse.to_string(),
        ),
        categories: Category::ALL.map(Category::word).to_vec(),
        priorities: EvacPriority::ALL.map(EvacPriority::words),
        postures: Posture::ALL.map(Posture::code),
        needs: Need::ALL.map(Need::words).to_vec(),
        atmist: blank(Structure::Atmist),
        background: blank(Structure::ImistAmbo)
            .into_iter()
            .skip_while(|line| line.label != "Allergies")
            .collect(),
        methane: methane(),
        nine: words::nine_line(&NineLine::default())
            .map(|report| report.lines)
            .unwrap_or_default(),
        means: TransportKind::ALL.map(TransportKind::words).to_vec(),
        kinds: DestinationKind::ALL.map(DestinationKind::words).to_vec(),
        abilities: Ability::ALL.map(Ability::words).to_vec(),
        grounds: Ground::ALL.map(Ground::words).to_vec(),
        ways: [Way::Road, Way::Air, Way::Foot, Way::Water].map(Way::words),
    });
    html(&page).map(IntoResponse::into_response)
}

/// The letters of an order, with nothing said.
fn blank(structure: Structure) -> Vec<Line> {
    let nothing = words::Handover::default();
    let report = words::handover(&nothing, structure, Moment(0));
    let lines = report.lines.into_iter();
    lines.filter(|line| !line.letter.is_empty()).collect()
}

/// With the line for a declared major incident: a form must have room for it.
fn methane() -> Vec<Line> {
    let declared = words::Incident {
        major: Some(words::Major {
            by: String::new(),
            at: Moment(0),
        }),
        ..words::Incident::default()
    };
    words::methane(&declared, Moment(0), "").lines
}
