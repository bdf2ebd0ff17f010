//! What others reported since a position, in words: for a phone that was away.
//!
//! The board's own list of changes and the log are live parts; this is the same told once, to a page that shows neither.

use axum::Json;
use axum::extract::{Query, State};
use axum::http::{HeaderName, HeaderValue, header};
use serde::{Deserialize, Serialize};

use super::app::App;
use super::problem::Problem;
use super::session::Session;
use super::view::EntryView;
use crate::incident::{BoardId, Deed, Seq};

/// The most that are told; nobody reads more on a phone. *Common practice*.
const MOST: usize = 30;

/// Since where.
#[derive(Debug, Default, Deserialize)]
pub(super) struct After {
    /// The last position the phone had heard of.
    #[serde(default)]
    after: u64,
}

/// One change in words.
#[derive(Debug, Serialize)]
pub(super) struct Change {
    seq: u64,
    /// RFC 3339, UTC.
    at: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<u32>,
    /// The casualty's id, empty where it is about none.
    casualty: String,
    words: String,
    by: String,
}

/// What happened meanwhile, oldest first.
#[derive(Debug, Serialize)]
pub(super) struct News {
    board: BoardId,
    head: Seq,
    changes: Vec<Change>,
    /// How many more there were before these.
    earlier: usize,
}

/// `GET /changes?after=SEQ`: what other devices reported after a position.
pub(super) async fn since(
    State(app): State<App>,
    session: Session,
    Query(query): Query<After>,
) -> Result<([(HeaderName, HeaderValue); 1], Json<News>), Problem> {
    session.permit(Deed::SeeCasualties)?;
    let news = app.journal.read(|incident| {
        let entries = incident.entries();
        let start = usize::try_from(query.after)
            .unwrap_or(usize::MAX)
            .min(entries.len());
        let others: Vec<_> = entries[start..]
            .iter()
            .filter(|entry| entry.device != session.device && !incident.is_struck(entry.seq))
            .collect();
        let earlier = others.len().saturating_sub(MOST);
        let told = others[earlier..].iter().map(|entry| {
            let seen = EntryView::of(entry, incident);
            Change {
                seq: seen.seq,
                at: seen.at.iso,
                number: seen.number,
                casualty: seen.casualty,
                words: seen.words,
                by: seen.by,
            }
        });
        News {
            board: app.board,
            head: incident.head(),
            changes: told.collect(),
            earlier,
        }
    });
    let fresh = HeaderValue::from_static("no-store");
    Ok(([(header::CACHE_CONTROL, fresh)], Json(news)))
}
