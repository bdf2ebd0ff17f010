//! From a template to an answer, and what every page carries.

use askama::Template;
use axum::http::{HeaderValue, header};
use axum::response::{Html, IntoResponse, Response};

use super::app::App;
use super::notices::{Notice, notices};
use super::parts::{Shown, Stage};
use super::problem::Problem;
use super::restoration::can_be_rebuilt_on;
use super::session::Session;
use crate::incident::{Deed, Incident};
use crate::live::View;

/// What the layout needs on every page after joining.
#[derive(Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "a template asks each of them by name"
)]
pub(super) struct Frame {
    pub(super) assets: String,
    pub(super) build: String,
    pub(super) board: String,
    pub(super) seq: u64,
    /// Where the times and systems in its forms last changed.
    pub(super) forms_at: u64,
    /// The stretch of the journal this page was made in: a page of another one is made anew.
    pub(super) epoch: String,
    pub(super) now: String,
    pub(super) rate: f64,
    pub(super) device: String,
    pub(super) role: &'static str,
    pub(super) name: String,
    pub(super) incident: String,
    pub(super) heading: String,
    /// What the person counts as: decides what is offered.
    pub(super) training: String,
    pub(super) practice: bool,
    /// What the live stream is asked for.
    pub(super) view: String,
    /// Which entry of the navigation this page is.
    pub(super) here: &'static str,
    pub(super) sees_casualties: bool,
    pub(super) reports: bool,
    pub(super) is_lead: bool,
    pub(super) notices: Vec<Notice>,
    /// What everybody is known by, on live pages that report.
    pub(super) known: Vec<String>,
    /// Boards whose records were removed on this machine.
    pub(super) removed: String,
    /// Whether this machine follows another and may be told here to take over.
    pub(super) can_promote: bool,
    /// Whether a lost board may be rebuilt here.
    pub(super) can_restore: bool,
}

impl Frame {
    /// For a page of this session, rendered from this state.
    pub(super) fn new(
        app: &App,
        session: &Session,
        incident: &Incident,
        here: &'static str,
        view: String,
    ) -> Self {
        let reports = session.role.may(Deed::ReportCare);
        let is_told = reports && !view.is_empty();
        let view = if is_told {
            format!("{view},{}", View::Known)
        } else {
            view
        };
        let stage = Stage { app, incident };
        let known = if is_told { stage.known() } else { Vec::new() };
        let about = incident.description();
        let text = |words: Option<&crate::incident::Words>| {
            words.map(ToString::to_string).unwrap_or_default()
        };
        Self {
            assets: app.assets.prefix().to_owned(),
            build: app.assets.build().to_owned(),
            board: app.board.to_string(),
            seq: incident.head().0,
            forms_at: incident.touched().forms.0,
            epoch: incident
                .epochs()
                .last()
                .map(|epoch| epoch.id.to_string())
                .unwrap_or_default(),
            now: app.journal.now().to_string(),
            rate: app.journal.clock().rate(),
            device: session.device.to_string(),
            role: session.role.code(),
            name: session.name.to_string(),
            incident: text(about.name.as_ref()),
            heading: stage.heading().html(),
            training: stage.training(session).html(),
            practice: about.practice,
            view,
            here,
            sees_casualties: session.role.may(Deed::SeeCasualties),
            reports,
            is_lead: session.role.may(Deed::ManageDevices),
            notices: notices(app, incident),
            known: known.iter().map(Shown::html).collect(),
            removed: app.removed.join(" "),
            can_promote: app.journal.is_following() && session.role.may(Deed::ManageDevices),
            can_restore: can_be_rebuilt_on(app, incident, session.role),
        }
    }
}

/// Renders a page.
///
/// # Errors
/// When the template fails, which would be a bug in it.
pub(super) fn html(template: &impl Template) -> Result<Html<String>, Problem> {
    template.render().map(Html).map_err(|error| {
        tracing::error!(error = %error, "a template failed");
        Problem::new(
            axum::http::StatusCode::INTERNAL_SERVER_ERROR,
            "page-failed",
            "This page could not be made",
            "What you reported is safe. Go back to the board; if this goes on, tell the lead.",
        )
    })
}

/// A live page: it catches up from its own position, so a kept copy is a good page and opens out of range.
///
/// It is the page of one session: a phone that joined again must not be shown the copy of who it was before.
pub(super) fn live_page(template: &impl Template) -> Result<Response, Problem> {
    let kept = HeaderValue::from_static("private, max-age=86400");
    let whose = HeaderValue::from_static("Cookie");
    let headers = [(header::CACHE_CONTROL, kept), (header::VARY, whose)];
    Ok((headers, html(template)?).into_response())
}
