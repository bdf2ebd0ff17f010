//! The incident as a question to the planner, and its answer in the incident's own ids.
//!
//! Owns the translation of reports into the planner's plain values. Promises: pure; times are whole minutes after the
//! moment it stands at; those on their way or being loaded are frozen, pins and holds are hard limits.

use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};

use super::transport::{Transport, TransportState};
use super::{Evacuation, Whereabouts, limits};
use crate::incident::casualty::Casualty;
use crate::incident::fact::{self, EvacAsked, EvacPriority, Need};
use crate::incident::ids::{CasualtyId, DestinationId, TransportId};
use crate::incident::state::Incident;
use crate::rules::evac;
use crate::rules::triage::Category;

/// No arrival is planned later than this: long enough that "left behind" means "no place" (a default of this board).
const HORIZON_MIN: i32 = 12 * 60;
/// A moment farther away than this, in minutes, is planned as if it were so far: a wild time from a form must not
/// overflow what is added to it. Forty days, far beyond the horizon.
const FARTHEST_MIN: i64 = 40 * 24 * 60;
/// Trips a transport makes while nobody said how many.
const TRIPS: usize = 9;

/// A trip in the incident's own ids and hours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedTrip {
    /// On what.
    pub transport: TransportId,
    /// To where.
    pub destination: DestinationId,
    /// Who.
    pub casualties: Vec<CasualtyId>,
    /// It leaves.
    pub departs: Timestamp,
    /// It is there.
    pub arrives: Timestamp,
    /// It is being loaded.
    pub loading: bool,
}

/// A plan as it stands at a moment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Planned {
    /// Trips by transport, in the order in which it makes them.
    pub trips: Vec<PlannedTrip>,
    /// Why they go on that trip, or on none.
    pub why: BTreeMap<CasualtyId, String>,
    /// Whom no trip takes.
    pub not_planned: Vec<CasualtyId>,
    /// How good it is known to be.
    pub standing: String,
}

/// What the planner is to go by beside the reports.
#[derive(Clone, Copy, Debug)]
pub struct Terms<'a> {
    /// The moment it stands at.
    pub as_of: Timestamp,
    /// The plan on screen, kept among equals.
    pub shown: &'a [PlannedTrip],
    /// The last light for helicopters that do not fly in the dark, where it is known.
    pub dusk: Option<Timestamp>,
    /// How hard to look.
    pub effort: evac::Effort,
    /// How a moment is said.
    pub hour: fn(Timestamp) -> String,
}

/// Plans the incident.
pub fn plan(incident: &Incident, terms: Terms<'_>) -> Planned {
    let mut question = Question::of(incident, terms.as_of, terms.hour);
    question.put_casualties();
    question.put_destinations();
    question.put_transports(terms.dusk);
    question.put_shown(terms.shown);
    question.put_loading(terms.shown);
    question.put_wishes();
    let answer = evac::plan_with(&question.problem, terms.effort);
    question.read(&answer)
}

pub(super) struct Question<'a> {
    pub(super) problem: evac::Problem,
    pub(super) incident: &'a Incident,
    pub(super) evacuation: &'a Evacuation,
    pub(super) as_of: Timestamp,
    pub(super) hour: fn(Timestamp) -> String,
    pub(super) transports: Vec<TransportId>,
    pub(super) destinations: Vec<DestinationId>,
}

pub(super) fn number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

impl<'a> Question<'a> {
    fn of(incident: &'a Incident, as_of: Timestamp, hour: fn(Timestamp) -> String) -> Self {
        let evacuation = incident.evacuation();
        let usable =
            |one: &&Transport| one.state != TransportState::Out && !limits::out_of_sight(one);
        Self {
            problem: evac::Problem {
                horizon: HORIZON_MIN,
                ..evac::Problem::default()
            },
            incident,
            evacuation,
            as_of,
            hour,
            transports: evacuation
                .transports
                .values()
                .filter(usable)
                .map(|one| one.id)
                .collect(),
            destinations: evacuation.destinations.keys().copied().collect(),
        }
    }

