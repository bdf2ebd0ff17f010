//! The parts of the lead's board.

use askama::Template;

use super::super::view::{
    CasualtyView, CategoryView, DutyView, Moment, Pair, ShortView, StockView, short, stock,
};
use super::{Shown, Stage, draw};
use crate::incident::{Bleeding, Casualty, DeviceId, Duty};
use crate::rules::triage::Category;
use crate::rules::triage::retriage::{Event, Standing};

#[derive(Template)]
#[template(path = "parts/totals.html")]
struct TotalsPart {
    totals: Vec<(CategoryView, usize)>,
    all: usize,
    bleeding: usize,
    held: usize,
    /// How many limbs are under a tourniquet, and since when the longest.
    tourniquets: usize,
    longest: Option<Moment>,
    first: Option<Moment>,
    /// Items of which none is left, and how many are low.
    out: Vec<&'static str>,
    low: usize,
}

#[derive(Template)]
#[template(path = "parts/alike.html")]
struct AlikePart {
    pairs: Vec<Pair>,
}

/// Who was set aside because there was not enough here for them.
#[derive(Template)]
#[template(path = "parts/aside.html")]
struct Aside {
    who: Vec<CasualtyView>,
}

#[derive(Template)]
#[template(path = "parts/duties.html")]
struct Duties {
    /// Somebody bleeds until it is done: before everything else.
    first: Vec<DutyView>,
    now: Vec<DutyView>,
    later: Vec<DutyView>,
    out: Vec<ShortView>,
    low: Vec<ShortView>,
}

#[derive(Template)]
#[template(path = "parts/row.html")]
struct Row {
    one: CasualtyView,
}

#[derive(Template)]
#[template(path = "parts/stock.html")]
struct Stock {
    items: Vec<StockView>,
    any: bool,
}

struct PersonView {
    name: String,
    role: &'static str,
    skill: &'static str,
    /// The numbers of the casualties they have: "4, 7".
    casualties: String,
    device: String,
}

#[derive(Template)]
#[template(path = "parts/people.html")]
struct People {
    people: Vec<PersonView>,
}

#[derive(Template)]
#[template(path = "parts/leaving.html")]
struct Leaving {
    requests: Vec<CasualtyView>,
}

