//! A board built up anew from the copy on a device.
//!
//! Owns the file while it grows. Promises: each entry is verified by its stored bytes before it is written; a copy
//! that breaks off leaves nothing that could be taken for an incident; the rebuilt board begins an epoch of its own.

use std::path::PathBuf;
use std::sync::Arc;

use tokio::sync::Mutex;
use tokio::task::JoinHandle;

use super::error::JournalError;
use super::files::DataFolder;
use super::handle::{Journal, StoredEntry};
use super::open::open;
use crate::clock::Clock;
use crate::incident::{Author, Report, Seq};

/// What is added to a file's name until it is whole.
const UNFINISHED: &str = ".unfinished";

/// At most one board under construction.
#[derive(Debug)]
pub struct Rebuild {
    folder: Arc<DataFolder>,
    clock: Clock,
    under_way: Mutex<Option<UnderWay>>,
}

#[derive(Debug)]
struct UnderWay {
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
        }
    }

    /// Takes the next entries of a copy; the first begins anew. Gives the last position there is.
    ///
    /// # Errors
    /// When an entry is not what the chain says, or could not be stored.
    pub async fn take(&self, entries: Vec<StoredEntry>) -> Result<Seq, JournalError> {
        let mut under_way = self.under_way.lock().await;
        if entries.first().is_some_and(|first| first.seq == Seq(1)) {
            give_up(under_way.take()).await;
        }
        if under_way.is_none() {
            *under_way = Some(self.begin().await?);
        }
        let site = under_way.as_ref().ok_or(JournalError::Stopped)?;
        site.journal.adopt(entries).await
    }

    /// Ends the copying: appends the entry that says so and gives the file, ready to be served.
    ///
    /// # Errors
    /// When nothing was copied, or the entry could not be stored.
    pub async fn finish(&self, report: Report, author: Author) -> Result<PathBuf, JournalError> {
        let site = self.under_way.lock().await.take();
        let Some(site) = site.filter(|site| site.journal.head().seq > Seq::START) else {
            return Err(JournalError::OtherHistory {
                seq: 1,
                what: "nothing was copied".to_owned(),
            });
        };
        site.journal.append(vec![report], author).await?;
        let UnderWay {
            journal,
            writer,
            file,
        } = site;
        journal.close_readers().await;
        drop(journal);
        // The file is whole once the writer has closed it.
        writer.await.map_err(|_| JournalError::Stopped)??;
        let whole = PathBuf::from(file.to_string_lossy().trim_end_matches(UNFINISHED));
        std::fs::rename(&file, &whole).map_err(sqlx::Error::Io)?;
        Ok(whole)
    }

    async fn begin(&self) -> Result<UnderWay, JournalError> {
        let name = self.folder.new_file("restored", self.clock.now()).path;
        let file = PathBuf::from(format!("{}{UNFINISHED}", name.display()));
        drop(std::fs::remove_file(&file));
        // Preparing a file holds things that may not move between threads, so it has one to itself.
        let (at, clock) = (file.clone(), self.clock.clone());
        let here = tokio::runtime::Handle::current();
        let opening = tokio::task::spawn_blocking(move || here.block_on(open(&at, clock)));
        let opened = opening.await.map_err(|_| JournalError::Stopped)??;
        Ok(UnderWay {
            journal: opened.journal,
            writer: opened.writer,
            file,
        })
    }
}

/// Leaves nothing of a copy that broke off.
async fn give_up(site: Option<UnderWay>) {
    let Some(UnderWay {
        journal,
        writer,
        file,
    }) = site
    else {
        return;
    };
    journal.close_readers().await;
    drop(journal);
    drop(writer.await);
    if let Err(error) = std::fs::remove_file(&file) {
        tracing::warn!(error = %error, "a broken-off copy stays beside the incidents");
    }
}
