//! Is a plan possible, when is everybody there, and how good is it?
//!
//! Owns the rules a plan must keep. Promises: shares no code with the planner that makes plans, so that one
//! cannot be wrong together with the other; says every fault it finds, not only the first.

use super::fault::Fault;
use super::problem::{Casualty, CasualtyId, LoadingTrip, Posture, Problem, Transport, Trip};
use super::vector::Vector;

/// A trip with its times, in minutes after now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimedTrip {
    /// What is done.
    pub trip: Trip,
    /// The transport is free to load.
    pub starts: i32,
    /// It leaves.
    pub departs: i32,
    /// It is there.
    pub arrives: i32,
}

/// A plan that keeps every rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// The trips in the order given, with their times.
    pub trips: Vec<TimedTrip>,
    /// How good it is.
    pub vector: Vector,
}

/// Checks a plan: the trips of one transport in the order in which it makes them, a trip that is being loaded
/// first, trips that have left not among them.
///
/// # Errors
/// Every fault found.
pub fn check(problem: &Problem, plan: &[Trip]) -> Result<Checked, Vec<Fault>> {
    let mut faults = Vec::new();
    for (place, trip) in plan.iter().enumerate() {
        known(problem, place, trip, &mut faults);
    }
    if faults
        .iter()
        .any(|fault| matches!(fault, Fault::UnknownId(_)))
    {
        return Err(faults);
    }
    everybody_once(problem, plan, &mut faults);
    whole_groups(problem, plan, &mut faults);
    beds(problem, plan, &mut faults);
    fixed(problem, plan, &mut faults);
    let mut timed: Vec<Option<TimedTrip>> = vec![None; plan.len()];
    for transport in &problem.transports {
        drive(problem, transport, plan, &mut timed, &mut faults);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let trips: Vec<TimedTrip> = timed.into_iter().flatten().collect();
    let vector = value(problem, &trips);
    Ok(Checked { trips, vector })
}

fn known(problem: &Problem, place: usize, trip: &Trip, faults: &mut Vec<Fault>) {
    let somebody_unknown = trip
        .casualties
        .iter()
        .any(|id| problem.casualty(*id).is_none());
    if somebody_unknown
        || problem.transport(trip.transport).is_none()
        || problem.destination(trip.destination).is_none()
    {
        faults.push(Fault::UnknownId(place));
    }
    if trip.casualties.is_empty() {
        faults.push(Fault::EmptyTrip(place));
    }
}

fn everybody_once(problem: &Problem, plan: &[Trip], faults: &mut Vec<Fault>) {
    for casualty in &problem.casualties {
        let planned = plan
            .iter()
            .flat_map(|trip| &trip.casualties)
            .filter(|id| **id == casualty.id)
            .count();
        if planned > 1 || (planned == 1 && problem.has_left(casualty.id)) {
            faults.push(Fault::Duplicate(casualty.id));
        }
        if planned > 0 && problem.is_held(casualty) && !problem.is_aboard(casualty.id) {
            faults.push(Fault::Held(casualty.id));
        }
    }
}

/// Everybody of a group who has neither left nor is aboard goes on one trip, or nobody does. What people have
/// split stays split.
fn whole_groups(problem: &Problem, plan: &[Trip], faults: &mut Vec<Fault>) {
    let free =
        |casualty: &&Casualty| !problem.has_left(casualty.id) && !problem.is_aboard(casualty.id);
    let trip_of = |id: CasualtyId| plan.iter().position(|trip| trip.casualties.contains(&id));
    for casualty in problem.casualties.iter().filter(free) {
        let Some(group) = casualty.group else {
            continue;
        };
        let first = problem
            .casualties
            .iter()
            .filter(free)
            .find(|other| other.group == Some(group));
        if first.is_some_and(|first| trip_of(first.id) != trip_of(casualty.id)) {
            faults.push(Fault::GroupSplit(casualty.id));
        }
    }
}

/// Places at each destination; those who have left or are aboard take theirs first.
fn beds(problem: &Problem, plan: &[Trip], faults: &mut Vec<Fault>) {
    for destination in &problem.destinations {
        for (class, places) in destination.places.iter().enumerate() {
            let of_class = |id: &&CasualtyId| {
                problem
                    .casualty(**id)
                    .is_some_and(|c| c.priority.index() == class)
            };
            let taken = problem
                .left
                .iter()
                .filter(|trip| trip.destination == destination.id)
                .flat_map(|trip| &trip.casualties)
                .chain(
                    problem
                        .loading
                        .iter()
                        .filter(|trip| trip.destination == destination.id)
                        .flat_map(|trip| &trip.aboard),
                )
                .filter(of_class)
                .count();
            let wanted = plan
                .iter()
                .filter(|trip| trip.destination == destination.id)
                .flat_map(|trip| &trip.casualties)
                .filter(of_class)
                .filter(|id| !problem.is_aboard(**id))
                .count();
            let free = (*places as usize).saturating_sub(taken);
            if wanted > free {
                faults.push(Fault::NoBed(destination.id, class));
            }
        }
    }
}

/// What people have decided: pins, and what is being loaded.
fn fixed(problem: &Problem, plan: &[Trip], faults: &mut Vec<Fault>) {
    for pin in &problem.pins {
        let Some((place, trip)) = plan
            .iter()
            .enumerate()
            .find(|(_, trip)| trip.casualties.contains(&pin.casualty))
        else {
            continue;
        };
        let is_next = !plan[..place]
            .iter()
            .any(|before| before.transport == trip.transport);
        let as_fixed = trip.transport == pin.transport
            && pin.destination.is_none_or(|to| to == trip.destination)
            && (is_next || !pin.next_trip);
        if !as_fixed && !problem.is_aboard(pin.casualty) {
            faults.push(Fault::PinBroken(pin.casualty));
        }
    }
    for loading in &problem.loading {
        let first = plan.iter().find(|trip| trip.transport == loading.transport);
        let stands = first.is_some_and(|trip| {
            trip.destination == loading.destination
                && loading
                    .aboard
                    .iter()
                    .all(|id| trip.casualties.contains(id) || problem.casualty(*id).is_none())
        });
        if !stands {
            faults.push(Fault::LoadingBroken(loading.transport));
        }
    }
}

/// One transport's trips in order: their times and whether they are possible.
fn drive(
    problem: &Problem,
    transport: &Transport,
    plan: &[Trip],
    timed: &mut [Option<TimedTrip>],
    faults: &mut Vec<Fault>,
) {
    let mut free_at = problem
        .left
        .iter()
        .filter(|trip| trip.transport == transport.id)
        .map(|trip| trip.arrives + transport.unload + trip.travel)
        .fold(transport.available.max(0), i32::max);
    let mine: Vec<(usize, &Trip)> = plan
        .iter()
        .enumerate()
        .filter(|(_, trip)| trip.transport == transport.id)
        .collect();
    if mine.len() > transport.trips as usize
        && !(mine.len() == 1 && problem.loading_on(transport.id).is_some())
    {
        faults.push(Fault::TooManyTrips(transport.id));
    }
    for (number, (place, trip)) in mine.into_iter().enumerate() {
        let loading = problem.loading_on(transport.id).filter(|_| number == 0);
        let people = people(problem, trip);
        let joining = joining(&people, loading);
        let Some(travel) = loading
            .map(|loading| loading.travel)
            .or_else(|| transport.minutes_to(trip.destination))
        else {
            faults.push(Fault::NoRoute(transport.id, trip.destination));
            continue;
        };
        if !joining.is_empty() {
            room(problem, (place, trip), &people, &joining, faults);
        }
        let departs = if let Some(loading) = loading {
            // Whoever is here gets on while the rest is loaded; for somebody who comes later it starts again.
            joining
                .iter()
                .filter(|c| c.ready > 0)
                .map(|c| c.ready + transport.load)
                .fold(loading.departs.max(0), i32::max)
        } else {
            people.iter().map(|c| c.ready).fold(free_at, i32::max) + transport.load
        };
        let arrives = departs + travel;
        if !joining.is_empty() {
            if transport.last_departure.is_some_and(|last| departs > last) {
                faults.push(Fault::LastDepart(place));
            }
            if arrives > problem.horizon {
                faults.push(Fault::Horizon(place));
            }
        }
        timed[place] = Some(TimedTrip {
            trip: trip.clone(),
            starts: free_at,
            departs,
            arrives,
        });
        free_at = arrives + transport.unload + travel;
    }
}

fn people<'a>(problem: &'a Problem, trip: &Trip) -> Vec<&'a Casualty> {
    let ids = trip.casualties.iter();
    ids.filter_map(|id| problem.casualty(*id)).collect()
}

