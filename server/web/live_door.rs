//! The live endpoint: a stream of the parts that changed.
//!
//! The event id is the journal position, so that a reconnect resumes exactly. Heartbeats are real events:
//! comments would keep the connection warm but a page cannot see them.

use std::convert::Infallible;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::Sse;
use axum::response::sse::Event;
use futures_util::Stream;
use futures_util::stream;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

use super::app::App;
use super::notices::{Notice, notices};
use super::parts::changed;
use super::presence::{Contact, contacts};
use super::problem::Problem;
use super::restoration::can_be_rebuilt_on;
use super::session::Session;
use crate::incident::{BoardId, Deed, DeviceId, HeadSeen, Role, Seq};
use crate::journal::Storage;
use crate::live::{Cursor, View, Views, Wake};

/// How often a stream says that the board lives, news or not.
const PULSE: Duration = Duration::from_secs(5);

/// Where to resume from.
#[derive(Debug, Default, Deserialize)]
pub(super) struct Since {
    /// The position the page was rendered at.
    since: Option<u64>,
}

#[derive(Serialize)]
struct Pulse<'a> {
    board: BoardId,
    /// Whom this browser speaks for now; a page made for another must not go on as if it were theirs.
    device: DeviceId,
    role: &'static str,
    /// What the lead has made of it since, where that is another role: to be taken up with a fresh session.
    #[serde(skip_serializing_if = "Option::is_none")]
    granted: Option<&'static str>,
    now: Timestamp,
    rate: f64,
    seq: Seq,
    check: &'a str,
    /// Whether this device keeps the whole record, as the lead chose.
    keeps: bool,
    /// Where the journal stands, for the device to remember and to compare later.
    head: Option<HeadSeen>,
    build: &'a str,
    /// Where the times and systems in a page's forms last changed: an older page must be made anew.
    forms: Seq,
    /// What every screen must be told about the board itself.
    notices: Vec<Notice>,
    /// Which state of who is in this is, for a device that keeps that beside the record; for the lead alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    admits: Option<u64>,
    /// Who was last heard of; for the lead alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    people: Vec<Contact>,
    /// Whether a lost board can be rebuilt on this one: it holds nothing yet; for the lead alone.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    untouched: bool,
}

#[derive(Serialize)]
struct Goodbye {
    reason: &'static str,
}

/// `GET /live/{views}?since=SEQ`.
pub(super) async fn stream(
    State(app): State<App>,
    session: Session,
    Path(views): Path<String>,
    Query(query): Query<Since>,
    headers: HeaderMap,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let views: Views = views.parse().map_err(|error: crate::live::ViewError| {
        Problem::new(
            axum::http::StatusCode::NOT_FOUND,
            "no-such-view",
            "There is no such view",
            error.to_string(),
        )
    })?;
    for view in views.iter() {
        session.permit(match view {
            View::Summary | View::Pulse => Deed::SeeSummary,
            View::Settings => Deed::ChangeSettings,
            View::Lead => Deed::ManageDevices,
            _ => Deed::SeeCasualties,
        })?;
    }
    let place = Place::take(&app)?;
    app.sessions.presence.opened(session.device);
    let last = headers
        .get("last-event-id")
        .and_then(|id| id.to_str().ok())
        .and_then(|id| id.parse().ok());
    let since = Seq(last.or(query.since).unwrap_or(0));
    let cursor = Cursor::new(app.journal.watch(), since);
    let watcher = Watcher {
        ended: session.opens_stream(&app.limits),
        storage: app.journal.watch_storage(),
        app,
        session,
        views,
        cursor,
        greeted: false,
        pulsed: Instant::now(),
        over: false,
        _place: place,
    };
    Ok(Sse::new(stream::unfold(
        watcher,
        |mut watcher| async move {
            let event = watcher.next().await?;
            Some((Ok(event), watcher))
        },
    )))
}

struct Watcher {
    app: App,
    session: Session,
    /// This stream's own end; the session's ends it too.
    ended: CancellationToken,
    storage: watch::Receiver<Storage>,
    views: Views,
    cursor: Cursor,
    greeted: bool,
    pulsed: Instant,
    over: bool,
    _place: Place,
}

