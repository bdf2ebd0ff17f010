//! The one task that writes.
//!
//! Owns the writing connection. Its loop: wait for one request, then take whatever else has queued (while one
//! commit runs, the next group forms by itself); validate each fact against the state so far; append all of
//! them, and the state rows they change, in one transaction; fold them into memory; ring the bell; only then
//! answer. If the commit fails, nothing changed and everybody is told.

use std::sync::{Arc, RwLock};

use sqlx::{Connection, SqliteConnection};
use tokio::sync::{mpsc, oneshot, watch};

use super::chain::{Chain, check_words};
use super::error::JournalError;
use super::handle::Head;
use super::log::{self, LogRow};
use super::moving;
use super::sessions::{self, StoredSession};
use super::tables::{self, CASUALTY, EVAC_REQUEST, PERSON, STOCK, WOUND};
use crate::clock::Clock;
use crate::incident::{Author, Casualty, Changes, Incident, Receipt, Refusal, Report};

/// How many requests one commit may hold; more wait for the next.
const GROUP: usize = 256;

pub(super) type Receipts = Vec<Result<Receipt, Refusal>>;

/// A request to the writer, with where its answer goes.
pub(super) enum Command {
    Append {
        reports: Vec<Report>,
        author: Author,
        answer: oneshot::Sender<Result<Receipts, JournalError>>,
    },
    SaveSession {
        session: StoredSession,
        answer: oneshot::Sender<Result<(), JournalError>>,
    },
    RevokeDevice {
        device: String,
        at: String,
        answer: oneshot::Sender<Result<(), JournalError>>,
    },
}

pub(super) struct Writer {
    pub(super) connection: SqliteConnection,
    pub(super) chain: Chain,
    pub(super) incident: Arc<RwLock<Incident>>,
    pub(super) head: watch::Sender<Head>,
    pub(super) clock: Clock,
}

impl Writer {
    /// Runs until every handle is gone.
    pub(super) async fn run(
        mut self,
        mut commands: mpsc::Receiver<Command>,
    ) -> Result<(), JournalError> {
        let mut group = Vec::with_capacity(GROUP);
        while commands.recv_many(&mut group, GROUP).await > 0 {
            self.serve(&mut group).await;
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
                Command::Append {
                    reports,
                    author,
                    answer,
                } => appends.push((reports, author, answer)),
                Command::SaveSession { session, answer } => {
                    reply(
                        answer,
                        sessions::write(&mut self.connection, &session)
                            .await
                            .map_err(JournalError::from),
                    );
                }
                Command::RevokeDevice { device, at, answer } => {
                    let done = sessions::revoke(&mut self.connection, &device, &at).await;
                    reply(answer, done.map_err(JournalError::from));
                }
            }
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
                tracing::error!(error = %error, "a commit failed; nothing of it was acknowledged");
                let text = error.to_string();
                for to in answers {
                    reply(
                        to,
                        Err(JournalError::Storage(sqlx::Error::Protocol(text.clone()))),
                    );
                }
            }
        }
    }

    async fn append(
        &mut self,
        requests: Vec<(Vec<Report>, Author)>,
    ) -> Result<Vec<Receipts>, JournalError> {
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
            let chain = self.commit(&changes).await?;
            self.publish(changes, chain);
        }
        Ok(receipts)
    }

    async fn commit(&mut self, changes: &Changes) -> Result<Chain, JournalError> {
        let mut chain = self.chain;
        let rows: Vec<LogRow> = changes
            .entries
            .iter()
            .map(|entry| {
                let body =
                    serde_json::to_string(entry).expect("OK because an entry has only string keys");
                chain = chain.then(body.as_bytes());
                let seq = i64::try_from(entry.seq.0).unwrap_or(i64::MAX);
                LogRow {
                    seq,
                    id: entry.id.to_string(),
                    body,
                    chain,
                }
            })
            .collect();
        let mut transaction = self.connection.begin_with("BEGIN IMMEDIATE").await?;
        log::append(&mut transaction, &rows).await?;
        write_state(&mut transaction, changes).await?;
        transaction.commit().await?;
        Ok(chain)
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

async fn write_state(
    connection: &mut SqliteConnection,
    changes: &Changes,
) -> Result<(), sqlx::Error> {
    let people = changes
        .entries
        .iter()
        .filter_map(|entry| tables::person_row(entry))
        .collect();
    PERSON.put(connection, people).await?;
    let numbers: Vec<u32> = changes
        .casualties
        .iter()
        .map(|change| change.number)
        .collect();
    if !numbers.is_empty() {
        write_casualties(connection, &numbers, changes).await?;
    }
    if let Some(evacuation) = &changes.evacuation {
        moving::write(connection, evacuation).await?;
    }
    if changes.stock_changed {
        let rows = changes
            .stock
            .iter()
            .map(|(item, level)| tables::stock_row(*item, level))
            .collect();
        STOCK.clear(connection).await?;
        STOCK.put(connection, rows).await?;
    }
    Ok(())
}

async fn write_casualties(
    connection: &mut SqliteConnection,
    numbers: &[u32],
    changes: &Changes,
) -> Result<(), sqlx::Error> {
    let here: Vec<&Casualty> = changes
        .casualties
        .iter()
        .filter_map(|change| change.after.as_ref())
        .collect();
    let casualties = here
        .iter()
        .map(|casualty| tables::casualty_row(casualty))
        .collect();
    let wounds = here
        .iter()
        .flat_map(|casualty| tables::wound_rows(casualty))
        .collect();
    let requests = here
        .iter()
        .filter_map(|casualty| tables::evac_row(casualty))
        .collect();
    for (table, key, rows) in [
        (&CASUALTY, "number", casualties),
        (&WOUND, "casualty_number", wounds),
        (&EVAC_REQUEST, "casualty_number", requests),
    ] {
        table.remove(connection, key, numbers).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}

/// Answers; somebody who no longer listens will ask again with the same ids.
fn reply<T>(to: oneshot::Sender<T>, answer: T) {
    drop(to.send(answer));
}
