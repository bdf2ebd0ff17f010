//! Building a lost board up again from the copy on a device.
//!
//! Owns the doors for it. Promises: only on a board that holds nothing yet, only for its lead; the copy is verified
//! entry by entry; this address then serves the rebuilt board.

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};

use super::app::App;
use super::json::Body;
use super::problem::Problem;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::{BoardContinued, ContinuedFrom};
use crate::incident::{
    About, Author, Deed, DeviceId, EntryId, EpochId, Fact, Incident, Report, Seq, Words,
};
use crate::journal::{Chain, JournalError, StoredEntry};

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
    entries: Vec<Row>,
}

/// How far the rebuilding has come.
#[derive(Debug, Serialize)]
pub(super) struct Reached {
    head: Seq,
}

/// Whether a board holds nothing that could be lost: it was opened and people joined.
pub(super) fn is_untouched(incident: &Incident) -> bool {
    let only_people =
        |fact: &Fact| fact.is_of_the_board() && !matches!(fact, Fact::BoardContinued(_));
    incident
        .entries()
        .iter()
        .all(|entry| only_people(&entry.fact))
}

fn permit(app: &App, session: &Session) -> Result<(), Problem> {
    session.permit(Deed::ManageDevices)?;
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
    let entries = rows
        .entries
        .into_iter()
        .map(|row| opened(&app, row))
        .collect::<Result<Vec<_>, _>>()?;
    let head = app.rebuild.take(entries).await.map_err(said)?;
    Ok(Json(Reached { head }))
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
pub(super) async fn end(State(app): State<App>, session: Session) -> Result<StatusCode, Problem> {
    permit(&app, &session)?;
    // Nothing more is taken in here, and only then is it looked at: a report acknowledged meanwhile would be in the file
    // that is set aside.
    app.journal.close(true).await?;
    let done = match permit(&app, &session) {
        Ok(()) => finish(&app, &session).await,
        Err(problem) => Err(problem),
    };
    if done.is_err() {
        app.journal.close(false).await?;
    }
    done
}

async fn finish(app: &App, session: &Session) -> Result<StatusCode, Problem> {
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: app.journal.now(),
        based_on: Seq::START,
        time_unsure: false,
        fact: Fact::BoardContinued(BoardContinued {
            epoch: EpochId::new(fresh_id()),
            from: ContinuedFrom::Witness,
            by: Some(session.name.clone()),
        }),
    };
    let name = Words::new("board").map_err(|_| Problem::no_such_page())?;
    let author = Author {
        device: DeviceId::new(app.board.uuid()),
        name,
        role: None,
        skill: None,
    };
    let file = app.rebuild.finish(report, author).await.map_err(said)?;
    app.goes_on.send_replace(Some(file));
    Ok(StatusCode::ACCEPTED)
}

/// A copy that does not hold together is the asker's to know, not a fault of the disk.
fn said(error: JournalError) -> Problem {
    match error {
        JournalError::OtherHistory { seq, .. } => Problem::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "not-whole",
            "This copy is not whole",
            format!(
                "The copy does not hold together at entry {seq}. Nothing of it is used; try another device's copy."
            ),
        ),
        other => other.into(),
    }
}
