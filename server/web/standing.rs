//! Whether this machine keeps the board or follows another's, and what is handed to a machine that follows.
//!
//! Owns what the standby last heard, the wish to take over, and the door a standby asks. What it hands out opens
//! nothing by itself: join codes that stand on the poster, and hashes of session tokens.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::time::Instant;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::Notify;
use uuid::Uuid;

use super::app::App;
use super::join::Peer;
use super::json::Body;
use super::notices::Notice;
use super::problem::Problem;
use super::session::Session;
use crate::incident::{Deed, EpochId, Role, Seq};
use crate::journal::StoredSession;

/// What a standby knows of the board it follows.
#[derive(Debug)]
pub struct Standing {
    /// What names this machine's folder in a command.
    here: String,
    known: Mutex<Known>,
    /// Rung when a person asked this machine to take over.
    pub take_over: Notify,
}

#[derive(Debug, Default)]
struct Known {
    source: String,
    heard_at: Option<Timestamp>,
    following: Following,
    /// The lead's words are others on the board than this machine was started with.
    words_changed: bool,
    /// Somebody made words for the lead on this machine: they are its own.
    words_made: bool,
}

/// How following goes.
#[derive(Debug, Default)]
enum Following {
    /// As it should.
    #[default]
    Well,
    /// The board does not answer.
    Silent,
    /// It answers that it has no time just now.
    Busy,
    /// It answers, and does not let this machine follow; why, and what is here.
    Refused(String, String),
    /// What answers there is not the board.
    Astray,
    /// It answers, and this machine cannot keep what it says.
    Stuck(String),
    /// Another board answers in its place; what is here.
    OtherBoard(String),
    /// It answers, and has not all that is here: why that is known, and what is here.
    Apart(String, String),
}

impl Following {
    /// Its code and what screens say. Taking over beside a board that lives makes two: the words speak of it where that
    /// board is not heard.
    fn said(&self, source: &str, here: &str, heard: &str) -> (&'static str, String) {
        let promote = format!("holdfast promote{here}");
        match self {
            Self::Well => (
                "standby",
                format!(
                    "STANDBY: this machine only follows {source} ({heard}). Report on the board itself."
                ),
            ),
            Self::Silent => (
                "standby-lost",
                format!(
                    "STANDBY: {source} does not answer ({heard}). If that machine is lost, take over here: {promote}."
                ),
            ),
            Self::Busy => (
                "standby-busy",
                format!(
                    "STANDBY: {source} answers and has no time just now ({heard}). It goes on by itself."
                ),
            ),
            Self::Refused(why, held) => (
                "standby-refused",
                format!(
                    "STANDBY: {source} lives and does not let this machine follow ({heard}; {why}). {held}. To follow on, if that board has all of that: on this machine again, with its lead's words: holdfast standby {source}{here}."
                ),
            ),
            // Whoever begins anew here would put the only record out of sight.
            Self::OtherBoard(held) => (
                "standby-other",
                format!(
                    "STANDBY: ANOTHER BOARD answers at {source}, not the one this machine followed ({heard}). {held}. Keep this machine as it is. If the board it followed is lost, take over here: {promote}."
                ),
            ),
            Self::Apart(why, held) => (
                "standby-apart",
                format!(
                    "STANDBY: {source} HAS NOT ALL THAT IS HERE ({heard}; {why}). {held}; some of it may be nowhere else. Keep this machine as it is, compare its log with that board's, and agree which one goes on."
                ),
            ),
            Self::Astray => (
                "standby-lost",
                format!(
                    "STANDBY: something answers at {source} that is not the board ({heard}). If that machine is lost, take over here: {promote}."
                ),
            ),
            Self::Stuck(why) => (
                "standby-stuck",
                format!(
                    "STANDBY: {source} answers, and this machine cannot follow it ({heard}; {why}). What is here is not kept up. Look at this machine; the board itself goes on."
                ),
            ),
        }
    }
}

impl Standing {
    /// Keeping a board of its own. `here` is what names this machine's folder in a command.
    pub fn new(here: String) -> Self {
        Self {
            here,
            known: Mutex::default(),
            take_over: Notify::new(),
        }
    }

    /// Following this address.
    pub fn follows(&self, source: &str) {
        source.clone_into(&mut self.lock().source);
    }

    /// The board answered: everything it has is here.
    pub fn heard(&self, at: Timestamp) {
        let mut known = self.lock();
        known.heard_at = Some(at);
        known.following = Following::Well;
    }

