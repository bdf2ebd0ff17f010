//! Which parts a view is made of, and how each is rendered: once, for the page and the stream alike.
//!
//! Owns the parts' names and the answer to "what changed for these views since?". Promises: a page and its
//! stream show the same HTML; a part of a casualty is rendered again only when something touched them.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use serde::Serialize;
use serde_json::json;

use super::app::App;
use super::session::Session;
use super::view::{
    CasualtyView, CategoryView, Choice, DutyView, EntryView, Moment, StockView, WoundView, choices,
    stock,
};
use crate::incident::fact::Posture;
use crate::incident::{
    Bleeding, Casualty, CasualtyId, DeviceId, Duty, Entry, Fact, Incident, Seq, Task, duties_of,
};
use crate::live::{Part, View, Views};
use crate::rules::triage::Category;

/// How many changes the board lists when it is opened.
const CHANGES: usize = 30;
/// Larger than any position: subtracting from it sorts the newest first as text.
const LAST: u64 = 9_999_999_999;

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
                View::Summary => changed.parts.extend(stage.summary().after(since)),
                View::Log => changed.parts.extend(stage.entries_since(since)),
            }
        }
        changed
    })
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
#[template(path = "parts/totals.html")]
struct Totals {
    totals: Vec<(CategoryView, usize)>,
    all: usize,
    bleeding: usize,
    first: Option<Moment>,
}

#[derive(Template)]
#[template(path = "parts/duties.html")]
struct Duties {
    duties: Vec<DutyView>,
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
    casualties: usize,
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

#[derive(Template)]
#[template(path = "parts/change.html")]
struct Change {
    entry: EntryView,
    order: String,
}

#[derive(Template)]
#[template(path = "parts/entry.html")]
struct LogEntry {
    entry: EntryView,
    order: String,
}

#[derive(Template)]
#[template(path = "parts/next.html")]
struct Next {
    id: String,
    name: String,
    duty: Option<DutyView>,
    place: String,
    choices: Vec<Choice>,
    take: String,
}

#[derive(Template)]
#[template(path = "parts/mine.html")]
struct Mine {
    id: String,
    duties: Vec<DutyView>,
    casualties: Vec<CasualtyView>,
}

#[derive(Template)]
#[template(path = "parts/who.html")]
struct Who {
    one: CasualtyView,
    take: String,
}

#[derive(Template)]
#[template(path = "parts/wounds.html")]
struct Wounds {
    id: String,
    number: u32,
    words: String,
    wounds: Vec<(WoundView, Vec<(DutyView, Vec<Choice>)>)>,
}

#[derive(Template)]
#[template(path = "parts/state.html")]
struct State {
    one: CasualtyView,
    vitals: Vec<(Moment, String)>,
    cancel: String,
}

#[derive(Template)]
#[template(path = "parts/timeline.html")]
struct Timeline {
    id: String,
    number: u32,
    entries: Vec<(EntryView, String)>,
}

struct Line {
    category: CategoryView,
    counts: Vec<usize>,
    all: usize,
}

#[derive(Template)]
#[template(path = "parts/summary.html")]
struct Summary {
    incident: String,
    place: String,
    as_of: Moment,
    seq: u64,
    check: String,
    lines: Vec<Line>,
    sums: Vec<usize>,
    all: usize,
    bleeding: Vec<CasualtyView>,
    tourniquets: Vec<(CasualtyView, WoundView)>,
    requests: Vec<CasualtyView>,
    others: Vec<CasualtyView>,
}

impl Stage<'_> {
    fn show(
        &self,
        id: String,
        into: Option<&'static str>,
        touched: Seq,
        make: impl FnOnce() -> String,
    ) -> Shown {
        let (changed, part) = self
            .app
            .shelf
            .get(&id, touched, self.incident.head(), || Part {
                id: id.clone(),
                into,
                html: make(),
            });
        Shown(changed, part)
    }

