//! Opening a board: settings that durability needs, layout, replay, and a check of what is there.

use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, RwLock};
use std::time::Duration;

use sqlx::sqlite::{
    SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{ConnectOptions, Row};
use tokio::sync::{mpsc, watch};
use tokio::task::JoinHandle;

use super::chain::check_words;
use super::error::JournalError;
use super::handle::{Head, Journal};
use super::sessions::{self, StoredSession};
use super::storage::{Medium, Storage};
use super::verify::read_chained;
use super::writer::Writer;
use super::{files, settings, tables};
use crate::clock::Clock;
use crate::incident::{Incident, Seq};

/// How many requests may wait for the writer before phones are asked to come back.
const QUEUE: usize = 1024;

/// An opened board.
#[derive(Debug)]
pub struct Opened {
    /// The handle.
    pub journal: Journal,
    /// The writer task. If it ends while handles are left, the program must end.
    pub writer: JoinHandle<Result<(), JournalError>>,
    /// Sessions to take up again.
    pub sessions: Vec<StoredSession>,
    /// The join codes kept from before, by the name of what they open.
    pub settings: Settings,
}

/// Small settings of the board that must outlive a restart.
#[derive(Debug)]
pub struct Settings(SqliteConnection);

impl Settings {
    /// The value kept under a name, made and kept when there is none.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn keep(
        &mut self,
        name: &str,
        make: impl FnOnce() -> String,
    ) -> Result<String, JournalError> {
        if let Some(kept) = settings::read(&mut self.0, name).await? {
            return Ok(kept);
        }
        let fresh = make();
        settings::write(&mut self.0, name, &fresh).await?;
        Ok(fresh)
    }

    /// The value kept under a name.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn get(&mut self, name: &str) -> Result<Option<String>, JournalError> {
        Ok(settings::read(&mut self.0, name).await?)
    }

    /// Keeps a value, in place of an earlier one.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn set(&mut self, name: &str, value: &str) -> Result<(), JournalError> {
        Ok(settings::write(&mut self.0, name, value).await?)
    }
}

/// Opens (or makes) the board in this file and starts its writer.
///
/// # Errors
/// When the file cannot be opened, its settings do not hold, or the journal in it is damaged.
pub async fn open(file: &Path, clock: Clock) -> Result<Opened, JournalError> {
    files::make_private(file).map_err(sqlx::Error::Io)?;
    let wanted = options(file);
    let mut connection = wanted.clone().create_if_missing(true).connect().await?;
    assert_durable(&mut connection).await?;
    upgrade(&mut connection, file).await?;
    let (entries, chain) = read_chained(&mut connection).await?;
    let incident = Incident::replay(entries);
    mend_tables(&mut connection, &incident).await?;
    let sessions = sessions::read_all(&mut connection).await?;
    let codes = Settings(wanted.clone().connect().await?);
    let readers = SqlitePoolOptions::new()
        .max_connections(2)
        .acquire_timeout(Duration::from_secs(5))
        .connect_with(wanted.read_only(true))
        .await?;
    let head = Head {
        seq: incident.head(),
        chain,
        check: check_words(chain),
    };
    let (ring, bell) = watch::channel(head);
    let (tell, storage) = watch::channel(Storage::Well);
    let (commands, queue) = mpsc::channel(QUEUE);
    let incident = Arc::new(RwLock::new(incident));
    let closed: Arc<AtomicBool> = Arc::default();
    let writer = Writer {
        connection,
        chain,
        incident: Arc::clone(&incident),
        head: ring,
        clock: clock.clone(),
        medium: Medium::of(file),
        storage: tell,
        closed: Arc::clone(&closed),
    };
    let writer = tokio::spawn(writer.run(queue));
    let journal = Journal {
        commands,
        incident,
        head: bell,
        storage,
        following: Arc::default(),
        closed,
        readers,
        clock,
    };
    Ok(Opened {
        journal,
        writer,
        sessions,
        settings: codes,
    })
}

