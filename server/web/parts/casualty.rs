//! The parts of one casualty's page.

use askama::Template;
use serde_json::json;

use super::super::view::{
    CasualtyView, Choice, DutyView, EntryView, Moment, PersonView, WoundView, person_offers,
    wound_offers,
};
use super::{Shown, Stage, draw};
use crate::incident::{
    About, Casualty, CasualtyId, Duty, Entry, Fact, Task, Wound, duties_of, sentence,
};
use crate::rules::bleeding;

#[derive(Template)]
#[template(path = "parts/who.html")]
struct Who {
    one: CasualtyView,
}

#[derive(Template)]
#[template(path = "parts/does.html")]
struct Does {
    one: CasualtyView,
    take: String,
}

struct WoundCard {
    view: WoundView,
    duties: Vec<DutyView>,
    choices: Vec<Choice>,
    /// Hands press against the clock: no answer stands out until it is up.
    holds: bool,
}

#[derive(Template)]
#[template(path = "parts/wounds.html")]
struct WoundsPart {
    id: String,
    number: u32,
    words: String,
    wounds: Vec<WoundCard>,
    /// Taken off the list, and how to put them back.
    voided: Vec<VoidedView>,
    /// Duties towards the person as a whole.
    person: Vec<(DutyView, Vec<Choice>)>,
}

/// A wound that somebody said is none.
struct VoidedView {
    /// The report: "forearm, left: there is no such wound (seen twice)".
    words: String,
    by: String,
    device: String,
    at: Moment,
    /// The report that puts it back.
    put_back: String,
}

#[derive(Template)]
#[template(path = "parts/state.html")]
struct State {
    one: CasualtyView,
    person: PersonView,
    cancel: String,
}

#[derive(Template)]
#[template(path = "parts/timeline.html")]
struct Timeline {
    id: String,
    number: u32,
    entries: Vec<(EntryView, String)>,
}

/// A part of somebody who was taken off the board.
#[derive(Template)]
#[template(path = "parts/struck.html")]
struct Struck<'a> {
    part: &'a str,
    number: u32,
}

/// A part of a record that another one stands for.
#[derive(Template)]
#[template(path = "parts/joined.html")]
struct Joined<'a> {
    part: &'a str,
    own: u32,
    id: String,
    number: u32,
}

