//! A real board for tests: started as the program starts it, on a free port, with a folder of its own.
//!
//! Owns starting, restarting and stopping. A bound listener needs no waiting, so `start` returns at once; nothing
//! here sleeps and hopes. Dropping the board stops it: the server listens for the end of `stop`.

mod device;
pub(crate) mod facts;
mod live;
pub(crate) mod page;
mod raw;

use std::path::PathBuf;
use std::time::Duration;

use holdfast::boot::{self, Config};
use holdfast::clock::Clock;
use holdfast::incident::{Incident, Role};
use holdfast::journal::Journal;
use holdfast::web::Limits;
use serde_json::{Value, json};
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions, Row};
use tempfile::TempDir;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

pub(crate) use device::{Answer, Device};
pub(crate) use live::Stream;
pub(crate) use raw::{exchange, first_bytes};

/// How long anything may take before a test gives up on it.
pub(crate) const DEADLINE: Duration = Duration::from_secs(10);
/// The lead's words of every test board.
pub(crate) const LEAD_WORDS: &str = "river stone lamp";

/// For stories that are not about limits: their devices report faster than people and hold many streams.
pub(crate) const ROOMY: Limits = Limits {
    connections_per_address: 1000,
    connections: 1000,
    streams: 1000,
    streams_per_session: 100,
    reports_per_second: 1e6,
    burst: 1e6,
    joins_per_minute: 1_000_000,
};

/// A running board.
pub(crate) struct TestBoard {
    pub(crate) folder: TempDir,
    pub(crate) file: PathBuf,
    /// `http://127.0.0.1:PORT`.
    pub(crate) origin: String,
    pub(crate) join_code: String,
    pub(crate) evac_code: String,
    pub(crate) viewer_code: String,
    pub(crate) id: String,
    /// The TLS door and its authority, where there is one.
    pub(crate) tls: Option<(
        std::net::SocketAddr,
        std::sync::Arc<holdfast::tls::Authority>,
    )>,
    clock: Clock,
    journal: Option<Journal>,
    stop: Option<oneshot::Sender<()>>,
    serving: Option<JoinHandle<()>>,
}

impl TestBoard {
    /// A new board on the machine's clock.
    pub(crate) async fn start() -> Self {
        Self::start_with(Clock::wall()).await
    }

    /// A new board whose clock stands until told.
    pub(crate) async fn start_at(time: &str) -> Self {
        Self::start_with(Clock::told(time.parse().unwrap())).await
    }

