//! What devices remember of this board, read against what is here.
//!
//! Owns the warnings that follow. Promises: a missing end of the journal, another history and a second board that went
//! on apart are said on every screen and noted in the log, each once for a device.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use super::app::App;
use super::json::Body;
use super::limits::{Limits, Meter};
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
/// Things of one kind that are kept in mind; what fewest devices spoke of goes first.
const EPOCHS: usize = 64;
/// How fast they may come into the log: whoever joins again and again as somebody else must not fill it either. Ours.
const INTO_THE_LOG: Limits = Limits {
    reports_per_second: 0.1,
    burst: 128.0,
    ..Limits::none()
};
/// How long a warning that the lead has seen stays off the screens at least.
const QUIET: Duration = Duration::from_mins(1);

/// A board that is rebuilt, started from a copy or promoted begins its epoch so long before it serves, at most: where a
/// copy is promoted at rest, a person types the next command.
const JUST_BEFORE: SignedDuration = SignedDuration::from_mins(2);

/// Not a warning: it follows from the loss of a machine, and the log says it.
const LEFT_BEHIND: &str = "left-behind";

/// Warnings from devices that saw something else.
#[derive(Debug)]
pub struct Memories {
    warnings: Mutex<BTreeMap<&'static str, Warning>>,
    /// When this run of the program began, by board time.
    since: Timestamp,
}

/// What follows from what a device remembered of an epoch.
struct Remark<'w> {
    code: &'static str,
    epoch: EpochId,
    words: &'w str,
}

#[derive(Debug)]
struct Warning {
    /// As the first device gave rise to it.
    words: String,
    /// Which devices remembered each epoch.
    told: BTreeMap<EpochId, BTreeSet<DeviceId>>,
    /// Every device that ever did.
    devices: BTreeSet<DeviceId>,
    log: Meter,
    /// When the lead has seen it: off the screens, the log keeps it.
    seen_at: Option<Instant>,
    /// Something new came since.
    is_news: bool,
}

impl Warning {
    fn new(now: Instant) -> Self {
        Self {
            words: String::new(),
            told: BTreeMap::new(),
            devices: BTreeSet::new(),
            log: Meter::new(&INTO_THE_LOG, now),
            seen_at: None,
            is_news: false,
        }
    }

    fn is_shown(&self, now: Instant) -> bool {
        self.seen_at
            .is_none_or(|seen| self.is_news && now.duration_since(seen) >= QUIET)
    }

    /// Takes in what a device remembered; says whether the log should.
    fn take(&mut self, device: DeviceId, remark: &Remark<'_>, now: Instant) -> bool {
        let Remark { epoch, words, .. } = *remark;
        let known = self.told.get(&epoch);
        let is_known = known.is_some_and(|told| told.contains(&device) || told.len() >= MOST);
        let of_one = self.told.values().filter(|told| told.contains(&device));
        if is_known || of_one.count() >= MOST_OF_ONE {
            return false;
        }
        if self.words.is_empty() || (self.seen_at.is_some() && !self.is_news) {
            words.clone_into(&mut self.words);
        }
        self.is_news = true;
        if self.log.take(1, &INTO_THE_LOG, now).is_err() {
            // Not in mind either: it comes again when there is room.
            return false;
        }
        if self.told.len() >= EPOCHS && !self.told.contains_key(&epoch) {
            let least = self.told.iter().min_by_key(|(_, told)| told.len());
            if let Some(least) = least.map(|(epoch, _)| *epoch) {
                self.told.remove(&least);
            }
        }
        self.told.entry(epoch).or_default().insert(device);
        self.devices.insert(device);
        true
    }
}

/// What a device's memory turned out to mean.
#[derive(Debug, Serialize, utoipa::ToSchema)]
pub(super) struct Remembered {
    /// `here`, `end-missing`, `left-behind`, `elsewhere` or `changed`. In all cases but the first the device sends
    /// again what it has reported: what is here already is recognised.
    pub verdict: &'static str,
}

impl Memories {
    /// None yet, in a run that begins now by board time.
    pub fn new(since: Timestamp) -> Self {
        Self {
            warnings: Mutex::default(),
            since,
        }
    }