impl Stage<'_> {
    /// The page of a record that is not on the board: struck, or joined to another. It says so, and offers nothing more
    /// to report. Nobody for an id the board has never heard of.
    pub(super) fn absent(&self, id: CasualtyId) -> Vec<Shown> {
        let Some(own) = self.incident.own_number(id) else {
            return Vec::new();
        };
        let joined = self.incident.casualty(id);
        [
            "who", "does", "sorted", "signs", "wounds", "state", "timeline",
        ]
        .into_iter()
        .map(|name| {
            let part = format!("{name}-{id}");
            self.show(&part, None, self.all_touched(), || match joined {
                Some(casualty) => draw(&Joined {
                    part: &part,
                    own,
                    id: casualty.id.to_string(),
                    number: casualty.number,
                }),
                None => draw(&Struck {
                    part: &part,
                    number: own,
                }),
            })
        })
        .collect()
    }

    pub(in crate::web) fn who(&self, casualty: &Casualty) -> Shown {
        self.show(
            &format!("who-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                draw(&Who {
                    one: CasualtyView::of(casualty, self.incident),
                })
            },
        )
    }

    pub(in crate::web) fn does(&self, casualty: &Casualty) -> Shown {
        self.show(
            &format!("does-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                // The device is filled in by the page: the part is the same for everybody.
                let take = json!({ "about": { "casualty": casualty.id },
                "fact": { "kind": "casualty.taken/1", "helper": "$me" } });
                draw(&Does {
                    one: CasualtyView::of(casualty, self.incident),
                    take: take.to_string(),
                })
            },
        )
    }

    pub(in crate::web) fn wounds(&self, casualty: &Casualty) -> Shown {
        self.show(
            &format!("wounds-{}", casualty.id),
            None,
            // What its buttons are made of goes by what others took out of the bag.
            self.touched(casualty)
                .max(self.incident.touched().materials),
            || {
                // Only those of bleeding care are drawn here, and they go on until somebody else has the casualty.
                let duties = duties_of(casualty, self.incident.settings().now(), false);
                let wounds = casualty
                    .wounds
                    .iter()
                    .filter(|wound| wound.standing.state != bleeding::State::Void)
                    .map(|wound| self.wound_card(casualty, wound, &duties))
                    .collect();
                let view = CasualtyView::of(casualty, self.incident);
                draw(&WoundsPart {
                    id: view.id,
                    number: view.number,
                    words: view.words,
                    wounds,
                    voided: self.voided(casualty),
                    person: self.person_duties(casualty, &duties),
                })
            },
        )
    }

    fn wound_card(&self, casualty: &Casualty, wound: &Wound, duties: &[Duty]) -> WoundCard {
        let duties: Vec<DutyView> = duties
            .iter()
            .filter(|duty| duty.wound == Some(wound.id))
            .map(|duty| DutyView::of(duty, self.incident))
            .collect();
        WoundCard {
            view: WoundView::of(wound, self.incident),
            holds: duties.iter().any(|duty| duty.holds),
            duties,
            choices: wound_offers(self.incident, casualty, wound),
        }
    }

    fn voided(&self, casualty: &Casualty) -> Vec<VoidedView> {
        let thread = self.incident.timeline(casualty.id);
        let gone = |id| {
            let one = casualty.wounds.iter().find(|wound| wound.id == id);
            one.is_some_and(|wound| wound.standing.state == bleeding::State::Void)
        };
        thread
            .into_iter()
            .filter(|entry| matches!(entry.fact, Fact::WoundVoided(_)))
            .filter(|entry| !self.incident.is_struck(entry.seq))
            .filter(|entry| matches!(entry.about, About::Wound(id) if gone(id)))
            .map(|entry| VoidedView {
                words: sentence(entry, self.incident),
                by: entry.by.to_string(),
                device: entry.device.to_string(),
                at: entry.happened_at.into(),
                put_back: strike_of(entry),
            })
            .collect()
    }

    fn person_duties(&self, casualty: &Casualty, duties: &[Duty]) -> Vec<(DutyView, Vec<Choice>)> {
        duties
            .iter()
            .filter(|duty| duty.wound.is_none())
            .filter_map(|duty| match duty.task {
                Task::Care(kind, _) => {
                    let drawn = DutyView::of(duty, self.incident);
                    Some((drawn, person_offers(casualty, kind)))
                }
                Task::Sort | Task::LookAgain(_) => None,
            })
            .collect()
    }

    pub(in crate::web) fn state(&self, casualty: &Casualty) -> Shown {
        self.show(&format!("state-{}", casualty.id), None, self.touched(casualty), || {
            let cancel = json!({ "about": { "casualty": casualty.id }, "fact": { "kind": "evac.cancelled/1" } });
            draw(&State { person: PersonView::of(casualty, &self.incident.settings().now().policy), one: CasualtyView::of(casualty, self.incident), cancel: cancel.to_string() })
        })
    }

    pub(in crate::web) fn timeline(&self, casualty: &Casualty) -> Shown {
        self.show(
            &format!("timeline-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                let entries = self
                    .incident
                    .timeline(casualty.id)
                    .into_iter()
                    .rev()
                    .map(|entry| (EntryView::of(entry, self.incident), strike_of(entry)))
                    .collect();
                draw(&Timeline {
                    id: casualty.id.to_string(),
                    number: casualty.number,
                    entries,
                })
            },
        )
    }
}

/// The report that brings back what an entry struck.
fn strike_of(entry: &Entry) -> String {
    let fact = json!({ "kind": "entry.struck/1", "entry": entry.id, "reason": "put back" });
    json!({ "about": entry.about, "fact": fact }).to_string()
}
