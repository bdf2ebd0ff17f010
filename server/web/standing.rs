//! Whether this machine keeps the board or follows another's, and what is handed to a machine that follows.
//!
//! Owns what the standby last heard, the wish to take over, and the door a standby asks. What it hands out opens
//! nothing by itself: join codes that stand on the poster, and hashes of session tokens.

use std::collections::BTreeMap;
use std::sync::Mutex;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::Notify;

use super::app::App;
use super::notices::Notice;
use super::problem::Problem;
use super::session::Session;
use crate::incident::{Deed, Seq};
use crate::journal::StoredSession;

/// What a standby knows of the board it follows.
#[derive(Debug, Default)]
pub struct Standing {
    known: Mutex<Known>,
    /// Rung when a person asked this machine to take over.
    pub take_over: Notify,
}

#[derive(Debug, Default)]
struct Known {
    source: String,
    heard_at: Option<Timestamp>,
    /// What stands in the way of following, in words.
    trouble: Option<String>,
}

impl Standing {
    /// Following this address.
    pub fn follows(&self, source: &str) {
        source.clone_into(&mut self.lock().source);
    }

    /// The board answered: everything it has is here.
    pub fn heard(&self, at: Timestamp) {
        let mut known = self.lock();
        known.heard_at = Some(at);
        known.trouble = None;
    }

    /// The board cannot be followed just now, or ever.
    pub fn in_trouble(&self, why: String) {
        self.lock().trouble = Some(why);
    }

    /// What every screen of a standby says.
    pub(super) fn notice(&self) -> Notice {
        let known = self.lock();
        let heard = known.heard_at.map_or_else(
            || "nothing heard yet".to_owned(),
            |at| format!("last heard {} UTC", at.strftime("%H:%M:%S")),
        );
        let (code, words) = match &known.trouble {
            None => (
                "standby",
                format!(
                    "STANDBY: this machine only follows {} ({heard}). Report on the board itself.",
                    known.source
                ),
            ),
            Some(trouble) => (
                "standby-lost",
                format!(
                    "STANDBY: {} does not answer ({heard}; {trouble}). If that machine is lost, take over here: holdfast promote.",
                    known.source
                ),
            ),
        };
        Notice {
            code,
            words,
            page: None,
        }
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Known> {
        self.known
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

/// What a standby needs besides the record.
#[derive(Debug, Serialize, Deserialize)]
pub struct Handed {
    /// Codes that let people in, by the name they are kept under.
    pub codes: BTreeMap<String, String>,
    /// Everybody who is in.
    pub sessions: Vec<StoredSession>,
    /// The last position when this was put together.
    pub head: Seq,
    /// Whether the board takes its lead only over TLS or on its own machine.
    #[serde(default)]
    pub lead_only_secure: bool,
}

/// `GET /standby`: what a second machine needs besides the record, so that phones need not join again.
pub(super) async fn hand(
    State(app): State<App>,
    session: Session,
) -> Result<Json<Handed>, Problem> {
    session.permit(Deed::ManageDevices)?;
    let codes = [
        ("join_code", app.codes.helper()),
        ("evac_code", app.codes.evac.clone()),
        ("viewer_code", app.codes.viewer.clone()),
        ("private_key", app.codes.seal().to_hex()),
    ];
    Ok(Json(Handed {
        codes: codes
            .into_iter()
            .map(|(name, code)| (name.to_owned(), code))
            .collect(),
        sessions: app.sessions.stored(),
        head: app.journal.head().seq,
        lead_only_secure: app.lead_only_secure,
    }))
}

/// `POST /promotion`: this standby becomes the board.
pub(super) async fn promote(
    State(app): State<App>,
    session: Session,
) -> Result<StatusCode, Problem> {
    session.permit(Deed::ManageDevices)?;
    if !app.journal.is_following() {
        return Err(Problem::no_such_page());
    }
    app.standing.take_over.notify_one();
    Ok(StatusCode::ACCEPTED)
}
