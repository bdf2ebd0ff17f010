//! The loop of a standby: ask, check, keep; and take over when told.

use std::time::Duration;

use super::Standby;
use super::promote::{self, REQUEST};
use super::source::{Source, SourceError};
use crate::incident::Seq;
use crate::journal::{JournalError, StoredSession};
use crate::web::App;

/// How often the board is asked. A standby is behind by this and one answer.
const EVERY: Duration = Duration::from_millis(400);
/// How many rounds between two looks at who is in.
const ROUNDS: u32 = 5;
/// Entries taken over at a time.
const CHUNK: usize = 500;

/// Why a round came to nothing.
enum Trouble {
    Source(SourceError),
    Journal(JournalError),
}

pub(super) async fn run(standby: Standby) {
    let Standby {
        app,
        source,
        folder,
    } = standby;
    let request = folder.join(REQUEST);
    let mut sessions = Vec::new();
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
            Ok(()) if round % ROUNDS == 1 => take_sessions(&app, &source, &mut sessions).await,
            other => other,
        };
        match done {
            Ok(()) => app.standing.heard(app.journal.now()),
            Err(Trouble::Source(error)) => {
                tracing::debug!(error = %error, "the board was not heard");
                app.standing.in_trouble("no answer".to_owned());
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
    let entries = source
        .after(app.journal.head().seq)
        .await
        .map_err(Trouble::Source)?;
    for chunk in entries.chunks(CHUNK) {
        app.journal
            .adopt(chunk.to_vec())
            .await
            .map_err(Trouble::Journal)?;
    }
    Ok(())
}

async fn take_sessions(
    app: &App,
    source: &Source,
    known: &mut Vec<StoredSession>,
) -> Result<(), Trouble> {
    let handed = source.handed().await.map_err(Trouble::Source)?;
    if handed.sessions == *known && handed.head > Seq::START {
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
    *known = handed.sessions;
    Ok(())
}