/// Those who are not aboard already.
fn joining<'a>(people: &[&'a Casualty], loading: Option<&LoadingTrip>) -> Vec<&'a Casualty> {
    let new = |c: &&Casualty| loading.is_none_or(|loading| !loading.aboard.contains(&c.id));
    people.iter().copied().filter(new).collect()
}

/// Places, attendants, and what those who join need. What people have loaded already is theirs to answer for.
fn room(
    problem: &Problem,
    (place, trip): (usize, &Trip),
    people: &[&Casualty],
    joining: &[&Casualty],
    faults: &mut Vec<Fault>,
) {
    let Some(transport) = problem.transport(trip.transport) else {
        return;
    };
    let count = |lying: bool| {
        let number = people
            .iter()
            .filter(|c| (c.posture == Posture::Lying) == lying)
            .count();
        u16::try_from(number).unwrap_or(u16::MAX)
    };
    if !transport.fits(count(true), count(false)) {
        faults.push(Fault::OverCapacity(place));
    }
    if people.iter().map(|c| u32::from(c.escort)).sum::<u32>() > u32::from(transport.attendants) {
        faults.push(Fault::Attendant(place));
    }
    let abilities = problem
        .destination(trip.destination)
        .map(|d| d.abilities.as_slice())
        .unwrap_or_default();
    for casualty in joining {
        let cared_for = casualty.needs.iter().all(|need| abilities.contains(need));
        let equipped = casualty
            .aboard
            .iter()
            .all(|need| transport.equipment.contains(need));
        if !cared_for || !equipped {
            faults.push(Fault::MissingCapability(casualty.id));
        }
        if transport.on_foot && casualty.posture == Posture::Sitting {
            faults.push(Fault::CannotWalk(casualty.id));
        }
    }
}

