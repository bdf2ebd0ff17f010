//! What the incident report says.

use super::{items, moment, text};
use crate::incident::Incident;
use crate::incident::fact::Major;
use crate::rules::place::{self, Position, Unreadable};
use crate::rules::triage::Category;
use crate::rules::words::{self, Counts};

/// The incident's position as it was typed, read; none where nobody gave one.
pub fn position(incident: &Incident) -> Option<Result<Position, Unreadable>> {
    let typed = incident.evacuation().situation.told.position.as_ref()?;
    Some(place::read(typed.as_str()).map(|read| read.position))
}

/// What is known of the incident; `number` is the number of the message.
pub fn incident_report(incident: &Incident, number: u32) -> words::Incident {
    let situation = &incident.evacuation().situation;
    let told = &situation.told;
    let description = incident.description();
    let declared = told.major == Some(Major::Declared);
    words::Incident {
        name: text(description.name.as_ref()).unwrap_or_default(),
        version: number,
        major: situation
            .major_by
            .as_ref()
            .filter(|_| declared)
            .map(|(at, by)| words::Major {
                by: by.to_string(),
                at: moment(*at),
            }),
        location: text(told.location.as_ref()).or_else(|| text(description.place.as_ref())),
        position: position(incident).and_then(Result::ok),
        kind: text(told.what.as_ref()).or_else(|| text(description.note.as_ref())),
        hazards: items(told.hazards_present.as_ref()),
        potential: items(told.hazards_potential.as_ref()),
        access: text(told.access.as_ref()),
        egress: text(told.egress.as_ref()),
        rendezvous: text(told.rendezvous.as_ref()),
        avoid: text(told.avoid.as_ref()),
        counts: counts(incident),
        estimate: text(told.estimate.as_ref()),
        present: items(told.services_present.as_ref()),
        required: items(told.services_required.as_ref()),
    }
}

/// How many, once there is anybody on the board.
fn counts(incident: &Incident) -> Option<Counts> {
    let totals = incident.totals();
    let count = |category| {
        let many = totals.get(&category).copied().unwrap_or(0);
        u32::try_from(many).unwrap_or(u32::MAX)
    };
    (totals.values().sum::<usize>() > 0).then(|| Counts {
        immediate: count(Some(Category::Immediate)),
        delayed: count(Some(Category::Delayed)),
        minor: count(Some(Category::Minor)),
        expectant: count(Some(Category::Expectant)),
        dead: count(Some(Category::Dead)),
        not_breathing: count(Some(Category::NotBreathing)),
        uninjured: incident
            .evacuation()
            .situation
            .told
            .uninjured
            .map(u32::from),
        not_triaged: count(None),
    })
}
