//! The journal endpoint: facts in, entries out.
//!
//! The same door for phones, pages, the demo, drills and tests. Each fact gets its own receipt or problem; one
//! bad fact never takes the batch with it, which is why the facts are read one by one.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Instant;

use axum::Json;
use axum::body::Body as StreamBody;
use axum::extract::{Query, State};
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use futures_util::stream;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::app::App;
use super::join::Peer;
use super::json::Body;
use super::problem::Problem;
use super::record;
use super::seal::Seal;
use super::session::Session;
use crate::incident::{BoardId, Deed, EntryId, Refusal, Report, Seq};
use crate::journal::StoredEntry;

/// The most facts in one batch.
const MOST_FACTS: usize = 50;
/// Entries read from disk at a time.
const PAGE: u32 = 500;

/// What a phone sends.
#[derive(Debug, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Batch {
    /// The phone's idea of board time when it sent this.
    #[serde(default)]
    #[schema(value_type = Option<String>, format = DateTime)]
    pub sent_at: Option<Timestamp>,
    /// How many more reports the device still keeps to itself.
    #[serde(default)]
    pub waiting: u32,
    /// The facts in the order they were reported, at most 50.
    #[schema(value_type = Vec<Report>, max_items = 50)]
    pub facts: Vec<Value>,
}

/// What a phone is told: on disk.
#[derive(Debug, Serialize, utoipa::ToSchema)]
// Under its own name in the document, where an answer to a triage question is an `Answer` already.
#[schema(as = JournalAnswer)]
pub(super) struct Answer {
    /// This board.
    pub board: BoardId,
    /// Board time when the batch had arrived.
    #[schema(value_type = String, format = DateTime)]
    pub received: Timestamp,
    /// Board time when the answer left.
    #[schema(value_type = String, format = DateTime)]
    pub now: Timestamp,
    /// The journal's last position.
    pub head: Seq,
    /// One receipt per fact, in order.
    pub receipts: Vec<Receipt>,
}

/// What became of one fact: a position, or a problem.
#[derive(Debug, Serialize, utoipa::ToSchema)]
#[serde(untagged)]
pub(super) enum Receipt {
    /// It is on the board and on disk.
    Taken {
        /// The fact's id.
        id: EntryId,
        /// Its position.
        seq: Seq,
        /// When it happened, as kept.
        #[schema(value_type = String, format = DateTime)]
        happened_at: Timestamp,
        /// The short number of the casualty it is about.
        #[serde(skip_serializing_if = "Option::is_none")]
        number: Option<u32>,
    },
    /// It was not taken.
    Refused {
        /// The fact's id, if it could be read.
        #[schema(value_type = Option<String>)]
        id: Value,
        /// Why, and what to do.
        problem: Problem,
    },
}

/// Where to read on from.
#[derive(Debug, Default, Deserialize)]
pub(super) struct After {
    /// The last position already known.
    #[serde(default)]
    pub after: u64,
    /// At most so many entries; all there are where it is left out.
    pub limit: Option<u64>,
}

/// `POST /journal`.
pub(super) async fn append(
    State(app): State<App>,
    Peer(address): Peer,
    session: Session,
    Body(batch): Body<Batch>,
) -> Result<Json<Answer>, Problem> {
    let received = app.journal.now();
    if batch.facts.len() > MOST_FACTS {
        return Err(Problem::too_large(
            "A batch may hold 50 reports. Send fewer at a time; nothing was recorded.",
        ));
    }
    // Both or neither: what a device's own meter refuses must not use up what others behind its address may report, nor
    // the other way round.
    let now = Instant::now();
    session.meter(batch.facts.len(), &app.limits)?;
    app.paces
        .take(address, batch.facts.len(), &app.limits, now)
        .map_err(|seconds| {
            session.give_back(batch.facts.len(), &app.limits);
            Problem::too_fast(seconds)
        })?;
    // What is in hand here is as good as sent; if it is not taken, the next batch says so.
    app.sessions.presence.told(session.device, batch.waiting);
    if let Some(sent_at) = batch.sent_at {
        let skew = app.journal.now().duration_since(sent_at);
        tracing::debug!(skew_ms = skew.as_millis(), "a batch arrived");
    }
    let read: Vec<Result<Report, Box<Receipt>>> =
        batch.facts.into_iter().map(read_report).collect();
    let reports: Vec<Report> = read
        .iter()
        .filter_map(|one| one.as_ref().ok())
        .cloned()
        .collect();
    let ids: Vec<EntryId> = reports.iter().map(|report| report.id).collect();
    let taken = if reports.is_empty() {
        Vec::new()
    } else {
        app.journal.append(reports, session.author()).await?
    };
    let mut taken = ids.into_iter().zip(taken);
    let receipts = read
        .into_iter()
        .filter_map(|one| match one {
            Ok(_) => taken.next().map(|(id, result)| receipt(id, result)),
            Err(refused) => Some(*refused),
        })
        .collect();
    Ok(Json(Answer {
        board: app.board,
        received,
        now: app.journal.now(),
        head: app.journal.head().seq,
        receipts,
    }))
}

