//! A real board in this process, that can be stopped and started again on the same port and file.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::atomic::{AtomicU16, Ordering};
use std::time::Duration;

use holdfast::boot::{self, Config, Ended};
use holdfast::clock::Clock;
use holdfast::web::App;
use tempfile::TempDir;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

use crate::screen::SOON;

pub(crate) const CODE: &str = "K7QF-M2TX";
pub(crate) const WORDS: &str = "river stone lamp";

pub(crate) struct Board {
    folder: TempDir,
    pub(crate) address: SocketAddr,
    pub(crate) clock: Clock,
    pub(crate) app: Option<App>,
    running: Option<(oneshot::Sender<()>, JoinHandle<()>)>,
}

/// A port that the system gives to nobody by itself: while a board is stopped, no browser or driver that starts must get
/// its port (Linux gives 32768 and above).
fn own_port() -> u16 {
    static NEXT: AtomicU16 = AtomicU16::new(0);
    let process = u16::try_from(std::process::id() % 100).unwrap();
    20_000 + process * 100 + NEXT.fetch_add(1, Ordering::Relaxed) % 100
}

impl Board {
    pub(crate) async fn start() -> Self {
        Self::start_with(Clock::wall()).await
    }

    pub(crate) async fn start_with(clock: Clock) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, own_port()));
        let mut board = Self {
            folder,
            address,
            clock,
            app: None,
            running: None,
        };
        // The next free port, if somebody else has that one.
        board.open_at_any_port().await;
        board
    }

    /// Starts again where it was stopped.
    pub(crate) async fn open(&mut self) {
        let before = self.address;
        self.open_at_any_port().await;
        assert_eq!(self.address, before, "the port was taken meanwhile");
    }

    async fn open_at_any_port(&mut self) {
        let config = Config {
            data: self.folder.path().to_owned(),
            listen: self.address,
            file: None,
            incident: Some("Larch Pass bus".to_owned()),
            begin_new: false,
            tls: None,
            lead_only_secure: false,
            practice: false,
            join_code: Some(CODE.to_owned()),
            lead_words: Some(WORDS.to_owned()),
            names: Vec::new(),
            wifi: None,
            limits: holdfast::web::Limits {
                reports_per_second: 1e6,
                burst: 1e6,
                ..holdfast::web::Limits::default()
            },
            clock: self.clock.clone(),
        };
        let mut board = boot::prepare(config.clone()).await.unwrap();
        self.address = board.address;
        self.app = Some(board.app.clone());
        let (stop, mut stopped) = oneshot::channel();
        let listen = self.address;
        let serving = tokio::spawn(async move {
            // As the program does: a board that was rebuilt goes on at the same address.
            while let Ended::GoesOn { file, folder, .. } = board
                .serve(async { drop((&mut stopped).await) })
                .await
                .unwrap()
            {
                let config = Config {
                    file: Some(file),
                    listen,
                    ..config.clone()
                };
                let here = tokio::runtime::Handle::current();
                let preparing = move || here.block_on(boot::prepare_in(folder, config, None));
                board = tokio::task::spawn_blocking(preparing)
                    .await
                    .unwrap()
                    .unwrap();
            }
        });
        self.running = Some((stop, serving));
    }

    /// Stops it; phones see the connection go.
    pub(crate) async fn close(&mut self) {
        self.app = None;
        let (stop, serving) = self.running.take().expect("it runs");
        stop.send(()).unwrap();
        serving.await.unwrap();
    }

    /// The machine is lost with everything on it; another one with nothing takes its address. Gives what was on it.
    pub(crate) async fn is_lost_and_replaced(&mut self) -> TempDir {
        self.close().await;
        let lost = std::mem::replace(&mut self.folder, tempfile::tempdir().unwrap());
        self.open().await;
        lost
    }

    /// The machine with this on it has the address again.
    pub(crate) async fn comes_back(&mut self, folder: TempDir) {
        self.close().await;
        self.folder = folder;
        self.open().await;
    }

    pub(crate) fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    /// How many live streams the server holds.
    pub(crate) fn streams(&self) -> usize {
        self.app.as_ref().unwrap().streams.load(Ordering::Relaxed)
    }

    /// Waits until the journal holds so many entries of a kind: a screen may say a report before it has arrived.
    pub(crate) async fn gets(&self, kind: &str, count: usize) {
        let deadline = tokio::time::Instant::now() + SOON;
        while self.count(kind) < count {
            assert!(
                tokio::time::Instant::now() < deadline,
                "{} of {count} {kind} have arrived",
                self.count(kind)
            );
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        assert_eq!(self.count(kind), count, "{kind}");
    }

    /// How many entries of a kind the journal holds.
    pub(crate) fn count(&self, kind: &str) -> usize {
        self.app.as_ref().unwrap().journal.read(|incident| {
            incident
                .entries()
                .iter()
                .filter(|entry| entry.fact.kind() == kind)
                .count()
        })
    }
}
