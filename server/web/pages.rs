//! The pages, in the order of the URL table. Each asks who is looking, and puts parts together.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::app::App;
use super::forms::Forms;
use super::page::{Frame, html, live_page};
use super::parts::Stage;
use super::parts::entries::LOG_PAGE;
use super::problem::Problem;
use super::session::Session;
use super::view::{Cards, EntryView, Moment};
use crate::incident::{CasualtyId, Deed, Seq};
use crate::live::View;

#[derive(Template)]
#[template(path = "board.html")]
struct BoardPage {
    frame: Frame,
    forms: Forms,
    totals: String,
    aside: String,
    duties: String,
    alike: String,
    rows: Vec<String>,
    stock: String,
    /// What only the lead is told; nothing for others.
    exposures: String,
    people: String,
    leaving: String,
    changes: Vec<String>,
}

/// `GET /board`.
pub(super) async fn board(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let mut rows = stage.ordered_rows();
        let is_lead = session.role.may(Deed::ManageDevices);
        let view = if is_lead {
            format!("{},{}", View::Board, View::Lead)
        } else {
            View::Board.to_string()
        };
        BoardPage {
            frame: Frame::new(&app, &session, incident, "board", view),
            exposures: if is_lead {
                stage.exposures().html()
            } else {
                String::new()
            },
            forms: Forms::new(&app, incident),
            totals: stage.totals().html(),
            aside: stage.aside().html(),
            duties: stage.duties().html(),
            alike: stage.alike().html(),
            rows: rows.drain(..).map(|row| row.html()).collect(),
            stock: stage.stock().html(),
            people: stage.people().html(),
            leaving: stage.leaving().html(),
            changes: stage.changes(),
        }
    });
    live_page(&page)
}

#[derive(Template)]
#[template(path = "next.html")]
struct NextPage {
    frame: Frame,
    forms: Forms,
    next: String,
    calls: String,
    mine: String,
}

/// `GET /next`.
pub(super) async fn next(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ReportCare)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        NextPage {
            frame: Frame::new(&app, &session, incident, "next", View::Next.to_string()),
            forms: Forms::new(&app, incident),
            next: stage.next(session.device).html(),
            calls: stage.calls(session.device).html(),
            mine: stage.mine(session.device).html(),
        }
    });
    live_page(&page)
}

#[derive(Template)]
#[template(path = "casualty.html")]
struct CasualtyPage {
    frame: Frame,
    forms: Forms,
    id: String,
    number: u32,
    words: String,
    who: String,
    wounds: String,
    does: String,
    sorted: String,
    signs: String,
    state: String,
    timeline: String,
}

/// `GET /casualties/{id}`.
pub(super) async fn casualty(
    State(app): State<App>,
    session: Session,
    Path(id): Path<String>,
) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let id: CasualtyId = id.parse().map_err(|_| Problem::no_such_page())?;
    let stands = app
        .journal
        .read(|incident| incident.casualty(id).map(|one| one.id));
    // One person, entered twice: the other number leads here.
    if let Some(other) = stands.filter(|other| *other != id) {
        return Ok(Redirect::to(&format!("/casualties/{other}")).into_response());
    }
    let page = app.journal.read(|incident| {
        let casualty = incident.casualty(id)?;
        let stage = Stage {
            app: &app,
            incident,
        };
        Some(CasualtyPage {
            frame: Frame::new(
                &app,
                &session,
                incident,
                "casualty",
                View::Casualty(id).to_string(),
            ),
            forms: Forms::new(&app, incident),
            id: id.to_string(),
            number: casualty.number,
            words: super::view::CasualtyView::of(casualty, incident).words,
            who: stage.who(casualty).html(),
            wounds: stage.wounds(casualty).html(),
            does: stage.does(casualty).html(),
            sorted: stage.sorted(casualty).html(),
            signs: stage.signs(casualty).html(),
            state: stage.state(casualty).html(),
            timeline: stage.timeline(casualty).html(),
        })
    });
    live_page(&page.ok_or_else(Problem::no_such_page)?)
}

#[derive(Template)]
#[template(path = "summary.html")]
struct SummaryPage {
    frame: Frame,
    /// When it was read. The page's script goes on from there: a print says how old the paper was when it was made.
    read_at: Moment,
    summary: String,
}

/// `GET /summary`.
pub(super) async fn summary(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeSummary)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        SummaryPage {
            frame: Frame::new(
                &app,
                &session,
                incident,
                "summary",
                View::Summary.to_string(),
            ),
            read_at: app.journal.now().into(),
            summary: stage.summary().html(),
        }
    });
    live_page(&page)
}

#[derive(Template)]
#[template(path = "cards.html")]
struct CardsPage {
    frame: Frame,
    cards: Cards,
}

/// `GET /cards`: the reference cards.
pub(super) async fn cards(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| CardsPage {
        frame: Frame::new(&app, &session, incident, "cards", View::Cards.to_string()),
        cards: Cards::of(incident.systems(), incident.profile()),
    });
    live_page(&page)
}

/// What the log shows.
#[derive(Debug, Default, Deserialize)]
pub(super) struct Filter {
    #[serde(default)]
    casualty: String,
    #[serde(default)]
    by: String,
    #[serde(default)]
    what: String,
    /// Only entries before this position.
    before: Option<u64>,
}