    async fn start_with(clock: Clock) -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self::open(folder, clock, LEAD_WORDS).await
    }

    /// A new board that serves TLS too; with `only`, the lead and deputies by no other way from outside.
    pub(crate) async fn start_tls(only: bool) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let config = Config {
            tls: Some("127.0.0.1:0".parse().unwrap()),
            lead_only_secure: only,
            names: vec!["board.field".to_owned()],
            ..config(folder.path().to_owned(), Clock::wall(), LEAD_WORDS)
        };
        Self::serve(folder, config).await
    }

    /// A new board whose lead has these words.
    pub(crate) async fn start_with_words(lead_words: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self::open(folder, Clock::wall(), lead_words).await
    }

    /// A new board in a folder of the test's own.
    pub(crate) async fn start_in(folder: TempDir) -> Self {
        Self::open(folder, Clock::wall(), LEAD_WORDS).await
    }

    /// A new board that takes no more than this.
    pub(crate) async fn start_limited(limits: Limits) -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self::open_limited(folder, Clock::wall(), LEAD_WORDS, limits).await
    }

    pub(crate) async fn open(folder: TempDir, clock: Clock, lead_words: &str) -> Self {
        Self::open_limited(folder, clock, lead_words, ROOMY).await
    }

    async fn open_limited(folder: TempDir, clock: Clock, lead_words: &str, limits: Limits) -> Self {
        let config = Config {
            limits,
            ..config(folder.path().to_owned(), clock, lead_words)
        };
        Self::serve(folder, config).await
    }

    async fn serve(folder: TempDir, config: Config) -> Self {
        let clock = config.clock.clone();
        let board = boot::prepare(config).await.expect("the board starts");
        let (stop, stopped) = oneshot::channel::<()>();
        let app = board.app.clone();
        let started = Self {
            folder,
            file: board.file.clone(),
            origin: format!("http://{}", board.address),
            join_code: board.join_code.clone(),
            evac_code: app.codes.evac.clone(),
            viewer_code: app.codes.viewer.clone(),
            id: app.board.to_string(),
            clock,
            tls: board
                .tls
                .as_ref()
                .map(|door| (door.address, door.authority.clone())),
            journal: Some(app.journal.clone()),
            stop: Some(stop),
            serving: None,
        };
        let serving = tokio::spawn(async move {
            board
                .serve(async move { drop(stopped.await) })
                .await
                .expect("the board serves to its end");
        });
        Self {
            serving: Some(serving),
            ..started
        }
    }

    /// Stops it and waits until it has stopped; says how long that took.
    pub(crate) async fn stop(&mut self) -> Duration {
        let begun = std::time::Instant::now();
        // The writer ends with its last handle, and this is one.
        drop(self.journal.take());
        drop(self.stop.take());
        if let Some(serving) = self.serving.take() {
            tokio::time::timeout(DEADLINE, serving)
                .await
                .expect("it stops in time")
                .unwrap();
        }
        begun.elapsed()
    }

    /// Stops it and starts it again on the same file (and another port).
    pub(crate) async fn restart(self) -> Self {
        self.restart_with(LEAD_WORDS).await
    }

    /// The same with other words for the lead.
    pub(crate) async fn restart_with(mut self, lead_words: &str) -> Self {
        self.stop().await;
        let Self { folder, clock, .. } = self;
        Self::open(folder, clock, lead_words).await
    }

    /// Stops it and leaves its folder, for looking at what is on disk.
    pub(crate) async fn stop_for_good(mut self) -> Stopped {
        self.stop().await;
        let Self {
            folder,
            file,
            clock,
            ..
        } = self;
        Stopped {
            folder,
            file,
            clock,
        }
    }

    /// A helper's phone.
    pub(crate) async fn device(&self, name: &str) -> Device {
        self.join(&self.join_code, name).await
    }

    /// A medic's phone.
    pub(crate) async fn medic(&self, name: &str) -> Device {
        let visitor = Device::stranger(&self.origin, self.clock.clone());
        visitor.joins_as(&self.join_code, name, "medic").await
    }

    /// The lead's tablet.
    pub(crate) async fn lead(&self, name: &str) -> Device {
        self.join(LEAD_WORDS, name).await
    }

    /// The evacuation coordinator's phone.
    pub(crate) async fn evac(&self, name: &str) -> Device {
        self.join(&self.evac_code, name).await
    }

    /// A device that may only watch the summary.
    pub(crate) async fn viewer(&self, name: &str) -> Device {
        self.join(&self.viewer_code, name).await
    }

    /// A device of any role.
    pub(crate) async fn of_role(&self, role: Role) -> Device {
        match role {
            Role::Lead => self.lead("Ina").await,
            Role::Deputy => {
                let ina = self.lead("Ina").await;
                let ben = self.device("Ben").await;
                ina.names_deputy(&ben, true).await;
                ben.renews_session().await
            }
            Role::Helper => self.device("Teo").await,
            Role::Evac => self.evac("Eva").await,
            Role::Viewer => self.viewer("Vic").await,
        }
    }

    async fn join(&self, code: &str, name: &str) -> Device {
        let visitor = Device::stranger(&self.origin, self.clock.clone());
        visitor.joins(code, name).await
    }

    /// Somebody who has not joined.
    pub(crate) fn stranger(&self) -> Device {
        Device::stranger(&self.origin, self.clock.clone())
    }

    /// What `HOST:PORT` the board is at.
    pub(crate) fn host(&self) -> &str {
        self.origin.strip_prefix("http://").unwrap()
    }

    /// The journal itself, for what cannot be done over HTTP.
    pub(crate) fn journal(&self) -> Journal {
        self.journal.clone().unwrap()
    }

    /// Looks at the state in memory.
    pub(crate) fn state<T>(&self, look: impl FnOnce(&Incident) -> T) -> T {
        self.journal.as_ref().unwrap().read(look)
    }

    /// The last position.
    pub(crate) fn head(&self) -> u64 {
        self.journal.as_ref().unwrap().head().seq.0
    }

    /// Moves a told clock on.
    pub(crate) fn minutes_pass(&self, minutes: i64) {
        self.clock.advance(minutes * 60);
    }

    /// Somebody sets the machine's clock by so many seconds while the board runs.
    pub(crate) fn machine_clock_is_set(&self, seconds: i64) {
        self.clock.pretend_set(seconds);
    }

    /// Rows of a query over a second, read-only connection, each as a JSON array.
    pub(crate) async fn read_table(&self, query: &str) -> Vec<Value> {
        read_table(&self.file, query).await
    }
}

