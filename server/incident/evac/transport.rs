//! A transport: what it is, how it stands, who is on it, and its trips.

use jiff::Timestamp;

use super::Whereabouts;
use crate::incident::entry::Entry;
use crate::incident::fact::{Fact, Minutes, TransportAdded, TransportSaid};
use crate::incident::ids::{CasualtyId, DestinationId, TransportId};
use crate::incident::text::Note;
use crate::rules::evac::Way;

/// A transport and how it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Transport {
    /// Its id.
    pub id: TransportId,
    /// What is known of it, later reports worked in.
    pub details: TransportAdded,
    /// When it is, or was first, at the loading place.
    pub available_at: Timestamp,
    /// How it stands.
    pub state: TransportState,
    /// Since when.
    pub since: Timestamp,
    /// Why, where somebody said.
    pub reason: Option<Note>,
    /// Who is on it and has not left.
    pub aboard: Vec<CasualtyId>,
    /// Trips made and under way, in order.
    pub trips: Vec<Trip>,
}

/// How a transport stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum TransportState {
    /// On its way here.
    Expected,
    /// At the loading place.
    Here,
    /// People are being loaded.
    Loading,
    /// On a trip.
    Gone,
    /// At the loading place again.
    Back,
    /// Not to be counted on.
    Out,
}

/// A trip that was made or is under way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trip {
    /// For where.
    pub destination: Option<DestinationId>,
    /// Left at.
    pub left_at: Timestamp,
    /// Arrived at.
    pub arrived_at: Option<Timestamp>,
    /// Who is on it.
    pub casualties: Vec<CasualtyId>,
}

/// Whether a loaded casualty waits or is gone already: people may be written down after the transport left.
pub(super) enum Loaded {
    Waits,
    Gone(Trip),
}

/// What was reported of one transport, on the way to what it adds up to.
#[derive(Debug, Default)]
pub(super) struct Moves {
    details: Option<TransportAdded>,
    available_at: Option<Timestamp>,
    state: Option<TransportState>,
    since: Option<Timestamp>,
    reason: Option<Note>,
    aboard: Vec<CasualtyId>,
    trips: Vec<Trip>,
}

impl Moves {
    /// Takes a report; gives the trip that it changed.
    pub(super) fn take(&mut self, entry: &Entry) -> Option<Trip> {
        let at = entry.happened_at;
        match &entry.fact {
            Fact::TransportAdded(added) => self.add(added, at),
            Fact::TransportChanged(_) => self.change(entry),
            Fact::TransportStands(stands) => {
                let state = match stands.state {
                    TransportSaid::Expected => TransportState::Expected,
                    TransportSaid::Here => TransportState::Here,
                    TransportSaid::Back => TransportState::Back,
                    TransportSaid::Out => TransportState::Out,
                };
                let was_gone = self.state == Some(TransportState::Gone);
                self.stand(state, at, stands.reason.clone());
                // It is here again: wherever it went, it was there by now at the latest.
                if was_gone
                    && matches!(state, TransportState::Here | TransportState::Back)
                    && let Some(trip) = self.trips.last_mut()
                    && trip.arrived_at.is_none()
                {
                    trip.arrived_at = Some(at);
                    return Some(trip.clone());
                }
            }
            Fact::TransportLeft(left) => {
                self.stand(TransportState::Gone, at, None);
                let trip = Trip {
                    destination: left.destination,
                    left_at: at,
                    arrived_at: None,
                    casualties: std::mem::take(&mut self.aboard),
                };
                self.trips.push(trip.clone());
                return Some(trip);
            }
            Fact::TransportArrived(_) => {
                let trip = self.trips.last_mut()?;
                trip.arrived_at.get_or_insert(at);
                return Some(trip.clone());
            }
            _ => {}
        }
        None
    }

    fn add(&mut self, added: &TransportAdded, at: Timestamp) {
        let available = added.available_at.unwrap_or(at);
        self.available_at = Some(available);
        self.details = Some(added.clone());
        if self.state.is_none() {
            let state = if available > at {
                TransportState::Expected
            } else {
                TransportState::Here
            };
            self.stand(state, at, None);
        }
    }

