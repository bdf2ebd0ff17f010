//! The choices in the forms that change while people work: who is here, who else is hurt, places, kits.
//!
//! They are parts like any other, because a page stays open for hours: whoever joins must be there to be given a
//! casualty. Sent to every page of a device that reports; a page without such a form leaves them out.

use askama::Template;

use super::super::view::{self, CasualtyView};
use super::{Shown, Stage, draw};

/// Places offered before anybody named one.
const FIRST_PLACES: [&str; 4] = [
    "in the vehicle",
    "on the road",
    "on the slope",
    "by the shelter",
];
/// How many places are offered.
const PLACES: usize = 10;

/// The HTML of each.
#[derive(Debug)]
pub(in crate::web) struct Choices {
    pub(in crate::web) people: String,
    pub(in crate::web) takers: String,
    pub(in crate::web) names: String,
    pub(in crate::web) others: String,
    pub(in crate::web) records: String,
    pub(in crate::web) places: String,
    pub(in crate::web) kits: String,
}

#[derive(Template)]
#[template(path = "parts/choices_others.html")]
struct Others {
    others: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "parts/choices_records.html")]
struct Records {
    records: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "parts/choices_kits.html")]
struct Kits {
    kits: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "parts/choices_words.html")]
struct WordList {
    id: &'static str,
    words: Vec<String>,
}

impl Stage<'_> {
    /// For a page that is being made.
    pub(in crate::web) fn choices(&self) -> Choices {
        let [others, records, places, kits] = self.choice_parts().map(|shown| shown.html());
        let [people, takers, names] = self.carers();
        Choices {
            people,
            takers,
            names,
            others,
            records,
            places,
            kits,
        }
    }

    /// What changes as a whole; whom something can be given to follows one by one.
    pub(super) fn choice_parts(&self) -> [Shown; 4] {
        let touched = self.incident.touched();
        [
            self.show("choices-others", None, self.all_touched(), || {
                draw(&Others {
                    others: self.others(),
                })
            }),
            self.show("choices-records", None, self.all_touched(), || {
                draw(&Records {
                    records: self.others(),
                })
            }),
            self.show("choices-places", None, touched.casualties, || {
                draw(&WordList {
                    id: "choices-places",
                    words: self.places(),
                })
            }),
            self.show("choices-kits", None, touched.stock, || {
                let kits = view::kits(self.incident).into_iter();
                draw(&Kits {
                    kits: kits.map(|kit| (kit.id, kit.name)).collect(),
                })
            }),
        ]
    }

    fn others(&self) -> Vec<(String, String)> {
        let casualties = self.incident.casualties();
        casualties
            .map(|one| {
                let view = CasualtyView::of(one, self.incident);
                (view.id, format!("{} {}", view.number, view.words))
            })
            .collect()
    }

    /// Places in use first, then some to begin with.
    fn places(&self) -> Vec<String> {
        let known: Vec<String> = self
            .incident
            .places()
            .iter()
            .map(ToString::to_string)
            .collect();
        let first = FIRST_PLACES
            .into_iter()
            .filter(|place| !known.iter().any(|one| one == place))
            .map(ToOwned::to_owned)
            .collect::<Vec<_>>();
        known.into_iter().chain(first).take(PLACES).collect()
    }
}
