//! Plays a scenario: joins as every actor, waits for each line's moment, tells it.
//!
//! Promises: everything goes through the board's own door; lines are told in order, one telling after the
//! other, so that nobody refers to what has not arrived; a line that is refused or cannot be sent is said in
//! the technical log and the story goes on.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};

use super::cast::Cast;
use super::device::{Device, DeviceError, Problem};
use super::known::Known;
use super::scenario::{Actor, Line, Moment, Scenario};
use crate::clock::Clock;
use crate::incident::{Report, Role};

/// The longest nap between two looks at the clock: it may be told, or the machine may have slept.
const NAP: Duration = Duration::from_secs(1);
/// A nap where the clock does not run by itself.
const SHORT_NAP: Duration = Duration::from_millis(5);
/// The most reports told at once, as on a phone's way back into range.
const MOST_AT_ONCE: usize = 20;

/// Where the board is and what opens it.
#[derive(Clone)]
pub struct Door {
    /// Where the board listens; an unspecified address is reached over loopback.
    pub address: SocketAddr,
    /// Opens it to helpers.
    pub helper_code: String,
    /// Opens it to the evacuation coordinator.
    pub evac_code: String,
    /// Opens it to those who only watch.
    pub viewer_code: String,
    /// Opens it to the lead.
    pub lead_words: String,
}

impl std::fmt::Debug for Door {
    // The codes are never in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Door({})", self.address)
    }
}

/// How a telling went.
#[derive(Debug, Default)]
pub struct Played {
    /// Reports with a receipt.
    pub taken: usize,
    /// Reports the board turned back.
    pub refused: Vec<Problem>,
    /// Lines that could not be told or sent.
    pub unsent: usize,
}

/// Plays the whole scenario to its last line; the board opens at `scenario.opens_at` on its own clock.
///
/// # Errors
/// When an actor cannot join.
pub async fn play(scenario: &Scenario, door: &Door, clock: &Clock) -> Result<Played, DeviceError> {
    let opened_at = clock.now();
    let mut devices = HashMap::new();
    for actor in scenario.actors {
        let device = Device::join(&door.root(), door.code(*actor), *actor).await?;
        devices.insert(actor.name, device);
    }
    let Some(board) = devices.values().next().map(|device| device.board) else {
        return Ok(Played::default());
    };
    let accident_at = opened_at - SignedDuration::from_secs(i64::from(scenario.opens_at.seconds()));
    let mut cast = Cast::new(board, accident_at);
    for actor in scenario.actors {
        cast.joined(*actor, devices[actor.name].id);
    }
    let mut telling = Telling {
        clock,
        devices,
        cast,
        known: Known::default(),
        played: Played::default(),
    };
    for lines in batches(&scenario.lines()) {
        telling.tell(lines).await;
    }
    Ok(telling.played)
}

/// Neighbours that one actor tells at the same moment travel together.
fn batches<'a>(lines: &'a [&'static Line]) -> impl Iterator<Item = &'a [&'static Line]> {
    lines
        .chunk_by(|one, next| (one.told, one.by) == (next.told, next.by))
        .flat_map(|together| together.chunks(MOST_AT_ONCE))
}

struct Telling<'a> {
    clock: &'a Clock,
    devices: HashMap<&'static str, Device>,
    cast: Cast,
    known: Known,
    played: Played,
}

impl Telling<'_> {
    async fn tell(&mut self, lines: &[&'static Line]) {
        let Some(first) = lines.first() else {
            return;
        };
        self.wait(first.told).await;
        let reports: Vec<Report> = lines.iter().filter_map(|line| self.report(line)).collect();
        if reports.is_empty() {
            return;
        }
        let Some(device) = self.devices.get(first.by.name) else {
            self.played.unsent += lines.len();
            tracing::warn!(by = first.by.name, "this actor has not joined");
            return;
        };
        let answer = match device.post(self.clock.now(), &reports).await {
            Ok(answer) => answer,
            Err(error) => {
                self.played.unsent += reports.len();
                tracing::warn!(by = first.by.name, error = %error, "part of the story was not told");
                return;
            }
        };
        self.known.note(first.told, answer.head);
        for (report, receipt) in reports.iter().zip(answer.receipts) {
            match receipt.problem {
                None => self.played.taken += 1,
                Some(problem) => {
                    let kind = report.fact.kind();
                    tracing::warn!(kind, code = problem.code, "part of the story was refused");
                    self.played.refused.push(problem);
                }
            }
        }
    }

    fn report(&mut self, line: &'static Line) -> Option<Report> {
        let based_on = self.known.until(line.seen);
        match self.cast.report(line, based_on) {
            Ok(report) => Some(report),
            Err(error) => {
                self.played.unsent += 1;
                tracing::warn!(error = %error, seconds = line.at.seconds(), "a line makes no sense");
                None
            }
        }
    }

    /// Resolves when the board's clock has reached this moment of the story.
    async fn wait(&self, moment: Moment) {
        let due: Timestamp = self.cast.board_time(moment);
        loop {
            let left = due.duration_since(self.clock.now());
            if left <= SignedDuration::ZERO {
                return;
            }
            tokio::time::sleep(nap(left, self.clock.rate())).await;
        }
    }
}

/// How long to sleep while so much board time is left.
fn nap(left: SignedDuration, rate: f64) -> Duration {
    if rate <= 0.0 {
        return SHORT_NAP;
    }
    Duration::try_from_secs_f64(left.as_secs_f64() / rate).map_or(NAP, |real| real.min(NAP))
}

impl Door {
    fn root(&self) -> String {
        let host = match self.address.ip() {
            ip if !ip.is_unspecified() => ip,
            IpAddr::V4(_) => IpAddr::V4(Ipv4Addr::LOCALHOST),
            IpAddr::V6(_) => IpAddr::V6(Ipv6Addr::LOCALHOST),
        };
        format!("http://{}", SocketAddr::new(host, self.address.port()))
    }

    fn code(&self, actor: Actor) -> &str {
        match actor.role {
            Role::Lead => &self.lead_words,
            // A deputy joins as a helper and is named by the lead.
            Role::Helper | Role::Deputy => &self.helper_code,
            Role::Evac => &self.evac_code,
            Role::Viewer => &self.viewer_code,
        }
    }
}