pub(super) fn options(file: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(file)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(5))
        .pragma("wal_autocheckpoint", "1000")
        .pragma("journal_size_limit", "16777216")
        .pragma("trusted_schema", "OFF")
        // Power-cut safety on macOS needs its own flush; a no-op elsewhere.
        .pragma("fullfsync", "ON")
        .pragma("checkpoint_fullfsync", "ON")
        .disable_statement_logging()
}

/// Whether an older program laid this record out.
pub(super) async fn is_of_older_layout(
    connection: &mut SqliteConnection,
) -> Result<bool, sqlx::Error> {
    let newest = sqlx::migrate!("./migrations")
        .iter()
        .map(|one| one.version)
        .max();
    let there: Option<i64> = sqlx::query("select max(version) from _sqlx_migrations")
        .fetch_one(connection)
        .await?
        .try_get(0)?;
    Ok(there < newest)
}

/// Brings the file to this program's layout; before it changes an older one it sets a copy aside.
async fn upgrade(connection: &mut SqliteConnection, file: &Path) -> Result<(), JournalError> {
    let migrator = sqlx::migrate!("./migrations");
    let here = migrator.iter().map(|one| one.version).max().unwrap_or(0);
    let is_made: Option<i64> =
        sqlx::query("select 1 from sqlite_schema where name = '_sqlx_migrations'")
            .fetch_optional(&mut *connection)
            .await?
            .map(|row| row.try_get(0))
            .transpose()?;
    if is_made.is_some() {
        let there: i64 = sqlx::query("select coalesce(max(version), 0) from _sqlx_migrations")
            .fetch_one(&mut *connection)
            .await?
            .try_get(0)?;
        if there > here {
            return Err(JournalError::Newer { there, here });
        }
        if (1..here).contains(&there) {
            set_aside(connection, file, there).await?;
        }
    }
    Ok(migrator.run(&mut *connection).await?)
}

/// As it was before the upgrade, beside it. Kept until the record itself is removed.
async fn set_aside(
    connection: &mut SqliteConnection,
    file: &Path,
    layout: i64,
) -> Result<(), JournalError> {
    let aside = file.with_extension(format!("before-layout-{}", layout + 1));
    if aside.exists() {
        return Ok(());
    }
    // Whole or not there: one that a crash left half made must not count.
    let half = file.with_extension("unfinished");
    match std::fs::remove_file(&half) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
            return Err(sqlx::Error::Io(error).into());
        }
        _ => {}
    }
    files::make_private(&half).map_err(sqlx::Error::Io)?;
    sqlx::query("vacuum into ?")
        .bind(half.to_string_lossy().into_owned())
        .execute(&mut *connection)
        .await?;
    std::fs::rename(&half, &aside).map_err(sqlx::Error::Io)?;
    Ok(())
}

/// Reads the settings back: the promise rests on them, so it is not enough to have asked.
async fn assert_durable(connection: &mut SqliteConnection) -> Result<(), JournalError> {
    let mode: String = sqlx::query("pragma journal_mode")
        .fetch_one(&mut *connection)
        .await?
        .try_get(0)?;
    if mode != "wal" {
        return Err(JournalError::Setting("journal_mode = wal"));
    }
    let synchronous: i64 = sqlx::query("pragma synchronous")
        .fetch_one(&mut *connection)
        .await?
        .try_get(0)?;
    if synchronous != 2 {
        return Err(JournalError::Setting("synchronous = full"));
    }
    Ok(())
}

/// The tables are worked out from the entries, so differing ones are simply written anew.
async fn mend_tables(
    connection: &mut SqliteConnection,
    incident: &Incident,
) -> Result<(), JournalError> {
    let differing = tables::differences(connection, incident).await?;
    if differing.is_empty() {
        return Ok(());
    }
    // Of a board that begins, the tables of what it was brought with are simply filled.
    if incident.head() > Seq::START {
        tracing::warn!(tables = ?differing, "state tables differed from the journal and were written anew");
    }
    let mut transaction = sqlx::Connection::begin_with(connection, "BEGIN IMMEDIATE").await?;
    tables::rebuild(&mut transaction, incident).await?;
    transaction.commit().await?;
    Ok(())
}
