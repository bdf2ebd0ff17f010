//! Building a lost board up again from the copy on a device.
//!
//! Owns the doors for it. Promises: only on a board that holds nothing yet, only for its lead; the copy is verified
//! entry by entry; this address then serves the rebuilt board, and phones that were in on the lost one are in.

use std::collections::BTreeMap;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::app::App;
use super::json::Body;
use super::problem::Problem;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::ContinuedFrom;
use crate::incident::{Deed, Entry, EntryId, EpochId, Fact, Incident, Role, Seq, goes_on};
use crate::journal::{Chain, JournalError, RebuildError, Site, StoredEntry, StoredSession};

/// Codes of the lost board that go on letting people in, by the names they are kept under: posters stay good.
const KEPT: [&str; 4] = ["join_code", "evac_code", "viewer_code", "private_key"];

/// One entry of a copy, as `GET /journal` gave it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    seq: Seq,
    /// Its text, or sealed for the lead.
    #[serde(default)]
    body: Option<String>,
    #[serde(default)]
    sealed: Option<String>,
    chain: String,
}

/// Some entries of a copy, in order.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Rows {
    /// As the first answer gave it; left out to begin.
    #[serde(default)]
    site: Option<Uuid>,
    entries: Vec<Row>,
}

/// Some of those who were in on the lost board.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct People {
    site: Uuid,
    sessions: Vec<StoredSession>,
}

/// The end of a copy.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ends {
    site: Uuid,
    /// Its last position.
    seq: Seq,
    /// What let people in on the lost board, where the device was handed that.
    #[serde(default)]
    codes: BTreeMap<String, String>,
}

/// How far the rebuilding has come.
#[derive(Debug, Serialize)]
pub(super) struct Reached {
    site: Uuid,
    head: Seq,
}

/// Whether whoever has this role can rebuild a lost board on this one.
pub(super) fn can_be_rebuilt_on(app: &App, incident: &Incident, role: Role) -> bool {
    role == Role::Lead && !app.journal.is_following() && is_untouched(incident)
}

/// Whether a board holds nothing that could be lost: it was opened and people joined.
fn is_untouched(incident: &Incident) -> bool {
    // What the board remarks by itself, on its machine's clock for instance, is nobody's report either.
    let is_nobodys = |entry: &Entry| entry.fact.is_of_the_board() || entry.role.is_none();
    let goes_on = |fact: &Fact| matches!(fact, Fact::BoardContinued(_));
    let mut entries = incident.entries().iter();
    entries.all(|entry| is_nobodys(entry) && !goes_on(&entry.fact))
}

fn permit(app: &App, session: &Session) -> Result<(), Problem> {
    session.permit(Deed::ManageDevices)?;
    let was_rebuilt = |incident: &Incident| {
        let mut entries = incident.entries().iter();
        entries.any(|entry| matches!(entry.fact, Fact::BoardContinued(_)))
    };
    // An answer that got lost must not make anybody begin a third board.
    if app.goes_on.borrow().is_some()
        || (!app.journal.is_following() && app.journal.read(was_rebuilt))
    {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "rebuilt-already",
            "This board is rebuilt already",
            "It went on from a copy. Open it at this address; nothing was changed here.",
        ));
    }
    if app.journal.is_following() || !app.journal.read(is_untouched) {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "not-empty",
            "This board holds reports already",
            "A lost board can only be rebuilt on a fresh one. Begin one with holdfast --new; nothing was changed here.",
        ));
    }
    Ok(())
}

/// `POST /restoration`: the next entries of a copy.
pub(super) async fn take(
    State(app): State<App>,
    session: Session,
    Body(rows): Body<Rows>,
) -> Result<Json<Reached>, Problem> {
    permit(&app, &session)?;
    if rows.site.is_none() && rows.entries.first().is_some_and(|row| is_own(&app, row)) {
        return Err(Problem::new(
            StatusCode::CONFLICT,
            "its-own",
            "This is a copy of this very board",
            "It holds nothing that is not here. Choose the copy of the board that was lost; nothing was changed here.",
        ));
    }
    let entries = rows
        .entries
        .into_iter()
        .map(|row| opened(&app, row))
        .collect::<Result<Vec<_>, _>>()?;
    let taken = app.rebuild.take(rows.site, session.device, entries);
    let Site { id: site, head } = taken.await.map_err(said)?;
    Ok(Json(Reached { site, head }))
}

/// `POST /restoration/people`: some of those who were in on the lost board, as it handed them to its lead's device.
pub(super) async fn take_people(
    State(app): State<App>,
    session: Session,
    Body(people): Body<People>,
) -> Result<StatusCode, Problem> {
    permit(&app, &session)?;
    let taken = app.rebuild.take_people(people.site, people.sessions);
    taken.await.map_err(said)?;
    Ok(StatusCode::NO_CONTENT)
}

