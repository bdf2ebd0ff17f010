//! Taking back everything one device reported since a time, and putting it back.
//!
//! Owns which entries that means. Promises: nothing is deleted; each entry is struck by an entry of its own that says
//! why, in the lead's name; what the device itself struck stands again; and all of it can be put back.

use std::collections::HashSet;
use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, State};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::app::App;
use super::json::Body;
use super::problem::Problem;
use super::session::Session;
use crate::clock::fresh_id;
use crate::incident::fact::EntryStruck;
use crate::incident::{Deed, DeviceId, Entry, EntryId, Fact, Incident, Note, Report};

/// Why such an entry was struck; also how it is known again when it is put back.
const REASON: &str = "everything this device reported was taken back";
const PUT_BACK: &str = "what this device reported was put back";
/// Entries struck in one commit.
const CHUNK: usize = 200;

/// What to take back.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Wanted {
    /// What arrived from this moment on; everything where it is left out.
    #[serde(default)]
    since: Option<Timestamp>,
    /// Put back what was taken back before.
    #[serde(default)]
    put_back: bool,
}

/// How many entries it was.
#[derive(Debug, Serialize)]
pub(super) struct Done {
    entries: usize,
}

/// `POST /devices/{id}/reversal`.
pub(super) async fn reverse(
    State(app): State<App>,
    session: Session,
    Path(id): Path<String>,
    Body(wanted): Body<Wanted>,
) -> Result<Json<Done>, Problem> {
    session.permit(Deed::ManageDevices)?;
    session.permit(Deed::StrikeAny)?;
    if app.journal.is_following() {
        return Err(Problem::only_follows());
    }
    let device: DeviceId = id.parse().map_err(|_| Problem::no_such_page())?;
    let reason = if wanted.put_back { PUT_BACK } else { REASON };
    let reason = Note::new(reason).map_err(|_| Problem::no_such_page())?;
    let strikes: Vec<Report> = app.journal.read(|incident| {
        let named = if wanted.put_back {
            taken_back(incident, device)
        } else {
            reported(incident, device, wanted.since)
        };
        named
            .into_iter()
            .map(|entry| Report {
                id: EntryId::new(fresh_id()),
                about: entry.about,
                happened_at: app.journal.now(),
                based_on: incident.head(),
                time_unsure: false,
                epoch: None,
                fact: Fact::EntryStruck(EntryStruck {
                    entry: entry.id,
                    reason: Some(reason.clone()),
                }),
            })
            .collect()
    });
    let entries = strikes.len();
    for chunk in strikes.chunks(CHUNK) {
        let receipts = app.journal.append(chunk.to_vec(), session.author()).await?;
        if let Some(refusal) = receipts.into_iter().find_map(Result::err) {
            return Err(refusal.into());
        }
    }
    Ok(Json(Done { entries }))
}

/// What the device reported since then and what still stands of it.
fn reported(incident: &Incident, device: DeviceId, since: Option<Timestamp>) -> Vec<&Entry> {
    incident
        .entries()
        .iter()
        .map(Arc::as_ref)
        // Who runs the incident, and its end, is the lead's word and no report.
        .filter(|entry| entry.device == device && entry.role.is_some())
        .filter(|entry| !is_the_leads_word(incident, entry))
        .filter(|entry| since.is_none_or(|since| entry.recorded_at >= since))
        .filter(|entry| !incident.is_struck(entry.seq))
        .collect()
}

/// Whether an entry, or what it strikes in the end, is such a word.
fn is_the_leads_word(incident: &Incident, entry: &Entry) -> bool {
    let mut at = Some(entry);
    while let Some(entry) = at {
        if entry.fact.reserved().is_some() {
            return true;
        }
        at = match &entry.fact {
            Fact::EntryStruck(strike) => incident
                .position(strike.entry)
                .and_then(|seq| incident.entry(seq)),
            _ => None,
        };
    }
    false
}

/// The strikes by which its reports were taken back, that still stand.
fn taken_back(incident: &Incident, device: DeviceId) -> Vec<&Entry> {
    let its: HashSet<EntryId> = incident
        .entries()
        .iter()
        .filter(|entry| entry.device == device)
        .map(|entry| entry.id)
        .collect();
    incident
        .entries()
        .iter()
        .map(Arc::as_ref)
        .filter(|entry| !incident.is_struck(entry.seq))
        .filter(|entry| {
            matches!(&entry.fact, Fact::EntryStruck(strike)
                if its.contains(&strike.entry)
                    && strike.reason.as_ref().is_some_and(|reason| reason.as_str() == REASON))
        })
        .collect()
}
