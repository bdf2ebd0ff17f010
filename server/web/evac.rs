//! The evacuation coordinator's page, and what its forms offer.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

use super::app::App;
use super::forms::Forms;
use super::page::{Frame, live_page};
use super::parts::Stage;
use super::problem::Problem;
use super::session::Session;
use crate::incident::evac::layout_words;
use crate::incident::fact::{Ability, DestinationKind, Layout};
use crate::incident::{CasualtyId, Deed};
use crate::live::View;
use crate::rules::evac::Equipment;
use crate::rules::evac::kinds::Kind;
use crate::rules::evac::on_foot::{ENOUGH_BEARERS, Ground};
use crate::rules::words::{Security, SiteContamination, Special};

/// A kind of transport as a form brings it: the crew's own answer overrides.
struct Preset {
    words: &'static str,
    code: usize,
    means: &'static str,
    places: String,
    layouts: Vec<(usize, u16, u16)>,
    attendants: u16,
    load: i32,
    unload: i32,
    oxygen: bool,
    board: bool,
    flies: bool,
}

#[derive(Template)]
#[template(path = "evac.html")]
struct EvacPage {
    frame: Frame,
    forms: Forms,
    now: String,
    bring: String,
    plan: String,
    rest: String,
    fleet: String,
    words: String,
    presets: Vec<Preset>,
    places: [(&'static str, &'static str); 4],
    abilities: [(&'static str, &'static str); 4],
    grounds: [(&'static str, &'static str); 3],
    enough_bearers: u16,
    specials: [Special; 4],
    securities: [Security; 4],
    contaminations: [SiteContamination; 4],
}

/// `GET /evac`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let [now, bring, plan, rest, fleet, words] = stage.evac_parts().map(|part| part.html());
        EvacPage {
            frame: Frame::new(&app, &session, incident, "evac", View::Evac.to_string()),
            forms: Forms::new(&app, incident),
            now,
            bring,
            plan,
            rest,
            fleet,
            words,
            presets: presets(),
            places: DestinationKind::ALL.map(|one| (one.code(), one.words())),
            abilities: Ability::ALL.map(|one| (one.code(), one.words())),
            grounds: Ground::ALL.map(|one| (one.code(), one.words())),
            enough_bearers: ENOUGH_BEARERS,
            specials: Special::ALL,
            securities: Security::ALL,
            contaminations: SiteContamination::ALL,
        }
    });
    live_page(&page)
}

#[derive(Template)]
#[template(path = "words.html")]
struct WordsPage {
    frame: Frame,
    id: String,
    number: u32,
    words: String,
}

/// `GET /casualties/{id}/words`: what to say of one casualty.
pub(super) async fn words(
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
        return Ok(Redirect::to(&format!("/casualties/{other}/words")).into_response());
    }
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let view = View::Words(id).to_string();
        Some(WordsPage {
            frame: Frame::new(&app, &session, incident, "words", view),
            id: id.to_string(),
            number: incident.casualty(id)?.number,
            words: stage.casualty_words(id).html(),
        })
    });
    live_page(&page.ok_or_else(Problem::no_such_page)?)
}

fn presets() -> Vec<Preset> {
    Kind::ALL.into_iter().enumerate().map(preset).collect()
}

fn preset((code, kind): (usize, Kind)) -> Preset {
    let usual = kind.preset();
    let layouts: Vec<Layout> = usual
        .layouts
        .iter()
        .map(|layout| Layout {
            lying: layout.lying,
            sitting: layout.sitting,
        })
        .collect();
    Preset {
        words: kind.words(),
        code,
        means: kind.means().code(),
        places: layout_words(&layouts),
        layouts: layouts
            .iter()
            .enumerate()
            .map(|(at, layout)| (at, layout.lying, layout.sitting))
            .collect(),
        attendants: usual.attendants,
        load: usual.load,
        unload: usual.unload,
        oxygen: usual.equipment.contains(&Equipment::Oxygen),
        board: usual.equipment.contains(&Equipment::Spinal),
        flies: usual.by_daylight,
    }
}
