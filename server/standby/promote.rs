//! Taking over: this machine keeps the board from here on.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::boot::{self, BootError};
use crate::clock::{Clock, fresh_id};
use crate::incident::fact::{ContinuedFrom, HelperJoined};
use crate::incident::{About, Author, EntryId, EpochId, Fact, Report, Seq, goes_on};
use crate::journal::{self, DataFolder, FolderError, Journal, JournalError};
use crate::web::App;

/// The file by which a person asks a running standby to take over: who may write the folder may ask.
pub(super) const REQUEST: &str = "take-over";
/// How long a running standby may take.
const PATIENCE: Duration = Duration::from_secs(10);

/// What came of the wish to take over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Promoted {
    /// The standby running on this folder is the board now.
    Running,
    /// No program runs on it; the next start serves the board.
    AtRest,
    /// Several copies are in this folder, and nobody said which.
    Several(Vec<PathBuf>),
    /// There is no copy of a board in this folder.
    NothingToPromote,
    /// A program runs on it and did not answer: it is no standby, or it cannot store.
    NoAnswer,
}

/// Asks the standby on this folder to take over, or makes its copy a board when none runs.
///
/// # Errors
/// When the folder or the copy cannot be used.
pub async fn promote(data: &Path, clock: Clock) -> Result<Promoted, BootError> {
    let folder = match DataFolder::take(data) {
        Ok(folder) => folder,
        Err(FolderError::InUse(_)) => return Ok(ask(data).await),
        Err(other) => return Err(other.into()),
    };
    let mut copies = Vec::new();
    for file in journal::incidents(folder.path())? {
        let known = journal::describe(&file.path).await;
        if known.is_ok_and(|known| known.follows.is_some()) {
            copies.push(file.path);
        }
    }
    let file = match copies.as_slice() {
        [] => return Ok(Promoted::NothingToPromote),
        [one] => one,
        _ => return Ok(Promoted::Several(copies)),
    };
    let opened = journal::open(file, clock).await?;
    go_on(&opened.journal).await?;
    opened.journal.close_readers().await;
    drop(opened.journal);
    drop(opened.settings);
    drop(opened.writer.await);
    Ok(Promoted::AtRest)
}

/// What is typed so that the standby on this folder takes over: another folder's copy must not by mistake.
pub fn promote_command(data: &Path) -> String {
    format!("holdfast promote{}", boot::data_option(data))
}

/// Nobody asks any more.
pub(super) fn forget_request(data: &Path) {
    drop(fs::remove_file(data.join(REQUEST)));
}

async fn ask(data: &Path) -> Promoted {
    let request = data.join(REQUEST);
    if fs::write(&request, b"").is_err() {
        return Promoted::NoAnswer;
    }
    let answered = tokio::time::timeout(PATIENCE, async {
        while request.exists() {
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    });
    if answered.await.is_ok() {
        Promoted::Running
    } else {
        drop(fs::remove_file(&request));
        Promoted::NoAnswer
    }
}

/// The running standby becomes the board; its screens go on as they are.
///
/// Who looked at this machine before was in on it alone: from here on they are in the record and can be removed like
/// anybody.
pub(super) async fn take_over(app: &App) -> Result<(), JournalError> {
    go_on(&app.journal).await?;
    for (session, stored) in app.sessions.begun_here() {
        let joined = HelperJoined {
            name: session.name.clone(),
            skill: session.skill,
            role: session.role,
        };
        let report = Report {
            id: EntryId::new(fresh_id()),
            about: About::Incident,
            happened_at: app.journal.now(),
            time_unsure: false,
            epoch: None,
            based_on: Seq::START,
            fact: Fact::HelperJoined(joined),
        };
        let author = Author {
            device: session.device,
            name: session.name,
            role: None,
            skill: None,
        };
        // It is the board already: what fails here must not undo that.
        let kept = match app.journal.append(vec![report], author).await {
            Ok(_) => app.journal.save_session(stored).await,
            Err(error) => Err(error),
        };
        if let Err(error) = kept {
            tracing::error!(error = %error, "who was in on the standby could not be put into the record");
        }
    }
    Ok(())
}

async fn go_on(journal: &Journal) -> Result<(), JournalError> {
    let Some(board) = journal.read(|incident| incident.description().board) else {
        return Err(JournalError::Damaged {
            seq: 1,
            what: "it does not begin with an incident".to_owned(),
        });
    };
    let ids = (EntryId::new(fresh_id()), EpochId::new(fresh_id()));
    let (report, author) = goes_on(board, ids, journal.now(), ContinuedFrom::Standby, None)
        .map_err(|_| JournalError::Stopped)?;
    journal.go_on(report, author).await
}
