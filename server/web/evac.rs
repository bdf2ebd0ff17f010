//! The evacuation coordinator's page, and what its forms offer.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use super::app::App;
use super::forms::Forms;
use super::page::{Frame, live_page};
use super::parts::Stage;
use super::problem::Problem;
use super::session::Session;
use crate::incident::Deed;
use crate::incident::evac::layout_words;
use crate::incident::fact::{Ability, DestinationKind, Layout, TransportKind};
use crate::live::View;

/// A kind of transport as a form brings it: the crew's own answer overrides.
struct Preset {
    words: &'static str,
    code: usize,
    means: &'static str,
    places: String,
    layouts: Vec<(usize, u16, u16)>,
    attendants: u16,
    load: u16,
    unload: u16,
    carries: bool,
}

/// Words, kind, layouts (lying, sitting), attendants, minutes to load and unload, oxygen and board on board. Defaults of
/// this board, after the published sizes of EN 1789 (one patient, or one and more on stretchers or chairs) and
/// EN 13718-2 (at least one stretcher); the rest from memory. Never alone on foot: two fit people go along (Wilderness
/// Medical Society practice text on ground evacuation).
type Usual = (
    &'static str,
    TransportKind,
    &'static [(u16, u16)],
    u16,
    u16,
    u16,
    bool,
);
const PRESETS: [Usual; 11] = [
    (
        "Ambulance, one stretcher",
        TransportKind::Ambulance,
        &[(1, 1)],
        1,
        5,
        10,
        true,
    ),
    (
        "Ambulance, two stretchers",
        TransportKind::Ambulance,
        &[(2, 0), (1, 2)],
        1,
        5,
        10,
        true,
    ),
    (
        "Helicopter, small",
        TransportKind::Helicopter,
        &[(1, 1)],
        1,
        10,
        10,
        true,
    ),
    (
        "Helicopter, medium",
        TransportKind::Helicopter,
        &[(2, 3)],
        2,
        10,
        10,
        true,
    ),
    (
        "Helicopter, large",
        TransportKind::Helicopter,
        &[(4, 8), (2, 12)],
        2,
        15,
        15,
        true,
    ),
    (
        "Minibus",
        TransportKind::Minibus,
        &[(0, 8)],
        0,
        10,
        10,
        false,
    ),
    ("Car", TransportKind::Car, &[(0, 3)], 0, 2, 3, false),
    (
        "Off-road car",
        TransportKind::Offroad,
        &[(1, 1)],
        0,
        5,
        5,
        false,
    ),
    ("Boat", TransportKind::Boat, &[(1, 3)], 1, 10, 10, false),
    (
        "Stretcher party",
        TransportKind::StretcherParty,
        &[(1, 0)],
        1,
        10,
        5,
        false,
    ),
    (
        "Walking party",
        TransportKind::WalkingParty,
        &[(0, 4)],
        0,
        5,
        5,
        false,
    ),
];

#[derive(Template)]
#[template(path = "evac.html")]
struct EvacPage {
    frame: Frame,
    forms: Forms,
    now: String,
    plan: String,
    rest: String,
    fleet: String,
    words: String,
    presets: Vec<Preset>,
    places: [(&'static str, &'static str); 4],
    abilities: [(&'static str, &'static str); 4],
}

/// `GET /evac`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        let [now, plan, rest, fleet, words] = stage.evac_parts().map(|part| part.html());
        EvacPage {
            frame: Frame::new(&app, &session, incident, "evac", View::Evac.to_string()),
            forms: Forms::new(&app, incident),
            now,
            plan,
            rest,
            fleet,
            words,
            presets: presets(),
            places: DestinationKind::ALL.map(|one| (one.code(), one.words())),
            abilities: Ability::ALL.map(|one| (one.code(), one.words())),
        }
    });
    live_page(&page)
}

fn presets() -> Vec<Preset> {
    PRESETS
        .into_iter()
        .enumerate()
        .map(
            |(code, (words, means, layouts, attendants, load, unload, carries))| {
                let all: Vec<Layout> = layouts
                    .iter()
                    .map(|(lying, sitting)| Layout {
                        lying: *lying,
                        sitting: *sitting,
                    })
                    .collect();
                Preset {
                    words,
                    code,
                    means: means.code(),
                    places: layout_words(&all),
                    layouts: layouts
                        .iter()
                        .enumerate()
                        .map(|(at, (lying, sitting))| (at, *lying, *sitting))
                        .collect(),
                    attendants,
                    load,
                    unload,
                    carries,
                }
            },
        )
        .collect()
}
