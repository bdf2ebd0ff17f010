//! What an incident's file is about, without taking it into use.

use std::path::Path;

use sqlx::{ConnectOptions, Connection, Row, SqliteConnection};

use super::error::JournalError;
use super::{log, open, settings};
use crate::incident::{Entry, Fact};

/// The setting that says whose copy a file is; empty once this machine took over.
pub const FOLLOWS: &str = "follows";

/// The setting that marks a copy made of a board while it ran; empty once a board went on from it.
pub const COPIED: &str = "copied";

/// No copy of another machine's board any more, neither a standby's nor one from a stick.
pub(super) async fn make_own(connection: &mut SqliteConnection) -> Result<(), sqlx::Error> {
    settings::write(connection, FOLLOWS, "").await?;
    settings::write(connection, COPIED, "").await
}

/// An incident at rest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Described {
    /// What it was called when it was opened.
    pub name: String,
    /// When it was opened.
    pub opened_at: String,
    /// How many entries it has.
    pub entries: u64,
    /// Its first entry as stored, by which a copy is known.
    pub first_entry: String,
    /// The board it is a standby's copy of, where it is one.
    pub follows: Option<String>,
    /// Whether it is a copy made of a board while it ran, from which no board went on.
    pub is_copy: bool,
}

/// Reads what a file is about.
///
/// # Errors
/// When it is not an incident's file or cannot be read.
pub async fn describe(file: &Path) -> Result<Described, JournalError> {
    let mut connection = open::options(file).read_only(true).connect().await?;
    let damaged = |what: &str| JournalError::Damaged {
        seq: 1,
        what: what.to_owned(),
    };
    let first = log::after(&mut connection, 0, 1)
        .await?
        .pop()
        .ok_or_else(|| damaged("it has no entries"))?;
    let entry: Entry =
        serde_json::from_str(&first.body).map_err(|error| damaged(&error.to_string()))?;
    let Fact::IncidentOpened(opened) = &entry.fact else {
        return Err(damaged("it does not begin with an incident"));
    };
    let count: i64 = sqlx::query("select count(*) from entry")
        .fetch_one(&mut connection)
        .await?
        .try_get(0)?;
    let described = Described {
        name: opened.name.to_string(),
        opened_at: entry.happened_at.to_string(),
        entries: count.unsigned_abs(),
        follows: settings::read(&mut connection, FOLLOWS)
            .await?
            .filter(|source| !source.is_empty()),
        is_copy: settings::read(&mut connection, COPIED)
            .await?
            .is_some_and(|mark| !mark.is_empty()),
        first_entry: first.body,
    };
    connection.close().await?;
    Ok(described)
}
