//! The lead's page of what the incident works with, and the forms that change it.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use super::app::App;
use super::page::{Frame, live_page};
use super::parts::Stage;
use super::problem::Problem;
use super::session::Session;
use crate::incident::setting::{Decides, Kind};
use crate::incident::{Deed, Setting};
use crate::live::View;

/// The form that changes one setting.
struct SettingForm {
    code: &'static str,
    words: &'static str,
    source: &'static str,
    default: String,
    by_adviser: bool,
    choices: Vec<(&'static str, &'static str)>,
    /// Unit, least, most.
    number: Option<(&'static str, u32, u32)>,
}

#[derive(Template)]
#[template(path = "settings.html")]
struct SettingsPage {
    frame: Frame,
    settings: String,
    setting_forms: Vec<SettingForm>,
}

/// `GET /settings`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ChangeSettings)?;
    let page = app.journal.read(|incident| {
        let stage = Stage {
            app: &app,
            incident,
        };
        SettingsPage {
            frame: Frame::new(
                &app,
                &session,
                incident,
                "settings",
                View::Settings.to_string(),
            ),
            settings: stage.settings().html(),
            setting_forms: Setting::ALL.into_iter().map(form).collect(),
        }
    });
    live_page(&page)
}

fn form(setting: Setting) -> SettingForm {
    let (choices, number) = match setting.kind() {
        Kind::Choice(choices) => (
            choices
                .iter()
                .map(|choice| (choice.code, choice.words))
                .collect(),
            None,
        ),
        Kind::Number(number) => (Vec::new(), Some((number.unit, number.least, number.most))),
    };
    SettingForm {
        code: setting.code(),
        words: setting.words(),
        source: setting.source(),
        default: setting.default_words(),
        by_adviser: setting.decides() == Decides::MedicalAdviser,
        choices,
        number,
    }
}
