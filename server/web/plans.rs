//! The plan on screen: made anew when a report changes what it stands on, kept as it is otherwise.
//!
//! Owns the plan that screens show, since when each casualty's trip differs from what was last read out, and which
//! reports made it so. Promises: the same reports met in the same order give the same plan; with nothing new the plan
//! does not move. It only proposes: what happens is what people report.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use jiff::Timestamp;

use super::view::hour;
use crate::incident::evac::{Planned, PlannedTrip, Terms, plan};
use crate::incident::{CasualtyId, Entry, Fact, Incident, Seq, sentence};
use crate::rules::evac::Effort;

/// Evaluations, never time: the same plan on every machine. With these, 60 casualties and 12 transports take a few
/// hundredths of a second.
const EFFORT: Effort = Effort {
    proof: 20_000,
    shakes: 20,
};
/// How many reports are named as the cause of a change.
const CAUSES: usize = 3;

/// The plan as it stands.
#[derive(Debug)]
pub struct Standing {
    /// The position it follows from.
    seq: Seq,
    /// The moment its minutes count from.
    pub as_of: Timestamp,
    /// The plan.
    pub plan: Planned,
    /// What was shown at the last reading out for those whose trip is another now, and since when.
    pub changed: BTreeMap<CasualtyId, (Timestamp, String)>,
    /// The reports that changed it last.
    pub causes: Vec<String>,
}

/// Keeps the plan.
#[derive(Debug, Default)]
pub struct Plans(Mutex<Option<Arc<Standing>>>);

impl Plans {
    /// The plan for the present state.
    pub fn standing(&self, incident: &Incident) -> Arc<Standing> {
        let touched = incident.touched();
        let needed = touched.casualties.max(touched.evac);
        let mut kept = self
            .0
            .lock()
            .expect("OK because planning does not panic while holding it");
        if let Some(standing) = kept.as_ref()
            && standing.seq >= needed
        {
            return Arc::clone(standing);
        }
        let standing = Arc::new(Standing::after(kept.as_deref(), incident));
        *kept = Some(Arc::clone(&standing));
        standing
    }
}

impl Standing {
    fn after(before: Option<&Self>, incident: &Incident) -> Self {
        let evacuation = incident.evacuation();
        let as_of = incident
            .entries()
            .last()
            .map_or(Timestamp::UNIX_EPOCH, |entry| entry.recorded_at);
        let asked_anew =
            |before: &Self| evacuation.plan_asked_at.is_some_and(|at| at > before.as_of);
        let before = before.filter(|before| !asked_anew(before));
        let shown: &[PlannedTrip] = before.map_or(&[], |before| &before.plan.trips);
        let terms = Terms {
            as_of,
            shown,
            dusk: super::daylight::dusk(incident, as_of),
            effort: EFFORT,
            hour,
        };
        let plan = plan(incident, terms);
        let said = evacuation.said.last_of_all();
        let mut changed = before
            .map(|before| before.changed.clone())
            .unwrap_or_default();
        changed.retain(|_, (at, _)| said.is_none_or(|said| *at > said));
        let mut causes = Vec::new();
        if let Some(before) = before {
            let moved: Vec<(CasualtyId, String)> = moved(before, &plan, incident);
            if moved.is_empty() {
                causes.clone_from(&before.causes);
            } else {
                causes = incident.entries()[position(before.seq)..]
                    .iter()
                    .filter(|entry| bears_on_it(entry))
                    .rev()
                    .take(CAUSES)
                    .map(|entry| cause(entry, incident))
                    .collect();
            }
            for (id, was) in moved {
                changed.entry(id).or_insert((as_of, was));
            }
        }
        changed.retain(|id, (_, was)| place(&plan, *id, incident) != *was);
        Self {
            seq: incident.head(),
            as_of,
            plan,
            changed,
            causes,
        }
    }
}

fn position(seq: Seq) -> usize {
    usize::try_from(seq.0).unwrap_or(usize::MAX)
}

fn cause(entry: &Entry, incident: &Incident) -> String {
    let number = incident
        .casualty_of(&entry.about)
        .and_then(|id| incident.number(id));
    let whom = number
        .map(|number| format!("{number}: "))
        .unwrap_or_default();
    format!(
        "{} {whom}{}",
        hour(entry.happened_at),
        sentence(entry, incident)
    )
}

const fn bears_on_it(entry: &Entry) -> bool {
    match &entry.fact {
        Fact::LineSaid(_)
        | Fact::MessageReadBack(_)
        | Fact::SituationReported(_)
        | Fact::PickUpTold(_) => false,
        Fact::EvacRequested(_)
        | Fact::EvacAsked(_)
        | Fact::EvacCancelled(_)
        | Fact::StepDone(_)
        | Fact::StepTaken(_)
        | Fact::EntryStruck(_) => true,
        fact => fact.moves_people(),
    }
}

/// Where the plan puts somebody, in words; nobody moves who is put where they were.
fn place(plan: &Planned, id: CasualtyId, incident: &Incident) -> String {
    let Some(trip) = plan.trips.iter().find(|trip| trip.casualties.contains(&id)) else {
        return "not planned".to_owned();
    };
    let evacuation = incident.evacuation();
    let transport = evacuation.transports.get(&trip.transport);
    let destination = evacuation.destinations.get(&trip.destination);
    format!(
        "{} to {}",
        transport.map_or("a transport", |one| one.details.name.as_str()),
        destination.map_or("a destination", |one| one.details.name.as_str())
    )
}

/// Who waits here and is planned otherwise than before, with where they were planned.
fn moved(before: &Standing, plan: &Planned, incident: &Incident) -> Vec<(CasualtyId, String)> {
    let slot = |plan: &Planned, id: CasualtyId| {
        let trip = plan.trips.iter().find(|trip| trip.casualties.contains(&id));
        trip.map(|trip| (trip.transport, trip.destination))
    };
    before
        .plan
        .why
        .keys()
        .filter(|id| incident.evacuation().whereabouts(**id).is_none())
        .filter(|id| plan.why.contains_key(id))
        .filter(|id| slot(&before.plan, **id) != slot(plan, **id))
        .map(|id| (*id, place(&before.plan, *id, incident)))
        .collect()
}