    fn change(&mut self, entry: &Entry) {
        let (Fact::TransportChanged(said), Some(known)) = (&entry.fact, self.details.as_mut())
        else {
            return;
        };
        said.name.clone_into_some(&mut known.name);
        said.layouts.clone_into_some(&mut known.layouts);
        said.attendants.clone_into_some(&mut known.attendants);
        said.load_minutes.clone_into_some(&mut known.load_minutes);
        said.unload_minutes
            .clone_into_some(&mut known.unload_minutes);
        said.night.clone_into_some(&mut known.night);
        known.last_departure = said.last_departure.or(known.last_departure);
        known.trips = said.trips.or(known.trips);
        known.note = said.note.clone().or_else(|| known.note.take());
        self.available_at = said.available_at.or(self.available_at);
    }

    fn stand(&mut self, state: TransportState, at: Timestamp, reason: Option<Note>) {
        self.state = Some(state);
        self.since = Some(at);
        self.reason = reason;
    }

    /// Puts somebody on; on a transport that has left they are on the trip it is on.
    pub(super) fn load(&mut self, id: CasualtyId, at: Timestamp) -> Loaded {
        if self.state == Some(TransportState::Gone)
            && let Some(trip) = self.trips.last_mut()
        {
            if !trip.casualties.contains(&id) {
                trip.casualties.push(id);
            }
            return Loaded::Gone(trip.clone());
        }
        if self.aboard.is_empty() || self.state != Some(TransportState::Loading) {
            self.stand(TransportState::Loading, at, None);
        }
        self.aboard.push(id);
        Loaded::Waits
    }

    /// Takes somebody off; also of a trip under way, where it turns out that they are not on it.
    pub(super) fn unload(&mut self, id: CasualtyId) {
        if let Some(trip) = self.trips.last_mut()
            && trip.arrived_at.is_none()
        {
            trip.casualties.retain(|one| *one != id);
        }
        self.hand_over(id);
    }

    /// Somebody else has them: they are no more among those who wait on it. Trips keep who was on them.
    pub(super) fn hand_over(&mut self, id: CasualtyId) {
        let before = self.aboard.len();
        self.aboard.retain(|one| *one != id);
        if self.aboard.len() < before
            && self.aboard.is_empty()
            && self.state == Some(TransportState::Loading)
        {
            self.state = Some(TransportState::Here);
        }
    }

    /// What it adds up to; nothing where nobody said what it is.
    pub(super) fn into_transport(self, id: TransportId) -> Option<Transport> {
        Some(Transport {
            id,
            details: self.details?,
            available_at: self.available_at?,
            state: self.state?,
            since: self.since?,
            reason: self.reason,
            aboard: self.aboard,
            trips: self.trips,
        })
    }
}

/// What was said replaces what was known; what was not said stays.
trait Said<T> {
    fn clone_into_some(&self, known: &mut T);
}

impl<T: Clone> Said<T> for Option<T> {
    fn clone_into_some(&self, known: &mut T) {
        if let Some(said) = self {
            *known = said.clone();
        }
    }
}

impl Loaded {
    pub(super) fn whereabouts(&self, transport: TransportId, at: Timestamp) -> Whereabouts {
        match self {
            Self::Waits => Whereabouts::Loading { transport, at },
            Self::Gone(trip) => trip.whereabouts(transport),
        }
    }
}

impl Trip {
    pub(super) fn whereabouts(&self, transport: TransportId) -> Whereabouts {
        Whereabouts::Gone {
            transport,
            destination: self.destination,
            left_at: self.left_at,
            arrived_at: self.arrived_at,
        }
    }
}

impl Transport {
    /// The trip it is on, while it is on one.
    pub fn under_way(&self) -> Option<&Trip> {
        self.trips
            .last()
            .filter(|_| self.state == TransportState::Gone)
    }
}

impl TransportState {
    /// The stored code, which is also the word but for "out".
    pub const fn code(self) -> &'static str {
        match self {
            Self::Expected => "expected",
            Self::Here => "here",
            Self::Loading => "loading",
            Self::Gone => "gone",
            Self::Back => "back",
            Self::Out => "out",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Out => "out of use",
            other => other.code(),
        }
    }
}

impl Minutes {
    /// One way, by this way.
    pub const fn by(&self, way: Way) -> Option<u16> {
        match way {
            Way::Road => self.road,
            Way::Air => self.air,
            Way::Foot => self.foot,
            Way::Water => self.water,
        }
    }
}
