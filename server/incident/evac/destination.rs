//! A destination: how many it takes, what it can do, how long it takes to get there.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::transport::Transport;
use crate::incident::entry::Entry;
use crate::incident::fact::{DestinationAdded, Fact, Places, WayOnFootTold};
use crate::incident::ids::{DestinationId, TransportId};
use crate::rules::evac::TransportKind;
use crate::rules::evac::on_foot::{Carry, TooFew, carry, walk};

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
    /// What was last said of the way of single transports, where it differs.
    pub travel: BTreeMap<TransportId, Travel>,
}

/// How long one transport takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Travel {
    /// Somebody said how many minutes.
    Told(u16),
    /// On foot, by the way and those who go it.
    OnFoot(WayOnFootTold),
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
            let minutes = Travel::Told(told.minutes);
            known.travel.insert(told.transport, minutes);
        }
        Fact::WayOnFootTold(told) => {
            known
                .travel
                .insert(told.transport, Travel::OnFoot(told.clone()));
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
        let [immediate, delayed, minor] = self.details.place.assumed();
        [
            said.immediate.unwrap_or(immediate),
            said.delayed.unwrap_or(delayed),
            said.minor.unwrap_or(minor),
        ]
    }

    /// Minutes one way on this transport; none where there is no way.
    pub fn minutes(&self, transport: &Transport) -> Option<u16> {
        match self.travel.get(&transport.id) {
            Some(Travel::Told(minutes)) => Some(*minutes),
            Some(Travel::OnFoot(_)) => self.on_foot(transport)?.ok(),
            None => self.details.minutes.by(transport.details.means.way()),
        }
    }

    /// The estimate for a transport whose way on foot was told last; too few to carry is an answer.
    pub fn on_foot(&self, transport: &Transport) -> Option<Result<u16, TooFew>> {
        let Some(Travel::OnFoot(way)) = self.travel.get(&transport.id) else {
            return None;
        };
        let minutes = if transport.details.means == TransportKind::WalkingParty {
            Ok(walk(way.metres, way.height))
        } else {
            carry(Carry {
                metres: way.metres,
                height: way.height,
                ground: way.ground,
                bearers: way.bearers,
                wheel: way.wheel,
            })
        };
        Some(minutes.map(|minutes| u16::try_from(minutes).unwrap_or(u16::MAX)))
    }
}
