//! A real board on loopback, in a folder of its own.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use holdfast::boot::{self, Board, BootError, Config, Ended};
use holdfast::clock::Clock;
use holdfast::drill::{Door, NINEFOLD_BEND};
use holdfast::web::App;
use tempfile::TempDir;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

pub(crate) const LEAD_WORDS: &str = "river stone lamp";

pub(crate) struct Running {
    pub(crate) door: Door,
    pub(crate) app: App,
    file: PathBuf,
    folder: TempDir,
    stop: oneshot::Sender<()>,
    serving: JoinHandle<Result<Ended, BootError>>,
}

/// A board that has stopped; its file is there as long as this is.
pub(crate) struct Stopped {
    pub(crate) file: PathBuf,
    pub(crate) took: Duration,
    _folder: TempDir,
}

impl Running {
    pub(crate) async fn start(listen: &str, clock: Clock) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let config = Config {
            data: folder.path().to_owned(),
            listen: listen.parse().unwrap(),
            file: None,
            incident: Some(NINEFOLD_BEND.name.to_owned()),
            begin_new: true,
            tls: None,
            lead_only_secure: false,
            practice: true,
            join_code: None,
            lead_words: Some(LEAD_WORDS.to_owned()),
            names: Vec::new(),
            wifi: None,
            limits: holdfast::web::Limits {
                reports_per_second: 1e6,
                burst: 1e6,
                ..holdfast::web::Limits::default()
            },
            clock,
        };
        let board = boot::prepare(config).await.unwrap();
        let (door, file, app) = (door(&board), board.file.clone(), board.app.clone());
        let (stop, stopped) = oneshot::channel::<()>();
        let serving = tokio::spawn(board.serve(async {
            stopped.await.ok();
        }));
        Self {
            door,
            app,
            file,
            folder,
            stop,
            serving,
        }
    }

    pub(crate) async fn stop(self) -> Stopped {
        drop(self.app);
        let begun = Instant::now();
        self.stop.send(()).unwrap();
        self.serving.await.unwrap().unwrap();
        Stopped {
            file: self.file,
            took: begun.elapsed(),
            _folder: self.folder,
        }
    }
}

fn door(board: &Board) -> Door {
    Door {
        address: board.address,
        helper_code: board.join_code.clone(),
        evac_code: board.app.codes.evac.clone(),
        viewer_code: board.app.codes.viewer.clone(),
        lead_words: board.lead_words.clone(),
    }
}
