//! The one task that writes.
//!
//! Owns the writing connection. Its loop: wait for one request, then take whatever else has queued (while one
//! commit runs, the next group forms by itself); validate each fact against the state so far; append all of
//! them, and the state rows they change, in one transaction; fold them into memory; ring the bell; only then
//! answer. If the commit fails, nothing is acknowledged and everybody is told; when it is not known what reached the
//! disk, the writer stores nothing more until the board is started, and so verified, anew.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, RwLock};
use std::time::Duration;

use sqlx::{Connection, SqliteConnection};
use tokio::sync::{mpsc, oneshot, watch};
use tokio::time::{MissedTickBehavior, interval};

use super::adopt::checked;
use super::chain::{Chain, check_words};
use super::error::JournalError;
use super::handle::{Head, StoredEntry};
use super::kept::Kept;
use super::log::{self, LogRow};
use super::storage::{Medium, Storage, Trouble};
use super::{describe, settings, state_rows, transaction};
use crate::clock::Clock;
use crate::incident::{Author, Changes, Incident, Receipt, Refusal, Report, Seq};

/// How many requests one commit may hold; more wait for the next.
const GROUP: usize = 256;
/// How often the disk is looked at; also how soon writing goes on by itself.
const LOOK: Duration = Duration::from_secs(2);

pub(super) type Receipts = Vec<Result<Receipt, Refusal>>;

/// A request to the writer, with where its answer goes.
pub(super) enum Command {
    Append {
        reports: Vec<Report>,
        author: Author,
        answer: oneshot::Sender<Result<Receipts, JournalError>>,
    },
    /// Entries another machine of this board has kept, in order, with the chain it has for them.
    Adopt {
        entries: Vec<StoredEntry>,
        answer: oneshot::Sender<Result<Seq, JournalError>>,
    },
    /// The entry by which a standby becomes the board.
    GoOn {
        report: Box<Report>,
        author: Author,
        answer: oneshot::Sender<Result<(), JournalError>>,
    },
    /// What is kept beside the record.
    Keep {
        what: Kept,
        answer: oneshot::Sender<Result<(), JournalError>>,
    },
}

pub(super) struct Writer {
    pub(super) connection: SqliteConnection,
    pub(super) chain: Chain,
    pub(super) incident: Arc<RwLock<Incident>>,
    pub(super) head: watch::Sender<Head>,
    pub(super) clock: Clock,
    pub(super) medium: Medium,
    pub(super) storage: watch::Sender<Storage>,
    pub(super) closed: Arc<AtomicBool>,
}

impl Writer {
    /// Runs until every handle is gone.
    pub(super) async fn run(
        mut self,
        mut commands: mpsc::Receiver<Command>,
    ) -> Result<(), JournalError> {
        let mut group = Vec::with_capacity(GROUP);
        let mut look = interval(LOOK);
        look.set_missed_tick_behavior(MissedTickBehavior::Delay);
        loop {
            tokio::select! {
                count = commands.recv_many(&mut group, GROUP) => match count {
                    0 => break,
                    _ => self.serve(&mut group).await,
                },
                _ = look.tick() => self.look().await,
            }
        }
        // People copy the file of a stopped board: it must hold everything without the log beside it.
        let settled = sqlx::query("pragma wal_checkpoint(truncate)")
            .execute(&mut self.connection)
            .await;
        if let Err(error) = settled {
            tracing::debug!(error = %error, "the write-ahead log stays beside the file");
        }
        self.connection.close().await.map_err(JournalError::from)
    }

