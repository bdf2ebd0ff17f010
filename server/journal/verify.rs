//! Proof that a journal is whole: the chain, the positions, and the state tables.

use std::fmt;
use std::path::Path;

use sqlx::sqlite::SqliteConnection;
use sqlx::{ConnectOptions, Row};

use super::chain::{Chain, check_words};
use super::error::JournalError;
use super::log::{self, LogRow};
use super::{open, tables};
use crate::incident::{Entry, Incident, Seq};

/// How many entries are read at a time.
const PAGE: u32 = 1000;

/// Something that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Finding {
    /// The database file itself is damaged.
    Database(String),
    /// The journal is damaged from here on.
    Journal {
        /// Where.
        seq: u64,
        /// In which way.
        what: String,
    },
    /// A state table does not equal what the entries add up to.
    Table(&'static str),
}

/// What a verification found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// The last position that checks out.
    pub head: Seq,
    /// Its chain value in short, to compare with what was printed or read aloud.
    pub check: String,
    /// What is wrong; nothing when whole.
    pub findings: Vec<Finding>,
}

impl Verdict {
    /// Whether nothing is wrong.
    pub fn is_whole(&self) -> bool {
        self.findings.is_empty()
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Database(what) => write!(f, "DATABASE DAMAGED: {what}"),
            Self::Journal { seq, what } => write!(f, "CHANGED at entry {seq}: {what}"),
            Self::Table(name) => write!(f, "STATE TABLE {name} does not equal the journal"),
        }
    }
}

/// Checks a board's file without changing it.
///
/// # Errors
/// When the file cannot be opened or read at all.
pub async fn verify(file: &Path) -> Result<Verdict, JournalError> {
    let mut connection = open::options(file).read_only(true).connect().await?;
    // One moment for all of it: the board may be running, and a commit between reading the entries and reading the
    // tables must not look like damage.
    sqlx::query("begin").execute(&mut connection).await?;
    let mut findings = Vec::new();
    let integrity: String = sqlx::query("pragma integrity_check")
        .fetch_one(&mut connection)
        .await?
        .try_get(0)?;
    if integrity != "ok" {
        findings.push(Finding::Database(integrity));
    }
    let mut reader = Reader::default();
    let damage = loop {
        match reader.page(&mut connection).await {
            Ok(0) => break None,
            Ok(_) => {}
            Err(JournalError::Damaged { seq, what }) => break Some(Finding::Journal { seq, what }),
            Err(other) => return Err(other),
        }
    };
    let whole = damage.is_none();
    findings.extend(damage);
    let chain = reader.chain;
    let incident = Incident::replay(reader.entries);
    if whole {
        let differing = tables::differences(&mut connection, &incident).await?;
        findings.extend(differing.into_iter().map(Finding::Table));
    }
    Ok(Verdict {
        head: incident.head(),
        check: check_words(chain),
        findings,
    })
}

/// Reads every entry, checking the chain on the way.
pub(super) async fn read_chained(
    connection: &mut SqliteConnection,
) -> Result<(Vec<Entry>, Chain), JournalError> {
    let mut reader = Reader::default();
    while reader.page(connection).await? > 0 {}
    Ok((reader.entries, reader.chain))
}

/// The chain over this text holds, so it is as it was written: by whom?
fn unread(error: &serde_json::Error) -> String {
    let said = error.to_string();
    if said.contains("unknown variant") || said.contains("unknown field") {
        format!("this program does not know what it says; a newer holdfast wrote it ({said})")
    } else {
        said
    }
}

pub(super) struct Reader {
    pub(super) entries: Vec<Entry>,
    pub(super) chain: Chain,
}

impl Default for Reader {
    fn default() -> Self {
        Self {
            entries: Vec::new(),
            chain: Chain::START,
        }
    }
}

impl Reader {
    pub(super) async fn page(
        &mut self,
        connection: &mut SqliteConnection,
    ) -> Result<usize, JournalError> {
        let rows = log::after(connection, self.entries.len() as u64, PAGE).await?;
        let count = rows.len();
        for row in rows {
            self.take(&row)?;
        }
        Ok(count)
    }

    fn take(&mut self, row: &LogRow) -> Result<(), JournalError> {
        let expected = self.entries.len() as u64 + 1;
        let damaged = |what: String| JournalError::Damaged {
            seq: expected,
            what,
        };
        if row.seq.unsigned_abs() != expected {
            return Err(damaged(format!("entry {expected} is missing")));
        }
        let chain = self.chain.then(row.body.as_bytes());
        if chain != row.chain {
            return Err(damaged("its text is not what was written".to_owned()));
        }
        let entry: Entry =
            serde_json::from_str(&row.body).map_err(|error| damaged(unread(&error)))?;
        if entry.seq.0 != expected || entry.id.to_string() != row.id {
            return Err(damaged(
                "its position or id does not match its text".to_owned(),
            ));
        }
        self.chain = chain;
        self.entries.push(entry);
        Ok(())
    }
}
