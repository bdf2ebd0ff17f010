//! From a choice of data folder and incident to a running board.
//!
//! Owns the order in which things start and stop. Promises: a writer that ends takes the program with it (no
//! half-alive server); a stop with phones connected takes under two seconds.

mod error;
mod handles;
mod new_words;
mod record;
mod tls_door;

use std::collections::BTreeMap;
use std::future::Future;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicUsize;

use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio::task::JoinHandle;
use tokio_util::sync::CancellationToken;

pub use error::BootError;
pub use new_words::{Renewed, renew_lead_words};
use record::{UNNAMED, set_aside, take_up};
pub use tls_door::TlsDoor;

use crate::clock::Clock;
use crate::incident::Words;
use crate::journal::{
    self, DataFolder, FolderError, JournalError, Opened, Rebuild, Settings, StoredEntry, incidents,
};
use crate::live::Shelf;
use crate::web::{
    self, App, Assets, Codes, Copies, Doors, Guesses, Hosts, Limits, MachineClock, Memories, Paces,
    Parts, Plans, Sessions, Standing, Takings, Wifi, fresh_code, fresh_words,
};

/// What to start.
#[derive(Clone, Debug)]
pub struct Config {
    /// The data folder.
    pub data: PathBuf,
    /// Where to listen.
    pub listen: SocketAddr,
    /// This file and no other; used when a board goes on in a rebuilt one.
    pub file: Option<PathBuf>,
    /// The incident's name: resumed if there is one of that name, else begun.
    pub incident: Option<String>,
    /// Begin another incident even if one is there.
    pub begin_new: bool,
    /// Where to listen for TLS, with the data folder's own authority.
    pub tls: Option<SocketAddr>,
    /// Take the lead and deputies only over TLS or on this machine.
    pub lead_only_secure: bool,
    /// Practice, not real.
    pub practice: bool,
    /// The helpers' join code.
    pub join_code: Option<String>,
    /// The lead's words.
    pub lead_words: Option<String>,
    /// Names this server answers to besides its addresses.
    pub names: Vec<String>,
    /// The Wi-Fi to print on the poster.
    pub wifi: Option<Wifi>,
    /// How much devices may ask.
    pub limits: Limits,
    /// Board time.
    pub clock: Clock,
}

/// A board that is ready to serve.
#[derive(Debug)]
pub struct Board {
    /// The incident's name.
    pub name: String,
    /// Whether it was there before.
    pub resumed: bool,
    /// Whether it goes on from a copy of another machine's board.
    pub from_copy: bool,
    /// The file it is kept in.
    pub file: PathBuf,
    /// Where it listens.
    pub address: SocketAddr,
    /// The shared state.
    pub app: App,
    /// The helpers' code.
    pub join_code: String,
    /// The lead's words, for the server's own screen.
    pub lead_words: String,
    /// The TLS door, where that was chosen.
    pub tls: Option<TlsDoor>,
    listener: TcpListener,
    writer: JoinHandle<Result<(), JournalError>>,
    stopping: CancellationToken,
    /// Held while the board runs.
    folder: Arc<DataFolder>,
}

/// A copy of another machine's board, to be followed.
#[derive(Clone, Debug)]
pub struct Copy {
    /// The board's address.
    pub source: String,
    /// Its join codes, by the name they are kept under.
    pub codes: BTreeMap<String, String>,
    /// Its first entries.
    pub first: Vec<StoredEntry>,
}

/// How serving ended.
#[derive(Debug)]
pub enum Ended {
    /// It was asked to stop.
    Stopped,
    /// The same address goes on with this file: a board that was rebuilt.
    GoesOn {
        /// The rebuilt board.
        file: PathBuf,
        /// The folder, still held.
        folder: Arc<DataFolder>,
        /// The lead's words as they are now.
        lead_words: String,
    },
}

/// Opens the board: folder, journal, address.
///
/// # Errors
/// When any of them cannot be had; nothing was changed then.
pub async fn prepare(config: Config) -> Result<Board, BootError> {
    let folder = Arc::new(DataFolder::take(&config.data)?);
    prepare_in(folder, config, None).await
}

