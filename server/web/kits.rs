//! The kits' page: what is there, what is needed, and the forms that count and move.

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
use crate::live::View;

#[derive(Template)]
#[template(path = "kits.html")]
struct KitsPage {
    frame: Frame,
    forms: Forms,
    kits: String,
}

/// `GET /kits`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::SeeCasualties)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        KitsPage {
            frame: Frame::new(&app, &session, incident, "kits", View::Kits.to_string()),
            forms: Forms::new(&app, incident),
            kits: stage.kits().html(),
        }
    });
    live_page(&page)
}
