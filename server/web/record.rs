//! The record as a whole: taken out, kept for so long.
//!
//! Owns the lead's page of it and the log of who took it out. Promises: whoever takes the whole record, as a file or to
//! keep it on a device or another machine, stands in the record with when and up to which entry; a device that only
//! reads on from where it was is not noted again.

use std::collections::{BTreeSet, HashMap};
use std::sync::Mutex;

use askama::Template;
use axum::extract::State;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;

use super::app::App;
use super::copies;
use super::journal_door;
use super::page::{Frame, html};
use super::problem::Problem;
use super::session::Session;
use super::view::Moment;
use crate::clock::fresh_id;
use crate::incident::fact::{RecordTaken, Taken};
use crate::incident::{About, Author, Deed, DeviceId, EntryId, Fact, Report, Seq, Words};

/// Devices remembered at most; past this one is noted more often than it need be.
const MOST: usize = 4096;

/// Up to where each device has been handed the record since the program began.
#[derive(Debug, Default)]
pub struct Takings(Mutex<HashMap<DeviceId, Seq>>);

impl Takings {
    /// Whether a reading from `after` up to `to` begins a new taking; remembers it.
    fn begins(&self, device: DeviceId, after: Seq, to: Seq) -> bool {
        let mut known = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        if known.len() >= MOST {
            known.clear();
        }
        let goes_on = known
            .insert(device, to.max(after))
            // A machine that follows asks for the last one again, to compare it.
            .is_some_and(|before| {
                after > Seq::START && (after == before || after.0.checked_add(1) == Some(before.0))
            });
        !goes_on
    }
}

#[derive(Template)]
#[template(path = "record.html")]
struct RecordPage {
    frame: Frame,
    entries: u64,
    check: String,
    epoch: String,
    may_say: bool,
    /// When that was said, the days it is kept, and until when.
    kept: Option<(Moment, u32, Moment)>,
    takings: Vec<(Moment, String, u64)>,
    /// Copies in open standards: when, who, which.
    copies: Vec<(Moment, String, String)>,
}

/// `GET /record`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ManageDevices)?;
    let page = app.journal.read(|incident| {
        let about = incident.description();
        RecordPage {
            frame: Frame::new(&app, &session, incident, "record", String::new()),
            entries: incident.head().0,
            check: app.journal.head().check,
            epoch: incident.epoch_words(),
            copies: copies::takings(incident),
            may_say: session.role.may(Deed::KeepRecord),
            kept: about
                .kept
                .zip(incident.kept_until())
                .map(|((at, days), until)| (at.into(), days, until.into())),
            takings: incident
                .entries()
                .iter()
                .filter_map(|entry| match &entry.fact {
                    Fact::RecordTaken(taken) => {
                        Some((entry.recorded_at.into(), entry.by.to_string(), taken.seq.0))
                    }
                    _ => None,
                })
                .collect(),
        }
    });
    html(&page).map(IntoResponse::into_response)
}

/// `POST /record/file`: the whole record, to be saved.
pub(super) async fn save(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ManageDevices)?;
    session.permit(Deed::ReadPrivate)?;
    // Noted first and part of the file: who opens it later sees who took it.
    note_taking(&app, &session, Taken::File).await?;
    let mut answer = journal_door::lines(&app, Seq::START, app.journal.head().seq, BTreeSet::new());
    let name = HeaderValue::from_static("attachment; filename=\"holdfast-record.ndjson\"");
    answer
        .headers_mut()
        .insert(header::CONTENT_DISPOSITION, name);
    Ok(answer)
}

/// Notes a reading of the journal where it begins a taking. A board that cannot store says so by itself, and a record
/// must be readable most of all then.
pub(super) async fn note_reading(app: &App, session: &Session, after: Seq, to: Seq) {
    if app.journal.is_following() || !app.takings.begins(session.device, after, to) {
        return;
    }
    if let Err(problem) = note_taking(app, session, Taken::Device).await {
        tracing::warn!(
            code = problem.code,
            "a taking of the record could not be noted"
        );
    }
}

async fn note_taking(app: &App, session: &Session, how: Taken) -> Result<(), Problem> {
    let head = app.journal.head();
    let taken = RecordTaken {
        seq: head.seq,
        check: Words::new(&head.check).map_err(|_| Problem::no_such_page())?,
        how,
    };
    note(app, session, app.journal.now(), Fact::RecordTaken(taken)).await
}

/// Puts into the record that the record, or a copy of it, was taken out.
pub(super) async fn note(
    app: &App,
    session: &Session,
    at: Timestamp,
    fact: Fact,
) -> Result<(), Problem> {
    let report = Report {
        id: EntryId::new(fresh_id()),
        about: About::Incident,
        happened_at: at,
        time_unsure: false,
        epoch: None,
        based_on: app.journal.head().seq,
        fact,
    };
    // The board says it, about them: nobody can leave it out, and nobody can strike it.
    let author = Author {
        device: session.device,
        name: session.name.clone(),
        role: None,
        skill: None,
    };
    app.journal.append(vec![report], author).await?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    #[test]
    fn reading_on_is_no_new_taking_and_reading_past_the_start_is() {
        let takings = Takings::default();
        let (ina, eva) = (
            DeviceId::new(Uuid::from_u128(1)),
            DeviceId::new(Uuid::from_u128(2)),
        );
        assert!(takings.begins(ina, Seq(0), Seq(40)));
        assert!(!takings.begins(ina, Seq(40), Seq(44)));
        assert!(takings.begins(ina, Seq(1), Seq(44)), "all but one is all");
        assert!(takings.begins(eva, Seq(44), Seq(50)), "never seen before");
    }
}
