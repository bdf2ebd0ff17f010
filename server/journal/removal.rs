//! Removing an incident's record for good, and what is kept of it: that it was there.
//!
//! Owns what belongs to one record in a folder, and the list of what was removed. Promises: nothing of what was reported
//! is kept; what is kept (when, which board, how many entries, the last check with its epoch) lets a printed page be
//! known again as one of that record, and tells its phones to forget it. A removed file can often be read again from
//! the disk by those who know how: only an encrypted disk makes removal sure.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use sqlx::ConnectOptions;

use super::error::JournalError;
use super::files::{IncidentFile, incidents};
use super::verify::read_chained;
use super::{chain::check_words, open};
use crate::incident::Incident;

const LIST: &str = "removed.log";

/// How a record stands between being kept and being removed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keeping {
    /// Its file.
    pub file: PathBuf,
    /// What the incident is called.
    pub name: String,
    /// This board.
    pub board: String,
    /// How many entries it has.
    pub entries: u64,
    /// The check of the last one, and its epoch.
    pub check: String,
    /// Until when it is kept; nothing while nobody has said it.
    pub until: Option<Timestamp>,
}

/// Reads how a record stands. The chain is checked on the way: what is removed must be what it says.
///
/// # Errors
/// When it cannot be read or is damaged.
pub async fn keeping(file: &Path) -> Result<Keeping, JournalError> {
    let mut connection = open::options(file).read_only(true).connect().await?;
    let (entries, chain) = read_chained(&mut connection).await?;
    let incident = Incident::replay(entries);
    let about = incident.description();
    Ok(Keeping {
        file: file.to_owned(),
        name: about
            .name
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default(),
        board: about
            .board
            .map(|board| board.to_string())
            .unwrap_or_default(),
        entries: incident.head().0,
        check: format!("{} {}", check_words(chain), incident.epoch_words()),
        until: incident.kept_until(),
    })
}

/// Removes a record, and the copies of it in these folders; gives the files that are gone.
///
/// # Errors
/// When something could not be removed; what is gone is gone then, and asking again goes on.
pub fn remove(
    folder: &Path,
    keeping: &Keeping,
    copies: &[PathBuf],
    at: Timestamp,
) -> std::io::Result<Vec<PathBuf>> {
    let mut gone = Vec::new();
    let stem = stem_of(&keeping.file);
    for place in std::iter::once(folder).chain(copies.iter().map(PathBuf::as_path)) {
        let Ok(listing) = fs::read_dir(place) else {
            continue;
        };
        for item in listing {
            let path = item?.path();
            let name = path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            // Copies, what was set aside and the side files are named after the file they belong to.
            if !stem.is_empty() && name.starts_with(&format!("{stem}.")) {
                fs::remove_file(&path)?;
                gone.push(path);
            }
        }
    }
    // Last: a list that says so before it is so would make phones forget what is still there.
    let mut list = fs::OpenOptions::new()
        .append(true)
        .create(true)
        .open(folder.join(LIST))?;
    writeln!(
        list,
        "{at} board {} removed: {} entries, last check {}",
        keeping.board, keeping.entries, keeping.check
    )?;
    list.sync_all()?;
    Ok(gone)
}

/// The boards whose records were removed in this folder.
pub fn removed(folder: &Path) -> Vec<String> {
    let text = fs::read_to_string(folder.join(LIST)).unwrap_or_default();
    text.lines()
        .filter_map(|line| line.split_whitespace().nth(2))
        .map(str::to_owned)
        .collect()
}

/// The records of a folder that were to be kept until before now.
pub async fn overdue(folder: &Path, now: Timestamp) -> Vec<Keeping> {
    let mut due = Vec::new();
    for IncidentFile { path } in incidents(folder).unwrap_or_default() {
        if let Ok(one) = keeping(&path).await
            && one.until.is_some_and(|until| until <= now)
        {
            due.push(one);
        }
    }
    due
}

/// What every file of one record begins with: the name up to its ending.
fn stem_of(file: &Path) -> String {
    let name = file
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    name.strip_suffix(".holdfast.db")
        .unwrap_or_default()
        .to_owned()
}
