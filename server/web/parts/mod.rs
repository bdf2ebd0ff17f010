//! Which parts a view is made of, and how each is rendered: once, for the page and the stream alike.
//!
//! Owns the parts' names and the answer to "what changed for these views since?". Promises: a page and its
//! stream show the same HTML; a part of a casualty is rendered again only when something touched them.

mod board;
mod carers;
mod casualty;
mod choices;
mod command;
pub(super) mod entries;
mod evac;
mod exposures;
mod kits;
mod known;
mod next;
mod settings;
mod signs;
mod sorted;
mod step_choices;
mod summary;
mod training;

use std::sync::Arc;

use askama::Template;
use serde::Serialize;

use super::app::App;
use super::session::Session;
use crate::incident::{Casualty, CasualtyId, Deed, DeviceId, Incident, Seq};
use crate::live::{Part, View, Views};

pub(super) use choices::Choices;
pub(super) use command::Asked;

/// What changed for some views since a position.
#[derive(Debug, Serialize)]
pub(super) struct Changed {
    pub(super) seq: Seq,
    pub(super) parts: Vec<Arc<Part>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) gone: Vec<String>,
}

/// What changed for these views since a position, at the present state.
pub(super) fn changed(app: &App, session: &Session, views: &Views, since: Seq) -> Changed {
    app.journal.read(|incident| {
        let stage = Stage { app, incident };
        let mut changed = Changed {
            seq: incident.head(),
            parts: Vec::new(),
            gone: Vec::new(),
        };
        for view in views.iter() {
            match view {
                View::Board => stage.board_since(since, &mut changed),
                View::Next => stage.next_since(session.device, since, &mut changed),
                View::Casualty(id) => stage.casualty_since(id, since, &mut changed),
                View::Evac => {
                    let parts = stage.evac_parts().into_iter();
                    changed
                        .parts
                        .extend(parts.filter_map(|part| part.after(since)));
                }
                View::Words(id) => {
                    changed.parts.extend(stage.casualty_words(id).after(since));
                }
                View::Summary => changed.parts.extend(stage.summary().after(since)),
                View::Lead => changed.parts.extend(stage.exposures().after(since)),
                View::Known => stage.known_since(since, &mut changed),
                View::Kits => changed.parts.extend(stage.kits().after(since)),
                View::Command => {
                    let parts = [
                        stage.briefing(),
                        stage.command_trips(),
                        stage.command_takers(),
                        stage.command_open(),
                    ];
                    let parts = parts.into_iter();
                    changed
                        .parts
                        .extend(parts.filter_map(|part| part.after(since)));
                }
                View::Settings => changed.parts.extend(stage.settings().after(since)),
                View::Cards | View::Pulse => {}
                View::Log => changed.parts.extend(stage.entries_since(since)),
            }
        }
        if session.role.may(Deed::ReportCare) || session.role.may(Deed::ReportEvac) {
            let choices = stage.choice_parts().into_iter();
            changed
                .parts
                .extend(choices.filter_map(|part| part.after(since)));
            stage.carers_since(since, &mut changed);
        }
        if views.iter().any(has_forms) {
            changed.parts.extend(stage.step_choices().after(since));
            changed.parts.extend(stage.left().after(since));
        }
        changed.parts.extend(stage.training(session).after(since));
        changed.parts.extend(stage.heading().after(since));
        changed
    })
}

/// Pages that hold the forms of reports.
const fn has_forms(view: View) -> bool {
    matches!(
        view,
        View::Board | View::Next | View::Casualty(_) | View::Kits
    )
}

/// The state being looked at, with what rendering needs.
pub(super) struct Stage<'a> {
    pub(super) app: &'a App,
    pub(super) incident: &'a Incident,
}

/// A part and the position at which it last changed.
pub(super) struct Shown(Seq, Arc<Part>);

impl Shown {
    /// Its HTML.
    pub(super) fn html(&self) -> String {
        self.1.html.clone()
    }

    fn after(self, since: Seq) -> Option<Arc<Part>> {
        (self.0 > since).then_some(self.1)
    }
}

#[derive(Template)]
#[template(path = "parts/heading.html")]
struct Heading {
    name: String,
    place: String,
    /// Who is in command.
    lead: String,
}

impl Stage<'_> {
    /// What the incident is called, where it is and who leads: on every page.
    pub(in crate::web) fn heading(&self) -> Shown {
        let touched = self.incident.touched();
        self.show(
            "heading",
            None,
            touched.incident.max(touched.people),
            || {
                let about = self.incident.description();
                let text = |words: Option<&crate::incident::Words>| {
                    words.map(ToString::to_string).unwrap_or_default()
                };
                draw(&Heading {
                    name: text(about.name.as_ref()),
                    place: text(about.place.as_ref()),
                    lead: text(self.incident.in_command().map(|person| &person.name)),
                })
            },
        )
    }

    fn show(
        &self,
        id: &str,
        into: Option<&'static str>,
        touched: Seq,
        make: impl FnOnce() -> String,
    ) -> Shown {
        let (changed, part) = self
            .app
            .shelf
            .get(id, touched, self.incident.head(), || Part {
                id: id.to_owned(),
                into,
                html: make(),
            });
        Shown(changed, part)
    }

    /// The last position that may have changed what is said of any casualty: names of helpers count too.
    fn all_touched(&self) -> Seq {
        let touched = self.incident.touched();
        touched.casualties.max(touched.people).max(touched.settings)
    }

    /// The last position that may have changed what is due: leaving ends some of it.
    fn due_touched(&self) -> Seq {
        self.all_touched().max(self.incident.touched().evac)
    }

    fn touched(&self, casualty: &Casualty) -> Seq {
        let touched = self.incident.touched();
        casualty.last_seq.max(touched.people).max(touched.settings)
    }

    fn board_since(&self, since: Seq, changed: &mut Changed) {
        for shown in [
            self.totals(),
            self.aside(),
            self.duties(),
            self.alike(),
            self.stock(),
            self.people(),
            self.leaving(),
        ] {
            changed.parts.extend(shown.after(since));
        }
        let (_, gone) = self.incident.casualties_since(since);
        changed
            .parts
            .extend(self.rows().into_iter().filter_map(|row| row.after(since)));
        for id in gone {
            let row = format!("row-{id}");
            // The shelf must know that it left: a row that comes back as it was is news again.
            self.show(&row, Some("rows"), self.all_touched(), String::new);
            changed.gone.push(row);
        }
        changed.parts.extend(self.changes_since(since));
    }

    fn next_since(&self, device: DeviceId, since: Seq, changed: &mut Changed) {
        changed.parts.extend(self.next(device).after(since));
        changed.parts.extend(self.calls(device).after(since));
        changed.parts.extend(self.mine(device).after(since));
    }

    fn casualty_since(&self, id: CasualtyId, since: Seq, changed: &mut Changed) {
        // A record that was joined to another is not a page of its own any more.
        let here = self.incident.casualty(id).filter(|one| one.id == id);
        let Some(casualty) = here else {
            let parts = self.absent(id);
            changed
                .parts
                .extend(parts.into_iter().filter_map(|part| part.after(since)));
            return;
        };
        let parts = [
            self.who(casualty),
            self.does(casualty),
            self.sorted(casualty),
            self.signs(casualty),
            self.wounds(casualty),
            self.state(casualty),
            self.timeline(casualty),
        ];
        changed
            .parts
            .extend(parts.into_iter().filter_map(|part| part.after(since)));
    }
}

fn draw(template: &impl Template) -> String {
    template.render().unwrap_or_else(|error| {
        tracing::error!(error = %error, "a part's template failed");
        String::new()
    })
}
