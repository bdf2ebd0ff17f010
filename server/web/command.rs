//! Handing over command: one leads, offers it to another, who reads three things back and takes it.
//!
//! Owns the offer, which is not a fact: only the handing over is, written once when both have agreed. Promises: nobody
//! leads who was not offered it; what was read back stands in the log, also where it differed from the board; the one
//! who led goes on as a helper, with the same session.

use std::sync::Mutex;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Html;
use jiff::{SignedDuration, Timestamp};
use serde::Deserialize;

use super::app::App;
use super::json::Body;
use super::notices::Notice;
use super::page::{Frame, html};
use super::parts::{Asked, Stage};
use super::problem::Problem;
use super::secure::Way;
use super::session::Session;
use super::view::{Moment, hour};
use crate::clock::fresh_id;
use crate::incident::fact::CommandHandedOver;
use crate::incident::{About, Author, Deed, DeviceId, EntryId, Fact, Incident, Note, Report, Role};
use crate::live::View;

/// How long every screen says who leads now (a default of this board).
const TOLD_FOR: SignedDuration = SignedDuration::from_mins(5);
/// An offer that nobody took up is over after this (a default of this board).
const OFFER_STANDS: SignedDuration = SignedDuration::from_mins(15);

/// Command as it is being offered, by whom and to whom.
#[derive(Debug, Default)]
pub struct Offer(Mutex<Option<Offered>>);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Offered {
    from: DeviceId,
    to: DeviceId,
    at: Timestamp,
}

impl Offer {
    fn standing(&self, now: Timestamp) -> Option<Offered> {
        let mut kept = self.lock();
        *kept = kept.filter(|offered| now.duration_since(offered.at) < OFFER_STANDS);
        *kept
    }

    fn set(&self, offered: Option<Offered>) {
        *self.lock() = offered;
    }

    /// Ends this very offer; it can be taken once.
    fn takes(&self, offered: Offered) -> bool {
        self.lock()
            .take_if(|standing| *standing == offered)
            .is_some()
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Option<Offered>> {
        self.0
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

/// What every screen is told: that command is offered, and for a while who leads now.
pub(super) fn notice(app: &App, incident: &Incident) -> Option<Notice> {
    let now = app.journal.now();
    let offered = app.offer.standing(now);
    if let Some(offered) = offered {
        let words = format!(
            "COMMAND: {} hands it over to {}. {}, open this and read back.",
            name(incident, offered.from),
            name(incident, offered.to),
            name(incident, offered.to)
        );
        return Some(Notice {
            code: "command-offered",
            words,
            page: Some("/command"),
        });
    }
    if let Some(closed) = incident.closed() {
        return Some(Notice {
            code: "closed",
            words: format!(
                "CLOSED at {} by {}: everybody is accounted for. Reports are still taken.",
                hour(closed.at),
                closed.by
            ),
            page: None,
        });
    }
    let over = incident.handed_over()?;
    let lately = now.duration_since(over.at) < TOLD_FOR;
    lately.then(|| Notice {
        code: "command",
        words: format!(
            "COMMAND: {} leads since {}, in place of {}.",
            name(incident, over.to),
            hour(over.at),
            name(incident, over.from)
        ),
        page: None,
    })
}

fn name(incident: &Incident, device: DeviceId) -> String {
    incident
        .person(device)
        .map_or_else(|| "somebody".to_owned(), |one| one.name.to_string())
}

#[derive(Template)]
#[template(path = "command.html")]
struct CommandPage {
    frame: Frame,
    /// Who leads, since when, and after whom.
    lead: String,
    since: Option<Moment>,
    after: String,
    briefing: String,
    may_offer: bool,
    takers: String,
    /// Who hands over to whom just now.
    offered: Option<(String, String)>,
    is_mine: bool,
    trips: String,
    open: String,
    is_closed: bool,
}

/// `GET /command`: who is in command; for the lead how to hand it over, for who is offered it how to take it.
///
/// Never kept by a browser: an offer is no part of the journal, so a kept copy would miss the form to read back.
pub(super) async fn page(
    State(app): State<App>,
    session: Session,
) -> Result<Html<String>, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let now = app.journal.now();
    let offered = app.offer.standing(now);
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let over = incident.handed_over();
        let lead = incident.in_command();
        let took = over.filter(|over| lead.is_some_and(|lead| lead.device == over.to));
        let mine = |device| device == session.device;
        CommandPage {
            frame: Frame::new(
                &app,
                &session,
                incident,
                "command",
                View::Command.to_string(),
            ),
            lead: lead.map(|lead| lead.name.to_string()).unwrap_or_default(),
            since: took
                .map(|over| over.at)
                .or(lead.map(|lead| lead.joined_at))
                .map(Moment::from),
            after: took
                .map(|over| name(incident, over.from))
                .unwrap_or_default(),
            briefing: stage.briefing().html(),
            may_offer: session.role.may(Deed::HandOverCommand),
            takers: stage.command_takers().html(),
            offered: offered
                .map(|offered| (name(incident, offered.from), name(incident, offered.to))),
            is_mine: offered.is_some_and(|offered| mine(offered.to)),
            trips: stage.command_trips().html(),
            open: stage.command_open().html(),
            is_closed: incident.closed().is_some(),
        }
    });
    html(&page)
}

/// To whom command is offered; nobody takes an offer back.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct To {
    #[serde(default)]
    to: Option<DeviceId>,
}

