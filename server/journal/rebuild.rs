//! A board built up anew from the copy on a device.
//!
//! Owns the file while it grows. Promises: each entry is verified by its stored bytes before it is written; a copy
//! that breaks off leaves nothing that could be taken for an incident; two devices never build one board between them; the
//! rebuilt board begins an epoch of its own, and who was in on the lost one is in on it, as who they were.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use tokio::sync::{Mutex, MutexGuard};
use tokio::task::JoinHandle;
use uuid::Uuid;

use super::copies::on_disk;
use super::error::JournalError;
use super::files::DataFolder;
use super::handle::{Journal, StoredEntry};
use super::open::open;
use super::sessions::StoredSession;
use crate::clock::{Clock, fresh_id};
use crate::incident::{Author, DeviceId, Report, Seq};

/// What is added to a file's name until it is whole.
const UNFINISHED: &str = ".unfinished";

/// How long nobody else may begin after the last step: a device that went out of range must not hold the place for ever.
const PATIENCE: Duration = Duration::from_secs(30);

/// Why a step of rebuilding was not taken.
#[derive(Debug, thiserror::Error)]
pub enum RebuildError {
    /// Another device is at it.
    #[error("another device is rebuilding this board")]
    Occupied,
    /// The steps before this one are not here: another device began since, or the program was started again.
    #[error("what this copy began is not here any more")]
    Gone,
    /// The copy did not arrive up to where its sender says it ends.
    #[error("the copy ends at entry {sent}, and {here} are here")]
    Incomplete {
        /// Its last position.
        sent: Seq,
        /// The last position here.
        here: Seq,
    },
    /// An entry, or the file.
    #[error(transparent)]
    Journal(#[from] JournalError),
}

/// How far rebuilding has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Site {
    /// By which the further steps are told from those of another device.
    pub id: Uuid,
    /// The last position there is.
    pub head: Seq,
}

/// At most one board under construction.
#[derive(Debug)]
pub struct Rebuild {
    folder: Arc<DataFolder>,
    clock: Clock,
    under_way: Mutex<Option<UnderWay>>,
    ending: Mutex<()>,
}

#[derive(Debug)]
struct UnderWay {
    id: Uuid,
    by: DeviceId,
    touched: Instant,
    people: Vec<StoredSession>,
    journal: Journal,
    writer: JoinHandle<Result<(), JournalError>>,
    file: PathBuf,
}

impl Rebuild {
    /// Boards will be built in this folder.
    pub fn new(folder: Arc<DataFolder>, clock: Clock) -> Self {
        Self {
            folder,
            clock,
            under_way: Mutex::new(None),
            ending: Mutex::new(()),
        }
    }

