//! Verified copies of a board's file, made while it runs.
//!
//! Promises: a copy has its name only once it is whole, on disk and verified; the board is not stopped for it; older
//! copies beyond a number are removed, never the last, and never one from which a board went on.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use sqlx::{ConnectOptions, Connection};

use super::describe::{COPIED, describe};
use super::error::JournalError;
use super::verify::verify;
use super::{files, open, settings};
use crate::incident::Seq;

/// Copies kept of one incident.
const KEPT: usize = 10;
const ENDING: &str = "holdfast.db";

/// A copy that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copied {
    /// Where it is.
    pub path: PathBuf,
    /// The last position in it.
    pub head: Seq,
    /// Its check, to compare with paper.
    pub check: String,
}

/// Makes a copy of a board's file in a folder and verifies it.
///
/// # Errors
/// When it cannot be written or is not whole; then there is no copy of that name.
pub async fn copy(file: &Path, to: &Path, at: Timestamp) -> Result<Copied, JournalError> {
    fs::create_dir_all(to).map_err(sqlx::Error::Io)?;
    let stem = file
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let stem = stem
        .trim_end_matches(ENDING)
        .trim_end_matches('.')
        .to_owned();
    let name = format!("{stem}.copy-{}.{ENDING}", at.strftime("%Y%m%dT%H%M%S%3fZ"));
    let (whole, growing) = (to.join(&name), to.join(format!("{name}.unfinished")));
    // Empty and readable by its owner alone before any of it is written.
    drop(fs::remove_file(&growing));
    files::make_private(&growing).map_err(sqlx::Error::Io)?;
    let done = write(file, &growing).await;
    let verdict = match done {
        Ok(()) => verify(&growing).await,
        Err(error) => Err(error),
    };
    let verdict = match verdict {
        Ok(verdict) if verdict.is_whole() => verdict,
        other => {
            drop(fs::remove_file(&growing));
            let what =
                other.map_or_else(|error| error.to_string(), |_| "it is not whole".to_owned());
            return Err(JournalError::Damaged {
                seq: 0,
                what: format!("the copy: {what}"),
            });
        }
    };
    fs::rename(&growing, &whole).map_err(sqlx::Error::Io)?;
    forget_sides(&growing);
    on_disk(to)?;
    forget_oldest(to, &stem, &whole).await;
    Ok(Copied {
        path: whole,
        head: verdict.head,
        check: verdict.check,
    })
}

async fn write(file: &Path, growing: &Path) -> Result<(), JournalError> {
    let mut connection = open::options(file).read_only(true).connect().await?;
    sqlx::query("vacuum into ?")
        .bind(growing.to_string_lossy().into_owned())
        .execute(&mut connection)
        .await?;
    connection.close().await?;
    // A copy is a board like any other: in the same mode, so that it can be read where nothing can be written.
    let mut settled = open::options(growing).connect().await?;
    // Whoever starts it is another machine than the one it was taken from, and says so by an epoch of its own.
    settings::write(&mut settled, COPIED, "yes").await?;
    settled.close().await?;
    // On the stick, not in the machine's memory: it may be pulled out the next moment.
    let copy = fs::File::options()
        .write(true)
        .open(growing)
        .map_err(sqlx::Error::Io)?;
    copy.sync_all().map_err(sqlx::Error::Io)?;
    Ok(())
}

/// What looking into a file leaves beside it.
fn forget_sides(file: &Path) {
    for side in ["-wal", "-shm"] {
        drop(fs::remove_file(format!("{}{side}", file.display())));
    }
}

/// The folder's own list of names, too: the stick may be pulled out the next moment.
pub(super) fn on_disk(folder: &Path) -> Result<(), JournalError> {
    #[cfg(unix)]
    fs::File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(sqlx::Error::Io)?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

async fn forget_oldest(to: &Path, stem: &str, fresh: &Path) {
    let Ok(listing) = fs::read_dir(to) else {
        return;
    };
    let mut copies: Vec<PathBuf> = listing
        .filter_map(|item| Some(item.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with(&format!("{stem}.copy-")) && name.ends_with(ENDING)
        })
        .collect();
    // By when they were written, and never the one just made: a machine whose clock was set back names it like the oldest.
    copies.sort_by_key(|copy| {
        let written = fs::metadata(copy).and_then(|about| about.modified()).ok();
        (copy == fresh, written, copy.clone())
    });
    let surplus = copies.len().saturating_sub(KEPT);
    for old in &copies[..surplus] {
        // Whoever started a copy keeps a board in it under this very name; and what cannot be read is nobody's to remove.
        if !describe(old).await.is_ok_and(|known| known.is_copy) {
            continue;
        }
        if let Err(error) = fs::remove_file(old) {
            tracing::warn!(error = %error, "an old copy stays");
        }
        forget_sides(old);
    }
}
