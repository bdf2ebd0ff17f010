//! Who leaves, on what, to where: the fold over everything that was reported about it.
//!
//! Owns transports, destinations, where each casualty is on the way, the coordinator's wishes, and what was read
//! out. Promises: pure and total; it follows from the unstruck entries alone, in the order things happened.

mod check;
mod decided;
mod destination;
mod history;
mod known;
mod limits;
mod question;
mod said;
mod situation;
#[cfg(test)]
mod stories;
mod transport;
mod words;

use std::collections::{BTreeMap, HashSet};
use std::sync::Arc;

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::{CasualtyId, DestinationId, Seq, TransportId};
use super::sames::Sames;
use super::state::Incident;
use super::text::{Note, Words};

pub(super) use check::check;
pub use destination::{Destination, Travel};
pub use history::{History, NONE_KNOWN, contradict, in_words, is_none, something};
pub(super) use known::Known;
pub use limits::{due_by, places_left};
pub use question::{Planned, PlannedTrip, Terms, plan};
pub use said::{Numbered, Said, SaidBook};
pub use situation::Situation;
pub use transport::{Transport, TransportState, Trip};
pub(super) use words::words;
pub use words::{layout_words, way_words};

/// Everything about leaving.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evacuation {
    /// Transports, in the order in which they were first heard of.
    pub transports: BTreeMap<TransportId, Transport>,
    /// Destinations, in the order in which they were first heard of.
    pub destinations: BTreeMap<DestinationId, Destination>,
    /// Where those are who do not wait here any more.
    pub whereabouts: BTreeMap<CasualtyId, Whereabouts>,
    /// What the coordinator wants, casualty by casualty.
    pub wishes: BTreeMap<CasualtyId, Wish>,
    /// What the incident report needs beside the casualties.
    pub situation: Situation,
    /// What was read out.
    pub said: SaidBook,
    /// When the plan was last asked for anew.
    pub plan_asked_at: Option<Timestamp>,
}

/// Where somebody is who does not wait here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Whereabouts {
    /// On a transport that has not left.
    Loading {
        /// On which.
        transport: TransportId,
        /// Since.
        at: Timestamp,
    },
    /// On the way, or arrived and not yet handed over.
    Gone {
        /// On which.
        transport: TransportId,
        /// For where.
        destination: Option<DestinationId>,
        /// Left at.
        left_at: Timestamp,
        /// Arrived at.
        arrived_at: Option<Timestamp>,
    },
    /// Somebody else has them.
    HandedOver {
        /// Who.
        to: Words,
        /// Where.
        destination: Option<DestinationId>,
        /// Since.
        at: Timestamp,
    },
}

/// What the coordinator wants for one casualty: a hard limit for the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wish {
    /// On this transport.
    Pinned(TransportId, Option<Note>),
    /// Not yet.
    Held(Option<Note>),
}

impl Evacuation {
    /// Folds unstruck entries, in any order of presentation; whoever has several records goes under the one that stands.
    pub(super) fn fold(entries: &[&Entry], sames: &Sames) -> Self {
        let mut ordered: Vec<&Entry> = entries.to_vec();
        ordered.sort_by_key(|entry| entry.order());
        let mut evacuation = Self::default();
        let mut moves: BTreeMap<TransportId, transport::Moves> = BTreeMap::new();
        for entry in ordered {
            evacuation.take(entry, &mut moves, sames);
        }
        for (id, moved) in moves {
            if let Some(transport) = moved.into_transport(id) {
                evacuation.transports.insert(id, transport);
            }
        }
        evacuation
    }

    fn take(
        &mut self,
        entry: &Entry,
        moves: &mut BTreeMap<TransportId, transport::Moves>,
        sames: &Sames,
    ) {
        match entry.about {
            About::Transport(id) => {
                let left = moves.entry(id).or_default().take(entry);
                self.follow(id, left);
            }
            About::Destination(id) => destination::take(&mut self.destinations, id, entry),
            About::Casualty(id) => self.take_casualty(sames.standing(id), entry, moves),
            About::Incident => match &entry.fact {
                Fact::PlanAsked(_) => self.plan_asked_at = Some(entry.happened_at),
                Fact::SituationReported(told) => self.situation.take(told, entry),
                Fact::PickUpTold(told) => self.situation.take_pick_up(told),
                _ => self.said.take(None, entry),
            },
            About::Wound(_) | About::Kit(_) => {}
        }
    }

