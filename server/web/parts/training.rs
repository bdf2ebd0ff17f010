//! The part that says what the person at this screen counts as: what is offered goes by it, also when the lead names
//! them while their page is open.

use super::super::session::Session;
use super::{Shown, Stage};
use crate::live::Part;
use crate::rules::bleeding::Role as Training;

impl Stage<'_> {
    pub(in crate::web) fn training(&self, session: &Session) -> Shown {
        let touched = self.incident.touched();
        let id = format!("training-{}", session.device);
        let touched = touched.settings.max(touched.people);
        // A session may go on in another role a moment after the entry that says so was drawn.
        let key = format!("{id}-{}-{}", session.role.code(), session.skill.code());
        let make = || {
            let held = self.incident.settings().now();
            let training = held.training(session.device, Some(session.skill), Some(session.role));
            let code = match training {
                Training::FirstAider => "first_aider",
                Training::TrainedLead => "trained",
                Training::Medic => "medic",
            };
            Part {
                html: format!("<span id=\"{id}\" hidden data-training=\"{code}\"></span>"),
                id,
                into: None,
            }
        };
        let (changed, part) = self
            .app
            .shelf
            .get(&key, touched, self.incident.head(), make);
        Shown(changed, part)
    }
}
