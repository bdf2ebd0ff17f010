//! Fresh lead's words at the machine's own keyboard, while the board runs.
//!
//! Who may write the data folder may ask: the words are put into a file there, the running board takes them and removes
//! the file within a second. They are kept nowhere else. Who is in stays in.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::BootError;
use crate::journal::{DataFolder, FolderError, private_file};
use crate::web::{App, fresh_words};

/// The file by which the words are handed over.
const REQUEST: &str = "new-lead-words";
const LOOK: Duration = Duration::from_millis(300);
const PATIENCE: Duration = Duration::from_secs(10);

/// What came of asking for fresh words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Renewed {
    /// These open the lead's role now; the earlier ones do not.
    Words(String),
    /// No board runs on this folder: each start makes its own words.
    NotRunning,
    /// The board did not take them.
    NoAnswer,
}

/// Gives the board that runs on this folder fresh lead's words.
///
/// # Errors
/// When the folder cannot be used.
pub async fn renew_lead_words(data: &Path) -> Result<Renewed, BootError> {
    match DataFolder::take(data) {
        Ok(_) => return Ok(Renewed::NotRunning),
        Err(FolderError::InUse(_)) => {}
        Err(other) => return Err(other.into()),
    }
    let words = fresh_words();
    let request = data.join(REQUEST);
    let growing = data.join(format!("{REQUEST}.unfinished"));
    let unusable = |source| FolderError::Unusable {
        path: data.to_owned(),
        source,
    };
    private_file(&growing, words.as_bytes()).map_err(unusable)?;
    fs::rename(&growing, &request).map_err(unusable)?;
    let taken = tokio::time::timeout(PATIENCE, async {
        while request.exists() {
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    });
    Ok(if taken.await.is_ok() {
        Renewed::Words(words)
    } else {
        drop(fs::remove_file(&request));
        Renewed::NoAnswer
    })
}

/// Takes fresh words where somebody hands them over.
pub(super) async fn listen(app: App, folder: PathBuf) {
    let request = folder.join(REQUEST);
    loop {
        tokio::select! {
            () = app.stopping.cancelled() => return,
            () = tokio::time::sleep(LOOK) => {}
        }
        let Ok(words) = fs::read_to_string(&request) else {
            continue;
        };
        if words.chars().filter(char::is_ascii_alphabetic).count() >= super::SHORTEST {
            app.codes.renew_lead(&words);
            app.standing.words_made();
        }
        drop(fs::remove_file(&request));
    }
}
