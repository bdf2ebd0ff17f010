//! Leaving: `ServiceRequest` for the wish, Task for each casualty and trip, Communication for each line that was read out.
//!
//! Owns these. The priority of a request is the person's own choice of how soon, in the codes of FHIR: first is `stat`,
//! soon `asap`, can wait `routine` (our mapping, by the planner's classes: immediate, delayed, minor).

use serde_json::{Value, json};
use uuid::Uuid;

use super::elements::{derived, named, reference, text};
use super::{Bundle, about, by, note_time};
use crate::exchange::standards::rides::rides;
use crate::exchange::standards::source::Told;
use crate::incident::evac::{Whereabouts, Wish, due_by};
use crate::incident::fact::{EvacAsked, EvacPriority};
use crate::incident::{Casualty, CasualtyId, Fact};

/// The resource of an entry about leaving.
pub(super) fn put_reported(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    match &told.entry.fact {
        Fact::EvacRequested(first) => put_wish(bundle, told, &EvacAsked::from_first(first)),
        Fact::EvacAsked(asked) => put_wish(bundle, told, asked),
        Fact::LineSaid(said) => {
            let mut communication = json!({
                "resourceType": "Communication",
                "status": if told.is_struck { "entered-in-error" } else { "completed" },
                "category": [text(said.message.words())],
                "topic": text(&format!("{}: {}", said.message.words(), said.line)),
                "sent": told.at().to_string(),
                "sender": by(told),
                "payload": [{ "contentString": said.text }],
            });
            if let Some(to) = &said.to {
                communication["recipient"] = json!([named(to.as_str())]);
            }
            // It knows no other subject than a person.
            if told.casualty.is_some() {
                about(bundle, told, &mut communication);
            }
            note_time(told, &mut communication);
            let id = derived(&["communication", &told.entry.id.to_string()]);
            bundle.put(id, communication, Some(told.entry.id));
        }
        _ => {}
    }
}

fn wish_id(told: &Told<'_>) -> Uuid {
    derived(&["wish", &told.entry.id.to_string()])
}

fn put_wish(bundle: &mut Bundle<'_>, told: &Told<'_>, asked: &EvacAsked) {
    let Some(id) = told.casualty else { return };
    let incident = bundle.source.incident;
    let casualty = incident.casualty(id);
    let stands = casualty.is_some_and(|one| stands(one, told));
    let is_over = matches!(
        incident.evacuation().whereabouts(id),
        Some(Whereabouts::HandedOver { .. })
    );
    let status = match (told.is_struck, stands, is_over) {
        (true, ..) => "entered-in-error",
        (false, true, true) => "completed",
        (false, true, false) => "active",
        (false, false, _) => "revoked",
    };
    let needs = asked.needs_words();
    let needs = if needs.is_empty() {
        String::new()
    } else {
        format!(", needs {needs}")
    };
    let words = format!("Evacuation, {}{needs}", asked.posture.code());
    let mut request = json!({
        "resourceType": "ServiceRequest",
        "status": status,
        "intent": "plan",
        "priority": priority(asked.priority),
        "code": text(&words),
        "authoredOn": told.entry.recorded_at.to_string(),
        "requester": by(told),
        "occurrencePeriod": { "start": asked.ready_at.unwrap_or(told.at()).to_string() },
    });
    if let Some(due) = casualty.and_then(|one| due_by(one, asked.priority))
        && due >= asked.ready_at.unwrap_or(told.at())
    {
        request["occurrencePeriod"]["end"] = json!(due.to_string());
    }
    about(bundle, told, &mut request);
    note_time(told, &mut request);
    bundle.put(wish_id(told), request, Some(told.entry.id));
}

fn stands(casualty: &Casualty, told: &Told<'_>) -> bool {
    let all = casualty.asked.all().iter();
    let mut all = all.filter(|given| given.value.is_some());
    all.any(|given| given.seq == told.entry.seq)
}

const fn priority(priority: EvacPriority) -> &'static str {
    match priority {
        EvacPriority::First => "stat",
        EvacPriority::Soon => "asap",
        EvacPriority::CanWait => "routine",
    }
}

/// Everybody's trips, and those that are wanted.
pub(super) fn put_trips(bundle: &mut Bundle<'_>) {
    let incident = bundle.source.incident;
    let all = rides(incident);
    for ride in &all {
        // Over once they were handed over, or went on with another one.
        let is_over = ride.handed_over.is_some() || (ride.arrived_at.is_some() && !ride.is_last);
        let status = match ride.left_at {
            _ if is_over => "completed",
            Some(_) => "in-progress",
            None => "accepted",
        };
        let mut task = task(bundle, ride.casualty, status, &ride.name);
        if let Some(left) = ride.left_at {
            task["executionPeriod"]["start"] = json!(left.to_string());
            if let Some(arrived) = ride.arrived_at {
                task["executionPeriod"]["end"] = json!(arrived.to_string());
            }
        }
        if let Some(to) = ride.destination {
            task["location"] = reference(to.uuid());
        }
        let id = derived(&[
            "trip",
            &ride.transport.to_string(),
            &ride.trip.to_string(),
            &ride.casualty.to_string(),
        ]);
        bundle.put(id, task, None);
    }
    for (casualty, wish) in &incident.evacuation().wishes {
        let Wish::Pinned(transport, _) = wish else {
            continue;
        };
        let name = incident.evacuation().transports.get(transport);
        let waits = incident.evacuation().whereabouts(*casualty).is_none();
        if let (Some(transport), true) = (name, waits) {
            let name = transport.details.name.to_string();
            let task = task(bundle, *casualty, "requested", &name);
            let id = derived(&["wanted", &transport.id.to_string(), &casualty.to_string()]);
            bundle.put(id, task, None);
        }
    }
}

fn task(bundle: &Bundle<'_>, id: CasualtyId, status: &str, transport: &str) -> Value {
    let mut task = json!({
        "resourceType": "Task",
        "status": status,
        "intent": "order",
        "code": text("Evacuation trip"),
        "for": reference(id.uuid()),
        "encounter": reference(Bundle::encounter(id)),
        "owner": named(transport),
    });
    let incident = bundle.source.incident;
    let wish = incident.casualty(id).and_then(|casualty| {
        let given = casualty.asked.all().iter();
        let given = given.filter(|given| given.value.is_some());
        given.map(|given| given.seq).max()
    });
    if let Some(entry) = wish.and_then(|seq| incident.entry(seq)) {
        task["focus"] = reference(wish_id(&bundle.source.told(entry)));
    }
    task
}
