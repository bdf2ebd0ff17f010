//! The lead's own part: helpers who got blood on them.

use askama::Template;
use serde_json::json;

use super::super::view::Moment;
use super::{Shown, Stage, draw};

struct ExposureView {
    id: String,
    by: String,
    at: Moment,
    route: &'static str,
    first_aid: &'static str,
    due: Option<Moment>,
    doctor: String,
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
                    id: one.report.to_string(),
                    by: one.by.to_string(),
                    at: one.at.into(),
                    route: one.route.words(),
                    first_aid: one.route.first_aid(),
                    due: one.due_at.map(Moment::from),
                    doctor: json!({ "about": "incident", "fact": { "kind": "exposure.seen/1",
                        "report": one.report } })
                    .to_string(),
                })
                .collect();
            draw(&Exposures { exposures })
        })
    }
}
