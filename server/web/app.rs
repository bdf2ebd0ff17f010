//! What every handler may reach.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::AtomicUsize;

use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

use super::assets::Assets;
use super::codes::Codes;
use super::command::Offer;
use super::guesses::Guesses;
use super::hosts::Hosts;
use super::limits::Limits;
use super::machine_clock::MachineClock;
use super::memories::Memories;
use super::notices::Copies;
use super::paces::Paces;
use super::plans::Plans;
use super::record::Takings;
use super::session::Sessions;
use super::standing::Standing;
use crate::incident::BoardId;
use crate::journal::{Journal, Rebuild};
use crate::live::Shelf;

/// The shared state. Cheap to clone.
#[derive(Clone, Debug)]
pub struct App(Arc<Parts>);

/// The parts of the shared state.
#[derive(Debug)]
pub struct Parts {
    /// The record and the state.
    pub journal: Journal,
    /// This board.
    pub board: BoardId,
    /// Who is in.
    pub sessions: Sessions,
    /// What lets people in.
    pub codes: Codes,
    /// Command as it is being offered.
    pub offer: Offer,
    /// The plan on screen.
    pub plans: Plans,
    /// Rendered parts.
    pub shelf: Shelf,
    /// Which names this server answers to.
    pub hosts: Hosts,
    /// Scripts and styles.
    pub assets: Assets,
    /// The Wi-Fi to print on the poster, if given.
    pub wifi: Option<Wifi>,
    /// Wrong codes tried.
    pub guesses: Guesses,
    /// How fast addresses report.
    pub paces: Paces,
    /// How much may be asked.
    pub limits: Limits,
    /// Live streams open now.
    pub streams: AtomicUsize,
    /// What is wrong with the machine's clock.
    pub machine_clock: MachineClock,
    /// Who has taken how much of the record.
    pub takings: Takings,
    /// Boards whose records were removed on this machine: their phones forget them too.
    pub removed: Vec<String>,
    /// What devices remember of this board.
    pub memories: Memories,
    /// Whether copies come about.
    pub copies: Arc<Copies>,
    /// Whether another machine's board is followed.
    pub standing: Standing,
    /// Where a lost board is built up again.
    pub rebuild: Rebuild,
    /// The file this address serves next, once a board was rebuilt.
    pub goes_on: watch::Sender<Option<PathBuf>>,
    /// Whether the lead and deputies are taken only over TLS or on this machine.
    pub lead_only_secure: bool,
    /// The authority devices may trust (DER), where there is TLS.
    pub authority: Option<Vec<u8>>,
    /// Ends every stream when the program stops.
    pub stopping: CancellationToken,
}

/// A Wi-Fi network phones join.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wifi {
    /// Its name.
    pub name: String,
    /// Its password; none when open.
    pub password: Option<String>,
}

impl App {
    /// Puts the parts together.
    pub fn new(parts: Parts) -> Self {
        Self(Arc::new(parts))
    }
}

impl std::ops::Deref for App {
    type Target = Parts;

    fn deref(&self) -> &Parts {
        &self.0
    }
}
