//! The join sheet: codes to scan, print or hold up; and the devices that joined.

use std::net::IpAddr;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::app::{App, Wifi};
use super::codes::{fresh_code, grouped};
use super::page::{Frame, html};
use super::problem::Problem;
use super::session::Session;
use super::view::Moment;
use crate::exchange::qr;
use crate::incident::{Deed, DeviceId};
use crate::live::View;

struct DeviceView {
    id: String,
    name: String,
    role: &'static str,
    at: Moment,
    is_self: bool,
    /// Removed, or its session is otherwise gone.
    is_out: bool,
}

#[derive(Template)]
#[template(path = "poster.html")]
struct PosterPage {
    frame: Frame,
    wifi: Option<(Wifi, Option<String>)>,
    sheets: Vec<(String, String)>,
    code: String,
    evac_code: String,
    viewer_code: String,
    devices: Vec<DeviceView>,
}

/// The address that joins: the code is in the fragment, which is never sent to any server.
pub fn join_address(address: IpAddr, port: u16, code: &str) -> String {
    format!(
        "http://{}/join#{}",
        std::net::SocketAddr::new(address, port),
        grouped(code)
    )
}

/// `GET /poster`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ManageDevices)?;
    let port = app.hosts.bound().port();
    let sheets = app
        .hosts
        .reachable()
        .into_iter()
        .take(2)
        .map(|address| {
            let shown = format!("http://{}", std::net::SocketAddr::new(address, port));
            qr::svg(&join_address(address, port, &app.codes.helper())).map(|svg| (shown, svg))
        })
        .collect::<Result<_, _>>()?;
    // A name too long for a code must not take the whole sheet with it: it can still be typed.
    let wifi = app.wifi.as_ref().map(|wifi| {
        let code = qr::svg(&qr::wifi(&wifi.name, wifi.password.as_deref()));
        (wifi.clone(), code.ok())
    });
    let page = app.journal.read(|incident| PosterPage {
        frame: Frame::new(&app, &session, incident, "poster", View::Pulse.to_string()),
        wifi,
        sheets,
        code: grouped(&app.codes.helper()),
        evac_code: grouped(&app.codes.evac),
        viewer_code: grouped(&app.codes.viewer),
        devices: incident
            .people()
            .map(|person| DeviceView {
                id: person.device.to_string(),
                name: person.name.to_string(),
                role: incident
                    .role_of(person.device)
                    .unwrap_or(person.role)
                    .code(),
                at: person.joined_at.into(),
                is_self: person.device == session.device,
                is_out: !app.sessions.has(person.device),
            })
            .collect(),
    });
    // Not kept by the browser: it shows the codes.
    html(&page).map(axum::response::IntoResponse::into_response)
}

/// `POST /devices/{id}/revocation`: ends a device's sessions and streams; what it reported stays.
pub(super) async fn revoke(
    State(app): State<App>,
    session: Session,
    Path(id): Path<String>,
) -> Result<StatusCode, Problem> {
    session.permit(Deed::ManageDevices)?;
    let device: DeviceId = id.parse().map_err(|_| Problem::no_such_page())?;
    // Whom the board has in comes back with what it hands over next; who is in on this machine alone does not.
    let is_own = |(session, _): &(Session, _)| session.device == device;
    if app.journal.is_following() && !app.sessions.begun_here().iter().any(is_own) {
        return Err(Problem::only_follows());
    }
    // Out at once, also when the disk fails: then the answer says that it was not stored. Also somebody the record does
    // not know: who was in on a standby before it became the board.
    let was_in = app.sessions.has(device);
    app.sessions.end(device);
    if !was_in
        && app
            .journal
            .read(|incident| incident.person(device).is_none())
    {
        return Err(Problem::no_such_page());
    }
    app.journal.revoke_device(device, app.journal.now()).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// `POST /code/renewal`: another join code for helpers; the sheet printed before opens nothing any more.
pub(super) async fn renew_code(
    State(app): State<App>,
    session: Session,
) -> Result<StatusCode, Problem> {
    session.permit(Deed::ManageDevices)?;
    if app.journal.is_following() {
        // The board's own code would come back with what it hands over next.
        return Err(Problem::only_follows());
    }
    let code = fresh_code();
    // Stored first: after a restart the old sheet must not work again.
    app.journal.save_setting("join_code", code.clone()).await?;
    app.codes.renew_helper(&code);
    app.sessions.admits_others();
    Ok(StatusCode::NO_CONTENT)
}

impl From<qr::QrError> for Problem {
    fn from(error: qr::QrError) -> Self {
        Self::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "no-code",
            "This does not fit into a code",
            error.to_string(),
        )
    }
}
