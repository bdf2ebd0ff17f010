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
        let session = admitted(parts, app)?.ok_or_else(Problem::join_first)?;
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
    let Some(mut session) = app.sessions.find(&parts.headers) else {
        return Ok(None);
    };
    Way::of(parts).permit(app, session.role)?;
    session.role = app
        .journal
        .read(|incident| incident.role_now(session.device, session.role));
    Ok(Some(session))
}
