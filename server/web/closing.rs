//! Closing the incident: asked for by the lead, refused with a list while somebody is not accounted for.

use axum::extract::State;
use axum::http::StatusCode;

use super::app::App;
use super::problem::Problem;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::IncidentClosed;
use crate::incident::{About, Author, Deed, EntryId, Fact, Incident, Report};

/// `POST /closing`: ends the incident, where everybody and every trip is accounted for.
pub(super) async fn close(State(app): State<App>, session: Session) -> Result<StatusCode, Problem> {
    session.permit(Deed::HandOverCommand)?;
    let open = app.journal.read(Incident::unaccounted);
    if !open.is_empty() {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "not-accounted-for",
            "Not everybody is accounted for",
            format!(
                "Still open: {}. Say for each to whom they were handed over, then close again.",
                open.join("; ")
            ),
        ));
    }
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: app.journal.now(),
        based_on: app.journal.head().seq,
        time_unsure: false,
        epoch: None,
        fact: Fact::IncidentClosed(IncidentClosed {}),
    };
    // The board writes it, in the lead's name: it was asked for and has looked.
    let author = Author {
        role: None,
        ..session.author()
    };
    let receipts = app.journal.append(vec![report], author).await?;
    match receipts.into_iter().find_map(Result::err) {
        Some(refusal) => Err(refusal.into()),
        None => Ok(StatusCode::NO_CONTENT),
    }
}