    /// Minutes after the moment this stands at, rounded up: nobody is said to be there before they are.
    pub(super) fn minute(&self, at: Timestamp) -> i32 {
        let seconds = at.as_second() - self.as_of.as_second();
        let minutes = seconds.div_euclid(60) + i64::from(seconds.rem_euclid(60) > 0);
        i32::try_from(minutes.clamp(-FARTHEST_MIN, FARTHEST_MIN)).unwrap_or(0)
    }

    fn put_casualties(&mut self) {
        let groups = limits::groups(self.incident);
        for casualty in self.incident.casualties() {
            let moving = match self.evacuation.whereabouts(casualty.id) {
                None | Some(Whereabouts::Loading { .. }) => false,
                // Whoever is on no trip that is known to be under way has gone all the same, and is not planned again.
                Some(Whereabouts::Gone {
                    arrived_at,
                    transport,
                    ..
                }) => {
                    if arrived_at.is_some() || !self.is_under_way(*transport, casualty.id) {
                        continue;
                    }
                    true
                }
                Some(Whereabouts::HandedOver { .. }) => continue,
            };
            let asked = casualty.evac.as_ref().map(|(_, asked)| asked);
            let loaded = self.evacuation.whereabouts(casualty.id).is_some();
            let dead = casualty.urgent_category() == Some(Category::Dead);
            if (asked.is_none() && !loaded) || (dead && !loaded && !moving) {
                continue;
            }
            let person = self.person(casualty, asked, groups.get(&casualty.id).copied());
            self.problem.casualties.push(person);
        }
    }

    fn person(
        &self,
        casualty: &Casualty,
        asked: Option<&EvacAsked>,
        group: Option<u32>,
    ) -> evac::Casualty {
        let priority = asked.map_or(EvacPriority::Soon, |asked| asked.priority);
        let needs = asked
            .map(|asked| asked.needs.as_slice())
            .unwrap_or_default();
        let escort = priority == EvacPriority::First || needs.contains(&Need::Escort);
        evac::Casualty {
            id: evac::CasualtyId(casualty.number),
            priority: limits::class(priority),
            posture: match asked.map_or(fact::Posture::Lying, |asked| asked.posture) {
                fact::Posture::Lying => evac::Posture::Lying,
                fact::Posture::Sitting => evac::Posture::Sitting,
                fact::Posture::Walking => evac::Posture::Walking,
            },
            ready: asked
                .and_then(|asked| asked.ready_at)
                .map_or(0, |at| self.minute(at).max(0)),
            // Counted from the injury, or from when they were met: a default of this board.
            deadline: evac::priority::deadline(
                limits::class(priority),
                Some(self.minute(casualty.history.injured_at().unwrap_or(casualty.met_at))),
                casualty.tourniquet_since().map(|on| self.minute(on)),
            ),
            needs: needs
                .iter()
                .filter_map(|need| limits::ability(*need))
                .collect(),
            aboard: needs
                .iter()
                .filter_map(|need| limits::equipment(*need))
                .collect(),
            escort: u16::from(escort),
            group,
        }
    }

    fn put_destinations(&mut self) {
        for (index, destination) in self.evacuation.destinations.values().enumerate() {
            let left = limits::places_left(self.incident, destination);
            let [first, second, third] = left.map(u32::from);
            self.problem.destinations.push(evac::Destination {
                id: evac::DestinationId(number(index)),
                places: [first, second, third, third],
                abilities: destination
                    .details
                    .abilities
                    .iter()
                    .map(|ability| match ability {
                        fact::Ability::Surgery => evac::Ability::Surgery,
                        fact::Ability::Burns => evac::Ability::Burns,
                        fact::Ability::Children => evac::Ability::Children,
                        fact::Ability::Neuro => evac::Ability::Neurosurgery,
                    })
                    .collect(),
            });
        }
    }