    /// The board does not answer.
    pub fn is_silent(&self) {
        self.lock().following = Following::Silent;
    }

    /// The board answers and has no time.
    pub fn is_busy(&self) {
        self.lock().following = Following::Busy;
    }

    /// Something else answers in the board's place.
    pub fn is_astray(&self) {
        self.lock().following = Following::Astray;
    }

    /// The board answers and turns this machine away.
    pub fn is_refused(&self, why: String, held: String) {
        self.lock().following = Following::Refused(why, held);
    }

    /// The board answers, and the copy here cannot go on.
    pub fn is_stuck(&self, why: String) {
        self.lock().following = Following::Stuck(why);
    }

    /// Another board answers in the board's place. `held` says what is here.
    pub fn is_other_board(&self, held: String) {
        self.lock().following = Following::OtherBoard(held);
    }

    /// The board has not all that is here. `held` says what is.
    pub fn is_apart(&self, why: String, held: String) {
        self.lock().following = Following::Apart(why, held);
    }

    /// The lead's words are others on the board: those this machine was started with open nothing here any more.
    pub fn words_changed(&self) {
        self.lock().words_changed = true;
    }

    /// Somebody made words for the lead on this machine.
    pub fn words_made(&self) {
        let mut known = self.lock();
        known.words_made = true;
        known.words_changed = false;
    }

    /// The lead's words are those this machine was started with; whether they were others meanwhile.
    pub fn words_stand(&self) -> bool {
        std::mem::take(&mut self.lock().words_changed)
    }

    /// Whether this machine has words of its own for the lead.
    pub fn has_own_words(&self) -> bool {
        self.lock().words_made
    }

    /// What every screen must be told after this machine took over, where its lead's words are known to nobody.
    pub(super) fn words_notice(&self) -> Option<Notice> {
        self.lock().words_changed.then(|| Notice {
            code: "no-words",
            words: format!("No words open the lead's role on this board: they were made anew on the machine before. On this one: holdfast words{}.", self.here),
            page: None,
        })
    }

    /// What every screen of a standby says.
    pub(super) fn notice(&self) -> Notice {
        let known = self.lock();
        let heard = known.heard_at.map_or_else(
            || "nothing heard yet".to_owned(),
            |at| format!("last heard {} UTC", at.strftime("%H:%M:%S")),
        );
        let (code, mut words) = known.following.said(&known.source, &self.here, &heard);
        if known.words_changed {
            let made = format!(
                " The lead's words are others there now: for words of this machine, on it: holdfast words{}.",
                self.here
            );
            words.push_str(&made);
        }
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
    /// The present epoch, of which all this is.
    #[serde(default)]
    pub epoch: Option<EpochId>,
    /// Which state of who is in this is.
    #[serde(default)]
    pub admits: u64,
    /// Another one where the lead's words are others.
    #[serde(default)]
    pub words_id: Uuid,
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
    let admits = app.sessions.admits_now();
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
        epoch: app
            .journal
            .read(|incident| incident.epochs().last().map(|epoch| epoch.id)),
        // Before those it is of: told too old a number, whoever keeps them asks again.
        admits,
        words_id: app.codes.words_id(),
        lead_only_secure: app.lead_only_secure,
    }))
}

/// The lead's words that a standby was started with.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WordsHeld {
    /// As they were typed.
    pub words: String,
}

/// Whether they open the lead's role now.
#[derive(Debug, Serialize, Deserialize)]
pub struct WordsStand {
    /// Whether they do.
    pub stand: bool,
}

/// `POST /standby/words`: whether the words that a standby was started with still open the lead's role. Limited like
/// joining: whoever is in as lead learns no more here than at the door.
pub(super) async fn words(
    State(app): State<App>,
    Peer(address): Peer,
    session: Session,
    Body(held): Body<WordsHeld>,
) -> Result<Json<WordsStand>, Problem> {
    session.permit(Deed::ManageDevices)?;
    let now = Instant::now();
    if !app.guesses.may_try(address, now) {
        return Err(Problem::slow_down(
            "too-many-guesses",
            "Too many wrong words from here. Wait a minute.",
            60,
        ));
    }
    let stand = app.codes.role(&held.words) == Some(Role::Lead);
    if !stand {
        app.guesses.wrong(address, now);
    }
    Ok(Json(WordsStand { stand }))
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
