//! The handover sheet: what goes along with one casualty, on one page and in one code.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;

use super::app::App;
use super::page::{Frame, html};
use super::problem::Problem;
use super::session::Session;
use super::view::{DutyView, Trend, day, hour, hour_on, zone};
use crate::exchange::handover::{Code, Sheet, Tourniquet, code};
use crate::exchange::qr;
use crate::incident::evac::Whereabouts;
use crate::incident::{Casualty, CasualtyId, Deed, Incident, duties_of, vitals_words};
use crate::live::View;

/// Steps on the sheet; earlier ones are in the log.
const STEPS: usize = 34;
/// Duties on the sheet: those that come first.
const DUE: usize = 5;
/// Sets of vital signs in words; the drawing has all of them.
const VITALS: usize = 6;

#[derive(Template)]
#[template(path = "handover.html")]
struct HandoverPage {
    frame: Frame,
    id: String,
    sheet: Sheet,
    code: Code,
    code_svg: String,
    check: String,
    epoch: String,
    /// "14:03 on 25 Nov 2026".
    as_of: String,
    zone: String,
    injured: String,
    /// Since, let go at, and how long it has been on.
    tourniquets: Vec<(Tourniquet, String, String, String)>,
    vital: Vec<String>,
    vitals: Vec<(String, String)>,
    older_vitals: usize,
    trend: Option<Trend>,
    steps: Vec<(String, String, String)>,
    earlier: usize,
    due: Vec<(String, String)>,
    leaves: String,
    request: String,
    hazards: String,
}

/// `GET /casualties/{id}/handover`.
pub(super) async fn page(
    State(app): State<App>,
    session: Session,
    Path(id): Path<String>,
) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let id: CasualtyId = id.parse().map_err(|_| Problem::no_such_page())?;
    let now = app.journal.now();
    let page = app.journal.read(|incident| {
        let casualty = incident.casualty(id)?;
        let frame = Frame::new(
            &app,
            &session,
            incident,
            "handover",
            View::Pulse.to_string(),
        );
        Some(draw(frame, &app, incident, casualty, now))
    });
    // Not kept by the browser: an old sheet must not pass for a new one.
    html(&page.ok_or_else(Problem::no_such_page)??).map(IntoResponse::into_response)
}

fn draw(
    frame: Frame,
    app: &App,
    incident: &Incident,
    casualty: &Casualty,
    now: Timestamp,
) -> Result<HandoverPage, Problem> {
    let sheet = Sheet::of(incident, casualty);
    let seq = incident.head().0;
    let position = incident.evacuation().situation.told.position.as_ref();
    let position = position.map(ToString::to_string).unwrap_or_default();
    let code = code(&sheet, seq, &position, now, &frame.name);
    let code_svg = qr::svg(&code.text)?;
    let earlier = sheet.steps.len().saturating_sub(STEPS);
    Ok(HandoverPage {
        id: casualty.id.to_string(),
        check: app.journal.head().check,
        epoch: incident.epoch_words(),
        as_of: format!("{} on {}", hour(now), day(now)),
        zone: zone(now),
        injured: sheet
            .injured_at
            .map(|at| hour_on(at, now))
            .unwrap_or_default(),
        tourniquets: tourniquets(&sheet, now),
        vital: vital(&sheet, now),
        vitals: sheet
            .vitals
            .iter()
            .rev()
            .take(VITALS)
            .map(|(at, vitals)| (hour_on(*at, now), vitals_words(vitals)))
            .collect(),
        older_vitals: sheet.vitals.len().saturating_sub(VITALS),
        trend: Trend::of(&sheet.vitals),
        steps: sheet
            .steps
            .iter()
            .skip(earlier)
            .map(|step| (hour_on(step.at, now), step.words.clone(), step.by.clone()))
            .collect(),
        earlier,
        due: due(incident, casualty),
        leaves: leaves(incident, casualty),
        request: request(&sheet),
        hazards: sheet
            .request
            .as_ref()
            .and_then(|asked| asked.hazards.as_ref())
            .map(ToString::to_string)
            .unwrap_or_default(),
        frame,
        sheet,
        code,
        code_svg,
    })
}

/// Each with since when, until when, and how long.
fn tourniquets(sheet: &Sheet, now: Timestamp) -> Vec<(Tourniquet, String, String, String)> {
    let each = sheet.tourniquets.iter().map(|tied| {
        let ended = tied.ended.map(|at| hour_on(at, now)).unwrap_or_default();
        let since = hour_on(tied.since, now);
        (tied.clone(), since, ended, elapsed(tied.since, now))
    });
    each.collect()
}

/// What must not be missed, with its time.
fn vital(sheet: &Sheet, now: Timestamp) -> Vec<String> {
    let each = sheet.vital.iter().map(|(at, words)| match at {
        Some(at) => format!("{words} given {}", hour_on(*at, now)),
        None => words.clone(),
    });
    each.collect()
}

/// "0:32", "24:17": hours and minutes.
fn elapsed(since: Timestamp, now: Timestamp) -> String {
    let minutes = now.duration_since(since).as_mins().max(0);
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// What is due, soonest first, with its hour.
fn due(incident: &Incident, casualty: &Casualty) -> Vec<(String, String)> {
    let mut due = duties_of(
        casualty,
        incident.settings().now(),
        incident.has_left(casualty.id),
    );
    due.sort_by_key(|duty| duty.due_at);
    due.iter()
        .take(DUE)
        .map(|duty| {
            let drawn = DutyView::of(duty, incident);
            let place = if drawn.at.is_empty() {
                String::new()
            } else {
                format!(", {}", drawn.at)
            };
            (hour(duty.due_at), format!("{}{place}", drawn.task))
        })
        .collect()
}

fn request(sheet: &Sheet) -> String {
    sheet.request.as_ref().map_or_else(String::new, |asked| {
        let needs = asked.needs_words();
        let needs = if needs.is_empty() {
            String::new()
        } else {
            format!(", needs {needs}")
        };
        format!(
            "{}, {}{needs}",
            asked.priority.words(),
            asked.posture.code()
        )
    })
}

/// With what and for where, as reported.
fn leaves(incident: &Incident, casualty: &Casualty) -> String {
    let evacuation = incident.evacuation();
    let transport = |id| {
        evacuation.transports.get(id).map_or_else(
            || "a transport".to_owned(),
            |one| one.details.name.to_string(),
        )
    };
    let to = |id: Option<&crate::incident::DestinationId>| {
        id.and_then(|id| evacuation.destinations.get(id))
            .map(|one| format!(" to {}", one.details.name))
            .unwrap_or_default()
    };
    match evacuation.whereabouts(casualty.id) {
        None => String::new(),
        Some(Whereabouts::Loading { transport: id, at }) => {
            format!("on {} since {}", transport(id), hour(*at))
        }
        Some(Whereabouts::Gone {
            transport: id,
            destination,
            left_at,
            arrived_at,
        }) => {
            let arrived = arrived_at.map(|at| format!(", arrived {}", hour(at)));
            format!(
                "left {} on {}{}{}",
                hour(*left_at),
                transport(id),
                to(destination.as_ref()),
                arrived.unwrap_or_default()
            )
        }
        Some(Whereabouts::HandedOver {
            to: whom,
            destination,
            at,
        }) => format!(
            "handed over {} to {whom}{}",
            hour(*at),
            to(destination.as_ref())
        ),
    }
}