/// The same in a folder that is held already; with `copy`, to follow another machine's board.
///
/// # Errors
/// When something cannot be had; nothing was changed then.
pub async fn prepare_in(
    folder: Arc<DataFolder>,
    config: Config,
    copy: Option<Copy>,
) -> Result<Board, BootError> {
    let limits = handles::within(config.limits);
    let lead_words = config.lead_words.clone().unwrap_or_else(fresh_words);
    refuse_weak(&lead_words, config.join_code.as_deref())?;
    // As it will be kept, and before anything is made: a name that cannot be taken must leave no empty file behind.
    let wanted = Words::new(config.incident.as_deref().unwrap_or(UNNAMED))?;
    let (listener, address) = listen(config.listen)?;
    let tls = TlsDoor::open(&folder, &config)?;
    let found = take_up(&folder, &config, wanted, copy.as_ref()).await?;
    let Opened {
        journal,
        writer,
        sessions,
        mut settings,
    } = found.opened;
    let board = found.board;
    let codes = keep_codes(&mut settings, config.join_code.as_deref(), &lead_words).await?;
    let stopping = CancellationToken::new();
    let app = App::new(Parts {
        sessions: Sessions::new(board, sessions, limits, copy.is_some()),
        codes,
        offer: web::Offer::default(),
        plans: Plans::default(),
        shelf: Shelf::default(),
        hosts: Hosts::new(address, config.names).and_tls(tls.as_ref().map(TlsDoor::port)),
        lead_only_secure: config.lead_only_secure,
        authority: tls.as_ref().map(TlsDoor::certificate),
        assets: Assets::new(),
        wifi: config.wifi,
        guesses: Guesses::default(),
        paces: Paces::default(),
        limits,
        streams: AtomicUsize::new(0),
        machine_clock: MachineClock::default(),
        takings: Takings::default(),
        removed: journal::removed(folder.path()),
        memories: Memories::new(config.clock.now()),
        copies: Arc::new(Copies::default()),
        standing: Standing::new(data_option(folder.path())),
        rebuild: Rebuild::new(Arc::clone(&folder), config.clock.clone()),
        goes_on: watch::channel(None).0,
        stopping: stopping.clone(),
        journal,
        board,
    });
    Ok(Board {
        join_code: app.codes.helper(),
        name: found.name,
        resumed: found.resumed,
        from_copy: found.from_copy,
        file: found.file,
        address,
        app,
        lead_words,
        tls,
        listener,
        writer,
        stopping,
        folder,
    })
}

fn listen(wanted: SocketAddr) -> Result<(TcpListener, SocketAddr), BootError> {
    let cannot = |error| BootError::Listen(wanted, error);
    let listener = web::bind(wanted).map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    Ok((listener, address))
}

/// The codes kept with the board, made where there are none, and the lead's words, of which only the key of private
/// entries is kept.
async fn keep_codes(
    settings: &mut Settings,
    join_code: Option<&str>,
    lead_words: &str,
) -> Result<Codes, JournalError> {
    if let Some(code) = join_code {
        settings.set("join_code", code).await?;
    }
    let helper = settings.keep("join_code", fresh_code).await?;
    let evac = settings.keep("evac_code", fresh_code).await?;
    let viewer = settings.keep("viewer_code", fresh_code).await?;
    let fresh = || Codes::fresh_seal(lead_words);
    let seal = settings.keep("private_key", fresh).await?;
    Ok(Codes::new(&helper, &evac, &viewer, lead_words, &seal))
}

