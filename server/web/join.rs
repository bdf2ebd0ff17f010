//! Joining: the one page before a session, and how a session begins.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::{Duration, Instant};

use askama::Template;
use axum::Json;
use axum::extract::{ConnectInfo, FromRequestParts, State};
use axum::http::{HeaderMap, StatusCode, header, request};
use axum::response::{Html, IntoResponse, Redirect, Response};
use serde::{Deserialize, Serialize};

use super::app::App;
use super::json::Body;
use super::problem::Problem;
use super::secure::Way;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::{HelperJoined, Skill};
use crate::incident::{About, Author, BoardId, DeviceId, EntryId, Fact, Report, Role, Words};
use crate::journal::JournalError;

/// How long each newcomer waits while very many wrong codes come in.
const RUSHED: Duration = Duration::from_secs(2);

/// What a joining device sends.
#[derive(Clone, Debug, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Join {
    /// The join code, or the lead's three words.
    #[schema(max_length = 80)]
    pub code: String,
    /// What the person calls themselves, at most 80 characters.
    #[schema(max_length = 80)]
    pub name: String,
    /// What they have learnt.
    #[serde(default = "untrained")]
    pub skill: Skill,
}

/// What a joined device is told.
#[derive(Clone, Debug, Serialize, utoipa::ToSchema)]
pub(super) struct Joined {
    /// This board.
    pub board: BoardId,
    /// The device's id.
    pub device: DeviceId,
    /// Its role.
    pub role: Role,
    /// The page to open now.
    pub next: &'static str,
}

/// The address a request came from.
pub(super) struct Peer(pub(super) IpAddr);

impl<S: Send + Sync> FromRequestParts<S> for Peer {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(
        parts: &mut request::Parts,
        _: &S,
    ) -> Result<Self, Self::Rejection> {
        let address = parts
            .extensions
            .get::<ConnectInfo<SocketAddr>>()
            .map(|info| info.0.ip());
        Ok(Self(address.unwrap_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED))))
    }
}

fn untrained() -> Skill {
    Skill::None
}

/// The page a role works from.
pub(super) const fn home(role: Role) -> &'static str {
    match role {
        Role::Lead | Role::Deputy => "/board",
        Role::Helper => "/next",
        Role::Evac => "/evac",
        Role::Viewer => "/summary",
    }
}

#[derive(Template)]
#[template(path = "join.html")]
struct JoinPage<'a> {
    assets: &'a str,
    incident: String,
    practice: bool,
    /// Boards whose records were removed here: a phone that comes back forgets them.
    removed: String,
}

/// `GET /`: to the page of one's role, or to the join page.
pub(super) async fn front_door(session: Option<Session>) -> Redirect {
    Redirect::to(session.map_or("/join", |session| home(session.role)))
}

/// `GET /join`: the only page before joining. Says nothing of the incident but its name.
pub(super) async fn page(State(app): State<App>) -> Result<Response, Problem> {
    let (incident, practice) = app.journal.read(|incident| {
        let about = incident.description();
        (
            about
                .name
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
            about.practice,
        )
    });
    let page = JoinPage {
        assets: app.assets.prefix(),
        incident,
        practice,
        removed: app.removed.join(" "),
    };
    super::page::html(&page).map(|html: Html<String>| html.into_response())
}

