//! What devices remember of this board, read against what is here.
//!
//! Owns the warnings that follow. Promises: a missing end of the journal, another history and a second board that went
//! on apart are said on every screen and noted in the log, each once for a device.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::Serialize;

use super::app::App;
use super::json::Body;
use super::notices::Notice;
use super::problem::Problem;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::NoteAdded;
use crate::incident::{
    About, Author, Deed, DeviceId, EntryId, Fact, HeadSeen, Memory, Note, Report, Seq, Words,
    remembered,
};
use crate::journal::{Chain, check_words};

/// Devices whose memory is kept in mind at most.
const MOST: usize = 64;

/// Not a warning: it follows from the loss of a machine, and the log says it.
const LEFT_BEHIND: &str = "left-behind";

/// Warnings from devices that saw something else.
#[derive(Debug, Default)]
pub struct Memories(Mutex<BTreeMap<&'static str, Warning>>);

#[derive(Debug, Default)]
struct Warning {
    /// As the first device gave rise to it.
    words: String,
    devices: BTreeSet<DeviceId>,
    /// The lead has seen it: off the screens, the log keeps it.
    is_seen: bool,
}

/// What a device's memory turned out to mean.
#[derive(Debug, Serialize, utoipa::ToSchema)]
pub(super) struct Remembered {
    /// `here`, `end-missing`, `left-behind`, `elsewhere` or `changed`. In all cases but the first the device sends
    /// again what it has reported: what is here already is recognised.
    pub verdict: &'static str,
}

impl Memories {
    /// What every screen must be told.
    pub(super) fn notices(&self) -> Vec<Notice> {
        let known = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        known
            .iter()
            .filter(|(code, warning)| **code != LEFT_BEHIND && !warning.is_seen)
            .map(|(code, warning)| {
                let others = warning.devices.len().saturating_sub(1);
                let more = match others {
                    0 => String::new(),
                    others => format!(" So did {others} more."),
                };
                Notice {
                    code,
                    words: format!("{}{more}", warning.words),
                    page: Some("/record"),
                }
            })
            .collect()
    }

    /// Keeps a warning; says whether it is new.
    fn warn(&self, device: DeviceId, code: &'static str, words: &str) -> bool {
        let mut known = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        let warning = known.entry(code).or_default();
        if warning.devices.len() >= MOST || !warning.devices.insert(device) {
            return false;
        }
        if warning.words.is_empty() || warning.is_seen {
            words.clone_into(&mut warning.words);
            warning.is_seen = false;
        }
        true
    }

    /// The lead has seen them: they leave the screens.
    fn seen(&self) {
        let mut known = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        known
            .values_mut()
            .for_each(|warning| warning.is_seen = true);
    }
}

/// `POST /seen`: a device says up to where it saw the board.
pub(super) async fn compare(
    State(app): State<App>,
    session: Session,
    Body(seen): Body<HeadSeen>,
) -> Result<Json<Remembered>, Problem> {
    session.permit(Deed::SeeCasualties)?;
    if !is_check(&seen.check) {
        return Err(Problem::not_json(
            "A check is six symbols in two groups, as printed.",
        ));
    }
    let memory = app
        .journal
        .read(|incident| remembered(incident.epochs(), incident.head(), &seen));
    let who = &session.name;
    let at = seen.seq;
    let (verdict, words) = match memory {
        Memory::Compare(seq) => {
            let chain = app.journal.chain_at(seq).await?;
            if check_words(chain) == seen.check {
                ("here", None)
            } else {
                let words = format!(
                    "ANOTHER HISTORY: {who}'s device saw entry {at} with another check than here, {}. Run holdfast verify and compare with paper.",
                    check_words(chain)
                );
                ("changed", Some(words))
            }
        }
        Memory::EndMissing { here } => {
            let words = format!(
                "ENTRIES ARE MISSING: {who}'s device saw entry {at}, this board ended at {here} when it came by. Phones send their own reports again by themselves; compare with paper."
            );
            ("end-missing", Some(words))
        }
        // What follows from a machine that was lost; the log says it, no screen need shout it.
        Memory::LeftBehind { here } => {
            let words = format!(
                "{who}'s device saw entry {at} on the machine before; {here} had come across. It sends its own reports again."
            );
            (LEFT_BEHIND, Some(words))
        }
        Memory::Elsewhere => {
            let words = format!(
                "ANOTHER BOARD of this incident went on apart from this one: {who}'s device was on it up to entry {at}. Agree which one is used; phones that come here send their own reports again."
            );
            ("elsewhere", Some(words))
        }
    };
    if let Some(words) = words {
        note(&app, &session, verdict, &words).await;
    }
    Ok(Json(Remembered { verdict }))
}

/// Whether this can be a check as this program prints them. What is none must not come near anybody's screen.
fn is_check(text: &str) -> bool {
    let shape = check_words(Chain::START);
    text.len() == shape.len()
        && text.chars().zip(shape.chars()).all(|(here, there)| {
            if there == '-' {
                here == '-'
            } else {
                here.is_ascii_uppercase() || here.is_ascii_digit()
            }
        })
}

/// `POST /warnings/seen`: what devices remembered has been seen; it leaves the screens, the log keeps it.
pub(super) async fn seen(State(app): State<App>, session: Session) -> Result<StatusCode, Problem> {
    session.permit(Deed::ManageDevices)?;
    app.memories.seen();
    Ok(StatusCode::NO_CONTENT)
}

/// Into the log and, where it is grave, onto every screen. A board that cannot store says so by itself.
async fn note(app: &App, session: &Session, verdict: &'static str, words: &str) {
    if app.journal.is_following() {
        return;
    }
    if app.memories.warn(session.device, verdict, words) {
        note_of_the_board(app, words).await;
    }
}

/// Into the log, in the board's own name.
pub(super) async fn note_of_the_board(app: &App, words: &str) {
    let short: String = words.chars().take(280).collect();
    let (Ok(text), Ok(name)) = (Note::new(&short), Words::new("board")) else {
        return;
    };
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: app.journal.now(),
        based_on: Seq::START,
        time_unsure: false,
        fact: Fact::NoteAdded(NoteAdded { text }),
    };
    let author = Author {
        device: DeviceId::new(app.board.uuid()),
        name,
        role: None,
        skill: None,
    };
    if let Err(error) = app.journal.append(vec![report], author).await {
        tracing::warn!(error = %error, "a remark of the board could not be noted");
    }
}
