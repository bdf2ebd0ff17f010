//! Whom a casualty can be given to, in each form that asks for it.
//!
//! Promises: a page that is open for hours is told of whoever joins, and of them alone: the lists of five hundred people
//! would otherwise go to five hundred screens each time.

use std::sync::Arc;

use askama::Template;
use serde_json::json;

use super::{Changed, Stage, draw};
use crate::incident::{Deed, Person, Seq};
use crate::live::Part;

/// Somebody in one of the lists.
struct Carer {
    name: String,
    device: String,
    /// What is reported when a casualty is given to them.
    report: String,
}

#[derive(Template)]
#[template(path = "parts/carer_given.html")]
struct Given<'a>(&'a Carer);

#[derive(Template)]
#[template(path = "parts/carer_taking_over.html")]
struct TakingOver<'a>(&'a Carer);

#[derive(Template)]
#[template(path = "parts/carer_named.html")]
struct Named<'a>(&'a Carer);

/// One of the lists.
struct List {
    /// Its element.
    id: &'static str,
    /// How the ids of what is in it begin.
    begins: &'static str,
    draw: fn(&Carer) -> String,
}

const LISTS: [List; 3] = [
    List {
        id: "choices-people",
        begins: "given",
        draw: |carer| draw(&Given(carer)),
    },
    List {
        id: "choices-takers",
        begins: "taking-over",
        draw: |carer| draw(&TakingOver(carer)),
    },
    List {
        id: "choices-names",
        begins: "named",
        draw: |carer| draw(&Named(carer)),
    },
];

impl From<&Person> for Carer {
    fn from(person: &Person) -> Self {
        Self {
            name: person.name.to_string(),
            device: person.device.to_string(),
            report: json!({ "about": { "casualty": "$casualty" },
                "fact": { "kind": "casualty.taken/1", "helper": person.device } })
            .to_string(),
        }
    }
}

impl Stage<'_> {
    /// What is in each list, for a page that is being made: people, takers, names. On the shelf for the next page only.
    pub(super) fn carers(&self) -> [String; 3] {
        LISTS.map(|list| {
            let shown = self.show(list.id, None, self.incident.touched().people, || {
                let people = self.incident.people();
                people
                    .filter(|person| person.role.may(Deed::ReportCare))
                    .map(|person| (list.draw)(&Carer::from(person)))
                    .collect()
            });
            shown.html()
        })
    }

    /// Those of whom something changed since a position.
    pub(super) fn carers_since(&self, since: Seq, changed: &mut Changed) {
        if self.incident.touched().people <= since {
            return;
        }
        let people = self.incident.people();
        for person in people.filter(|person| person.changed > since) {
            let carer = Carer::from(person);
            for list in &LISTS {
                let id = format!("{}-{}", list.begins, carer.device);
                if person.role.may(Deed::ReportCare) {
                    changed.parts.push(Arc::new(Part {
                        id,
                        into: Some(list.id),
                        html: (list.draw)(&carer),
                    }));
                } else {
                    changed.gone.push(id);
                }
            }
        }
    }
}
