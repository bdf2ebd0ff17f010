//! The parts of the evacuation coordinator's page.

mod fleet;
mod message;
mod plan;
mod rest;
mod timeline;
mod words;

use askama::Template;
use jiff::Timestamp;
use serde_json::{Value, json};

use super::super::daylight::light_there;
use super::super::view::{CasualtyView, CategoryView, Moment, WoundView, to_bring, zone};
use super::{Shown, Stage, draw};
use crate::incident::evac::Whereabouts;
use crate::incident::fact::Posture;
use crate::incident::{Casualty, Seq};
use crate::rules::evac::daylight::Light;
use crate::rules::triage::Category;

/// A line of the table of how many.
struct Line {
    category: CategoryView,
    /// Waiting here: lying, sitting, walking, not asked.
    waiting: [usize; 4],
    here: usize,
    /// On a transport, on the way, handed over.
    away: [usize; 3],
}

#[derive(Template)]
#[template(path = "parts/evac_now.html")]
struct Now {
    as_of: Option<Moment>,
    seq: u64,
    lines: Vec<Line>,
    sums: Line,
    tourniquets: Vec<(CasualtyView, WoundView)>,
    /// "light until", "dark until" and the moment; the moment is missing where that does not end within a day.
    light: Option<(&'static str, Option<Moment>)>,
    /// What the hours on this page mean: "UTC+01:00".
    zone: String,
}

#[derive(Template)]
#[template(path = "parts/evac_bring.html")]
struct Bring {
    /// How many of what.
    bring: Vec<(u32, &'static str)>,
}

impl Stage<'_> {
    /// What may change anything on this page.
    fn evac_touched(&self) -> Seq {
        let touched = self.incident.touched();
        self.all_touched().max(touched.evac).max(touched.incident)
    }

    fn evac_part(&self, id: &str, make: impl FnOnce() -> String) -> Shown {
        self.show(id, None, self.evac_touched(), make)
    }

    /// How many, how bad, how they travel, and what runs.
    pub(in crate::web) fn evac_now(&self) -> Shown {
        self.evac_part("evac-now", || draw(&self.evac_numbers()))
    }

    /// What is short here and should come with the next transport.
    pub(in crate::web) fn evac_bring(&self) -> Shown {
        let touched = self.evac_touched().max(self.incident.touched().stock);
        self.show("evac-bring", None, touched, || {
            draw(&Bring {
                bring: to_bring(self.incident),
            })
        })
    }

    fn evac_numbers(&self) -> Now {
        let lines: Vec<Line> = Category::ALL
            .into_iter()
            .map(Some)
            .chain([None])
            .map(|category| self.evac_line(category))
            .filter(|line| {
                line.here + line.away.iter().sum::<usize>() > 0
                    || line.category.code != "expectant" && line.category.code != "not_breathing"
            })
            .collect();
        let sums = Line {
            category: CategoryView::of(None, self.incident.profile()),
            waiting: std::array::from_fn(|at| lines.iter().map(|line| line.waiting[at]).sum()),
            here: lines.iter().map(|line| line.here).sum(),
            away: std::array::from_fn(|at| lines.iter().map(|line| line.away[at]).sum()),
        };
        let last = self.incident.entries().last();
        Now {
            as_of: last.map(|entry| entry.recorded_at.into()),
            seq: self.incident.head().0,
            tourniquets: self.tied(),
            light: last.and_then(|entry| self.light(entry.recorded_at)),
            zone: last
                .map(|entry| zone(entry.recorded_at))
                .unwrap_or_default(),
            lines,
            sums,
        }
    }

    fn light(&self, as_of: Timestamp) -> Option<(&'static str, Option<Moment>)> {
        let moment = |at| Timestamp::from_second(at).ok().map(Moment::from);
        Some(match light_there(self.incident, as_of)? {
            Light::Until(at) => ("light until", moment(at)),
            Light::DarkUntil(at) => ("dark until", moment(at)),
            Light::AllDay => ("light all day", None),
            Light::NoDay => ("dark all day", None),
        })
    }

    /// Every wound that a tourniquet covers, with who has it.
    pub(super) fn tied(&self) -> Vec<(CasualtyView, WoundView)> {
        let tied = self
            .incident
            .casualties()
            .filter(|one| one.tourniquet_since().is_some())
            .map(|one| CasualtyView::of(one, self.incident));
        tied.flat_map(|one| {
            let wounds = one.wounds.clone().into_iter();
            let tied = wounds.filter(|wound| wound.tourniquet_since.is_some());
            tied.map(move |wound| (one.clone(), wound))
                .collect::<Vec<_>>()
        })
        .collect()
    }

    fn evac_line(&self, category: Option<Category>) -> Line {
        let mut line = Line {
            category: CategoryView::of(category, self.incident.profile()),
            waiting: [0; 4],
            here: 0,
            away: [0; 3],
        };
        let mine = |one: &&Casualty| one.urgent_category() == category;
        for casualty in self.incident.casualties().filter(mine) {
            match self.incident.evacuation().whereabouts(casualty.id) {
                None => {
                    let posture = casualty.evac.as_ref().map(|(_, asked)| asked.posture);
                    let column = match posture {
                        Some(Posture::Lying) => 0,
                        Some(Posture::Sitting) => 1,
                        Some(Posture::Walking) => 2,
                        None => 3,
                    };
                    line.waiting[column] += 1;
                    line.here += 1;
                }
                Some(Whereabouts::Loading { .. }) => line.away[0] += 1,
                Some(Whereabouts::Gone { .. }) => line.away[1] += 1,
                Some(Whereabouts::HandedOver { .. }) => line.away[2] += 1,
            }
        }
        line
    }

    /// Every part of the page, as named in its template.
    pub(in crate::web) fn evac_parts(&self) -> [Shown; 6] {
        [
            self.evac_now(),
            self.evac_bring(),
            self.evac_plan(),
            self.evac_rest(),
            self.evac_fleet(),
            self.evac_words(),
        ]
    }
}

/// A report as a button carries it.
fn report(about: &str, id: &impl ToString, fact: Value) -> String {
    let about = if about.is_empty() {
        json!("incident")
    } else {
        json!({ about: id.to_string() })
    };
    let mut whole = json!({});
    whole["about"] = about;
    whole["fact"] = fact;
    whole.to_string()
}