/// Whether a copy that begins with this entry is one of the fresh board itself.
fn is_own(app: &App, first: &Row) -> bool {
    let read = |body: &String| serde_json::from_str::<Entry>(body).ok();
    match first.body.as_ref().and_then(read).map(|entry| entry.fact) {
        Some(Fact::IncidentOpened(opened)) => opened.board == app.board,
        _ => false,
    }
}

/// An entry of the copy with its text. One that was sealed for the lead opens with the words of the board it is from.
fn opened(app: &App, row: Row) -> Result<StoredEntry, Problem> {
    let chain = Chain::from_hex(&row.chain)
        .ok_or_else(|| Problem::not_json("A chain value in the copy cannot be read."))?;
    let body = match (row.body, row.sealed) {
        (Some(body), _) => Some(body),
        (None, Some(sealed)) => app.codes.unseal(&sealed, chain),
        (None, None) => return Err(Problem::not_json("An entry of the copy has no text.")),
    };
    let body = body.ok_or_else(|| {
        Problem::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "sealed",
            "An entry is sealed for the lead",
            format!(
                "Entry {} of this copy can be read by the lead alone. Start this board with the three words that the lost one was first started with (--lead-words) and restore again, or use a lead's device; nothing was changed here.",
                row.seq
            ),
        )
    })?;
    Ok(StoredEntry {
        seq: row.seq,
        body,
        chain,
    })
}

/// `POST /restoration/end`: the copy is complete; this address serves the rebuilt board from here on.
pub(super) async fn end(
    State(app): State<App>,
    session: Session,
    Body(ends): Body<Ends>,
) -> Result<StatusCode, Problem> {
    permit(&app, &session)?;
    // Goes on to its end whether or not somebody waits for the answer: a phone that went out of range in the middle must
    // not leave the board closed.
    let ending = tokio::spawn(async move { end_it(&app, &session, ends).await });
    ending.await.unwrap_or_else(|error| {
        tracing::error!(error = %error, "the end of a rebuilding broke off");
        Err(JournalError::Stopped.into())
    })
}

async fn end_it(app: &App, session: &Session, ends: Ends) -> Result<StatusCode, Problem> {
    // One at a time, from the closing to the opening: another that comes to nothing must not open what this one closed.
    let _ending = app.rebuild.ending().await;
    permit(app, session)?;
    // Nothing more is taken in here, and only then is it looked at: a report acknowledged meanwhile would be in the file
    // that is set aside.
    app.journal.close(true).await?;
    let done = match permit(app, session) {
        Ok(()) => finish(app, session, ends).await,
        Err(problem) => Err(problem),
    };
    if done.is_err() {
        app.journal.close(false).await?;
    }
    done
}

async fn finish(app: &App, session: &Session, ends: Ends) -> Result<StatusCode, Problem> {
    let ids = (EntryId::new(fresh_id()), EpochId::new(fresh_id()));
    let by = Some(session.name.clone());
    let (report, author) = goes_on(
        app.board,
        ids,
        app.journal.now(),
        ContinuedFrom::Witness,
        by,
    )
    .map_err(|_| Problem::no_such_page())?;
    let codes = KEPT
        .into_iter()
        .filter_map(|name| Some((name, ends.codes.get(name)?.clone())));
    let finished = app
        .rebuild
        .finish(ends.site, ends.seq, codes.collect(), (report, author));
    let file = finished.await.map_err(said)?;
    app.goes_on.send_replace(Some(file));
    Ok(StatusCode::ACCEPTED)
}

/// What went wrong with a copy is the asker's to know, not a fault of the disk.
fn said(error: RebuildError) -> Problem {
    let clash = |code, title, detail: &str| {
        Problem::new(StatusCode::CONFLICT, code, title, detail.to_owned())
    };
    match error {
        RebuildError::Occupied => clash(
            "occupied",
            "Another device is rebuilding this board",
            "Another device is restoring its copy here. Wait until it is done and look whether that is enough; half a minute after it broke off, tap again. Nothing was changed.",
        ),
        RebuildError::Gone => clash(
            "begin-again",
            "Begin again",
            "What this device had sent is not here any more: another device began since, or the program was started again. Tap again to begin anew. Nothing of it is used.",
        ),
        RebuildError::Incomplete { sent, here } => clash(
            "incomplete",
            "The copy has not arrived",
            &format!(
                "This copy ends at entry {sent}, and {here} are here. Tap again. Nothing of it is used."
            ),
        ),
        RebuildError::Journal(JournalError::OtherHistory { seq, .. }) => Problem::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "not-whole",
            "This copy is not whole",
            format!(
                "The copy does not hold together at entry {seq}. Nothing of it is used; try another device's copy."
            ),
        ),
        RebuildError::Journal(other) => other.into(),
    }
}
