//! What everybody is known by, in every page that reports: for the band above each step, and for "is this 7?" when a
//! report is about somebody who was last seen elsewhere. Out of range too.

use askama::Template;

use super::super::view::CasualtyView;
use super::{Changed, Shown, Stage, draw};
use crate::incident::Seq;

#[derive(Template)]
#[template(path = "parts/known.html")]
struct Known {
    id: String,
    number: u32,
    words: String,
    place: String,
}

impl Stage<'_> {
    pub(in crate::web) fn known(&self) -> Vec<Shown> {
        let all = self.incident.casualties().map(|casualty| {
            let id = format!("known-{}", casualty.id);
            self.show(&id, Some("known"), self.touched(casualty), || {
                let view = CasualtyView::of(casualty, self.incident);
                draw(&Known {
                    id: view.id,
                    number: view.number,
                    words: view.words,
                    place: view.place,
                })
            })
        });
        all.collect()
    }

    pub(super) fn known_since(&self, since: Seq, changed: &mut Changed) {
        let parts = self.known().into_iter();
        changed
            .parts
            .extend(parts.filter_map(|part| part.after(since)));
        let (_, gone) = self.incident.casualties_since(since);
        for id in gone {
            let known = format!("known-{id}");
            // The shelf must know that it left: one that comes back as it was is news again.
            self.show(&known, Some("known"), self.all_touched(), String::new);
            changed.gone.push(known);
        }
    }
}
