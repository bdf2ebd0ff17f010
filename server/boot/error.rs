//! Why a board did not start, or ended, in words that say what to do.

use std::io;
use std::net::SocketAddr;

use crate::incident::TextError;
use crate::journal::{FolderError, JournalError};
use crate::tls::TlsError;

/// Why a board did not start, or ended.
#[derive(Debug, thiserror::Error)]
pub enum BootError {
    /// The data folder.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// The journal.
    #[error(
        "{0}\nNothing was changed. Run `holdfast verify` on this folder, or begin another incident with --new"
    )]
    Journal(#[from] JournalError),
    /// The address.
    #[error("cannot listen on {0}: {1}. Choose another with --listen")]
    Listen(SocketAddr, io::Error),
    /// TLS.
    #[error(transparent)]
    Tls(#[from] TlsError),
    /// The incident's name.
    #[error("the incident's name: {0}")]
    Name(#[from] TextError),
    /// A standby's copy, that another machine may still be adding to.
    #[error(
        "this folder holds a standby's copy of {source_address}. If that machine is lost, run `holdfast promote{here}` first; to go on following, run `holdfast standby {source_address}{here}`"
    )]
    IsCopy {
        /// The board's address.
        source_address: String,
        /// What names the folder in a command.
        here: String,
    },
    /// The board that is to be followed came back with less than the copy of it has.
    #[error("it ends at entry {there}, and this copy at {here}")]
    Shorter {
        /// The last entry here.
        here: u64,
        /// The last one there.
        there: u64,
    },
    /// A copy of a board, where nothing can be written.
    #[error(
        "{0}\nThis is a copy of a board, and it cannot go on where it lies. Put it into an empty folder of this machine and start it there with --data"
    )]
    UnwritableCopy(JournalError),
    /// A code that is too easy to guess.
    #[error("{0}")]
    WeakCode(&'static str),
    /// The writer ended while the board was running.
    #[error("the journal's writer stopped: {0}. Start again; what was acknowledged is safe")]
    WriterEnded(String),
}
