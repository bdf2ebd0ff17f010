//! What the rest of the program holds: append, read, watch.

use std::cell::Cell;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, RwLock};

use jiff::Timestamp;
use sqlx::SqlitePool;
use tokio::sync::{mpsc, oneshot, watch};

use super::chain::Chain;
use super::error::JournalError;
use super::kept::Kept;
use super::log;
use super::sessions::StoredSession;
use super::storage::Storage;
use super::writer::{Command, Receipts};
use crate::clock::Clock;
use crate::incident::{Author, DeviceId, Incident, Report, Seq};

/// Where the journal stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// The last position.
    pub seq: Seq,
    /// Its chain value.
    pub chain: Chain,
    /// The chain value's first bits, to be read aloud.
    pub check: String,
}

/// An entry as stored, with its chain value.
#[derive(Clone, Debug)]
pub struct StoredEntry {
    /// Position.
    pub seq: Seq,
    /// The exact JSON the chain covers.
    pub body: String,
    /// The chain value after it.
    pub chain: Chain,
}

/// A cheap handle to the journal. The writer runs until every handle is gone.
#[derive(Clone, Debug)]
pub struct Journal {
    pub(super) commands: mpsc::Sender<Command>,
    /// A std lock, because it is held only for folding or rendering and never across an await.
    pub(super) incident: Arc<RwLock<Incident>>,
    pub(super) head: watch::Receiver<Head>,
    pub(super) storage: watch::Receiver<Storage>,
    /// Whether another machine's board is only followed.
    pub(super) following: Arc<AtomicBool>,
    /// Whether nothing is taken in any more, because another file takes this one's place.
    pub(super) closed: Arc<AtomicBool>,
    pub(super) readers: SqlitePool,
    pub(super) clock: Clock,
}

impl Journal {
    /// Takes facts in; resolves once they are on disk. One result per fact, in order.
    ///
    /// # Errors
    /// When nothing was recorded: the queue is full, the disk refused, or the program is ending.
    pub async fn append(
        &self,
        reports: Vec<Report>,
        author: Author,
    ) -> Result<Receipts, JournalError> {
        if self.is_following() {
            return Err(JournalError::Following);
        }
        if self.closed.load(Ordering::SeqCst) {
            return Err(JournalError::Stopped);
        }
        let (answer, receipts) = oneshot::channel();
        self.send(Command::Append {
            reports,
            author,
            answer,
        })?;
        receipts.await.map_err(|_| JournalError::Stopped)?
    }

    /// Looks at the state. Keep it short: the writer waits while it runs.
    ///
    /// Never look again inside a look: while the writer waits for the first, the second waits for the writer, and the
    /// whole board stands still. Tests and debug builds panic instead.
    pub fn read<T>(&self, look: impl FnOnce(&Incident) -> T) -> T {
        let _alone = Look::begin(&self.incident);
        look(
            &self
                .incident
                .read()
                .expect("OK because no holder of this lock panics"),
        )
    }

    /// Where the journal stands now.
    pub fn head(&self) -> Head {
        self.head.borrow().clone()
    }

    /// A bell that rings with every commit.
    pub fn watch(&self) -> watch::Receiver<Head> {
        self.head.clone()
    }

    /// How the disk stands.
    pub fn storage(&self) -> Storage {
        *self.storage.borrow()
    }

    /// Rings when the disk stands otherwise.
    pub fn watch_storage(&self) -> watch::Receiver<Storage> {
        self.storage.clone()
    }

    /// Board time.
    pub fn now(&self) -> Timestamp {
        self.clock.now()
    }

    /// The board's clock.
    pub const fn clock(&self) -> &Clock {
        &self.clock
    }