fn read_report(value: Value) -> Result<Report, Box<Receipt>> {
    let id = value
        .get("id")
        .filter(|id| id.is_string())
        .cloned()
        .unwrap_or(Value::Null);
    serde_json::from_value(value).map_err(|error| {
        let what: String = error.to_string().chars().take(300).collect();
        Box::new(Receipt::Refused {
            id,
            problem: Refusal::NotUnderstood(what).into(),
        })
    })
}

fn receipt(id: EntryId, result: Result<crate::incident::Receipt, Refusal>) -> Receipt {
    match result {
        Ok(taken) => Receipt::Taken {
            id: taken.id,
            seq: taken.seq,
            happened_at: taken.happened_at,
            number: taken.number,
        },
        Err(refusal) => Receipt::Refused {
            id: Value::String(id.to_string()),
            problem: refusal.into(),
        },
    }
}

/// `GET /journal?after=SEQ`: every later entry, one JSON object a line, as stored plus its chain value. Who keeps the
/// record without being the lead gets private entries sealed.
pub(super) async fn read(
    State(app): State<App>,
    session: Session,
    Query(from): Query<After>,
) -> Result<Response, Problem> {
    let chosen = app
        .journal
        .read(|incident| incident.keeps_record(session.device, session.role));
    if !chosen {
        session.permit(Deed::ReadJournal)?;
    }
    let head = app.journal.head().seq;
    let to = from.limit.map_or(head, |limit| {
        head.min(Seq(from.after.saturating_add(limit)))
    });
    let private = if session.role.may(Deed::ReadPrivate) {
        BTreeSet::new()
    } else {
        app.journal.read(crate::incident::Incident::private_entries)
    };
    // After the end of what is read: a device that asks again goes on with this note.
    record::note_reading(&app, &session, Seq(from.after), to).await;
    // Whoever keeps a copy adds nothing to it that another machine's board says.
    let epoch = app
        .journal
        .read(|incident| incident.epochs().last().map(|epoch| epoch.id.to_string()));
    let epoch = [("x-holdfast-epoch", epoch.unwrap_or_default())];
    Ok((epoch, lines(&app, Seq(from.after), to, private)).into_response())
}

/// Entries after a position up to another, a line each, read from disk as they are sent; these are sealed.
pub(super) fn lines(app: &App, after: Seq, to: Seq, private: BTreeSet<Seq>) -> Response {
    let (app, private) = (app.clone(), Arc::new(private));
    let pages = stream::try_unfold(after, move |at| {
        let (app, private) = (app.clone(), Arc::clone(&private));
        async move {
            if at >= to {
                return Ok::<_, crate::journal::JournalError>(None);
            }
            let entries = app.journal.after(at, PAGE).await?;
            let entries: Vec<StoredEntry> = entries
                .into_iter()
                .filter(|entry| entry.seq <= to)
                .collect();
            let Some(last) = entries.last().map(|entry| entry.seq) else {
                return Ok(None);
            };
            let line = |entry: &StoredEntry| {
                if private.contains(&entry.seq) {
                    sealed_line(entry, app.codes.seal())
                } else {
                    line(entry)
                }
            };
            Ok(Some((entries.iter().map(line).collect::<String>(), last)))
        }
    });
    let kind = HeaderValue::from_static("application/x-ndjson");
    (
        [(header::CONTENT_TYPE, kind)],
        StreamBody::from_stream(pages),
    )
        .into_response()
}

fn line(entry: &StoredEntry) -> String {
    // The body is carried as text, byte for byte, so that whoever copies the journal can check the chain.
    let body = Value::String(entry.body.clone());
    format!(
        "{{\"seq\":{},\"entry\":{},\"body\":{body},\"chain\":\"{}\"}}\n",
        entry.seq, entry.body, entry.chain
    )
}

fn sealed_line(entry: &StoredEntry, seal: &Seal) -> String {
    let sealed = seal.seal(&entry.body, entry.chain);
    format!(
        "{{\"seq\":{},\"sealed\":\"{sealed}\",\"chain\":\"{}\"}}\n",
        entry.seq, entry.chain
    )
}
