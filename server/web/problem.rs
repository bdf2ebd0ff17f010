//! The one place where something that went wrong becomes something a person or a program can see.
//!
//! Owns RFC 9457 problem documents for programs and a plain page for people. Every message says what
//! happened, what is safe and what to do. Promises: no internal error text leaves the program; each problem
//! is logged once, without what people reported.

use askama::Template;
use axum::Json;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use serde::Serialize;

use super::app::App;
use crate::incident::{BoardId, Refusal};
use crate::journal::JournalError;

/// A problem, in the shape of RFC 9457.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Problem {
    /// A relative address on this server that explains it, so that it works without a network.
    #[serde(rename = "type")]
    pub kind: String,
    /// In short.
    pub title: &'static str,
    /// The HTTP status.
    pub status: u16,
    /// What happened and what to do.
    pub detail: String,
    /// Stable code; programs go by this.
    pub code: &'static str,
    /// Which board says so, to a device that it does not know: it may have been in on another one here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardId>,
    /// Seconds after which to try again.
    #[serde(skip)]
    pub retry_after: Option<u32>,
}

impl Problem {
    /// A problem with its own words.
    pub fn new(
        status: StatusCode,
        code: &'static str,
        title: &'static str,
        detail: impl Into<String>,
    ) -> Self {
        let kind = format!("/problems/{code}");
        Self {
            kind,
            title,
            status: status.as_u16(),
            detail: detail.into(),
            code,
            board: None,
            retry_after: None,
        }
    }

    /// Nothing at this address.
    pub fn no_such_page() -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            "no-such-page",
            "There is no such page",
            "Nothing is at this address. What you reported is safe. Go back to the board.",
        )
    }

    /// A part of the address that is not what the page takes. The framework's own words about it stay inside.
    pub fn unreadable_address(status: StatusCode) -> Self {
        Self::new(
            status,
            "unreadable-address",
            "This address could not be read",
            "A part of this address is not what belongs there. Nothing was changed. Go back to the board.",
        )
    }

    /// Right address, wrong method.
    pub fn wrong_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "wrong-method",
            "This address does not do that",
            "The address exists but not for this kind of request. Go back to the board.",
        )
    }

    /// No session on this board.
    pub fn join_first(board: BoardId) -> Self {
        let problem = Self::new(
            StatusCode::UNAUTHORIZED,
            "join-first",
            "Join first",
            "This device has not joined, or was removed. What it kept is safe on it. Join again with the code.",
        );
        Self {
            board: Some(board),
            ..problem
        }
    }

    /// Something that would come undone on a standby with what the board hands over next.
    pub fn only_follows() -> Self {
        Self::new(
            StatusCode::CONFLICT,
            "only-follows",
            "This machine only follows",
            "It follows the board and would undo this by itself. Do it on the board; nothing was changed here.",
        )
    }

    /// A session whose role does not allow it.
    pub fn not_allowed() -> Self {
        Self::new(
            StatusCode::FORBIDDEN,
            "not-allowed",
            "Not for this role",
            Refusal::NotAllowed.to_string(),
        )
    }

    /// A request that did not come from our own pages.
    pub fn not_from_here(why: &'static str) -> Self {
        Self::new(
            StatusCode::FORBIDDEN,
            "not-from-here",
            "This request did not come from the board's own pages",
            why,
        )
    }

    /// Asked under a name this server does not have.
    pub fn wrong_host() -> Self {
        Self::new(
            StatusCode::MISDIRECTED_REQUEST,
            "wrong-host",
            "This is not the address of this board",
            "Open the board at the address it was started with; it stands on the poster.",
        )
    }

    /// A body that is not what the endpoint takes.
    pub fn not_json(why: impl Into<String>) -> Self {
        Self::new(
            StatusCode::BAD_REQUEST,
            "not-json",
            "This could not be read",
            why,
        )
    }

    /// A body or batch that is too large.
    pub fn too_large(what: impl Into<String>) -> Self {
        Self::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "too-large",
            "Too much at once",
            what,
        )
    }

    /// The disk did not take it.
    fn not_stored(code: &'static str, detail: &'static str) -> Self {
        let status = StatusCode::INSUFFICIENT_STORAGE;
        let problem = Self::new(status, code, "The board cannot store anything", detail);
        Self {
            retry_after: Some(5),
            ..problem
        }
    }

    /// Too slow to be waited for.
    pub fn too_slow() -> Self {
        Self::new(
            StatusCode::REQUEST_TIMEOUT,
            "too-slow",
            "This took too long to arrive",
            "The request broke off half-way. Nothing was recorded; what this device kept is safe on it.",
        )
    }

    /// A device, or an address, reports faster than people can.
    pub fn too_fast(seconds: u32) -> Self {
        Self::slow_down(
            "too-fast",
            "This device reports faster than the board takes from one. Nothing is lost; it is sent again by itself.",
            seconds,
        )
    }

    /// Come back later.
    pub fn slow_down(code: &'static str, detail: &'static str, seconds: u32) -> Self {
        let status = if code == "busy" {
            StatusCode::SERVICE_UNAVAILABLE
        } else {
            StatusCode::TOO_MANY_REQUESTS
        };
        let problem = Self::new(status, code, "Too many at once", detail);
        Self {
            retry_after: Some(seconds),
            ..problem
        }
    }
}

