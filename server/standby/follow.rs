//! The loop of a standby: ask, check, keep; and take over when told.

use std::time::Duration;

use super::Standby;
use super::promote::{self, REQUEST};
use super::source::{Source, SourceError};
use crate::incident::Seq;
use crate::journal::{JournalError, StoredEntry};
use crate::web::{App, Handed};

/// How often the board is asked. A standby is behind by this and one answer.
const EVERY: Duration = Duration::from_millis(400);
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
}

pub(super) async fn run(standby: Standby) {
    let Standby {
        app,
        source,
        folder,
        is_less_secure: _,
    } = standby;
    let request = folder.join(REQUEST);
    let mut known = None;
    let mut round = 0_u32;
    loop {
        let asked = tokio::select! {
            () = app.stopping.cancelled() => return,
            () = app.standing.take_over.notified() => true,
            () = tokio::time::sleep(EVERY) => request.exists(),
        };
        if asked {
            match promote::take_over(&app).await {
                Ok(()) => {
                    drop(std::fs::remove_file(&request));
                    return;
                }
                Err(error) => tracing::error!(error = %error, "this machine could not take over"),
            }
        }
        round = round.wrapping_add(1);
        let done = match copy(&app, &source).await {
            Ok(()) if round % ROUNDS == 1 => take_handed(&app, &source, &mut known).await,
            other => other,
        };
        match done {
            Ok(()) => app.standing.heard(app.journal.now()),
            Err(Trouble::Source(error)) => {
                tracing::debug!(error = %error, "the board was not heard");
                app.standing.in_trouble("no answer".to_owned());
            }
            Err(Trouble::Shorter { here }) => {
                let words = format!("it has less than the {here} entries that are here");
                tracing::error!(%here, "the board has less than this copy");
                app.standing.in_trouble(words);
            }
            Err(Trouble::Journal(error)) => {
                tracing::error!(error = %error, "the copy cannot go on");
                app.standing.in_trouble(error.to_string());
            }
        }
    }
}

/// Takes over what the board has and this machine has not.
async fn copy(app: &App, source: &Source) -> Result<(), Trouble> {
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
                    return Err(Trouble::Journal(JournalError::OtherHistory {
                        seq: here.seq.0,
                        what: "the board has another entry there".to_owned(),
                    }));
                }
                Some(_) => drop(entries.remove(0)),
            }
        }
        if entries.is_empty() {
            return Ok(());
        }
        app.journal.adopt(entries).await.map_err(Trouble::Journal)?;
    }
}

/// Who is in and what lets people in, where either is other than before.
async fn take_handed(
    app: &App,
    source: &Source,
    known: &mut Option<Handed>,
) -> Result<(), Trouble> {
    let handed = source.handed().await.map_err(Trouble::Source)?;
    let same = |before: &Handed| before.sessions == handed.sessions && before.codes == handed.codes;
    if known.as_ref().is_some_and(same) {
        return Ok(());
    }
    app.journal
        .save_sessions(handed.sessions.clone())
        .await
        .map_err(Trouble::Journal)?;
    app.sessions.follow(handed.sessions.clone());
    if let Some(code) = handed.codes.get("join_code") {
        app.journal
            .save_setting("join_code", code.clone())
            .await
            .map_err(Trouble::Journal)?;
        app.codes.renew_helper(code);
    }
    *known = Some(handed);
    Ok(())
}
