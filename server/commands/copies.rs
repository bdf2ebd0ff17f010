//! `holdfast copy`, and copies by themselves while a board runs.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use holdfast::boot::{self, BootError};
use holdfast::clock::wall_now;
use holdfast::incident::Seq;
use holdfast::journal::{self, Copied, Head, JournalError};
use holdfast::web::{App, Copies};
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

/// How often a running board is copied, where anything came since.
const EVERY: Duration = Duration::from_mins(1);
/// Or sooner, once this many entries came.
const ENTRIES: u64 = 200;
const LOOK: Duration = Duration::from_secs(2);

/// Makes one verified copy of the newest incident.
pub(crate) async fn copy(data: Option<PathBuf>, to: &Path) -> Result<ExitCode, BootError> {
    let data = data.map_or_else(boot::usual_folder, Ok)?;
    let Some(file) = journal::incidents(&data)?.into_iter().next() else {
        eprintln!("No incidents in {}", data.display());
        return Ok(ExitCode::FAILURE);
    };
    match journal::copy(&file.path, to, wall_now()).await {
        Ok(copied) => {
            println!(
                "Copied and verified: {} entries, check {}",
                copied.head, copied.check
            );
            println!("  {}", copied.path.display());
            Ok(ExitCode::SUCCESS)
        }
        Err(error) => {
            eprintln!("No copy was made: {error}");
            Ok(ExitCode::FAILURE)
        }
    }
}

/// What the copying looks at. Not the board itself: a copy on a slow stick must not keep it from ending.
pub(crate) struct Watched {
    head: watch::Receiver<Head>,
    /// Who is in: one removed must not be in again on a board that goes on from a copy.
    admits: watch::Receiver<u64>,
    copies: Arc<Copies>,
    stopping: CancellationToken,
}

impl Watched {
    /// Of a board.
    pub(crate) fn of(app: &App) -> Self {
        Self {
            head: app.journal.watch(),
            admits: app.sessions.admits(),
            copies: Arc::clone(&app.copies),
            stopping: app.stopping.clone(),
        }
    }
}

/// Copies a running board again and again; every screen is told when that fails.
pub(crate) async fn run(board: Watched, file: PathBuf, to: PathBuf) {
    let (mut copied, mut at) = (Seq::START, tokio::time::Instant::now());
    let mut admitted = *board.admits.borrow();
    loop {
        tokio::select! {
            () = board.stopping.cancelled() => return,
            () = tokio::time::sleep(LOOK) => {}
        }
        let head = board.head.borrow().seq;
        let due = at.elapsed() >= EVERY || copied == Seq::START || head.0 - copied.0 >= ENTRIES;
        let admits = *board.admits.borrow();
        if (head == copied && admits == admitted) || !due {
            continue;
        }
        at = tokio::time::Instant::now();
        match one(file.clone(), to.clone()).await {
            Ok(done) => {
                (copied, admitted) = (done.head, admits);
                board.copies.went_well();
            }
            Err(error) => {
                tracing::error!(error = %error, "a copy failed");
                board.copies.failed(&to.display().to_string());
            }
        }
    }
}

/// On a thread of its own: a slow stick must not keep the board's threads.
async fn one(file: PathBuf, to: PathBuf) -> Result<Copied, JournalError> {
    let here = tokio::runtime::Handle::current();
    let copying =
        tokio::task::spawn_blocking(move || here.block_on(journal::copy(&file, &to, wall_now())));
    copying.await.map_err(|_| JournalError::Stopped)?
}
