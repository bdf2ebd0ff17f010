//! Who is asking, as a type in a handler's signature: the session of a request, in the role the record gives it now.

use axum::extract::{FromRequestParts, OptionalFromRequestParts};
use axum::http::request;

use super::app::App;
use super::problem::Problem;
use super::secure::Way;
use super::session::Session;

impl FromRequestParts<App> for Session {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut request::Parts, app: &App) -> Result<Self, Problem> {
        let session = admitted(parts, app)?.ok_or_else(|| Problem::join_first(app.board))?;
        app.sessions
            .presence
            .heard(session.device, app.journal.now());
        Ok(session)
    }
}

impl OptionalFromRequestParts<App> for Session {
    type Rejection = Problem;

    async fn from_request_parts(
        parts: &mut request::Parts,
        app: &App,
    ) -> Result<Option<Self>, Problem> {
        admitted(parts, app)
    }
}

/// The session of a request, in the role the record gives it now.
fn admitted(parts: &request::Parts, app: &App) -> Result<Option<Session>, Problem> {
    let Some((mut session, replaced)) = app.sessions.find(&parts.headers) else {
        return Ok(None);
    };
    if let Some(token) = replaced {
        end_on_disk(app.clone(), token);
    }
    session.role = app
        .journal
        .read(|incident| incident.role_now(session.device, session.role));
    Way::of(parts).permit(app, session.role)?;
    Ok(Some(session))
}

/// Nobody waits for it: the token opens nothing any more on this run, and the next one is told here.
fn end_on_disk(app: App, token: [u8; 32]) {
    tokio::spawn(async move {
        let at = app.journal.now();
        if let Err(error) = app.journal.end_session(token, at).await {
            tracing::warn!(%error, "an old session's end was not stored");
        }
    });
}
