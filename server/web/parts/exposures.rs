//! The lead's own part: helpers who got blood on them.

use askama::Template;
use serde_json::json;

use super::super::view::Moment;
use super::{Shown, Stage, draw};
use crate::incident::Exposure;

struct ExposureView {
    by: String,
    at: Moment,
    route: &'static str,
    first_aid: &'static str,
    due: Option<Moment>,
    doctor: String,
    /// The alarm's code, the report that it was seen, until when it is quiet and who saw it.
    alarm: String,
    ack: String,
    quiet: Option<(Moment, String)>,
}

#[derive(Template)]
#[template(path = "parts/exposures.html")]
struct Exposures {
    exposures: Vec<ExposureView>,
}

impl Stage<'_> {
    /// Who got blood on them: for the lead's eyes.
    pub(in crate::web) fn exposures(&self) -> Shown {
        let touched = self.incident.touched();
        let touched = touched.incident.max(touched.settings);
        self.show("exposures", None, touched, || {
            let exposures = self
                .incident
                .exposures()
                .into_iter()
                .map(|one| ExposureView {
                    by: one.by.to_string(),
                    at: one.at.into(),
                    route: one.route.words(),
                    first_aid: one.route.first_aid(),
                    due: one.due_at.map(Moment::from),
                    doctor: json!({ "about": "incident", "fact": { "kind": "exposure.seen/1",
                        "report": one.report } })
                    .to_string(),
                    alarm: Exposure::code(one.report),
                    ack: one.due_at.map_or_else(String::new, |due| {
                        json!({ "about": "incident", "fact": { "kind": "alarm.seen/1",
                            "duty": Exposure::code(one.report), "due_at": due } })
                        .to_string()
                    }),
                    quiet: one
                        .quiet
                        .map(|quiet| (Moment::from(quiet.until), quiet.by.to_string())),
                })
                .collect();
            draw(&Exposures { exposures })
        })
    }
}