    fn take_casualty(
        &mut self,
        id: CasualtyId,
        entry: &Entry,
        moves: &mut BTreeMap<TransportId, transport::Moves>,
    ) {
        let at = entry.happened_at;
        match &entry.fact {
            Fact::CasualtyLoaded(loaded) => {
                // What arrived with them keeps them among whom it carried; on what is still under way they were not.
                for moved in moves.values_mut() {
                    moved.unload(id);
                }
                let transport = loaded.transport;
                let now = moves.entry(transport).or_default().load(id, at);
                self.whereabouts.insert(id, now.whereabouts(transport, at));
            }
            Fact::CasualtyUnloaded(_) => {
                for moved in moves.values_mut() {
                    moved.unload(id);
                }
                self.whereabouts.remove(&id);
            }
            Fact::CasualtyHandedOver(handed) => {
                for moved in moves.values_mut() {
                    moved.hand_over(id);
                }
                let on_the_way = match self.whereabouts.get(&id) {
                    Some(Whereabouts::Gone { destination, .. }) => *destination,
                    _ => None,
                };
                let there = Whereabouts::HandedOver {
                    to: handed.to.clone(),
                    destination: handed.destination.or(on_the_way),
                    at,
                };
                self.whereabouts.insert(id, there);
            }
            Fact::EvacPinned(pinned) => {
                let wish = Wish::Pinned(pinned.transport, pinned.reason.clone());
                self.wishes.insert(id, wish);
            }
            Fact::EvacHeld(held) => {
                self.wishes.insert(id, Wish::Held(held.reason.clone()));
            }
            Fact::EvacFreed(_) => {
                self.wishes.remove(&id);
            }
            _ => self.said.take(Some(id), entry),
        }
    }

    /// Those aboard go where their transport goes.
    fn follow(&mut self, transport: TransportId, trip: Option<Trip>) {
        let Some(trip) = trip else { return };
        for id in &trip.casualties {
            // Whoever was reported elsewhere since does not go with it.
            let is_on_it = match self.whereabouts.get(id) {
                Some(
                    Whereabouts::Loading { transport: on, .. }
                    | Whereabouts::Gone { transport: on, .. },
                ) => *on == transport,
                Some(Whereabouts::HandedOver { .. }) | None => false,
            };
            if is_on_it {
                self.whereabouts.insert(*id, trip.whereabouts(transport));
            }
        }
    }

    /// What a transport or destination is called.
    pub(super) fn name(&self, about: About) -> Option<&str> {
        match about {
            About::Transport(id) => self
                .transports
                .get(&id)
                .map(|one| one.details.name.as_str()),
            About::Destination(id) => self
                .destinations
                .get(&id)
                .map(|one| one.details.name.as_str()),
            _ => None,
        }
    }

    /// Where a casualty is; none while they wait here.
    pub fn whereabouts(&self, id: CasualtyId) -> Option<&Whereabouts> {
        self.whereabouts.get(&id)
    }
}

impl Incident {
    /// Everything about leaving.
    pub fn evacuation(&self) -> &Evacuation {
        &self.evacuation
    }

    /// The same with some entries that are not indexed yet.
    pub(super) fn fold_evacuation(
        &self,
        added: &[Arc<Entry>],
        struck: &HashSet<Seq>,
        sames: &Sames,
    ) -> Evacuation {
        let known = self.moving.iter().filter_map(|seq| self.entry(*seq));
        let standing: Vec<&Entry> = known
            .chain(added.iter().map(Arc::as_ref))
            .filter(|entry| entry.fact.moves_people() && !struck.contains(&entry.seq))
            .collect();
        Evacuation::fold(&standing, sames)
    }
}