    /// What every screen must be told.
    pub(super) fn notices(&self) -> Vec<Notice> {
        let known = self
            .warnings
            .lock()
            .expect("OK because nothing panics while holding it");
        let now = Instant::now();
        known
            .iter()
            .filter(|(code, warning)| **code != LEFT_BEHIND && warning.is_shown(now))
            .map(|(code, warning)| {
                let more = match warning.devices.len().saturating_sub(1) {
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

    /// Keeps a warning; says whether the log should have it. Of an epoch that nobody spoke of it is news, however many
    /// devices spoke of others.
    fn warn(&self, device: DeviceId, remark: &Remark<'_>, now: Instant) -> bool {
        let mut known = self
            .warnings
            .lock()
            .expect("OK because nothing panics while holding it");
        let warning = known
            .entry(remark.code)
            .or_insert_with(|| Warning::new(now));
        warning.take(device, remark, now)
    }

    /// Whether something happened in this run: over a restart the machine's clock may have been put right, and times before
    /// it tell nothing of times after.
    fn is_of_this_run(&self, at: Timestamp) -> bool {
        self.since.duration_since(at) <= JUST_BEFORE
    }

    /// The lead has seen them: they leave the screens.
    fn seen(&self, now: Instant) {
        let mut known = self
            .warnings
            .lock()
            .expect("OK because nothing panics while holding it");
        for warning in known.values_mut().filter(|warning| warning.is_shown(now)) {
            warning.seen_at = Some(now);
            warning.is_news = false;
        }
    }
}

/// What a device says of the last it heard.
#[derive(Debug, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Remembers {
    /// The epoch it saw.
    epoch: EpochId,
    /// The last position it saw.
    seq: Seq,
    /// The check that stood with it, as printed: six symbols in two groups.
    #[schema(max_length = 20)]
    check: String,
    /// How long ago that was (s), by the device's own clock; left out where it does not know.
    #[serde(default)]
    ago: Option<u32>,
}

/// `POST /seen`: a device says up to where it saw the board.
pub(super) async fn compare(
    State(app): State<App>,
    session: Session,
    Body(told): Body<Remembers>,
) -> Result<Json<Remembered>, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let heard_at = heard_at(&app, told.ago);
    let seen = HeadSeen {
        epoch: told.epoch,
        seq: told.seq,
        check: told.check,
    };
    if !is_check(&seen.check) {
        return Err(Problem::not_json(
            "A check is six symbols in two groups, as printed.",
        ));
    }
    let memory = app
        .journal
        .read(|incident| remembered(incident.epochs(), incident.head(), &seen, heard_at));
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
        let remark = Remark {
            code: verdict,
            epoch: seen.epoch,
            words: &words,
        };
        note(&app, &session, &remark).await;
    }
    Ok(Json(Remembered { verdict }))
}

/// So many of a device's seconds ago, in board time; nothing where that cannot be compared with the beginning of the epoch.
fn heard_at(app: &App, ago: Option<u32>) -> Option<Timestamp> {
    let now = app.journal.now();
    let begun_at = app
        .journal
        .read(|incident| incident.epochs().last().map(|epoch| epoch.begun_at))?;
    if !app.memories.is_of_this_run(begun_at) {
        return None;
    }
    now.checked_sub(SignedDuration::from_secs(ago?.into())).ok()
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
    app.memories.seen(Instant::now());
    Ok(StatusCode::NO_CONTENT)
}

/// Into the log and, where it is grave, onto every screen. A board that cannot store says so by itself.
async fn note(app: &App, session: &Session, remark: &Remark<'_>) {
    if app.journal.is_following() {
        return;
    }
    if app.memories.warn(session.device, remark, Instant::now()) {
        note_of_the_board(app, remark.words).await;
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

    fn none() -> Memories {
        Memories::new(Timestamp::from_second(1000).unwrap())
    }

    fn device(number: u128) -> DeviceId {
        DeviceId::new(Uuid::from_u128(number))
    }

    fn elsewhere(number: u128) -> Remark<'static> {
        Remark {
            code: "elsewhere",
            epoch: EpochId::new(Uuid::from_u128(number)),
            words: "ANOTHER BOARD",
        }
    }

    #[test]
    fn however_many_boards_are_invented_a_real_one_is_still_heard_of() {
        let (memories, start) = (none(), Instant::now());
        let warn = |who, what, now| memories.warn(device(who), &elsewhere(what), now);
        let mut noted = 0;
        for who in 0..100 {
            for what in 0..20 {
                noted += usize::from(warn(who, 1000 + who * 20 + what, start));
            }
        }
        assert_eq!(noted, 128, "the log is not filled");
        let kept = memories.warnings.lock().unwrap()["elsewhere"].told.len();
        assert_eq!(kept, EPOCHS, "nor the memory");
        // An hour later: one that really went on. Noted for some of the phones that were on it, for each once.
        let later = start + Duration::from_hours(1);
        assert!(warn(500, 7, later));
        assert!(!warn(500, 7, later));
        let more = (600..700).filter(|who| warn(*who, 7, later)).count();
        assert_eq!(more, MOST - 1);
        // It stays in mind among those that nobody else speaks of.
        for who in 800..830 {
            warn(who, 5000 + who, later);
        }
        assert!(!warn(500, 7, later));
    }

    #[test]
    fn what_the_lead_has_seen_comes_back_for_news_and_not_at_once() {
        let (memories, start) = (none(), Instant::now());
        let warn = |who, what, now| memories.warn(device(who), &elsewhere(what), now);
        let is_shown = |now| memories.warnings.lock().unwrap()["elsewhere"].is_shown(now);
        assert!(warn(1, 1, start) && is_shown(start));
        memories.seen(start);
        assert!(!is_shown(start + 2 * QUIET), "nothing new came");
        warn(2, 2, start);
        assert!(!is_shown(start));
        assert!(is_shown(start + QUIET));
    }

    #[test]
    fn a_time_of_before_the_program_started_is_not_compared() {
        let memories = none();
        let at = |second| Timestamp::from_second(second).unwrap();
        assert!(memories.is_of_this_run(at(1000 + 60)));
        assert!(memories.is_of_this_run(at(1000 - 120)));
        assert!(!memories.is_of_this_run(at(1000 - 121)));
    }
}