impl From<Refusal> for Problem {
    fn from(refusal: Refusal) -> Self {
        let (status, title) = match &refusal {
            Refusal::NotUnderstood(_) => (
                StatusCode::BAD_REQUEST,
                "This report could not be understood",
            ),
            Refusal::OutOfRange { .. }
            | Refusal::NoSuchChoice { .. }
            | Refusal::NeedsDecider(_)
            | Refusal::SaysNothing
            | Refusal::DoesNotFit => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "This report cannot be right",
            ),
            Refusal::RefersToNothing(_) => (
                StatusCode::NOT_FOUND,
                "This report is about something unknown",
            ),
            Refusal::NotAllowed | Refusal::BoardOnly => {
                (StatusCode::FORBIDDEN, "Not for this role")
            }
            Refusal::NeedsGrounds => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "What is short must be said",
            ),
            Refusal::NeedsReason => (StatusCode::UNPROCESSABLE_ENTITY, "A reason is missing"),
            Refusal::IdUsedTwice => (StatusCode::UNPROCESSABLE_ENTITY, "Two reports carry one id"),
        };
        Self::new(status, refusal.code(), title, refusal.to_string())
    }
}

impl From<JournalError> for Problem {
    fn from(error: JournalError) -> Self {
        match error {
            JournalError::Busy => Self::slow_down(
                "busy",
                "The board has more reports than it can take this moment. Yours is safe on this device and is sent again by itself.",
                1,
            ),
            JournalError::Stopped => Self::slow_down(
                "busy",
                "The board is stopping. What this device kept is safe on it and is sent when the board is back.",
                5,
            ),
            JournalError::Following => Self::slow_down(
                "busy",
                "This machine is the standby and only follows. Report on the board itself; what this device kept is safe on it.",
                5,
            ),
            JournalError::Full => Self::not_stored(
                "disk-full",
                "The board's disk is full: tell the lead. Nothing was recorded; what this device kept is safe on it and is sent again by itself.",
            ),
            JournalError::Held => Self::not_stored(
                "file-held",
                "Another program holds the board's file: tell the lead. Nothing was recorded; what this device kept is safe on it and is sent again by itself.",
            ),
            other => {
                tracing::error!(error = %other, "storage problem");
                Self::not_stored(
                    "storage",
                    "Board storage problem: tell the lead. Nothing was recorded; what this device kept is safe on it.",
                )
            }
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        // Only the status and the value: `render` sees the request and knows in which form to answer.
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = status.into_response();
        if let Some(seconds) = self.retry_after {
            response
                .headers_mut()
                .insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        response.extensions_mut().insert(self);
        response
    }
}

#[derive(Template)]
#[template(path = "problem.html")]
struct ProblemPage<'a> {
    assets: &'a str,
    problem: &'a Problem,
}

/// Renders problems in the form the asker reads, and logs each once.
pub(super) async fn render(State(app): State<App>, request: Request, next: Next) -> Response {
    let wants_page = wants_page(request.headers());
    let method = request.method().clone();
    let response = next.run(request).await;
    let (mut parts, body) = response.into_parts();
    let problem = match parts.extensions.remove::<Problem>() {
        Some(problem) => problem,
        // Refusals of the framework itself (a body over the limit, a wrong method) become ours.
        None if parts.status == StatusCode::METHOD_NOT_ALLOWED => Problem::wrong_method(),
        None if parts.status == StatusCode::PAYLOAD_TOO_LARGE => Problem::too_large(
            "A request may hold 64 kB. Send less at a time; nothing was recorded.",
        ),
        None if parts.status.is_client_error() => Problem::unreadable_address(parts.status),
        None => return Response::from_parts(parts, body),
    };
    tracing::debug!(%method, status = problem.status, code = problem.code, "problem");
    parts.headers.remove(header::CONTENT_LENGTH);
    parts
        .headers
        .insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    let answer = if wants_page {
        let page = ProblemPage {
            assets: app.assets.prefix(),
            problem: &problem,
        };
        Html(page.render().unwrap_or_else(|_| problem.detail.clone())).into_response()
    } else {
        let kind = HeaderValue::from_static("application/problem+json");
        ([(header::CONTENT_TYPE, kind)], Json(&problem)).into_response()
    };
    let (answer_parts, body) = answer.into_parts();
    parts.headers.extend(answer_parts.headers);
    Response::from_parts(parts, body)
}

fn wants_page(headers: &HeaderMap) -> bool {
    headers
        .get(header::ACCEPT)
        .and_then(|value| value.to_str().ok())
        .is_some_and(|value| value.contains("text/html"))
}

/// A handler that panicked: a fault of ours, said plainly, with nothing of its inside.
pub(super) fn of_panic(_panic: Box<dyn std::any::Any + Send>) -> Response {
    tracing::error!("a handler panicked");
    let detail = "A fault in the program. What you reported before is safe. Try again; if it goes on, tell the lead.";
    let status = StatusCode::INTERNAL_SERVER_ERROR;
    let problem = Problem::new(status, "fault", "Something in the board broke", detail);
    let kind = HeaderValue::from_static("application/problem+json");
    (status, [(header::CONTENT_TYPE, kind)], Json(problem)).into_response()
}
