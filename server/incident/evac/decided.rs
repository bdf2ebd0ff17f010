//! What people have decided, as the planner's limits: trips that have left or are being loaded, the plan on screen,
//! pins and holds.

use jiff::SignedDuration;

use super::question::{PlannedTrip, Question, number};
use super::transport::{Transport, TransportState, Trip};
use super::{Whereabouts, Wish};
use crate::incident::ids::{CasualtyId, TransportId};
use crate::rules::evac;

impl Question<'_> {
    /// The trip a transport is on, to which destination, and how long that takes; none where that is not known.
    fn way_of<'t>(&self, transport: &'t Transport) -> Option<(&'t Trip, usize, i32)> {
        let trip = transport.under_way()?;
        let id = trip.destination?;
        let at = self.destinations.iter().position(|known| *known == id)?;
        let minutes = self.evacuation.destinations.get(&id)?.minutes(transport)?;
        Some((trip, at, i32::from(minutes)))
    }

    /// Whether somebody is on a trip that is put to the planner as one that has left.
    pub(super) fn is_under_way(&self, transport: TransportId, id: CasualtyId) -> bool {
        self.transports.contains(&transport)
            && self
                .evacuation
                .transports
                .get(&transport)
                .and_then(|one| self.way_of(one))
                .is_some_and(|(trip, ..)| trip.casualties.contains(&id))
    }

    /// A transport on its way: frozen, and back when it can be.
    pub(super) fn put_left(&mut self, index: usize, transport: &Transport) {
        let Some((trip, at, travel)) = self.way_of(transport) else {
            return;
        };
        let expected = trip.left_at + SignedDuration::from_mins(travel.into());
        let own = self.transports.get(index).copied();
        let casualties = trip
            .casualties
            .iter()
            // Who was loaded on something else since is that one's.
            .filter(|id| !self.is_loading_elsewhere(**id, own))
            .filter_map(|id| self.numbered(*id))
            .collect();
        self.problem.left.push(evac::LeftTrip {
            transport: evac::TransportId(number(index)),
            destination: evac::DestinationId(number(at)),
            casualties,
            arrives: self.minute(trip.arrived_at.unwrap_or(expected)),
            travel,
        });
    }

    fn is_loading_elsewhere(&self, id: CasualtyId, own: Option<TransportId>) -> bool {
        matches!(
            self.evacuation.whereabouts(id),
            Some(Whereabouts::Loading { transport, .. }) if Some(*transport) != own
        )
    }

    pub(super) fn put_shown(&mut self, shown: &[PlannedTrip]) {
        for trip in shown {
            let destination = self
                .destinations
                .iter()
                .position(|id| *id == trip.destination);
            let (Some(transport), Some(destination)) =
                (self.transport_number(trip.transport), destination)
            else {
                continue;
            };
            self.problem.shown.push(evac::Trip {
                transport,
                destination: evac::DestinationId(number(destination)),
                casualties: trip
                    .casualties
                    .iter()
                    .filter_map(|id| self.numbered(*id))
                    .collect(),
            });
        }
    }

    /// Where a transport that is being loaded goes: as the plan on screen has it, else to the nearest.
    pub(super) fn put_loading(&mut self, shown: &[PlannedTrip]) {
        for id in self.transports.clone() {
            let Some(transport) = self.evacuation.transports.get(&id) else {
                continue;
            };
            if transport.aboard.is_empty() || transport.state != TransportState::Loading {
                continue;
            }
            let as_shown = shown
                .iter()
                .find(|trip| trip.transport == id)
                .map(|trip| trip.destination);
            let nearest = || {
                let ways = self.evacuation.destinations.values();
                let ways = ways.filter_map(|one| Some((one.minutes(transport)?, one.id)));
                ways.min().map(|(_, id)| id)
            };
            let Some(to) = as_shown.or_else(nearest) else {
                continue;
            };
            let travel = self
                .evacuation
                .destinations
                .get(&to)
                .and_then(|one| one.minutes(transport));
            let destination = self.destinations.iter().position(|known| *known == to);
            let (Some(travel), Some(destination), Some(number_of)) =
                (travel, destination, self.transport_number(id))
            else {
                continue;
            };
            let begun = self.minute(transport.since) + i32::from(transport.details.load_minutes);
            self.problem.loading.push(evac::LoadingTrip {
                transport: number_of,
                destination: evac::DestinationId(number(destination)),
                aboard: transport
                    .aboard
                    .iter()
                    .filter_map(|id| self.numbered(*id))
                    .collect(),
                departs: begun.max(0),
                travel: travel.into(),
            });
        }
    }

    pub(super) fn put_wishes(&mut self) {
        for (id, wish) in &self.evacuation.wishes {
            let Some(casualty) = self.numbered(*id) else {
                continue;
            };
            match wish {
                Wish::Held(_) => self.problem.holds.push(casualty),
                Wish::Pinned(transport, _) => {
                    // One that is out of use keeps nobody here: the pin is void until it is back.
                    if let Some(transport) = self.transport_number(*transport) {
                        self.problem.pins.push(evac::Pin {
                            casualty,
                            transport,
                            destination: None,
                            next_trip: false,
                        });
                    }
                }
            }
        }
    }
}
