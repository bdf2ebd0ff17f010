//! The loop of a standby: ask, check, keep; and take over when told.

use std::path::Path;
use std::time::Duration;

use uuid::Uuid;

use super::Standby;
use super::promote::{self, REQUEST};
use super::source::{Source, SourceError};
use crate::incident::Seq;
use crate::journal::{JournalError, StoredEntry};
use crate::web::{App, Handed, fresh_words};

/// How often the board is asked. A standby is behind by this and one answer.
const EVERY: Duration = Duration::from_millis(400);
/// How often it is looked whether somebody asks this machine to take over.
const LOOK: Duration = Duration::from_millis(150);
/// How many rounds between two looks at who is in.
const ROUNDS: u32 = 5;

/// Why a round came to nothing.
enum Trouble {
    Source(SourceError),
    Journal(JournalError),
    /// The board has less than this copy.
    Shorter {
        here: Seq,
    },
    /// The board has another entry than this copy.
    OtherHistory {
        at: Seq,
    },
}

/// What is here, for whoever must decide which machine goes on.
fn held(app: &App) -> String {
    let last = app.journal.read(|incident| {
        let entry = incident.entries().last()?;
        Some(entry.recorded_at.strftime("%H:%M").to_string())
    });
    let at = last.map_or_else(String::new, |at| format!(", the last of {at} UTC"));
    format!("{} entries are here{at}", app.journal.head().seq)
}

pub(super) async fn run(standby: Standby) {
    let Standby {
        app,
        source,
        folder,
        is_less_secure: _,
    } = standby;
    let request = folder.join(REQUEST);
    let mut known = Known::default();
    loop {
        // The board's machine may be lost in the middle of an answer: whoever asks is not kept waiting for it. Adopting goes
        // through the writer's queue: what was put into it is done, whoever waits.
        tokio::select! {
            () = app.stopping.cancelled() => return,
            () = asked(&app, &request) => match promote::take_over(&app).await {
                Ok(()) => return promote::forget_request(&folder),
                Err(error) => {
                    tracing::error!(error = %error, "this machine could not take over");
                    tokio::time::sleep(EVERY).await;
                }
            },
            done = round(&app, &source, &mut known) => {
                say(&app, done);
                tokio::time::sleep(EVERY).await;
            }
        }
    }
}

/// What was handed over before.
#[derive(Default)]
struct Known {
    round: u32,
    handed: Option<Handed>,
    words_id: Option<Uuid>,
}

/// Until a person asks this machine to take over.
async fn asked(app: &App, request: &Path) {
    tokio::select! {
        () = app.standing.take_over.notified() => {}
        () = async {
            while !request.exists() {
                tokio::time::sleep(LOOK).await;
            }
        } => {}
    }
}

async fn round(app: &App, source: &Source, known: &mut Known) -> Result<(), Trouble> {
    let came_in = copy(app, source).await?;
    known.round = known.round.wrapping_add(1);
    if came_in || known.round % ROUNDS == 1 {
        take_handed(app, source, known).await?;
    }
    Ok(())
}

/// Tells this machine's screens how following goes: only a board that is not heard is one to take over from.
fn say(app: &App, done: Result<(), Trouble>) {
    match done {
        Ok(()) => app.standing.heard(app.journal.now()),
        Err(Trouble::Source(error)) => {
            tracing::debug!(error = %error, "the board was not heard");
            match error {
                SourceError::Refused(_)
                | SourceError::Insecure
                | SourceError::NotItsAddress(_)
                | SourceError::Fault(_) => {
                    app.standing.is_refused(error.to_string(), held(app));
                }
                SourceError::OtherBoard => app.standing.is_other_board(held(app)),
                SourceError::Busy(_) => app.standing.is_busy(),
                SourceError::Astray(_) => app.standing.is_astray(),
                _ => app.standing.is_silent(),
            }
        }
        Err(Trouble::Shorter { here }) => {
            tracing::error!(%here, "the board has less than this copy");
            app.standing
                .is_apart("it has fewer entries".to_owned(), held(app));
        }
        Err(Trouble::OtherHistory { at }) => {
            tracing::error!(%at, "the board has another entry than this copy");
            app.standing
                .is_apart(format!("entry {at} is another one there"), held(app));
        }
        Err(Trouble::Journal(error)) => {
            tracing::error!(error = %error, "the copy cannot go on");
            app.standing.is_stuck(error.to_string());
        }
    }
}

/// Takes over what the board has and this machine has not; whether somebody joined there.
async fn copy(app: &App, source: &Source) -> Result<bool, Trouble> {
    let mut came_in = false;
    loop {
        let here = app.journal.head();
        // From one before: the last entry here comes back and is compared. A board that came back without its end, or as
        // another, must not look like one that has nothing new.
        let from = Seq(here.seq.0.saturating_sub(1));
        let mut entries = source.after(from).await.map_err(Trouble::Source)?;
        if here.seq > Seq::START {
            let same = |entry: &StoredEntry| entry.seq == here.seq && entry.chain == here.chain;
            match entries.first() {
                None => return Err(Trouble::Shorter { here: here.seq }),
                Some(first) if !same(first) => {
                    return Err(Trouble::OtherHistory { at: here.seq });
                }
                Some(_) => drop(entries.remove(0)),
            }
        }
        if entries.is_empty() {
            return Ok(came_in);
        }
        came_in |= entries
            .iter()
            .any(|entry| entry.body.contains("\"helper.joined/"));
        app.journal.adopt(entries).await.map_err(Trouble::Journal)?;
    }
}

/// Who is in and what lets people in, where either is other than before.
async fn take_handed(app: &App, source: &Source, known: &mut Known) -> Result<(), Trouble> {
    let handed = source.handed().await.map_err(Trouble::Source)?;
    let same = |before: &Handed| before.sessions == handed.sessions && before.codes == handed.codes;
    let words_id = handed.words_id;
    if !known.handed.as_ref().is_some_and(same) {
        admit(app, &handed).await.map_err(Trouble::Journal)?;
        known.handed = Some(handed);
    }
    if known.words_id != Some(words_id) {
        // Words that were made anew may have been overheard: here they must open nothing either. A board that was only
        // started again with the same ones is no reason, and words that were made on this machine are its own.
        if source.words_stand().await.map_err(Trouble::Source)? {
            if app.standing.words_stand() {
                app.codes.renew_lead(source.lead_words());
            }
        } else if !app.standing.has_own_words() {
            app.codes.renew_lead(&fresh_words());
            app.standing.words_changed();
        }
        known.words_id = Some(words_id);
    }
    Ok(())
}

/// Lets those in who are in on the board.
async fn admit(app: &App, handed: &Handed) -> Result<(), JournalError> {
    // Here first, then on disk: a round may be broken off at each wait, and whoever takes over then goes by what is here.
    app.sessions.follow(handed.sessions.clone());
    let code = handed.codes.get("join_code").cloned();
    if let Some(code) = &code {
        app.codes.renew_helper(code);
    }
    app.journal.save_sessions(handed.sessions.clone()).await?;
    if let Some(code) = code {
        app.journal.save_setting("join_code", code).await?;
    }
    Ok(())
}