    async fn serve(&mut self, group: &mut Vec<Command>) {
        let mut appends = Vec::new();
        for command in group.drain(..) {
            match command {
                // Let in just before it was closed: nothing is acknowledged into a file that is set aside.
                Command::Append { answer, .. } if self.closed.load(Ordering::SeqCst) => {
                    reply(answer, Err(JournalError::Stopped));
                }
                Command::Append {
                    reports,
                    author,
                    answer,
                } => appends.push((reports, author, answer)),
                Command::Adopt { entries, answer } => {
                    let done = self.adopt(entries).await;
                    reply(answer, done);
                }
                Command::GoOn {
                    report,
                    author,
                    answer,
                } => {
                    let done = self.go_on(*report, author).await;
                    reply(answer, done);
                }
                Command::Keep { what, answer } => {
                    let done = match self.refuses() {
                        Ok(()) => {
                            let done = what.write(&mut self.connection).await;
                            self.settle(done).await
                        }
                        Err(error) => Err(error),
                    };
                    reply(answer, done);
                }
            }
        }
        if appends.is_empty() {
            return;
        }
        let (requests, answers): (Vec<_>, Vec<_>) = appends
            .into_iter()
            .map(|(reports, author, answer)| ((reports, author), answer))
            .unzip();
        match self.append(requests).await {
            // Durable here: the transaction is committed with full sync.
            Ok(receipts) => answers
                .into_iter()
                .zip(receipts)
                .for_each(|(to, receipts)| reply(to, Ok(receipts))),
            Err(error) => {
                for to in answers {
                    reply(to, Err(again(&error)));
                }
            }
        }
    }

    /// Nothing more is stored once it is unknown what the disk holds.
    fn refuses(&self) -> Result<(), JournalError> {
        if *self.storage.borrow() == Storage::Failed {
            Err(JournalError::Unsound)
        } else {
            Ok(())
        }
    }

    /// Looks at the disk; while nothing could be written, tries whether it can be again.
    async fn look(&mut self) {
        let known = *self.storage.borrow();
        match known {
            Storage::Failed => {}
            Storage::Full | Storage::Held => {
                let tried = settings::write(&mut self.connection, "last_try", "").await;
                drop(self.settle(tried).await);
            }
            _ => self.tell(self.medium.look()),
        }
    }

    /// What a write that ended this way means: told to everybody, and to the asker.
    async fn settle<T>(&mut self, done: Result<T, sqlx::Error>) -> Result<T, JournalError> {
        let error = match done {
            Ok(value) => {
                if matches!(*self.storage.borrow(), Storage::Full | Storage::Held) {
                    self.tell(self.medium.look());
                }
                return Ok(value);
            }
            Err(error) => error,
        };
        let trouble = Trouble::of(&error);
        tracing::error!(error = %error, ?trouble, "a write failed; nothing of it was acknowledged");
        // Even of a harmless failure the file itself must say that it changed nothing.
        let unchanged = trouble != Trouble::Doubtful && self.is_as_remembered(trouble).await;
        let (state, answer) = match trouble {
            Trouble::Full if unchanged => (Storage::Full, JournalError::Full),
            Trouble::Held if unchanged => (Storage::Held, JournalError::Held),
            _ => (Storage::Failed, JournalError::Unsound),
        };
        self.tell(state);
        Err(answer)
    }

    async fn is_as_remembered(&mut self, trouble: Trouble) -> bool {
        let seq = self.head.borrow().seq.0;
        match log::last(&mut self.connection).await {
            Ok(last) => last == (seq, self.chain),
            // Whoever holds the file may keep readers out too; then nothing of ours can have been written.
            Err(error) => trouble == Trouble::Held && Trouble::of(&error) == Trouble::Held,
        }
    }

    fn tell(&self, state: Storage) {
        self.storage.send_if_modified(|known| {
            let news = *known != state;
            if news && state.words().is_some() {
                tracing::warn!(code = state.code(), "the disk");
            }
            *known = state;
            news
        });
    }

    async fn append(
        &mut self,
        requests: Vec<(Vec<Report>, Author)>,
    ) -> Result<Vec<Receipts>, JournalError> {
        self.refuses()?;
        let now = self.clock.now();
        let (receipts, changes) = {
            let incident = self
                .incident
                .read()
                .expect("OK because no holder of this lock panics");
            let mut draft = incident.draft();
            let receipts: Vec<Receipts> = requests
                .into_iter()
                .map(|(reports, author)| {
                    reports
                        .into_iter()
                        .map(|report| draft.admit(report, &author, now))
                        .collect()
                })
                .collect();
            (receipts, (!draft.is_empty()).then(|| draft.finish()))
        };
        if let Some(changes) = changes {
            let rows = rows_of(&changes, self.chain);
            self.store(rows, changes, false).await?;
        }
        Ok(receipts)
    }

