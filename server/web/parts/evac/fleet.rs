//! Transports and destinations: how they stand, what is left, and the reports that change them.

use askama::Template;
use serde_json::json;

use super::super::super::view::Moment;
use super::super::{Shown, Stage, draw};
use super::report;
use crate::incident::evac::{
    Destination, Transport, TransportState, Travel, layout_words, places_left, way_words,
};
use crate::rules::evac::{TransportKind, Way};

struct TransportView {
    id: String,
    name: String,
    means: &'static str,
    layouts: String,
    /// The same arrangement by arrangement: which, how many lie, how many sit.
    places: Vec<(usize, u16, u16)>,
    attendants: u16,
    carries: String,
    state: &'static str,
    since: Moment,
    reason: String,
    available: Moment,
    expected: bool,
    last: Option<Moment>,
    /// Reports of what may come next, with their labels.
    next: Vec<(String, &'static str)>,
    out: bool,
    means_code: &'static str,
    /// For who goes on foot: each destination.
    ways: Vec<WayView>,
}

/// One way on foot: to where, and how long it is thought to take.
struct WayView {
    id: String,
    to: String,
    /// "46 min (estimate: 1200 m, path, 8 carry)", "too few to carry …"; empty where nothing was said.
    words: String,
}

struct DestinationView {
    id: String,
    name: String,
    place: &'static str,
    left: [u16; 3],
    assumed: bool,
    told_at: Option<Moment>,
    abilities: String,
    minutes: String,
    closed: bool,
}

#[derive(Template)]
#[template(path = "parts/evac_fleet.html")]
struct Fleet {
    transports: Vec<TransportView>,
    destinations: Vec<DestinationView>,
}

impl Stage<'_> {
    /// What carries people, and where to.
    pub(in crate::web) fn evac_fleet(&self) -> Shown {
        self.evac_part("evac-fleet", || {
            let evacuation = self.incident.evacuation();
            draw(&Fleet {
                transports: evacuation
                    .transports
                    .values()
                    .map(|one| self.transport(one))
                    .collect(),
                destinations: evacuation
                    .destinations
                    .values()
                    .map(|one| self.destination(one))
                    .collect(),
            })
        })
    }

    fn destination(&self, one: &Destination) -> DestinationView {
        let minutes = &one.details.minutes;
        let ways = [
            ("road", minutes.road),
            ("air", minutes.air),
            ("foot", minutes.foot),
            ("water", minutes.water),
        ];
        let ways: Vec<String> = ways
            .into_iter()
            .filter_map(|(way, minutes)| Some(format!("{way} {} min", minutes?)))
            .collect();
        let abilities: Vec<&str> = one.details.abilities.iter().map(|it| it.words()).collect();
        DestinationView {
            id: one.id.to_string(),
            name: one.details.name.to_string(),
            place: one.details.place.words(),
            left: places_left(self.incident, one),
            assumed: one.places_at.is_none(),
            told_at: one.places_at.map(Moment::from),
            abilities: abilities.join(", "),
            minutes: ways.join(", "),
            closed: one.closed,
        }
    }

    fn transport(&self, one: &Transport) -> TransportView {
        let stands = |state: &str| {
            let fact = json!({ "kind": "transport.stands/1", "state": state });
            report("transport", &one.id, fact)
        };
        let next = match one.state {
            TransportState::Expected => vec![(stands("here"), "Here now")],
            TransportState::Gone => vec![(stands("back"), "Back here")],
            TransportState::Out => vec![(stands("here"), "Works again, here")],
            TransportState::Here | TransportState::Back | TransportState::Loading => Vec::new(),
        };
        let carries: Vec<&str> = one.details.carries.iter().map(|it| it.words()).collect();
        TransportView {
            id: one.id.to_string(),
            name: one.details.name.to_string(),
            means: one.details.means.words(),
            layouts: layout_words(&one.details.layouts),
            places: one
                .details
                .layouts
                .iter()
                .enumerate()
                .map(|(at, layout)| (at, layout.lying, layout.sitting))
                .collect(),
            attendants: one.details.attendants,
            carries: carries.join(", "),
            state: one.state.words(),
            since: one.since.into(),
            reason: one
                .reason
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
            available: one.available_at.into(),
            expected: one.state == TransportState::Expected,
            last: one.details.last_departure.map(Moment::from),
            next,
            out: one.state == TransportState::Out,
            means_code: one.details.means.code(),
            ways: self.ways(one),
        }
    }

    fn ways(&self, one: &Transport) -> Vec<WayView> {
        if one.details.means.way() != Way::Foot {
            return Vec::new();
        }
        let destinations = self.incident.evacuation().destinations.values();
        destinations
            .map(|to| WayView {
                id: to.id.to_string(),
                to: to.details.name.to_string(),
                words: way(one, to),
            })
            .collect()
    }
}

fn way(one: &Transport, to: &Destination) -> String {
    let carried = one.details.means != TransportKind::WalkingParty;
    match (to.travel.get(&one.id), to.on_foot(one)) {
        (Some(Travel::OnFoot(told)), Some(Ok(minutes))) => {
            format!("{minutes} min (estimate: {})", way_words(told, carried))
        }
        (Some(Travel::OnFoot(told)), Some(Err(too_few))) => {
            format!("{too_few} ({})", way_words(told, carried))
        }
        _ => to
            .minutes(one)
            .map(|minutes| format!("{minutes} min, as told"))
            .unwrap_or_default(),
    }
}
