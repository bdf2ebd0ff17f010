//! The plan: trips under way, being loaded and planned, with who is on them and why.

use askama::Template;
use serde_json::json;

use super::super::super::view::{CasualtyView, Moment};
use super::super::{Shown, Stage, draw};
use super::report;
use super::timeline::Timeline;
use crate::incident::evac::{PlannedTrip, Transport, TransportState, Trip, Wish};
use crate::incident::{CasualtyId, DestinationId};

/// Somebody on a trip.
struct Rider {
    one: CasualtyView,
    why: String,
    /// Where they were planned when last read out.
    was: String,
    pinned: bool,
    aboard: bool,
    load: String,
    unload: String,
    handed: String,
    hold: String,
    free: String,
    /// Transports they could be pinned to, and the report that does it.
    pins: Vec<(String, String)>,
}

/// A trip as drawn.
struct TripView {
    transport: String,
    destination: String,
    /// "planned", "loading", "on the way", "arrived".
    state: &'static str,
    departs: Moment,
    arrives: Moment,
    /// The report of what comes next: left, arrived, back; with its label.
    next: Option<(String, &'static str)>,
    riders: Vec<Rider>,
}

#[derive(Template)]
#[template(path = "parts/evac_plan.html")]
struct Plan {
    as_of: Moment,
    standing: String,
    causes: Vec<String>,
    moved: usize,
    again: String,
    timeline: Option<Timeline>,
    under_way: Vec<TripView>,
    trips: Vec<TripView>,
    any: bool,
}

impl Stage<'_> {
    /// Who leaves next, on what, to where, why.
    pub(in crate::web) fn evac_plan(&self) -> Shown {
        self.evac_part("evac-plan", || {
            let standing = self.app.plans.standing(self.incident);
            let mut trips: Vec<&PlannedTrip> = standing.plan.trips.iter().collect();
            trips.sort_by_key(|trip| (!trip.loading, trip.departs, trip.transport));
            let rider = |id: CasualtyId, trip: Option<&PlannedTrip>| {
                let why = standing.plan.why.get(&id).cloned().unwrap_or_default();
                let was = standing.changed.get(&id).map(|(_, was)| was.clone());
                self.rider(id, trip, why, was.unwrap_or_default())
            };
            let under_way: Vec<TripView> = self
                .incident
                .evacuation()
                .transports
                .values()
                .filter_map(|one| Some((one, one.under_way()?)))
                .map(|(one, trip)| {
                    let riders = trip.casualties.iter().filter_map(|id| rider(*id, None));
                    self.gone(one, trip, riders.collect())
                })
                .collect();
            let planned: Vec<TripView> = trips
                .iter()
                .map(|trip| {
                    let riders = trip
                        .casualties
                        .iter()
                        .filter_map(|id| rider(*id, Some(trip)));
                    self.to_come(trip, riders.collect())
                })
                .collect();
            draw(&Plan {
                as_of: standing.as_of.into(),
                standing: standing.plan.standing.clone(),
                causes: standing.causes.clone(),
                moved: standing.changed.len(),
                again: report("", &"", json!({ "kind": "plan.asked/1" })),
                timeline: Timeline::of(self.incident, &standing),
                any: !under_way.is_empty() || !planned.is_empty(),
                under_way,
                trips: planned,
            })
        })
    }

    fn destination_name(&self, id: Option<DestinationId>) -> String {
        let known = id.and_then(|id| self.incident.evacuation().destinations.get(&id));
        known.map_or_else(
            || "not said where".to_owned(),
            |one| one.details.name.to_string(),
        )
    }

    fn gone(&self, transport: &Transport, trip: &Trip, riders: Vec<Rider>) -> TripView {
        let minutes = trip
            .destination
            .and_then(|id| self.incident.evacuation().destinations.get(&id))
            .and_then(|to| to.minutes(transport))
            .unwrap_or(0);
        let expected = trip.left_at + jiff::SignedDuration::from_mins(minutes.into());
        let (kind, label) = if trip.arrived_at.is_none() {
            (json!({ "kind": "transport.arrived/1" }), "Arrived")
        } else {
            (
                json!({ "kind": "transport.stands/1", "state": "back" }),
                "Back here",
            )
        };
        TripView {
            transport: transport.details.name.to_string(),
            destination: self.destination_name(trip.destination),
            state: if trip.arrived_at.is_some() {
                "arrived"
            } else {
                "on the way"
            },
            departs: trip.left_at.into(),
            arrives: trip.arrived_at.unwrap_or(expected).into(),
            next: Some((report("transport", &transport.id, kind), label)),
            riders,
        }
    }

    fn to_come(&self, trip: &PlannedTrip, riders: Vec<Rider>) -> TripView {
        let transport = self.incident.evacuation().transports.get(&trip.transport);
        let loading =
            transport.is_some_and(|one| one.state == TransportState::Loading) && trip.loading;
        let left = json!({ "kind": "transport.left/1", "destination": trip.destination });
        TripView {
            transport: transport
                .map(|one| one.details.name.to_string())
                .unwrap_or_default(),
            destination: self.destination_name(Some(trip.destination)),
            state: if loading { "loading" } else { "planned" },
            departs: trip.departs.into(),
            arrives: trip.arrives.into(),
            next: loading.then(|| (report("transport", &trip.transport, left), "Left")),
            riders,
        }
    }

    fn rider(
        &self,
        id: CasualtyId,
        trip: Option<&PlannedTrip>,
        why: String,
        was: String,
    ) -> Option<Rider> {
        let casualty = self.incident.casualty(id)?;
        let evacuation = self.incident.evacuation();
        let wish = evacuation.wishes.get(&id);
        let load = trip.map(|trip| {
            let fact = json!({ "kind": "casualty.loaded/1", "transport": trip.transport });
            report("casualty", &id, fact)
        });
        let destination = match evacuation.whereabouts(id) {
            Some(crate::incident::evac::Whereabouts::Gone { destination, .. }) => *destination,
            _ => None,
        };
        let handed = destination
            .and_then(|to| evacuation.destinations.get(&to))
            .map(|to| {
                let fact = json!({ "kind": "casualty.handed_over/1", "to": to.details.name, "destination": to.id });
                report("casualty", &id, fact)
            });
        Some(Rider {
            one: CasualtyView::of(casualty, self.incident),
            why,
            was,
            pinned: matches!(wish, Some(Wish::Pinned(..))),
            aboard: evacuation.whereabouts(id).is_some(),
            load: load.unwrap_or_default(),
            unload: report("casualty", &id, json!({ "kind": "casualty.unloaded/1" })),
            handed: handed.unwrap_or_default(),
            hold: report("casualty", &id, json!({ "kind": "evac.held/1" })),
            free: report("casualty", &id, json!({ "kind": "evac.freed/1" })),
            pins: self.pins(id),
        })
    }

    /// Every transport that can be counted on, and the report that pins somebody to it.
    fn pins(&self, id: CasualtyId) -> Vec<(String, String)> {
        let transports = self.incident.evacuation().transports.values();
        transports
            .filter(|one| one.state != TransportState::Out)
            .map(|one| {
                let fact = json!({ "kind": "evac.pinned/1", "transport": one.id });
                (one.details.name.to_string(), report("casualty", &id, fact))
            })
            .collect()
    }
}