    /// Held by whoever closes the board for the end of a rebuilding, until it is known what comes of it: one at a time.
    pub async fn ending(&self) -> MutexGuard<'_, ()> {
        self.ending.lock().await
    }

    /// Takes the next entries of a copy. Without a site it begins anew, where nobody else is at it.
    ///
    /// # Errors
    /// When another device is at it, or an entry is not what the chain says, or could not be stored.
    pub async fn take(
        &self,
        site: Option<Uuid>,
        by: DeviceId,
        entries: Vec<StoredEntry>,
    ) -> Result<Site, RebuildError> {
        let mut under_way = self.under_way.lock().await;
        if site.is_none() {
            let is_others = |site: &UnderWay| site.by != by && site.touched.elapsed() < PATIENCE;
            if under_way.as_ref().is_some_and(is_others) {
                return Err(RebuildError::Occupied);
            }
            give_up(under_way.take()).await;
            *under_way = Some(self.begin(by).await?);
        }
        let site = the_same(&mut under_way, site)?;
        let head = site.journal.adopt(entries).await?;
        Ok(Site { id: site.id, head })
    }

    /// Takes who was in on the lost board: they go on as who they were.
    ///
    /// # Errors
    /// When the steps before are not here.
    pub async fn take_people(
        &self,
        site: Uuid,
        people: Vec<StoredSession>,
    ) -> Result<(), RebuildError> {
        let mut under_way = self.under_way.lock().await;
        let site = the_same(&mut under_way, Some(site))?;
        site.people.extend(people);
        Ok(())
    }

    /// Ends the copying at the position where its sender says it ends: appends the entry that says so, keeps who was in and
    /// what lets people in, and gives the file, ready to be served.
    ///
    /// # Errors
    /// When the steps before are not here, not all of them came, or something could not be stored.
    pub async fn finish(
        &self,
        site: Uuid,
        ends: Seq,
        codes: Vec<(&'static str, String)>,
        (report, author): (Report, Author),
    ) -> Result<PathBuf, RebuildError> {
        let mut under_way = self.under_way.lock().await;
        let here = the_same(&mut under_way, Some(site))?.journal.head().seq;
        if here != ends || here == Seq::START {
            return Err(RebuildError::Incomplete { sent: ends, here });
        }
        let Some(site) = under_way.take() else {
            return Err(RebuildError::Gone);
        };
        // The place is held until it is done: nobody begins another beside it.
        if let Err(error) = site.complete(codes, (report, author)).await {
            give_up(Some(site)).await;
            return Err(error.into());
        }
        let whole = site.close().await?;
        drop(under_way);
        Ok(whole)
    }

    async fn begin(&self, by: DeviceId) -> Result<UnderWay, JournalError> {
        let name = self.folder.new_file("restored", self.clock.now()).path;
        let file = PathBuf::from(format!("{}{UNFINISHED}", name.display()));
        drop(std::fs::remove_file(&file));
        // Preparing a file holds things that may not move between threads, so it has one to itself.
        let (at, clock) = (file.clone(), self.clock.clone());
        let here = tokio::runtime::Handle::current();
        let opening = tokio::task::spawn_blocking(move || here.block_on(open(&at, clock)));
        let opened = opening.await.map_err(|_| JournalError::Stopped)??;
        Ok(UnderWay {
            id: fresh_id(),
            by,
            touched: Instant::now(),
            people: Vec::new(),
            journal: opened.journal,
            writer: opened.writer,
            file,
        })
    }
}

impl UnderWay {
    /// The last entry, who was in, and what lets people in.
    async fn complete(
        &self,
        codes: Vec<(&'static str, String)>,
        (report, author): (Report, Author),
    ) -> Result<(), JournalError> {
        self.journal.append(vec![report], author).await?;
        if !self.people.is_empty() {
            self.journal.save_sessions(self.people.clone()).await?;
        }
        for (name, code) in codes {
            self.journal.save_setting(name, code).await?;
        }
        Ok(())
    }

    /// Gives the file its name, once it is whole on disk; else there is none.
    async fn close(self) -> Result<PathBuf, JournalError> {
        self.journal.close_readers().await;
        drop(self.journal);
        // The file is whole once the writer has closed it.
        if let Err(error) = self.writer.await.map_err(|_| JournalError::Stopped)? {
            remove(&self.file);
            return Err(error);
        }
        let whole = PathBuf::from(self.file.to_string_lossy().trim_end_matches(UNFINISHED));
        if let Err(error) = std::fs::rename(&self.file, &whole) {
            remove(&self.file);
            return Err(sqlx::Error::Io(error).into());
        }
        // Before the board it is built beside is set aside. Where that is not sure the next start must not find it.
        let folder = whole.parent().unwrap_or(&whole);
        on_disk(folder).inspect_err(|_| remove(&whole))?;
        Ok(whole)
    }
}

/// The site these steps belong to.
fn the_same(
    under_way: &mut Option<UnderWay>,
    wanted: Option<Uuid>,
) -> Result<&mut UnderWay, RebuildError> {
    let site = under_way
        .as_mut()
        .filter(|site| wanted.is_none_or(|id| id == site.id))
        .ok_or(RebuildError::Gone)?;
    site.touched = Instant::now();
    Ok(site)
}

/// Leaves nothing of a copy that broke off.
async fn give_up(site: Option<UnderWay>) {
    let Some(UnderWay {
        journal,
        writer,
        file,
        ..
    }) = site
    else {
        return;
    };
    journal.close_readers().await;
    drop(journal);
    drop(writer.await);
    remove(&file);
}

fn remove(file: &Path) {
    if let Err(error) = std::fs::remove_file(file) {
        tracing::warn!(error = %error, "a broken-off copy stays beside the incidents");
    }
}
