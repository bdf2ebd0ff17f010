//! What time it is here, for phones whose own clocks are wrong.
//!
//! Tells when the question had arrived and when the answer left: with the phone's own two moments these are the four
//! timestamps its board clock is set by (offset and delay as in NTP, RFC 5905, from memory).

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderName, HeaderValue, header};
use jiff::Timestamp;
use serde::Serialize;

use super::app::App;
use super::session::Session;
use crate::incident::BoardId;

/// Board time around one question.
#[derive(Debug, Serialize)]
pub(super) struct BoardTime {
    /// This board: another program's time is not board time.
    board: BoardId,
    /// When the question had arrived.
    received: Timestamp,
    /// When the answer left.
    sent: Timestamp,
}

/// `GET /time`.
pub(super) async fn tell(
    State(app): State<App>,
    _session: Session,
) -> ([(HeaderName, HeaderValue); 1], Json<BoardTime>) {
    let received = app.journal.now();
    let told = BoardTime {
        board: app.board,
        received,
        sent: app.journal.now(),
    };
    let fresh = HeaderValue::from_static("no-store");
    ([(header::CACHE_CONTROL, fresh)], Json(told))
}