    /// Stored entries after a position, oldest first, at most `limit`.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn after(&self, seq: Seq, limit: u32) -> Result<Vec<StoredEntry>, JournalError> {
        let mut connection = self.readers.acquire().await?;
        let rows = log::after(&mut connection, seq.0, limit).await?;
        Ok(rows
            .into_iter()
            .map(|row| StoredEntry {
                seq: Seq(row.seq.unsigned_abs()),
                body: row.body,
                chain: row.chain,
            })
            .collect())
    }

    /// Takes over entries that another machine of this board kept, byte for byte; gives the last position then.
    ///
    /// # Errors
    /// When they do not go on from the very chain here, or could not be stored.
    pub async fn adopt(&self, entries: Vec<StoredEntry>) -> Result<Seq, JournalError> {
        let (answer, done) = oneshot::channel();
        self.send(Command::Adopt { entries, answer })?;
        done.await.map_err(|_| JournalError::Stopped)?
    }

    /// Whether another machine's board is only followed, so that nothing is reported here.
    pub fn is_following(&self) -> bool {
        self.following.load(Ordering::SeqCst)
    }

    /// Begins or ends following.
    pub fn set_following(&self, following: bool) {
        self.following.store(following, Ordering::SeqCst);
    }

    /// Takes nothing in from here on, or again. When this returns, whatever was still let in has its answer and is in the
    /// state: what is read after it does not change.
    ///
    /// # Errors
    /// When the disk fails.
    pub async fn close(&self, closed: bool) -> Result<(), JournalError> {
        self.closed.store(closed, Ordering::SeqCst);
        // Through the queue of the appends, behind the last of them.
        let done = self.save_setting("last_try", String::new()).await;
        if done.is_err() && closed {
            // Not closed after all: whoever asked is told so, and reports are taken in as before. Opening never fails into
            // being closed: a board that cannot store says so by itself.
            self.closed.store(false, Ordering::SeqCst);
        }
        done
    }

    /// A standby becomes the board: the entry that says so and the end of following, both or neither.
    ///
    /// # Errors
    /// When it could not be stored; it follows on then.
    pub async fn go_on(&self, report: Report, author: Author) -> Result<(), JournalError> {
        let (answer, receipts) = oneshot::channel();
        self.send(Command::GoOn {
            report: Box::new(report),
            author,
            answer,
        })?;
        receipts.await.map_err(|_| JournalError::Stopped)??;
        self.set_following(false);
        Ok(())
    }

    /// The chain value of a position.
    ///
    /// # Errors
    /// When the database refuses, or there is no such entry.
    pub async fn chain_at(&self, seq: Seq) -> Result<Chain, JournalError> {
        if seq == Seq::START {
            return Ok(Chain::START);
        }
        let entries = self.after(Seq(seq.0 - 1), 1).await?;
        let found = entries.into_iter().find(|entry| entry.seq == seq);
        found.map(|entry| entry.chain).ok_or(JournalError::Damaged {
            seq: seq.0,
            what: "it is missing".to_owned(),
        })
    }

    /// Keeps a session across restarts, and ends the device's earlier ones in the same stroke.
    ///
    /// # Errors
    /// When it could not be stored.
    pub async fn save_session(&self, session: StoredSession) -> Result<(), JournalError> {
        self.keep(Kept::Session(session)).await
    }

    /// Keeps a session beside the device's others, or with what is new of it.
    ///
    /// # Errors
    /// When it could not be stored.
    pub async fn change_session(&self, session: StoredSession) -> Result<(), JournalError> {
        self.keep(Kept::Change(session)).await
    }

    /// Ends one stored session.
    ///
    /// # Errors
    /// When it could not be stored.
    pub async fn end_session(
        &self,
        token_hash: [u8; 32],
        at: Timestamp,
    ) -> Result<(), JournalError> {
        let at = at.to_string();
        self.keep(Kept::End { token_hash, at }).await
    }

    /// Keeps exactly these sessions: a standby's copy of the board's.
    ///
    /// # Errors
    /// When they could not be stored.
    pub async fn save_sessions(&self, sessions: Vec<StoredSession>) -> Result<(), JournalError> {
        self.keep(Kept::Sessions(sessions)).await
    }

    /// Ends every stored session of a device.
    ///
    /// # Errors
    /// When it could not be stored.
    pub async fn revoke_device(&self, device: DeviceId, at: Timestamp) -> Result<(), JournalError> {
        let (device, at) = (device.to_string(), at.to_string());
        self.keep(Kept::Revocation { device, at }).await
    }

    /// Keeps a setting, in place of an earlier value.
    ///
    /// # Errors
    /// When it could not be stored.
    pub async fn save_setting(
        &self,
        name: &'static str,
        value: String,
    ) -> Result<(), JournalError> {
        self.keep(Kept::Setting { name, value }).await
    }

    async fn keep(&self, what: Kept) -> Result<(), JournalError> {
        let (answer, done) = oneshot::channel();
        self.send(Command::Keep { what, answer })?;
        done.await.map_err(|_| JournalError::Stopped)?
    }

    /// Gives the reading connections back, so that the writer's is the last one and leaves a tidy file.
    pub async fn close_readers(&self) {
        self.readers.close().await;
    }

    fn send(&self, command: Command) -> Result<(), JournalError> {
        self.commands
            .try_send(command)
            .map_err(|error| match error {
                mpsc::error::TrySendError::Full(_) => JournalError::Busy,
                mpsc::error::TrySendError::Closed(_) => JournalError::Stopped,
            })
    }
}

thread_local! {
    /// The state that this thread looks at just now: its address, nought when it looks at none.
    static LOOKED_AT: Cell<usize> = const { Cell::new(0) };
}

/// One look at the state, to find a second one inside it.
struct Look {
    before: usize,
}

impl Look {
    fn begin(state: &Arc<RwLock<Incident>>) -> Self {
        let address = Arc::as_ptr(state).addr();
        let before = LOOKED_AT.replace(address);
        debug_assert_ne!(before, address, "a look at the state inside another");
        Self { before }
    }
}

impl Drop for Look {
    fn drop(&mut self) {
        LOOKED_AT.set(self.before);
    }
}