/// `POST /command/offer`: the one who leads hands it over; the first of two confirmations.
pub(super) async fn offer(
    State(app): State<App>,
    session: Session,
    Body(To { to }): Body<To>,
) -> Result<StatusCode, Problem> {
    session.permit(Deed::HandOverCommand)?;
    if app.journal.is_following() {
        return Err(Problem::not_allowed());
    }
    let Some(to) = to else {
        app.offer.set(None);
        return Ok(StatusCode::NO_CONTENT);
    };
    let can_lead = app.sessions.has(to)
        && to != session.device
        && app.journal.read(|incident| {
            let person = incident.person(to);
            person.is_some_and(|person| person.role != Role::Viewer)
        });
    if !can_lead {
        return Err(Problem::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "cannot-lead",
            "They cannot take command",
            "Who takes command must have joined with a phone of their own that is still in. Let them join with the code, then choose them again.",
        ));
    }
    app.offer.set(Some(Offered {
        from: session.device,
        to,
        at: app.journal.now(),
    }));
    Ok(StatusCode::NO_CONTENT)
}

/// What the one who takes command reads back.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReadBack {
    /// How many immediate ones are here.
    immediate: usize,
    /// Whose tourniquet runs longest; 0 for nobody's.
    tourniquet: u32,
    /// Which transport leaves next; empty for none.
    trip: String,
    /// Take over though it differs from the board.
    #[serde(default)]
    all_the_same: bool,
}

/// `POST /command/taking`: reads back and takes command; the second confirmation, and the one entry.
pub(super) async fn take(
    State(app): State<App>,
    session: Session,
    way: Way,
    Body(said): Body<ReadBack>,
) -> Result<StatusCode, Problem> {
    session.permit(Deed::SeeCasualties)?;
    // Before anything is written: nobody must come to lead on a way that refuses whoever leads.
    way.permit(&app, Role::Lead)?;
    let now = app.journal.now();
    let offered = app
        .offer
        .standing(now)
        .filter(|offered| offered.to == session.device)
        .ok_or_else(not_offered)?;
    let read_back = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let asked = stage.asked();
        let differs = said.differs_from(&asked);
        if differs.is_empty() || said.all_the_same {
            Ok(said.words(&differs))
        } else {
            Err(differs)
        }
    });
    let read_back = read_back.map_err(|differs| {
        Problem::new(
            StatusCode::CONFLICT,
            "read-back-differs",
            "The board says otherwise",
            format!(
                "The board says: {}. Look at it together and read back again, or take command all the same: both stand in the log.",
                differs.join("; ")
            ),
        )
    })?;
    hand_over(&app, offered, read_back).await?;
    Ok(StatusCode::NO_CONTENT)
}

fn not_offered() -> Problem {
    Problem::new(
        StatusCode::CONFLICT,
        "not-offered",
        "Command is not offered to you",
        "Whoever leads must choose you on their page first. Ask them to do it again, then read back.",
    )
}

impl ReadBack {
    /// What the board says otherwise.
    fn differs_from(&self, asked: &Asked) -> Vec<String> {
        let mut differs = Vec::new();
        if self.immediate != asked.immediate {
            differs.push(format!("{} immediate here", asked.immediate));
        }
        if self.tourniquet != asked.tourniquet {
            differs.push(tourniquet_words(asked.tourniquet));
        }
        if self.trip != asked.trip {
            differs.push(trip_words(&asked.trip));
        }
        differs
    }

    fn words(&self, differs: &[String]) -> String {
        let mut words = format!(
            "{} immediate here; {}; {}",
            self.immediate,
            tourniquet_words(self.tourniquet),
            trip_words(&self.trip)
        );
        if !differs.is_empty() {
            words = format!("{words}. The board said: {}", differs.join("; "));
        }
        words.chars().take(280).collect()
    }
}

fn tourniquet_words(number: u32) -> String {
    if number == 0 {
        "no tourniquet runs".to_owned()
    } else {
        format!("casualty {number} has the oldest tourniquet")
    }
}

fn trip_words(transport: &str) -> String {
    if transport.is_empty() {
        "no trip is planned".to_owned()
    } else {
        format!("{transport} leaves next")
    }
}

async fn hand_over(app: &App, offered: Offered, read_back: String) -> Result<(), Problem> {
    let author = app.journal.read(|incident| {
        let name = incident.person(offered.to)?.name.clone();
        Some(Author {
            device: offered.to,
            name,
            // The board writes it: both have agreed.
            role: None,
            skill: None,
        })
    });
    let author = author.ok_or_else(Problem::no_such_page)?;
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: app.journal.now(),
        based_on: app.journal.head().seq,
        time_unsure: false,
        epoch: None,
        fact: Fact::CommandHandedOver(CommandHandedOver {
            from: offered.from,
            to: offered.to,
            read_back: Note::new(&read_back).map_err(|_| Problem::no_such_page())?,
        }),
    };
    // Over at once: the same offer taken twice is one entry.
    if !app.offer.takes(offered) {
        return Err(not_offered());
    }
    let receipts = match app.journal.append(vec![report], author).await {
        Ok(receipts) => receipts,
        Err(error) => {
            app.offer.set(Some(offered));
            return Err(error.into());
        }
    };
    if let Some(refusal) = receipts.into_iter().find_map(Result::err) {
        return Err(refusal.into());
    }
    // The record says who leads; sessions follow it, at once, and after a restart too (`Incident::role_now`).
    let mut stored = app.sessions.give_role(offered.to, Role::Lead);
    stored.extend(app.sessions.give_role(offered.from, Role::Helper));
    for session in stored {
        if let Err(error) = app.journal.change_session(session).await {
            tracing::warn!(%error, "a session's new role was not stored; the record has it");
        }
    }
    Ok(())
}