    async fn go_on(&mut self, report: Report, author: Author) -> Result<(), JournalError> {
        self.refuses()?;
        let now = self.clock.now();
        let changes = {
            let incident = self
                .incident
                .read()
                .expect("OK because no holder of this lock panics");
            let mut draft = incident.draft();
            draft
                .admit(report, &author, now)
                .map_err(|refusal| JournalError::Damaged {
                    seq: incident.head().0,
                    what: refusal.to_string(),
                })?;
            draft.finish()
        };
        let rows = rows_of(&changes, self.chain);
        self.store(rows, changes, true).await
    }

    /// Takes entries in as another machine kept them: byte for byte, and only on top of the very chain here.
    async fn adopt(&mut self, entries: Vec<StoredEntry>) -> Result<Seq, JournalError> {
        self.refuses()?;
        let (rows, kept) = checked(entries, self.head.borrow().seq, self.chain)?;
        if rows.is_empty() {
            return Ok(self.head.borrow().seq);
        }
        let changes = {
            let incident = self
                .incident
                .read()
                .expect("OK because no holder of this lock panics");
            let mut draft = incident.draft();
            for entry in kept {
                draft.take_kept(entry);
            }
            draft.finish()
        };
        self.store(rows, changes, false).await?;
        Ok(self.head.borrow().seq)
    }

    async fn store(
        &mut self,
        rows: Vec<LogRow>,
        changes: Changes,
        goes_on: bool,
    ) -> Result<(), JournalError> {
        let mut done = self.commit(&rows, &changes, goes_on).await;
        let is_full = |error: &sqlx::Error| Trouble::of(error) == Trouble::Full;
        if done.as_ref().is_err_and(is_full) && self.medium.give_reserve() {
            tracing::warn!("the disk is full; the reserve was given back");
            done = self.commit(&rows, &changes, goes_on).await;
        }
        self.settle(done).await?;
        let chain = rows.last().map_or(self.chain, |row| row.chain);
        self.publish(changes, chain);
        Ok(())
    }

    async fn commit(
        &mut self,
        rows: &[LogRow],
        changes: &Changes,
        goes_on: bool,
    ) -> Result<(), sqlx::Error> {
        transaction::begin(&mut self.connection).await?;
        let mut written = state_rows::write(&mut self.connection, rows, changes).await;
        if written.is_ok() && goes_on {
            written = describe::make_own(&mut self.connection).await;
        }
        transaction::end(&mut self.connection, written).await
    }

    fn publish(&mut self, changes: Changes, chain: Chain) {
        self.chain = chain;
        let mut incident = self
            .incident
            .write()
            .expect("OK because no holder of this lock panics");
        incident.adopt(changes);
        // Before the lock is given back: whoever looks at the state finds the head that belongs to it, so that a
        // printed position and its check are of one moment.
        self.head.send_replace(Head {
            seq: incident.head(),
            chain,
            check: check_words(chain),
        });
    }
}

/// The rows of new entries, chained on.
fn rows_of(changes: &Changes, mut chain: Chain) -> Vec<LogRow> {
    changes
        .entries
        .iter()
        .map(|entry| {
            let body =
                serde_json::to_string(entry).expect("OK because an entry has only string keys");
            chain = chain.then(body.as_bytes());
            LogRow {
                seq: i64::try_from(entry.seq.0).unwrap_or(i64::MAX),
                id: entry.id.to_string(),
                body,
                chain,
            }
        })
        .collect()
}

/// The same answer for everybody whose facts were in the group.
fn again(error: &JournalError) -> JournalError {
    match error {
        JournalError::Full => JournalError::Full,
        JournalError::Held => JournalError::Held,
        _ => JournalError::Unsound,
    }
}

/// Answers; somebody who no longer listens will ask again with the same ids.
fn reply<T>(to: oneshot::Sender<T>, answer: T) {
    drop(to.send(answer));
}
