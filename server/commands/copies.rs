//! `holdfast copy`, and copies by themselves while a board runs.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use holdfast::boot::{self, BootError};
use holdfast::clock::wall_now;
use holdfast::incident::Seq;
use holdfast::journal::{self, Copied, JournalError};
use holdfast::web::App;

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

/// Copies a running board again and again; every screen is told when that fails.
pub(crate) async fn run(app: App, file: PathBuf, to: PathBuf) {
    let (mut copied, mut at) = (Seq::START, tokio::time::Instant::now());
    loop {
        tokio::select! {
            () = app.stopping.cancelled() => return,
            () = tokio::time::sleep(LOOK) => {}
        }
        let head = app.journal.head().seq;
        let due = at.elapsed() >= EVERY || copied == Seq::START || head.0 - copied.0 >= ENTRIES;
        if head == copied || !due {
            continue;
        }
        at = tokio::time::Instant::now();
        match one(file.clone(), to.clone()).await {
            Ok(done) => {
                copied = done.head;
                app.copies.went_well();
            }
            Err(error) => {
                tracing::error!(error = %error, "a copy failed");
                app.copies.failed(&to.display().to_string());
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
