//! A second machine that follows a board, can be read, and takes over by one command.
//!
//! Owns following over HTTP, the wish to take over, and taking over. Promises: the copy is byte for byte the
//! board's, each entry checked against the chain as it arrives; a machine that took over begins an epoch of its own, so
//! that two boards that both went on are told apart; nothing is reported on a standby before that.

mod follow;
mod promote;
mod source;

use std::path::PathBuf;
use std::sync::Arc;

pub use promote::{Promoted, promote, promote_command};
pub use source::SourceError;

use crate::boot::{self, Board, BootError, Config, Copy};
use crate::journal::{self, DataFolder, JournalError};
use source::Source;

/// What is followed.
#[derive(Clone, Debug)]
pub struct Followed {
    /// The board's address, for example `http://10.42.0.1:8080`.
    pub address: String,
    /// The lead's words: a standby is handed what the lead may see.
    pub lead_words: String,
    /// The board's own authority (DER), for an address over TLS: it is trusted, and nothing else.
    pub authority: Option<Vec<u8>>,
}

/// Why a standby did not start.
#[derive(Debug, thiserror::Error)]
pub enum StandbyError {
    /// The board did not answer and there is no copy here yet.
    #[error("{0}")]
    Source(#[from] SourceError),
    /// This machine's own part.
    #[error(transparent)]
    Boot(#[from] BootError),
    /// The folder holds this incident as a board that this machine keeps itself.
    #[error(
        "{0} holds this incident as a board of this machine. Choose another folder with --data"
    )]
    OwnBoard(PathBuf),
    /// The folder holds the copy of another board.
    #[error(
        "{} is the copy of another board than the one that answers now, and may be all that is left of it. Choose another folder with --data; to go on from that copy: {command}",
        file.display()
    )]
    OtherCopy {
        /// The copy.
        file: PathBuf,
        /// What makes it a board.
        command: String,
    },
    /// The copy here and the board that answers went on apart.
    #[error(
        "{} and the board at {address} went on apart: {why}. Keep this copy as it is; to go on from it: {command}; to follow that board choose another folder with --data",
        file.display()
    )]
    Apart {
        /// The copy.
        file: PathBuf,
        /// Where the board answers.
        address: String,
        /// From where on they differ, or what that board lacks.
        why: String,
        /// What makes the copy a board.
        command: String,
    },
}

/// Joins the board, copies what it has, and opens this machine's own door for reading. Follow it with [`run`].
///
/// # Errors
/// When the board does not answer, or this machine's folder or address cannot be had.
pub async fn prepare(
    config: Config,
    followed: &Followed,
) -> Result<(Board, Standby), StandbyError> {
    let folder = Arc::new(DataFolder::take(&config.data).map_err(BootError::from)?);
    // One that nobody took up must not make this machine a second board the moment it follows.
    promote::forget_request(folder.path());
    let source = Source::join(followed).await?;
    let handed = source.handed().await?;
    // All of it before the door opens: who takes over at once must not find half a board.
    let first = source.all().await?;
    let file = copy_of(&folder, &config, &source, &first).await?;
    let copy = Copy {
        source: followed.address.clone(),
        codes: handed.codes.clone(),
        first,
    };
    let at = file.clone();
    let config = Config {
        file: Some(file),
        lead_words: Some(followed.lead_words.clone()),
        ..config
    };
    let is_less_secure = handed.lead_only_secure && !config.lead_only_secure;
    let board = boot::prepare_in(Arc::clone(&folder), config, Some(copy)).await;
    let board = board.map_err(|error| {
        let why = match &error {
            BootError::Journal(JournalError::OtherHistory { seq, .. }) => {
                format!("entry {seq} is another one there")
            }
            BootError::Shorter { .. } => error.to_string(),
            _ => return error.into(),
        };
        StandbyError::Apart {
            file: at.clone(),
            address: followed.address.clone(),
            why,
            command: promote_command(folder.path()),
        }
    })?;
    board.app.standing.follows(&followed.address);
    board.app.sessions.follow(handed.sessions);
    let standby = Standby {
        app: board.app.clone(),
        source,
        folder: board.folder().to_owned(),
        is_less_secure,
    };
    Ok((board, standby))
}

/// The following itself.
#[derive(Debug)]
pub struct Standby {
    app: crate::web::App,
    source: Source,
    folder: PathBuf,
    is_less_secure: bool,
}

impl Standby {
    /// Whether the board takes its lead only over TLS or on its own machine, and this machine would take the lead in the
    /// clear too, once it took over.
    pub const fn is_less_secure(&self) -> bool {
        self.is_less_secure
    }
}

/// Follows until the machine takes over or stops.
pub async fn run(standby: Standby) {
    follow::run(standby).await;
}

/// The file that holds the copy of this board: the one begun before, or a new one.
async fn copy_of(
    folder: &DataFolder,
    config: &Config,
    source: &Source,
    first: &[journal::StoredEntry],
) -> Result<PathBuf, StandbyError> {
    let files = journal::incidents(folder.path()).map_err(BootError::from)?;
    let mut other = None;
    for file in files {
        let Ok(known) = journal::describe(&file.path).await else {
            continue;
        };
        let is_it = first
            .first()
            .is_some_and(|entry| entry.body == known.first_entry);
        match known.follows {
            Some(_) if is_it => return Ok(file.path),
            None if is_it => return Err(StandbyError::OwnBoard(file.path)),
            Some(_) => other = Some(file.path),
            None => {}
        }
    }
    // A newer copy beside it would put it out of sight, for people and for `promote`.
    if let Some(other) = other {
        return Err(StandbyError::OtherCopy {
            file: other,
            command: promote_command(folder.path()),
        });
    }
    Ok(folder.new_file(&source.incident, config.clock.now()).path)
}
