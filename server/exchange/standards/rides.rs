//! Who went on which trip: one row for each casualty and trip, those being loaded included.
//!
//! Owns the row that tables and resources of trips are made from. It follows from what was reported of transports and of
//! handing over.

use std::collections::BTreeMap;

use jiff::Timestamp;

use crate::incident::evac::Whereabouts;
use crate::incident::{CasualtyId, DestinationId, Incident, TransportId};

/// A casualty on a trip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Ride {
    pub(super) transport: TransportId,
    /// What the transport is called.
    pub(super) name: String,
    /// Its first trip is 1.
    pub(super) trip: usize,
    pub(super) casualty: CasualtyId,
    pub(super) destination: Option<DestinationId>,
    /// On it since; known only before it left.
    pub(super) loaded_at: Option<Timestamp>,
    pub(super) left_at: Option<Timestamp>,
    pub(super) arrived_at: Option<Timestamp>,
    /// Whether they went on no later one.
    pub(super) is_last: bool,
    /// When, and to whom, they were handed over after their last trip.
    pub(super) handed_over: Option<(Timestamp, String)>,
}

/// Every ride there was or is, transport by transport.
pub(super) fn rides(incident: &Incident) -> Vec<Ride> {
    let evacuation = incident.evacuation();
    let mut rides = Vec::new();
    for transport in evacuation.transports.values() {
        let ride = |trip, casualty| Ride {
            transport: transport.id,
            name: transport.details.name.to_string(),
            trip,
            casualty,
            destination: None,
            loaded_at: None,
            left_at: None,
            arrived_at: None,
            is_last: false,
            handed_over: None,
        };
        for (at, trip) in transport.trips.iter().enumerate() {
            rides.extend(trip.casualties.iter().map(|casualty| Ride {
                destination: trip.destination,
                left_at: Some(trip.left_at),
                arrived_at: trip.arrived_at,
                ..ride(at + 1, *casualty)
            }));
        }
        rides.extend(transport.aboard.iter().map(|casualty| Ride {
            loaded_at: match evacuation.whereabouts(*casualty) {
                Some(Whereabouts::Loading { at, .. }) => Some(*at),
                _ => None,
            },
            ..ride(transport.trips.len() + 1, *casualty)
        }));
    }
    hand_over(incident, &mut rides);
    rides
}

/// Handing over ends the last trip somebody was on.
fn hand_over(incident: &Incident, rides: &mut [Ride]) {
    let mut last: BTreeMap<CasualtyId, usize> = BTreeMap::new();
    for (at, ride) in rides.iter().enumerate() {
        let newest = last.entry(ride.casualty).or_insert(at);
        // One that is being loaded comes after all that left.
        let is_later = match (rides[*newest].left_at, ride.left_at) {
            (Some(before), Some(after)) => before < after,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if is_later {
            *newest = at;
        }
    }
    for (casualty, at) in last {
        rides[at].is_last = true;
        if let Some(Whereabouts::HandedOver { to, at: when, .. }) =
            incident.evacuation().whereabouts(casualty)
            && rides[at].left_at.is_some_and(|left| left <= *when)
        {
            rides[at].handed_over = Some((*when, to.to_string()));
        }
    }
}