impl Filter {
    fn is_set(&self) -> bool {
        !(self.casualty.trim().is_empty()
            && self.by.trim().is_empty()
            && self.what.trim().is_empty())
    }

    fn lets(&self, entry: &EntryView) -> bool {
        let number = self.casualty.trim();
        let holds =
            |text: &str, part: &str| text.to_lowercase().contains(&part.trim().to_lowercase());
        (number.is_empty()
            || entry
                .number
                .is_some_and(|known| known.to_string() == number))
            && holds(&entry.by, &self.by)
            && (holds(&entry.words, &self.what) || holds(entry.kind, &self.what))
    }
}

#[derive(Template)]
#[template(path = "log.html")]
struct LogPage {
    frame: Frame,
    entries: Vec<String>,
    casualty: String,
    by: String,
    what: String,
    filtered: bool,
    shown: usize,
    all: usize,
    older: u64,
    /// The look back ended before the beginning, and not because the page is full.
    broke_off: bool,
    older_link: String,
    check: String,
    epoch: String,
}

/// Entries one request for a filtered log looks at: whoever filters for nothing again and again must not keep the writer
/// waiting. Our choice.
const LOOKED_AT: usize = 5_000;

/// `GET /log`: every entry, newest first, struck ones shown struck.
pub(super) async fn log(
    State(app): State<App>,
    session: Session,
    Query(filter): Query<Filter>,
) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let filtered = filter.is_set();
        let before = Seq(filter.before.unwrap_or(u64::MAX));
        let entries = incident.entries().iter().rev();
        let (page, older) = leafed(
            entries.filter(|entry| entry.seq < before),
            |entry| entry.seq,
            |entry| !filtered || filter.lets(&EntryView::of(entry, incident)),
        );
        let page_is_short = page.len() < LOG_PAGE;
        // A filtered or older page stands still: new entries would not fit it.
        let view = if filtered || filter.before.is_some() {
            View::Pulse.to_string()
        } else {
            View::Log.to_string()
        };
        LogPage {
            frame: Frame::new(&app, &session, incident, "log", view),
            shown: page.len(),
            all: incident.entries().len(),
            entries: page
                .into_iter()
                .map(|entry| stage.log_entry(entry).html)
                .collect(),
            older_link: older_link(&filter, older),
            casualty: filter.casualty.clone(),
            by: filter.by.clone(),
            what: filter.what.clone(),
            check: app.journal.head().check,
            epoch: incident.epoch_words(),
            filtered,
            broke_off: page_is_short && older > 0,
            older,
        }
    });
    // One that stands still must not be kept: tomorrow it would look like today's.
    if filter.is_set() || filter.before.is_some() {
        return Ok(html(&page)?.into_response());
    }
    live_page(&page)
}

/// A page of those entries, newest first, that are let through; and before which position to go on.
fn leafed<T>(
    entries: impl Iterator<Item = T>,
    seq: impl Fn(&T) -> Seq,
    lets: impl Fn(&T) -> bool,
) -> (Vec<T>, u64) {
    let mut page = Vec::new();
    let mut last = 0;
    for (looked, entry) in entries.enumerate() {
        let (at, is_let) = (seq(&entry).0, lets(&entry));
        if looked == LOOKED_AT || (is_let && page.len() == LOG_PAGE) {
            return (page, last);
        }
        if is_let {
            page.push(entry);
        }
        last = at;
    }
    (page, 0)
}

fn older_link(filter: &Filter, before: u64) -> String {
    let escaped = |text: &str| -> String {
        text.bytes()
            .map(|byte| {
                if byte.is_ascii_alphanumeric() {
                    char::from(byte).to_string()
                } else {
                    format!("%{byte:02X}")
                }
            })
            .collect()
    };
    format!(
        "/log?before={before}&casualty={}&by={}&what={}",
        escaped(&filter.casualty),
        escaped(&filter.by),
        escaped(&filter.what)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All pages of a log of so many entries.
    fn pages(entries: u64, lets: impl Fn(&u64) -> bool) -> Vec<Vec<u64>> {
        let (mut pages, mut before) = (Vec::new(), u64::MAX);
        loop {
            let below = (1..=entries).rev().filter(|seq| *seq < before);
            let (page, older) = leafed(below, |seq| Seq(*seq), &lets);
            pages.push(page);
            if older == 0 {
                return pages;
            }
            before = older;
        }
    }

    #[test]
    fn leafing_comes_by_every_entry_once_and_looks_at_so_many_at_a_time() {
        let all = pages(1_000, |_| true);
        assert!(all.iter().all(|page| page.len() <= LOG_PAGE));
        assert_eq!(all.concat(), (1..=1_000).rev().collect::<Vec<_>>());
        // As many as fill one page: there is nothing older.
        assert_eq!(pages(LOG_PAGE as u64, |_| true).len(), 1);
        // What is far down is found, a stretch at a time.
        let rare = pages(12_000, |seq| *seq == 3 || *seq == 11_000);
        assert_eq!(rare, [vec![11_000], vec![], vec![3]]);
    }
}