/// A board at rest.
pub(crate) struct Stopped {
    pub(crate) folder: TempDir,
    pub(crate) file: PathBuf,
    clock: Clock,
}

impl Stopped {
    /// Starts it again.
    pub(crate) async fn start(self) -> TestBoard {
        TestBoard::open(self.folder, self.clock, LEAD_WORDS).await
    }

    /// Tries to start it; returns what the person at the machine would read.
    pub(crate) async fn fails_to_start(&self) -> String {
        let config = config(
            self.folder.path().to_owned(),
            self.clock.clone(),
            LEAD_WORDS,
        );
        boot::prepare(config)
            .await
            .expect_err("it refuses to start")
            .to_string()
    }

    /// Changes the file behind the program's back.
    pub(crate) async fn tampers(&self, statements: &[&str]) {
        let mut connection = connect(&self.file, false).await;
        for statement in statements {
            sqlx::query(sqlx::AssertSqlSafe((*statement).to_owned()))
                .execute(&mut connection)
                .await
                .unwrap();
        }
        sqlx::Connection::close(connection).await.unwrap();
    }

    /// Tries to change the file; returns what `SQLite` says to it.
    pub(crate) async fn is_kept_from(&self, statement: &str) -> String {
        let mut connection = connect(&self.file, false).await;
        let refused = sqlx::query(sqlx::AssertSqlSafe(statement.to_owned()))
            .execute(&mut connection)
            .await;
        refused.expect_err("the file refuses").to_string()
    }

    /// Rows of a query.
    pub(crate) async fn read_table(&self, query: &str) -> Vec<Value> {
        read_table(&self.file, query).await
    }
}

fn config(data: PathBuf, clock: Clock, lead_words: &str) -> Config {
    Config {
        data,
        listen: "127.0.0.1:0".parse().unwrap(),
        file: None,
        incident: None,
        begin_new: false,
        tls: None,
        lead_only_secure: false,
        practice: false,
        join_code: None,
        lead_words: Some(lead_words.to_owned()),
        names: Vec::new(),
        wifi: None,
        limits: ROOMY,
        clock,
    }
}

/// A connection of one's own to a board's file.
pub(crate) async fn connect(file: &std::path::Path, read_only: bool) -> SqliteConnection {
    SqliteConnectOptions::new()
        .filename(file)
        .read_only(read_only)
        .busy_timeout(DEADLINE)
        .connect()
        .await
        .unwrap()
}

/// Rows of a query over a read-only connection of one's own, each as a JSON array.
pub(crate) async fn read_table(file: &std::path::Path, query: &str) -> Vec<Value> {
    let mut connection = connect(file, true).await;
    let rows = sqlx::query(sqlx::AssertSqlSafe(query.to_owned()))
        .fetch_all(&mut connection)
        .await
        .unwrap();
    rows.iter()
        .map(|row| {
            (0..row.len())
                .map(|column| {
                    let text = row.try_get_unchecked::<Option<String>, _>(column).ok();
                    match row.try_get::<Option<i64>, _>(column) {
                        Ok(number) => json!(number),
                        Err(_) => json!(text.flatten()),
                    }
                })
                .collect()
        })
        .collect()
}