impl Watcher {
    async fn next(&mut self) -> Option<Event> {
        if self.over {
            return None;
        }
        if !self.greeted {
            self.greeted = true;
            return Some(self.pulse("hello").retry(Duration::from_secs(2)));
        }
        loop {
            // Also while there is news all the time: a page learns the time and where the journal stands from it.
            if self.pulsed.elapsed() >= PULSE {
                return Some(self.pulse("heartbeat"));
            }
            tokio::select! {
                biased;
                () = self.session.ended.cancelled() => return Some(self.goodbye("revoked")),
                () = self.session.changed.cancelled() => return Some(self.goodbye("role")),
                () = self.ended.cancelled() => return Some(self.goodbye("replaced")),
                () = self.app.stopping.cancelled() => return Some(self.goodbye("stopping")),
                Ok(()) = self.storage.changed() => return Some(self.pulse("heartbeat")),
                wake = self.cursor.wake() => match wake {
                    Wake::Ended => return None,
                    Wake::Heartbeat(_) => return Some(self.pulse("heartbeat")),
                    Wake::News(_) => {
                        if let Some(event) = self.changed_role().or_else(|| self.news()) {
                            return Some(event);
                        }
                    }
                },
            }
        }
    }

    /// What changed for these views since the last send; nothing when it changed for others only.
    fn news(&mut self) -> Option<Event> {
        let changed = changed(&self.app, &self.session, &self.views, self.cursor.seen());
        self.cursor.sent(changed.seq);
        if changed.parts.is_empty() && changed.gone.is_empty() {
            return None;
        }
        Some(event("parts", &changed).id(changed.seq.to_string()))
    }

    /// The last word of a stream whose device may do something else now than when it began: the page loads again, and
    /// what it asks for then is judged anew.
    fn changed_role(&mut self) -> Option<Event> {
        let (device, held) = (self.session.device, self.session.role);
        let now = self
            .app
            .journal
            .read(|incident| incident.role_now(device, held));
        if now == held {
            return None;
        }
        self.session.role = now;
        let event = self.pulse("heartbeat");
        self.over = true;
        Some(event)
    }

    fn pulse(&mut self, name: &str) -> Event {
        self.pulsed = Instant::now();
        let (device, used_as) = (self.session.device, self.session.role);
        let (head, epoch, role, keeps, forms, notices, untouched) =
            self.app.journal.read(|incident| {
                let epoch = incident.epochs().last().map(|epoch| epoch.id);
                let keeps = incident.keeps_record(device, used_as);
                (
                    self.app.journal.head(),
                    epoch,
                    incident.role_of(device),
                    keeps,
                    incident.touched().forms,
                    notices(&self.app, incident),
                    can_be_rebuilt_on(&self.app, incident, used_as),
                )
            });
        let manages = self.session.role.may(Deed::ManageDevices);
        let pulse = Pulse {
            board: self.app.board,
            device: self.session.device,
            role: self.session.role.code(),
            granted: role
                .filter(|role| *role == Role::Deputy && self.session.role != Role::Deputy)
                .map(Role::code),
            now: self.app.journal.now(),
            rate: self.app.journal.clock().rate(),
            // What this stream has sent, not the head: a page must not believe it saw what is still to come.
            seq: self.cursor.seen(),
            check: &head.check,
            keeps,
            head: epoch.map(|epoch| HeadSeen {
                epoch,
                seq: head.seq,
                check: head.check.clone(),
            }),
            build: self.app.assets.build(),
            forms,
            notices,
            admits: manages.then(|| self.app.sessions.admits_now()),
            people: if manages {
                contacts(&self.app)
            } else {
                Vec::new()
            },
            untouched,
        };
        event(name, &pulse)
    }

    fn goodbye(&mut self, reason: &'static str) -> Event {
        self.over = true;
        event("bye", &Goodbye { reason })
    }
}

fn event<T: Serialize>(name: &str, data: &T) -> Event {
    Event::default()
        .event(name)
        .json_data(data)
        .expect("OK because these have only string keys")
}

/// One of the streams the server may hold; given back on drop.
struct Place(App);

impl Place {
    fn take(app: &App) -> Result<Self, Problem> {
        let open = app.streams.fetch_add(1, Ordering::Relaxed);
        let place = Self(app.clone());
        if open < app.limits.streams {
            Ok(place)
        } else {
            Err(Problem::slow_down(
                "too-many-streams",
                "Too many screens are live. This one tries again by itself.",
                15,
            ))
        }
    }
}

impl Drop for Watcher {
    fn drop(&mut self) {
        // Its place in the session is free again.
        self.ended.cancel();
        let now = self.app.journal.now();
        self.app.sessions.presence.closed(self.session.device, now);
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.0.streams.fetch_sub(1, Ordering::Relaxed);
    }
}
