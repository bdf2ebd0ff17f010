//! Which transports and destinations the board has ever heard of: what a report may refer to.

use std::collections::HashSet;

use crate::incident::about::About;
use crate::incident::entry::Entry;
use crate::incident::fact::Fact;
use crate::incident::ids::{DestinationId, TransportId};

/// The ids heard of; one stays known when the report that founded it is struck.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::incident) struct Known {
    transports: HashSet<TransportId>,
    destinations: HashSet<DestinationId>,
}

impl Known {
    /// Learns what an entry founds.
    pub(in crate::incident) fn learn(&mut self, entry: &Entry) {
        match (&entry.about, &entry.fact) {
            (About::Transport(id), Fact::TransportAdded(_)) => {
                self.transports.insert(*id);
            }
            (About::Destination(id), Fact::DestinationAdded(_)) => {
                self.destinations.insert(*id);
            }
            _ => {}
        }
    }

    /// What a report refers to that neither this nor `other` knows.
    pub(in crate::incident) fn misses(
        &self,
        other: &Self,
        about: About,
        fact: &Fact,
    ) -> Option<&'static str> {
        let transport =
            |id: &TransportId| self.transports.contains(id) || other.transports.contains(id);
        let destination =
            |id: &DestinationId| self.destinations.contains(id) || other.destinations.contains(id);
        let named_transport = match fact {
            Fact::CasualtyLoaded(loaded) => Some(loaded.transport),
            Fact::EvacPinned(pinned) => Some(pinned.transport),
            Fact::TravelTold(told) => Some(told.transport),
            Fact::WayOnFootTold(told) => Some(told.transport),
            _ => None,
        };
        let named_destination = match fact {
            Fact::TransportLeft(left) => left.destination,
            Fact::CasualtyHandedOver(handed) => handed.destination,
            _ => None,
        };
        let founds = matches!(fact, Fact::TransportAdded(_) | Fact::DestinationAdded(_));
        let ok_about = match about {
            About::Transport(id) => founds || transport(&id),
            About::Destination(id) => founds || destination(&id),
            _ => true,
        };
        if !ok_about {
            return Some(match about {
                About::Transport(_) => "transport",
                _ => "destination",
            });
        }
        if !named_transport.is_none_or(|id| transport(&id)) {
            return Some("transport");
        }
        (!named_destination.is_none_or(|id| destination(&id))).then_some("destination")
    }
}

impl Fact {
    /// Whether this is about leaving: transports, destinations, who is where, what was read out.
    pub const fn moves_people(&self) -> bool {
        matches!(
            self,
            Self::EvacPinned(_)
                | Self::EvacHeld(_)
                | Self::EvacFreed(_)
                | Self::CasualtyLoaded(_)
                | Self::CasualtyUnloaded(_)
                | Self::CasualtyHandedOver(_)
                | Self::TransportAdded(_)
                | Self::TransportChanged(_)
                | Self::TransportStands(_)
                | Self::TransportLeft(_)
                | Self::TransportArrived(_)
                | Self::DestinationAdded(_)
                | Self::DestinationChanged(_)
                | Self::TravelTold(_)
                | Self::WayOnFootTold(_)
                | Self::PlanAsked(_)
                | Self::SituationReported(_)
                | Self::PickUpTold(_)
                | Self::LineSaid(_)
                | Self::MessageReadBack(_)
        )
    }
}
