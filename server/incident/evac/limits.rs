//! What the planner is told of deadlines, groups and places left.

use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};

use super::Whereabouts;
use super::destination::Destination;
use super::transport::Transport;
use crate::incident::casualty::Casualty;
use crate::incident::fact::{Carried, EvacPriority, Need};
use crate::incident::ids::CasualtyId;
use crate::incident::state::Incident;
use crate::rules::evac;

/// Gone, and nobody said where: it cannot be counted on until it is back.
pub(super) fn out_of_sight(transport: &Transport) -> bool {
    transport
        .under_way()
        .is_some_and(|trip| trip.destination.is_none())
}

pub(super) const fn class(priority: EvacPriority) -> evac::Priority {
    match priority {
        EvacPriority::First => evac::Priority::First,
        EvacPriority::Soon => evac::Priority::Second,
        EvacPriority::CanWait => evac::Priority::Third,
    }
}

/// The moment after which arriving at care is late, to the minute: counted from the injury, or from when they were met,
/// and from the tourniquet that has run longest.
pub fn due_by(casualty: &Casualty, priority: EvacPriority) -> Option<Timestamp> {
    let zero = casualty.met_at;
    let minute = |at: Timestamp| {
        let minutes = at.duration_since(zero).as_secs().div_euclid(60);
        i32::try_from(minutes).unwrap_or(i32::MAX)
    };
    let injured = casualty.history.injured_at().unwrap_or(zero);
    let tourniquet = casualty.tourniquet_since().map(minute);
    let due = evac::priority::deadline(class(priority), Some(minute(injured)), tourniquet)?;
    zero.checked_add(SignedDuration::from_mins(due.into())).ok()
}

pub(super) const fn ability(need: Need) -> Option<evac::Ability> {
    match need {
        Need::Surgery => Some(evac::Ability::Surgery),
        Need::Burns => Some(evac::Ability::Burns),
        Need::Children => Some(evac::Ability::Children),
        Need::Neuro => Some(evac::Ability::Neurosurgery),
        Need::Oxygen | Need::SpineStill | Need::Escort => None,
    }
}

pub(super) const fn equipment(need: Need) -> Option<evac::Equipment> {
    match need {
        Need::Oxygen => Some(evac::Equipment::Oxygen),
        Need::SpineStill => Some(evac::Equipment::Spinal),
        _ => None,
    }
}

pub(super) const fn carried(one: Carried) -> evac::Equipment {
    match one {
        Carried::Oxygen => evac::Equipment::Oxygen,
        Carried::SpineBoard => evac::Equipment::Spinal,
    }
}

/// Who goes with whom: the same number for everybody who is named together, directly or through others.
pub(super) fn groups(incident: &Incident) -> BTreeMap<CasualtyId, u32> {
    let mut groups: BTreeMap<CasualtyId, u32> = BTreeMap::new();
    for casualty in incident.casualties() {
        let Some(other) = casualty
            .evac
            .as_ref()
            .and_then(|(_, asked)| asked.together_with)
            .map(|other| incident.sames().standing(other))
            .filter(|other| *other != casualty.id)
        else {
            continue;
        };
        // Somebody who is not to leave does not keep the other here.
        if incident
            .casualty(other)
            .is_none_or(|other| other.evac.is_none())
        {
            continue;
        }
        let mine = groups.get(&casualty.id).copied();
        let theirs = groups.get(&other).copied();
        let number = mine.or(theirs).unwrap_or(casualty.number);
        for group in groups.values_mut() {
            if Some(*group) == mine || Some(*group) == theirs {
                *group = number;
            }
        }
        groups.insert(casualty.id, number);
        groups.insert(other, number);
    }
    groups
}

/// Places left by class, once those who arrived since they were told have taken theirs; those on their way are not
/// taken off.
pub fn places_left(incident: &Incident, destination: &Destination) -> [u16; 3] {
    let mut left = destination.places();
    for (id, there) in &incident.evacuation().whereabouts {
        let arrived = match there {
            Whereabouts::HandedOver {
                destination: Some(to),
                at,
                ..
            } if *to == destination.id => *at,
            Whereabouts::Gone {
                destination: Some(to),
                arrived_at: Some(at),
                ..
            } if *to == destination.id => *at,
            _ => continue,
        };
        if destination.places_at.is_some_and(|told| arrived < told) {
            continue;
        }
        let asked = incident.casualty(*id).and_then(|one| one.evac.as_ref());
        let priority = asked.map_or(EvacPriority::Soon, |(_, asked)| asked.priority);
        let places = &mut left[class(priority).index()];
        *places = places.saturating_sub(1);
    }
    left
}