impl Stage<'_> {
    pub(in crate::web) fn totals(&self) -> Shown {
        let touched = self.all_touched().max(self.incident.touched().stock);
        self.show("totals", None, touched, || {
            let (out, low): (Vec<_>, Vec<_>) = stock(self.incident)
                .into_iter()
                .filter(|item| item.is_news)
                .partition(|item| item.is_out);
            let counted = self.incident.totals();
            let words = self.incident.profile();
            let known = Category::ALL.into_iter().map(Some).chain([None]);
            let totals: Vec<_> = known
                .filter_map(|category| {
                    Some((CategoryView::of(category, words), *counted.get(&category)?))
                })
                .collect();
            let with = |bleeding| {
                let all = self.incident.casualties();
                all.filter(|one| one.bleeding() == bleeding).count()
            };
            let tied: Vec<_> = self
                .incident
                .casualties()
                .filter_map(Casualty::tourniquet_since)
                .collect();
            let first = self.incident.first_report_at().map(Moment::from);
            draw(&TotalsPart {
                all: totals.iter().map(|(_, count)| count).sum(),
                totals,
                bleeding: with(Bleeding::Now),
                held: with(Bleeding::Held),
                tourniquets: tied.len(),
                longest: tied.into_iter().min().map(Moment::from),
                first,
                out: out.into_iter().map(|item| item.words).collect(),
                low: low.len(),
            })
        })
    }

    /// Those whom more help gives another chance (`Event::MoreResources`), while they are still here.
    pub(in crate::web) fn aside(&self) -> Shown {
        self.show("aside", None, self.due_touched(), || {
            let waits = |one: &&Casualty| {
                let standing = one.urgent_category().map(Standing::Triaged);
                standing.is_some_and(|standing| Event::MoreResources.calls_for_a_look(standing))
                    && !self.incident.has_left(one.id)
            };
            let who = self.incident.casualties().filter(waits);
            draw(&Aside {
                who: who
                    .map(|one| CasualtyView::of(one, self.incident))
                    .collect(),
            })
        })
    }

    pub(in crate::web) fn duties(&self) -> Shown {
        let touched = self.due_touched().max(self.incident.touched().stock);
        self.show("duties", None, touched, || {
            let (low, out) = short(self.incident)
                .into_iter()
                .partition(|one| one.can_wait);
            let (later, now): (Vec<_>, Vec<_>) =
                self.incident.duties().into_iter().partition(Duty::can_wait);
            let (first, now): (Vec<_>, Vec<_>) = now.into_iter().partition(Duty::stops_bleeding);
            let draw_all = |duties: &[Duty]| {
                duties
                    .iter()
                    .map(|duty| DutyView::of(duty, self.incident))
                    .collect()
            };
            draw(&Duties {
                first: draw_all(&first),
                now: draw_all(&now),
                later: draw_all(&later),
                out,
                low,
            })
        })
    }

    /// Records that may be of one person: what helpers think, and what the board points out.
    pub(in crate::web) fn alike(&self) -> Shown {
        self.show("alike", None, self.all_touched(), || {
            let incident = self.incident;
            let thought = incident.sames().proposals();
            let thought: Vec<Pair> = thought
                .map(|one| Pair::of_proposal(&one, incident))
                .collect();
            let alike = incident.alike();
            let alike = alike.iter().map(|one| Pair::of_alike(one, incident));
            draw(&AlikePart {
                pairs: thought.into_iter().chain(alike).collect(),
            })
        })
    }

    pub(in crate::web) fn rows(&self) -> Vec<Shown> {
        let rows = self.incident.casualties().map(|casualty| {
            self.show(
                &format!("row-{}", casualty.id),
                Some("rows"),
                self.touched(casualty),
                || {
                    draw(&Row {
                        one: CasualtyView::of(casualty, self.incident),
                    })
                },
            )
        });
        rows.collect()
    }

    /// The rows as the board orders them.
    pub(in crate::web) fn ordered_rows(&self) -> Vec<Shown> {
        let mut rows: Vec<(String, Shown)> = self
            .incident
            .casualties()
            .map(super::super::view::order)
            .zip(self.rows())
            .collect();
        rows.sort_by(|one, other| one.0.cmp(&other.0));
        rows.into_iter().map(|(_, row)| row).collect()
    }

    pub(in crate::web) fn stock(&self) -> Shown {
        let touched = self.all_touched().max(self.incident.touched().stock);
        self.show("stock", None, touched, || {
            let items = stock(self.incident);
            let any = items
                .iter()
                .any(|item| item.left.is_some() || item.used > 0);
            draw(&Stock { items, any })
        })
    }

    pub(in crate::web) fn people(&self) -> Shown {
        self.show("people", None, self.due_touched(), || {
            let has = |device| {
                let all = self.incident.casualties();
                let held = all.filter(|one| one.helpers().any(|helper| helper == device));
                let numbers: Vec<String> = held
                    .filter(|one| !self.incident.has_left(one.id))
                    .map(|one| one.number.to_string())
                    .collect();
                numbers.join(", ")
            };
            let people = self
                .incident
                .people()
                .map(|person| PersonView {
                    name: person.name.to_string(),
                    role: self
                        .incident
                        .role_of(person.device)
                        .unwrap_or(person.role)
                        .code(),
                    skill: person.skill.words(),
                    casualties: has(person.device),
                    device: person.device.to_string(),
                })
                .collect();
            draw(&People { people })
        })
    }

    /// How many casualties somebody has.
    pub(super) fn has(&self, device: DeviceId) -> usize {
        let all = self.incident.casualties();
        all.filter(|one| one.helpers().any(|helper| helper == device))
            .count()
    }

    pub(in crate::web) fn leaving(&self) -> Shown {
        self.show("leaving", None, self.all_touched(), || {
            draw(&Leaving {
                requests: self.requests(),
            })
        })
    }

    /// Evacuation requests: by priority, then by category, then as asked.
    pub(super) fn requests(&self) -> Vec<CasualtyView> {
        let mut asked: Vec<(&Casualty, _)> = self
            .incident
            .casualties()
            .filter_map(|one| Some((one, one.evac.as_ref()?)))
            .collect();
        asked.sort_by_key(|(one, (at, request))| {
            (
                request.priority,
                one.urgent_category().map_or(2, Category::rank),
                *at,
                one.number,
            )
        });
        asked
            .into_iter()
            .map(|(one, _)| CasualtyView::of(one, self.incident))
            .collect()
    }
}
