//! A destination: how many it takes, what it can do, how long it takes to get there.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::transport::Transport;
use crate::incident::entry::Entry;
use crate::incident::fact::{DestinationAdded, DestinationKind, Fact, Places};
use crate::incident::ids::{DestinationId, TransportId};

/// A destination and what was said of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Destination {
    /// Its id.
    pub id: DestinationId,
    /// What is known of it, later reports worked in.
    pub details: DestinationAdded,
    /// When its places were last told; none while they are assumed.
    pub places_at: Option<Timestamp>,
    /// Takes nobody any more.
    pub closed: bool,
    /// Minutes one way for single transports, where they differ.
    pub travel: BTreeMap<TransportId, u16>,
}

/// Places to assume while a destination has not said how many: immediate, delayed, minor, for the first hour.
/// A default of this board; no published number was found. Shown as "assumed".
pub const fn assumed(kind: DestinationKind) -> [u16; 3] {
    match kind {
        DestinationKind::TraumaCentre => [2, 4, 6],
        DestinationKind::LocalHospital => [1, 2, 4],
        DestinationKind::MinorInjuries => [0, 0, 10],
        // Nobody is treated at a meeting point: it takes whoever is brought.
        DestinationKind::MeetingPoint => [200, 200, 200],
    }
}

pub(super) fn take(
    destinations: &mut BTreeMap<DestinationId, Destination>,
    id: DestinationId,
    entry: &Entry,
) {
    if let Fact::DestinationAdded(added) = &entry.fact {
        let travel = destinations.remove(&id).map(|known| known.travel);
        let said = added.places != Places::default();
        let destination = Destination {
            id,
            details: added.clone(),
            places_at: said.then_some(entry.happened_at),
            closed: false,
            travel: travel.unwrap_or_default(),
        };
        destinations.insert(id, destination);
        return;
    }
    let Some(known) = destinations.get_mut(&id) else {
        return;
    };
    match &entry.fact {
        Fact::TravelTold(told) => {
            known.travel.insert(told.transport, told.minutes);
        }
        Fact::DestinationChanged(said) => {
            if let Some(places) = said.places {
                let mine = &mut known.details.places;
                mine.immediate = places.immediate.or(mine.immediate);
                mine.delayed = places.delayed.or(mine.delayed);
                mine.minor = places.minor.or(mine.minor);
                known.places_at = Some(entry.happened_at);
            }
            if let Some(minutes) = said.minutes {
                let mine = &mut known.details.minutes;
                mine.road = minutes.road.or(mine.road);
                mine.air = minutes.air.or(mine.air);
                mine.foot = minutes.foot.or(mine.foot);
                mine.water = minutes.water.or(mine.water);
            }
            if let Some(name) = &said.name {
                known.details.name = name.clone();
            }
            if let Some(abilities) = &said.abilities {
                known.details.abilities.clone_from(abilities);
            }
            known.closed = said.closed.unwrap_or(known.closed);
        }
        _ => {}
    }
}

impl Destination {
    /// Places by class: immediate, delayed, minor; said, else assumed.
    pub fn places(&self) -> [u16; 3] {
        if self.closed {
            return [0; 3];
        }
        let said = &self.details.places;
        let [immediate, delayed, minor] = assumed(self.details.place);
        [
            said.immediate.unwrap_or(immediate),
            said.delayed.unwrap_or(delayed),
            said.minor.unwrap_or(minor),
        ]
    }

    /// Minutes one way on this transport; none where there is no way.
    pub fn minutes(&self, transport: &Transport) -> Option<u16> {
        self.travel
            .get(&transport.id)
            .copied()
            .or_else(|| self.details.minutes.by(transport.details.means.way()))
    }
}
