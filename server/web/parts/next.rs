//! The parts of a helper's own page: the most urgent thing, and what they have.

use askama::Template;
use jiff::SignedDuration;
use serde_json::json;

use super::super::view::{CasualtyView, Choice, DutyView, Moment, duty_offers};
use super::{Shown, Stage, draw};
use crate::incident::{CasualtyId, DeviceId, Duty};
use crate::rules::bleeding::Severity;

#[derive(Template)]
#[template(path = "parts/next.html")]
struct Next {
    id: String,
    name: String,
    duty: Option<DutyView>,
    place: String,
    choices: Vec<Choice>,
    take: String,
}

/// What nobody has answered for long: told on every helper's page too.
#[derive(Template)]
#[template(path = "parts/calls.html")]
struct Calls {
    id: String,
    calls: Vec<(DutyView, Moment)>,
}

/// A critical duty overdue for so long is told on every helper's page (our default).
const TELL_ALL_AFTER: SignedDuration = SignedDuration::from_mins(5);

#[derive(Template)]
#[template(path = "parts/mine.html")]
struct Mine {
    id: String,
    duties: Vec<DutyView>,
    casualties: Vec<CasualtyView>,
}

impl Stage<'_> {
    /// A helper's duties: towards those they have, or, with none due, towards those nobody has.
    fn duties_for(&self, device: DeviceId) -> Vec<Duty> {
        let (mine, others): (Vec<Duty>, Vec<Duty>) = self
            .incident
            .duties()
            .into_iter()
            .partition(|duty| duty.helpers.contains(&device));
        mine.into_iter()
            .chain(others.into_iter().filter(|duty| duty.helpers.is_empty()))
            .collect()
    }

    pub(in crate::web) fn next(&self, device: DeviceId) -> Shown {
        let id = format!("next-{device}");
        self.show(
            &id.clone(),
            None,
            self.due_touched().max(self.incident.touched().materials),
            || {
                let duty = self.duties_for(device).into_iter().next();
                let casualty = duty
                    .as_ref()
                    .and_then(|duty| self.incident.casualty(duty.casualty));
                let drawn = duty.as_ref().map(|duty| DutyView::of(duty, self.incident));
                let choices = duty
                    .as_ref()
                    .map(|duty| duty_offers(self.incident, duty))
                    .unwrap_or_default();
                let place = casualty
                    .and_then(|one| one.place.value())
                    .map(ToString::to_string)
                    .unwrap_or_default();
                let name = self
                    .incident
                    .person(device)
                    .map(|person| person.name.to_string())
                    .unwrap_or_default();
                let take = casualty.map(|one| take(one.id, device)).unwrap_or_default();
                draw(&Next {
                    id,
                    name,
                    duty: drawn,
                    place,
                    choices,
                    take,
                })
            },
        )
    }

    pub(in crate::web) fn calls(&self, device: DeviceId) -> Shown {
        let id = format!("calls-{device}");
        self.show(&id.clone(), None, self.due_touched(), || {
            let calls = self
                .incident
                .duties()
                .iter()
                .filter(|duty| duty.severity == Severity::Critical)
                .filter(|duty| !duty.helpers.is_empty() && !duty.helpers.contains(&device))
                .map(|duty| {
                    let late = duty.due_at + TELL_ALL_AFTER;
                    let quiet = duty.quiet.as_ref().map(|quiet| quiet.until);
                    let from = quiet.map_or(late, |quiet| quiet.max(late));
                    (DutyView::of(duty, self.incident), from.into())
                })
                .collect();
            draw(&Calls { id, calls })
        })
    }

    pub(in crate::web) fn mine(&self, device: DeviceId) -> Shown {
        let id = format!("mine-{device}");
        self.show(&id.clone(), None, self.due_touched(), || {
            let duties = self.duties_for(device);
            let duties = duties
                .iter()
                .skip(1)
                .map(|duty| DutyView::of(duty, self.incident))
                .collect();
            let casualties = self
                .incident
                .casualties()
                .filter(|one| one.helpers().any(|helper| helper == device))
                .map(|one| CasualtyView::of(one, self.incident))
                .collect();
            draw(&Mine {
                id,
                duties,
                casualties,
            })
        })
    }
}

/// The fact that a helper has a casualty, as JSON for the page's script.
fn take(casualty: CasualtyId, device: DeviceId) -> String {
    json!({ "about": { "casualty": casualty }, "fact": { "kind": "casualty.taken/1", "helper": device } }).to_string()
}