/// `POST /join`: a code or the lead's words, a name, a skill; answers with the session's cookie.
pub(super) async fn join(
    State(app): State<App>,
    Peer(address): Peer,
    way: Way,
    before: Option<Session>,
    Body(join): Body<Join>,
) -> Result<Response, Problem> {
    let now = Instant::now();
    if app.guesses.is_rushed(now) {
        // Nobody is locked out: in a flood of wrong codes each newcomer only waits a little; who is in notices nothing.
        tokio::time::sleep(RUSHED).await;
    }
    if !app.guesses.may_try(address, now) {
        return Err(Problem::slow_down(
            "too-many-guesses",
            "Too many wrong codes from here. Wait a minute, then type it again.",
            60,
        ));
    }
    let Some(role) = app.codes.role(&join.code) else {
        app.guesses.wrong(address, now);
        return Err(Problem::new(
            StatusCode::FORBIDDEN,
            "wrong-code",
            "This code is not right",
            "This code does not open the board. Compare it with the poster or the lead's screen and type it again.",
        ));
    };
    way.permit(&app, role)?;
    if !app
        .guesses
        .may_join(address, now, app.limits.joins_per_minute)
    {
        return Err(Problem::slow_down(
            "too-many-joins",
            "Very many devices joined from here within a minute. Wait a minute, then join.",
            60,
        ));
    }
    let name = Words::new(&join.name).map_err(|error| {
        Problem::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "no-name",
            "A name is needed",
            format!("Your name: {error}"),
        )
    })?;
    // A device that joins again, for another role, stays the same device.
    let device = before
        .as_ref()
        .map_or_else(|| DeviceId::new(fresh_id()), |session| session.device);
    admit(&app, app.sessions.of(device, name, join.skill, role), way).await
}

async fn admit(app: &App, session: Session, way: Way) -> Result<Response, Problem> {
    let now = app.journal.now();
    let joined = HelperJoined {
        name: session.name.clone(),
        skill: session.skill,
        role: session.role,
    };
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: now,
        based_on: app.journal.head().seq,
        time_unsure: false,
        epoch: None,
        fact: Fact::HelperJoined(joined),
    };
    // The board itself reports who joined: no session exists yet.
    let author = Author {
        device: session.device,
        name: session.name.clone(),
        role: None,
        skill: None,
    };
    // A standby takes nothing into the record: who looks at it is in on this machine only.
    let follows = app.journal.is_following();
    if !follows {
        app.journal.append(vec![report], author).await?;
    }
    let answer = Joined {
        board: app.board,
        device: session.device,
        role: session.role,
        next: home(session.role),
    };
    // Stored first, and in one stroke with the end of the earlier ones: whoever joins again while the disk fails
    // stays who they were.
    let (cookie, stored) = app.sessions.make(&session, now, way == Way::Tls);
    if !follows {
        app.journal.save_session(stored.clone()).await?;
    }
    app.sessions.begin(stored, session);
    Ok(([(header::SET_COOKIE, cookie)], Json(answer)).into_response())
}

/// `POST /session/renewal`: a fresh token, in the role the record gives this device now. The old one ends when the new
/// one is first used (OWASP ASVS 5.0, 7.2.4).
pub(super) async fn renew(
    State(app): State<App>,
    session: Session,
    way: Way,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    if app.journal.is_following() {
        // Sessions come from the board that is followed; one made here would outlive what is taken back there.
        return Err(JournalError::Following.into());
    }
    let role = app
        .journal
        .read(|incident| incident.role_of(session.device))
        .unwrap_or(session.role);
    way.permit(&app, role)?;
    let fresh = app
        .sessions
        .of(session.device, session.name, session.skill, role);
    let answer = Joined {
        board: app.board,
        device: fresh.device,
        role,
        next: home(role),
    };
    let now = app.journal.now();
    let (cookie, stored) = app
        .sessions
        .make_next(&headers, &fresh, now, way == Way::Tls);
    let token = stored.token_hash;
    // Beside the old one, which ends when this one is first used: the answer may get lost on the way.
    app.journal.change_session(stored.clone()).await?;
    if !app.sessions.begin_beside(stored, fresh, &headers) {
        // Removed while this was being stored: it must not come back at the next start either.
        app.journal.end_session(token, now).await?;
        return Err(Problem::join_first(app.board));
    }
    Ok(([(header::SET_COOKIE, cookie)], Json(answer)).into_response())
}

/// `GET /session`: who this device is.
pub(super) async fn who(State(app): State<App>, session: Session) -> Json<Joined> {
    Json(Joined {
        board: app.board,
        device: session.device,
        role: session.role,
        next: home(session.role),
    })
}
