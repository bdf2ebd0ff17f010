//! The URL table: the product's table of contents.

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

use super::app::App;
use super::problem::Problem;
use super::{
    assets, closing, command, evac, guard, handover, join, journal_door, kits, live_door, meanings,
    openapi, pages, paper, poster, problem, settings,
};
use super::{
    changes, copies, memories, record, restoration, reversal, secure, standing, time_door,
};

/// The largest request body.
const MOST_BYTES: usize = 64 * 1024;

/// Every address, with the layers each request passes from the outside in.
pub fn router(app: App) -> Router {
    Router::new()
        // joining
        .route("/", get(join::front_door))
        .route("/join", get(join::page).post(join::join))
        .route("/session", get(join::who))
        .route("/session/renewal", post(join::renew))
        .route("/authority.crt", get(secure::authority))
        // the lead
        .route("/board", get(pages::board))
        .route("/settings", get(settings::page))
        .route("/kits", get(kits::page))
        .route("/poster", get(poster::page))
        .route("/devices/{id}/revocation", post(poster::revoke))
        .route("/code/renewal", post(poster::renew_code))
        .route("/devices/{id}/reversal", post(reversal::reverse))
        // who is in command
        .route("/command", get(command::page))
        .route("/command/offer", post(command::offer))
        .route("/command/taking", post(command::take))
        .route("/closing", post(closing::close))
        // the record
        .route("/record", get(record::page))
        .route("/record/file", post(record::save))
        .route("/copies", get(copies::page))
        .route("/copies/{form}", get(copies::save))
        // surviving the loss of a machine
        .route("/seen", post(memories::compare))
        .route("/warnings/seen", post(memories::seen))
        .route("/standby", get(standing::hand))
        .route("/standby/words", post(standing::words))
        .route("/promotion", post(standing::promote))
        .route("/restoration", post(restoration::take))
        .route("/restoration/people", post(restoration::take_people))
        .route("/restoration/end", post(restoration::end))
        // helpers
        .route("/next", get(pages::next))
        .route("/casualties/{id}", get(pages::casualty))
        .route("/casualties/{id}/handover", get(handover::page))
        .route("/cards", get(pages::cards))
        // the evacuation coordinator
        .route("/evac", get(evac::page))
        .route("/casualties/{id}/words", get(evac::words))
        .route("/summary", get(pages::summary))
        // the record
        .route("/log", get(pages::log))
        .route("/log/paper", get(paper::log))
        .route("/forms", get(paper::forms))
        .route(
            "/journal",
            get(journal_door::read).post(journal_door::append),
        )
        .route("/live/{views}", get(live_door::stream))
        .route("/changes", get(changes::since))
        .route("/time", get(time_door::tell))
        // programs
        .route("/openapi.json", get(openapi::document))
        .route("/problems/{code}", get(meanings::explain))
        .route("/static/{build}/{*file}", get(assets::file))
        .fallback(|| async { Problem::no_such_page() })
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(from_fn_with_state(app.clone(), guard::check))
        .layer(from_fn_with_state(app.clone(), problem::render))
        // The default predicate already leaves event streams alone.
        .layer(CompressionLayer::new())
        .layer(CatchPanicLayer::custom(problem::of_panic))
        .layer(from_fn(guard::protect))
        .with_state(app)
}
