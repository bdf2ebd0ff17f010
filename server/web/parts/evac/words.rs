//! Words to say: the incident report, those who leave next in every order there is, and the nine lines.

use askama::Template;
use jiff::Timestamp;

use super::super::{Shown, Stage, draw};
use super::message::MessageView;
use crate::exchange::messages::{self, Leaves, moment};
use crate::incident::evac::PlannedTrip;
use crate::incident::fact::Message;
use crate::incident::{Casualty, CasualtyId};
use crate::rules::place;
use crate::rules::words::{self, Structure};

/// How many handovers are ready to read: those who leave next.
const NEXT: usize = 3;

/// A casualty's messages.
struct WhoView {
    id: String,
    /// Read first.
    first: MessageView,
    /// The other orders.
    others: Vec<MessageView>,
}

#[derive(Template)]
#[template(path = "parts/evac_words.html")]
struct WordsPart {
    methane: MessageView,
    positions: Vec<(&'static str, String)>,
    unreadable: String,
    next: Vec<WhoView>,
    /// Number and id of everybody else who is here.
    others: Vec<(u32, String)>,
    nine: MessageView,
}

#[derive(Template)]
#[template(path = "parts/casualty_words.html")]
struct CasualtyWords {
    /// The record that was asked for: it may have been joined to another since the page was opened.
    asked: String,
    who: WhoView,
}

impl Stage<'_> {
    /// What to read out.
    pub(in crate::web) fn evac_words(&self) -> Shown {
        self.evac_part("evac-words", || draw(&self.words_part()))
    }

    /// What to read out about one casualty.
    pub(in crate::web) fn casualty_words(&self, id: CasualtyId) -> Shown {
        self.evac_part(&format!("words-{id}"), || {
            self.incident
                .casualty(id)
                .map(|casualty| {
                    draw(&CasualtyWords {
                        asked: id.to_string(),
                        who: self.who_says(casualty, self.planned_for(id)),
                    })
                })
                .unwrap_or_default()
        })
    }

    fn words_part(&self) -> WordsPart {
        let position = messages::position(self.incident);
        let next = self.next_to_leave();
        WordsPart {
            methane: self.methane(),
            positions: position
                .as_ref()
                .and_then(|read| read.as_ref().ok())
                .map(|position| positions(*position))
                .unwrap_or_default(),
            unreadable: match position {
                Some(Err(why)) => why.to_string(),
                _ => String::new(),
            },
            others: self
                .incident
                .casualties()
                .filter(|one| self.incident.evacuation().whereabouts(one.id).is_none())
                .filter(|one| next.iter().all(|(id, _)| *id != one.id))
                .map(|one| (one.number, one.id.to_string()))
                .collect(),
            next: next
                .into_iter()
                .filter_map(|(id, leaves)| {
                    Some(self.who_says(self.incident.casualty(id)?, Some(leaves)))
                })
                .collect(),
            nine: self.nine_lines(),
        }
    }

    /// As of the last report: a part does not depend on the present moment.
    fn said_until(&self) -> Timestamp {
        let last = self.incident.entries().last();
        last.map_or(Timestamp::UNIX_EPOCH, |entry| entry.recorded_at)
    }

    fn methane(&self) -> MessageView {
        let now = moment(self.said_until());
        let of = |number| {
            let incident = messages::incident_report(self.incident, number);
            words::methane(&incident, now, "lead")
        };
        let first = self.message(&of(1), Message::Methane, None);
        if first.number == 1 {
            return first;
        }
        // Its number follows from its lines, and stands in its title.
        self.message(&of(first.number), Message::Methane, None)
    }

    fn nine_lines(&self) -> MessageView {
        let report = words::nine_line(&messages::pick_up(self.incident));
        let report = report.unwrap_or_else(|differ| words::Report {
            title: differ.to_string(),
            lines: Vec::new(),
        });
        self.message(&report, Message::NineLine, None)
    }

    fn who_says(&self, casualty: &Casualty, leaves: Option<Leaves>) -> WhoView {
        let who = messages::casualty(self.incident, casualty, leaves);
        let now = moment(self.said_until());
        let say = |structure, message| {
            let report = words::handover(&who, structure, now);
            self.message(&report, message, Some(casualty))
        };
        WhoView {
            id: casualty.id.to_string(),
            first: say(Structure::Atmist, Message::Atmist),
            others: vec![
                say(Structure::AtmistFire, Message::Atmist)
                    .called("ATMIST, fire service's reading"),
                say(Structure::Mist, Message::Mist),
                say(Structure::ImistAmbo, Message::ImistAmbo),
                say(Structure::Sbar, Message::Sbar),
            ],
        }
    }

    /// Who leaves next by the plan, soonest first.
    fn next_to_leave(&self) -> Vec<(CasualtyId, Leaves)> {
        let standing = self.app.plans.standing(self.incident);
        let mut trips: Vec<&PlannedTrip> = standing.plan.trips.iter().collect();
        trips.sort_by_key(|trip| trip.departs);
        trips
            .into_iter()
            .flat_map(|trip| trip.casualties.iter().map(move |id| (*id, trip)))
            .take(NEXT)
            .map(|(id, trip)| (id, self.leaves(trip)))
            .collect()
    }

    fn planned_for(&self, id: CasualtyId) -> Option<Leaves> {
        let standing = self.app.plans.standing(self.incident);
        let mut trips = standing.plan.trips.iter();
        let trip = trips.find(|trip| trip.casualties.contains(&id))?;
        Some(self.leaves(trip))
    }

    fn leaves(&self, trip: &PlannedTrip) -> Leaves {
        let transport = self.incident.evacuation().transports.get(&trip.transport);
        Leaves {
            on: transport
                .map(|one| one.details.name.to_string())
                .unwrap_or_default(),
            at: trip.departs,
            arrives: trip.arrives,
        }
    }
}

/// A position in every form.
fn positions(position: place::Position) -> Vec<(&'static str, String)> {
    let or_why =
        |written: Result<String, place::Polar>| written.unwrap_or_else(|why| why.to_string());
    vec![
        ("degrees", position.decimal()),
        ("minutes", position.minutes()),
        ("seconds", position.seconds()),
        ("UTM", or_why(position.utm())),
        ("MGRS", or_why(position.mgrs())),
    ]
}
