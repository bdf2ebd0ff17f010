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
    About, Author, Deed, DeviceId, EntryId, EpochId, Fact, HeadSeen, Memory, Note, Report, Seq,
    Words, remembered,
};
use crate::journal::{Chain, check_words};

/// Devices that are noted for one and the same thing at most: the log must not fill with what it knows.
const MOST: usize = 64;
/// Things of one kind that one device is believed at most: whoever invents boards must not fill the log with them.
const MOST_OF_ONE: usize = 4;

/// Not a warning: it follows from the loss of a machine, and the log says it.
const LEFT_BEHIND: &str = "left-behind";

/// Warnings from devices that saw something else.
#[derive(Debug, Default)]
pub struct Memories(Mutex<BTreeMap<&'static str, Warning>>);

#[derive(Debug, Default)]
struct Warning {
    /// As the first device gave rise to it.
    words: String,
    /// Which devices remembered which epoch.
    told: BTreeSet<(EpochId, DeviceId)>,
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
                let devices: BTreeSet<_> = warning.told.iter().map(|(_, device)| device).collect();
                let others = devices.len().saturating_sub(1);
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

    /// Keeps a warning; says whether it is new. Of an epoch that nobody spoke of it always is, however many devices spoke
    /// of others.
    fn warn(&self, device: DeviceId, code: &'static str, epoch: EpochId, words: &str) -> bool {
        let mut known = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        let warning = known.entry(code).or_default();
        let of = |wanted: &dyn Fn(&(EpochId, DeviceId)) -> bool| {
            warning.told.iter().filter(|told| wanted(told)).count()
        };
        let is_known = of(&|told| told.0 == epoch) >= MOST;
        let is_inventing = of(&|told| told.1 == device) >= MOST_OF_ONE;
        if is_known || is_inventing || !warning.told.insert((epoch, device)) {
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
        note(&app, &session, verdict, seen.epoch, &words).await;
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
async fn note(app: &App, session: &Session, verdict: &'static str, epoch: EpochId, words: &str) {
    if app.journal.is_following() {
        return;
    }
    if app.memories.warn(session.device, verdict, epoch, words) {
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
        epoch: None,
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

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    fn device(number: u128) -> DeviceId {
        DeviceId::new(Uuid::from_u128(number))
    }

    fn epoch(number: u128) -> EpochId {
        EpochId::new(Uuid::from_u128(number))
    }

    #[test]
    fn however_many_boards_are_invented_a_real_one_is_still_heard_of() {
        let memories = Memories::default();
        let warn =
            |who, what| memories.warn(device(who), "elsewhere", epoch(what), "ANOTHER BOARD");
        let mut noted = 0;
        for who in 0..100 {
            for what in 0..20 {
                noted += usize::from(warn(who, 1000 + who * 20 + what));
            }
        }
        assert_eq!(noted, 100 * MOST_OF_ONE);
        memories.seen();
        assert!(memories.notices().is_empty());
        assert!(warn(500, 7), "one that really went on");
        assert_eq!(memories.notices().len(), 1);
        // The same from many phones is noted for some of them, and from one phone once.
        assert!(!warn(500, 7));
        let more = (600..700).filter(|who| warn(*who, 7)).count();
        assert_eq!(more, MOST - 1);
    }
}