    /// The last position that may have changed what is said of any casualty: names of helpers count too.
    fn all_touched(&self) -> Seq {
        let touched = self.incident.touched();
        touched.casualties.max(touched.people)
    }

    fn touched(&self, casualty: &Casualty) -> Seq {
        casualty.last_seq.max(self.incident.touched().people)
    }

    fn board_since(&self, since: Seq, changed: &mut Changed) {
        for shown in [
            self.totals(),
            self.duties(),
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
        changed
            .gone
            .extend(gone.into_iter().map(|id| format!("row-{id}")));
        changed.parts.extend(
            self.touched_entries(since)
                .map(|entry| Arc::new(self.change(entry))),
        );
    }

    fn next_since(&self, device: DeviceId, since: Seq, changed: &mut Changed) {
        changed.parts.extend(self.next(device).after(since));
        changed.parts.extend(self.mine(device).after(since));
    }

    fn casualty_since(&self, id: CasualtyId, since: Seq, changed: &mut Changed) {
        let Some(casualty) = self.incident.casualty(id) else {
            return;
        };
        let parts = [
            self.who(casualty),
            self.wounds(casualty),
            self.state(casualty),
            self.timeline(casualty),
        ];
        changed
            .parts
            .extend(parts.into_iter().filter_map(|part| part.after(since)));
    }

    fn entries_since(&self, since: Seq) -> Vec<Arc<Part>> {
        self.touched_entries(since)
            .map(|entry| Arc::new(self.log_entry(entry)))
            .collect()
    }

    /// Entries after a position, and earlier ones that read otherwise since.
    fn touched_entries(&self, since: Seq) -> impl Iterator<Item = &Entry> {
        let start = usize::try_from(since.0)
            .unwrap_or(usize::MAX)
            .min(self.incident.entries().len());
        let later = || self.incident.entries()[start..].iter().map(Arc::as_ref);
        let mut touched: BTreeMap<Seq, &Entry> = later().map(|entry| (entry.seq, entry)).collect();
        // A strike shows on what it names, a restoration also on what that had struck.
        let named = self.incident.strikes().iter();
        for (_, named) in named.filter(|(strike, _)| *strike > since) {
            touched.extend(
                self.named_by(*named)
                    .into_iter()
                    .map(|entry| (entry.seq, entry)),
            );
        }
        let reworded: Vec<&Entry> = touched
            .values()
            .flat_map(|entry| self.reworded_by(entry))
            .collect();
        touched.extend(reworded.into_iter().map(|entry| (entry.seq, entry)));
        touched.into_values()
    }

    /// Entries whose words another one supplies: where a wound is, what somebody calls themselves.
    fn reworded_by(&self, entry: &Entry) -> Vec<&Entry> {
        match &entry.fact {
            Fact::WoundFound(found) => {
                let thread = self.incident.timeline(found.casualty);
                thread
                    .into_iter()
                    .filter(|other| other.about == entry.about)
                    .collect()
            }
            Fact::HelperJoined(_) => {
                let taken_by = |other: &&Entry| matches!(&other.fact, Fact::CasualtyTaken(taken) if taken.helper == Some(entry.device));
                let taken: Vec<&Entry> = self
                    .incident
                    .entries()
                    .iter()
                    .map(Arc::as_ref)
                    .filter(taken_by)
                    .collect();
                let struck = taken
                    .iter()
                    .flat_map(|taken| self.strikes_of(taken))
                    .collect::<Vec<_>>();
                taken.into_iter().chain(struck).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The strikes that name an entry: they repeat its words.
    fn strikes_of(&self, entry: &Entry) -> Vec<&Entry> {
        let strikes = self.incident.strikes().iter();
        strikes
            .filter(|(_, named)| *named == entry.seq)
            .filter_map(|(strike, _)| self.incident.entry(*strike))
            .collect()
    }

    /// An entry and, where it is a strike, what it names in turn: restoring shows there.
    fn named_by(&self, seq: Seq) -> Vec<&Entry> {
        let mut named = Vec::new();
        let mut at = Some(seq);
        while let Some(entry) = at.and_then(|seq| self.incident.entry(seq)) {
            named.push(entry);
            at = match &entry.fact {
                Fact::EntryStruck(strike) => self.incident.position(strike.entry),
                _ => None,
            };
        }
        named
    }

    pub(super) fn totals(&self) -> Shown {
        self.show("totals".to_owned(), None, self.all_touched(), || {
            let counted = self.incident.totals();
            let known = Category::ALL.into_iter().map(Some).chain([None]);
            let totals: Vec<_> = known
                .filter_map(|category| Some((CategoryView::of(category), *counted.get(&category)?)))
                .collect();
            let bleeding = self
                .incident
                .casualties()
                .filter(|one| one.bleeding() <= Bleeding::Held)
                .count();
            let first = self.incident.first_report_at().map(Moment::from);
            draw(&Totals {
                all: totals.iter().map(|(_, count)| count).sum(),
                totals,
                bleeding,
                first,
            })
        })
    }

    pub(super) fn duties(&self) -> Shown {
        self.show("duties".to_owned(), None, self.all_touched(), || {
            let duties = self.incident.duties();
            draw(&Duties {
                duties: duties
                    .iter()
                    .map(|duty| DutyView::of(duty, self.incident))
                    .collect(),
            })
        })
    }

    pub(super) fn rows(&self) -> Vec<Shown> {
        let rows = self.incident.casualties().map(|casualty| {
            self.show(
                format!("row-{}", casualty.id),
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
    pub(super) fn ordered_rows(&self) -> Vec<Shown> {
        let mut rows: Vec<(String, Shown)> = self
            .incident
            .casualties()
            .map(super::view::order)
            .zip(self.rows())
            .collect();
        rows.sort_by(|one, other| one.0.cmp(&other.0));
        rows.into_iter().map(|(_, row)| row).collect()
    }

    pub(super) fn stock(&self) -> Shown {
        self.show(
            "stock".to_owned(),
            None,
            self.incident.touched().stock,
            || {
                let items = stock(self.incident);
                let any = items
                    .iter()
                    .any(|item| item.left.is_some() || item.used > 0);
                draw(&Stock { items, any })
            },
        )
    }

    pub(super) fn people(&self) -> Shown {
        self.show("people".to_owned(), None, self.all_touched(), || {
            let has = |device| {
                self.incident
                    .casualties()
                    .filter(|one| one.helpers().any(|helper| helper == device))
                    .count()
            };
            let people = self
                .incident
                .people()
                .map(|person| PersonView {
                    name: person.name.to_string(),
                    role: person.role.code(),
                    skill: person.skill.words(),
                    casualties: has(person.device),
                })
                .collect();
            draw(&People { people })
        })
    }

    pub(super) fn leaving(&self) -> Shown {
        self.show("leaving".to_owned(), None, self.all_touched(), || {
            draw(&Leaving {
                requests: self.requests(),
            })
        })
    }

    /// Evacuation requests: by priority, then by category, then as asked.
    fn requests(&self) -> Vec<CasualtyView> {
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

    pub(super) fn changes(&self) -> Vec<String> {
        let entries = self.incident.entries();
        entries[entries.len().saturating_sub(CHANGES)..]
            .iter()
            .rev()
            .map(|entry| self.change(entry).html)
            .collect()
    }

    fn change(&self, entry: &Entry) -> Part {
        let order = format!("{:010}", LAST - entry.seq.0);
        let html = draw(&Change {
            entry: EntryView::of(entry, self.incident),
            order,
        });
        Part {
            id: format!("change-{}", entry.seq),
            into: Some("changes"),
            html,
        }
    }

    pub(super) fn log_entry(&self, entry: &Entry) -> Part {
        let order = format!("{:010}", LAST - entry.seq.0);
        let html = draw(&LogEntry {
            entry: EntryView::of(entry, self.incident),
            order,
        });
        Part {
            id: format!("entry-{}", entry.seq),
            into: Some("log-rows"),
            html,
        }
    }

    /// A helper's duties: towards those they have, or, with none due, towards those nobody has.
    fn duties_for(&self, device: DeviceId) -> Vec<Duty> {
        let (mine, others): (Vec<Duty>, Vec<Duty>) = self
            .incident
            .duties()
            .into_iter()
            .partition(|duty| duty.helpers.contains(&device));
        mine.into_iter()
            .chain(others.into_iter().filter(|duty| duty.helpers.is_empty()))
            .collect()
    }

    pub(super) fn next(&self, device: DeviceId) -> Shown {
        let id = format!("next-{device}");
        self.show(id.clone(), None, self.all_touched(), || {
            let duty = self.duties_for(device).into_iter().next();
            let casualty = duty
                .as_ref()
                .and_then(|duty| self.incident.casualty(duty.casualty));
            let drawn = duty.as_ref().map(|duty| DutyView::of(duty, self.incident));
            let choices = match (&drawn, &duty) {
                (Some(drawn), Some(duty)) => choices(drawn, duty.task),
                _ => Vec::new(),
            };
            let place = casualty
                .and_then(|one| one.place.value())
                .map(ToString::to_string)
                .unwrap_or_default();
            let name = self
                .incident
                .person(device)
                .map(|person| person.name.to_string())
                .unwrap_or_default();
            let take = casualty.map(|one| take(one.id, device)).unwrap_or_default();
            draw(&Next {
                id,
                name,
                duty: drawn,
                place,
                choices,
                take,
            })
        })
    }

    pub(super) fn mine(&self, device: DeviceId) -> Shown {
        let id = format!("mine-{device}");
        self.show(id.clone(), None, self.all_touched(), || {
            let duties = self.duties_for(device);
            let duties = duties
                .iter()
                .skip(1)
                .map(|duty| DutyView::of(duty, self.incident))
                .collect();
            let casualties = self
                .incident
                .casualties()
                .filter(|one| one.helpers().any(|helper| helper == device))
                .map(|one| CasualtyView::of(one, self.incident))
                .collect();
            draw(&Mine {
                id,
                duties,
                casualties,
            })
        })
    }

    pub(super) fn who(&self, casualty: &Casualty) -> Shown {
        self.show(
            format!("who-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                // The device is filled in by the page: the part is the same for everybody.
                let take = json!({ "about": { "casualty": casualty.id },
                "fact": { "kind": "casualty.taken/1", "helper": "$me" } });
                draw(&Who {
                    one: CasualtyView::of(casualty, self.incident),
                    take: take.to_string(),
                })
            },
        )
    }

    pub(super) fn wounds(&self, casualty: &Casualty) -> Shown {
        self.show(
            format!("wounds-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                let duties = duties_of(casualty);
                let wounds = casualty
                    .wounds
                    .iter()
                    .map(|wound| {
                        let mine = duties
                            .iter()
                            .filter(|duty| duty.wound == Some(wound.id))
                            .map(|duty| {
                                let drawn = DutyView::of(duty, self.incident);
                                let choices = match duty.task {
                                    // Shown with its clock; the look itself is reported under the nearer duty.
                                    Task::Wound(
                                        crate::rules::bleeding::Duty::TourniquetTwoHours,
                                    ) => Vec::new(),
                                    task => choices(&drawn, task),
                                };
                                (drawn, choices)
                            });
                        (WoundView::from(wound), mine.collect())
                    })
                    .collect();
                let view = CasualtyView::of(casualty, self.incident);
                draw(&Wounds {
                    id: view.id,
                    number: view.number,
                    words: view.words,
                    wounds,
                })
            },
        )
    }

    pub(super) fn state(&self, casualty: &Casualty) -> Shown {
        self.show(format!("state-{}", casualty.id), None, self.touched(casualty), || {
            let vitals = casualty
                .vitals
                .iter()
                .rev()
                .map(|(at, vitals)| (Moment::from(*at), super::view::vitals_words(vitals)))
                .collect();
            let cancel = json!({ "about": { "casualty": casualty.id }, "fact": { "kind": "evac.cancelled/1" } });
            draw(&State { one: CasualtyView::of(casualty, self.incident), vitals, cancel: cancel.to_string() })
        })
    }

    pub(super) fn timeline(&self, casualty: &Casualty) -> Shown {
        self.show(
            format!("timeline-{}", casualty.id),
            None,
            self.touched(casualty),
            || {
                let entries = self
                    .incident
                    .timeline(casualty.id)
                    .into_iter()
                    .rev()
                    .map(|entry| {
                        let strike = json!({ "about": entry.about,
                        "fact": { "kind": "entry.struck/1", "entry": entry.id } });
                        (EntryView::of(entry, self.incident), strike.to_string())
                    })
                    .collect();
                draw(&Timeline {
                    id: casualty.id.to_string(),
                    number: casualty.number,
                    entries,
                })
            },
        )
    }

    pub(super) fn summary(&self) -> Shown {
        let touched = self.all_touched().max(self.incident.touched().incident);
        self.show("summary".to_owned(), None, touched, || {
            draw(&self.summary_sheet())
        })
    }

    fn summary_sheet(&self) -> Summary {
        let about = self.incident.description();
        let text = |words: Option<&crate::incident::Words>| {
            words.map(ToString::to_string).unwrap_or_default()
        };
        let views: Vec<CasualtyView> = self
            .incident
            .casualties()
            .map(|one| CasualtyView::of(one, self.incident))
            .collect();
        let lines = self.summary_lines();
        let sums = (0..4)
            .map(|column| lines.iter().map(|line| line.counts[column]).sum())
            .collect();
        let tourniquets = views
            .iter()
            .flat_map(|one| {
                one.wounds
                    .iter()
                    .map(move |wound| (one.clone(), wound.clone()))
            })
            .filter(|(_, wound)| wound.tourniquet_since.is_some())
            .collect();
        Summary {
            incident: text(about.name.as_ref()),
            place: text(about.place.as_ref()),
            as_of: self.app.journal.now().into(),
            seq: self.incident.head().0,
            check: self.app.journal.head().check,
            all: lines.iter().map(|line| line.all).sum(),
            lines,
            sums,
            tourniquets,
            requests: self.requests(),
            bleeding: views.iter().filter(|one| one.bleeds).cloned().collect(),
            others: views.into_iter().filter(|one| one.evac.is_none()).collect(),
        }
    }

    fn summary_lines(&self) -> Vec<Line> {
        let counted = self.incident.totals_by_posture();
        let postures = Posture::ALL.into_iter().map(Some).chain([None]);
        Category::ALL
            .into_iter()
            .map(Some)
            .chain([None])
            .map(|category| {
                let counts: Vec<usize> = postures
                    .clone()
                    .map(|posture| counted.get(&(category, posture)).copied().unwrap_or(0))
                    .collect();
                Line {
                    category: CategoryView::of(category),
                    all: counts.iter().sum(),
                    counts,
                }
            })
            .filter(|line| line.all > 0 || line.category.code != "expectant")
            .collect()
    }
}

/// The fact that a helper has a casualty, as JSON for the page's script.
fn take(casualty: CasualtyId, device: DeviceId) -> String {
    json!({ "about": { "casualty": casualty }, "fact": { "kind": "casualty.taken/1", "helper": device } }).to_string()
}

fn draw(template: &impl Template) -> String {
    template.render().unwrap_or_else(|error| {
        tracing::error!(error = %error, "a part's template failed");
        String::new()
    })
}