impl Board {
    /// The data folder.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Serves until `stop` resolves or the writer ends.
    ///
    /// # Errors
    /// When the writer ended by itself.
    pub async fn serve(self, stop: impl Future<Output = ()>) -> Result<Ended, BootError> {
        let Self {
            app,
            listener,
            tls,
            mut writer,
            stopping,
            folder,
            file,
            ..
        } = self;
        let mut goes_on = app.goes_on.subscribe();
        let mut next = None;
        let router = web::router(app.clone());
        let doors = Doors {
            plain: listener,
            tls: tls.map(TlsDoor::into_parts),
        };
        let clock = tokio::spawn(web::watch_machine_clock(app.clone()));
        let words = tokio::spawn(new_words::listen(app.clone(), folder.path().to_owned()));
        let mut ended = None;
        let until = async {
            tokio::select! {
                () = stop => {}
                result = &mut writer => ended = Some(result),
                Ok(rebuilt) = goes_on.wait_for(Option::is_some) => next.clone_from(&rebuilt),
            }
            stopping.cancel();
        };
        if let Err(error) = web::serve(doors, router, app.limits, until).await {
            tracing::error!(error = %error, "the server stopped");
        }
        let lead_words = app.codes.lead_words();
        // Both hold the journal, and the writer ends with its last handle.
        clock.abort();
        words.abort();
        drop((clock.await, words.await));
        app.journal.close_readers().await;
        // The writer ends when the last handle is gone: every answered fact is on disk, the file is closed.
        drop(app);
        if let Some(result) = ended {
            return Err(BootError::WriterEnded(match result {
                Ok(Ok(())) => "it was closed".to_owned(),
                Ok(Err(error)) => error.to_string(),
                Err(error) => error.to_string(),
            }));
        }
        if tokio::time::timeout(GRACE, writer).await.is_err() {
            tracing::debug!("the writer was still held by a connection");
        }
        let Some(rebuilt) = next else {
            return Ok(Ended::Stopped);
        };
        set_aside(&file);
        Ok(Ended::GoesOn {
            file: rebuilt,
            folder,
            lead_words,
        })
    }
}

/// How long the writer may take to end once everybody let go of it.
const GRACE: std::time::Duration = std::time::Duration::from_millis(400);

/// The fewest characters the lead's words may have, spaces aside (OWASP ASVS 5.0, 6.2.1: eight).
const SHORTEST: usize = 8;

fn refuse_weak(lead_words: &str, join_code: Option<&str>) -> Result<(), BootError> {
    let length = |text: &str| {
        text.chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .count()
    };
    if length(lead_words) < SHORTEST {
        return Err(BootError::WeakCode(
            "the lead's words need at least eight letters; three plain words are good",
        ));
    }
    if join_code.is_some_and(|code| length(code) < SHORTEST) {
        return Err(BootError::WeakCode(
            "the join code needs at least eight characters; leave it out to have one made",
        ));
    }
    Ok(())
}

/// The platform's usual data folder.
///
/// # Errors
/// When the system names none.
pub fn usual_folder() -> Result<PathBuf, FolderError> {
    DataFolder::usual()
}

/// What a command needs so that it is about this folder: nothing for the usual one.
pub fn data_option(data: &Path) -> String {
    if usual_folder().is_ok_and(|usual| usual == data) {
        String::new()
    } else {
        format!(" --data \"{}\"", data.display())
    }
}

/// Lists the incidents in a folder in words, newest first.
///
/// # Errors
/// When the folder cannot be read.
pub async fn list(data: &Path) -> Result<Vec<String>, BootError> {
    let mut lines = Vec::new();
    for file in incidents(data)? {
        let line = match journal::describe(&file.path).await {
            Ok(known) => format!(
                "{}  {} entries, opened {}",
                known.name, known.entries, known.opened_at
            ),
            Err(error) => format!("(cannot be read: {error})"),
        };
        lines.push(format!("{line}\n    {}", file.path.display()));
    }
    Ok(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_writer_that_dies_takes_the_program_with_it() {
        let folder = tempfile::tempdir().unwrap();
        let config = Config {
            data: folder.path().to_owned(),
            listen: "127.0.0.1:0".parse().unwrap(),
            file: None,
            incident: None,
            begin_new: false,
            tls: None,
            lead_only_secure: false,
            practice: false,
            join_code: None,
            lead_words: None,
            names: Vec::new(),
            wifi: None,
            limits: Limits::default(),
            clock: Clock::wall(),
        };
        let board = prepare(config).await.unwrap();
        board.writer.abort();
        let serving = board.serve(std::future::pending());
        let ended = tokio::time::timeout(std::time::Duration::from_secs(5), serving)
            .await
            .expect("it does not stay half alive");
        let error = ended.expect_err("it says that it did not end well");
        assert!(matches!(error, BootError::WriterEnded(_)), "{error}");
    }
}