fn value(problem: &Problem, trips: &[TimedTrip]) -> Vector {
    let mut vector = Vector {
        trips: u32::try_from(trips.len()).unwrap_or(u32::MAX),
        ..Vector::default()
    };
    for casualty in &problem.casualties {
        let class = &mut vector.classes[casualty.priority.index()];
        let planned = trips
            .iter()
            .find(|timed| timed.trip.casualties.contains(&casualty.id))
            .map(|timed| timed.arrives);
        let left = problem
            .left
            .iter()
            .find(|trip| trip.casualties.contains(&casualty.id))
            .map(|trip| trip.arrives);
        let Some(arrives) = planned.or(left) else {
            class.left_behind += 1;
            continue;
        };
        class.late += u32::from(casualty.deadline.is_some_and(|by| arrives > by));
        class.minutes += arrives.max(0).unsigned_abs();
    }
    vector.changed = changes(problem, trips);
    vector
}

/// Casualties who are still free and whose transport, trip number or destination differs from the plan on screen.
fn changes(problem: &Problem, trips: &[TimedTrip]) -> u32 {
    if problem.shown.is_empty() {
        return 0;
    }
    let free = |id: &CasualtyId| problem.casualty(*id).is_some() && !problem.has_left(*id);
    let shown: Vec<&Trip> = problem
        .shown
        .iter()
        .filter(|trip| trip.casualties.iter().any(free))
        .collect();
    let now: Vec<&Trip> = trips.iter().map(|timed| &timed.trip).collect();
    let place = |plan: &[&Trip], id: CasualtyId| {
        let at = plan.iter().position(|trip| trip.casualties.contains(&id))?;
        let number = plan[..at]
            .iter()
            .filter(|trip| trip.transport == plan[at].transport)
            .count();
        Some((plan[at].transport, number, plan[at].destination))
    };
    let differing = problem
        .casualties
        .iter()
        .filter(|c| free(&c.id) && !problem.is_aboard(c.id))
        .filter(|c| place(&shown, c.id) != place(&now, c.id))
        .count();
    u32::try_from(differing).unwrap_or(u32::MAX)
}