    fn put_transports(&mut self, dusk: Option<Timestamp>) {
        for (index, id) in self.transports.clone().into_iter().enumerate() {
            let Some(transport) = self.evacuation.transports.get(&id) else {
                continue;
            };
            let details = &transport.details;
            let flies = details.means == fact::TransportKind::Helicopter && !details.night;
            let last = match (details.last_departure, dusk.filter(|_| flies)) {
                (Some(said), Some(dusk)) => Some(said.min(dusk)),
                (said, dusk) => said.or(dusk),
            };
            let here = matches!(
                transport.state,
                TransportState::Here | TransportState::Back | TransportState::Loading
            );
            let made = transport.trips.len();
            let trips = details
                .trips
                .map_or(TRIPS, usize::from)
                .saturating_sub(made);
            let travel = self.evacuation.destinations.values().enumerate();
            let planned = evac::Transport {
                id: evac::TransportId(number(index)),
                layouts: details
                    .layouts
                    .iter()
                    .map(|layout| evac::Layout::new(layout.lying, layout.sitting))
                    .collect(),
                on_foot: details.means == fact::TransportKind::WalkingParty,
                attendants: details.attendants,
                equipment: details
                    .carries
                    .iter()
                    .map(|one| limits::carried(*one))
                    .collect(),
                available: if here {
                    0
                } else {
                    self.minute(transport.available_at).max(0)
                },
                load: details.load_minutes.into(),
                unload: details.unload_minutes.into(),
                last_departure: last.map(|at| self.minute(at)),
                trips: number(trips),
                travel: travel
                    .filter_map(|(index, destination)| {
                        let minutes = destination.minutes(transport)?;
                        Some((evac::DestinationId(number(index)), minutes.into()))
                    })
                    .collect(),
            };
            self.problem.transports.push(planned);
            self.put_left(index, transport);
        }
    }

    pub(super) fn numbered(&self, id: CasualtyId) -> Option<evac::CasualtyId> {
        self.incident.number(id).map(evac::CasualtyId)
    }

    pub(super) fn transport_number(&self, id: TransportId) -> Option<evac::TransportId> {
        let index = self.transports.iter().position(|known| *known == id)?;
        Some(evac::TransportId(number(index)))
    }

    fn at(&self, minute: i32) -> Timestamp {
        self.as_of + SignedDuration::from_mins(minute.into())
    }

    fn read(&self, answer: &evac::Plan) -> Planned {
        let by_number: BTreeMap<u32, CasualtyId> = self
            .incident
            .casualties()
            .map(|one| (one.number, one.id))
            .collect();
        let mut planned = Planned {
            standing: answer.standing(),
            ..Planned::default()
        };
        for timed in &answer.checked.trips {
            let (Some(transport), Some(destination)) = (
                self.transports.get(timed.trip.transport.0 as usize),
                self.destinations.get(timed.trip.destination.0 as usize),
            ) else {
                continue;
            };
            let who = timed.trip.casualties.iter();
            let casualties: Vec<CasualtyId> =
                who.filter_map(|id| by_number.get(&id.0).copied()).collect();
            planned.trips.push(PlannedTrip {
                transport: *transport,
                destination: *destination,
                loading: timed
                    .trip
                    .casualties
                    .iter()
                    .any(|id| self.problem.is_aboard(*id)),
                casualties,
                departs: self.at(timed.departs),
                arrives: self.at(timed.arrives),
            });
        }
        for (id, line) in &answer.lines {
            let Some(casualty) = by_number.get(&id.0).copied() else {
                continue;
            };
            if line.trip.is_none() && !self.problem.has_left(*id) {
                planned.not_planned.push(casualty);
            }
            planned.why.insert(casualty, line.words(self));
        }
        planned
    }
}

impl evac::Names for Question<'_> {
    fn casualty(&self, id: evac::CasualtyId) -> String {
        format!("casualty {}", id.0)
    }

    fn transport(&self, id: evac::TransportId) -> String {
        let known = self.transports.get(id.0 as usize);
        let known = known.and_then(|id| self.evacuation.transports.get(id));
        known.map_or_else(
            || "a transport".to_owned(),
            |one| one.details.name.to_string(),
        )
    }

    fn destination(&self, id: evac::DestinationId) -> String {
        let known = self.destinations.get(id.0 as usize);
        let known = known.and_then(|id| self.evacuation.destinations.get(id));
        known.map_or_else(
            || "a destination".to_owned(),
            |one| one.details.name.to_string(),
        )
    }

    fn time(&self, minute: i32) -> String {
        (self.hour)(self.at(minute))
    }
}
