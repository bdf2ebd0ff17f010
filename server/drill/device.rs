//! One phone: joins with a code, keeps its cookie, posts reports, hears receipts.
//!
//! Owns the HTTP client's side of the door. Promises: it sends what a page sends (`Origin`, `X-Holdfast`, the
//! session's cookie), tries again a bounded number of times where that is safe, and never takes anything but
//! a receipt for an acknowledgement.

use std::time::Duration;

use jiff::Timestamp;
use reqwest::header::{HeaderMap, HeaderValue, ORIGIN, RETRY_AFTER};
use reqwest::{Client, RequestBuilder, Response, StatusCode};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::scenario::Actor;
use crate::incident::fact::Skill;
use crate::incident::{BoardId, DeviceId, EntryId, Report, Seq};

/// Pauses between tries; after the last the request is given up.
const PAUSES: [Duration; 5] = [
    Duration::from_millis(100),
    Duration::from_millis(300),
    Duration::from_secs(1),
    Duration::from_secs(2),
    Duration::from_secs(4),
];
/// The longest a board may make a phone wait before it tries again.
const LONGEST_PAUSE: Duration = Duration::from_secs(10);
/// How long one answer may take.
const TIMEOUT: Duration = Duration::from_secs(10);

/// Why a phone got no answer it can use.
#[derive(Debug, thiserror::Error)]
pub enum DeviceError {
    /// The network, or the answer's shape.
    #[error("the board did not answer: {0}")]
    Network(#[from] reqwest::Error),
    /// The board refused the request as a whole.
    #[error("the board refused with {0}: {1}")]
    Refused(StatusCode, String),
    /// The address cannot stand in a header.
    #[error("the board's address cannot be used")]
    Address,
    /// Receipts that do not belong to what was sent.
    #[error("the board's receipts do not match what was sent")]
    Mismatch,
}

/// A phone that has joined.
#[derive(Debug)]
pub(super) struct Device {
    client: Client,
    root: String,
    pub(super) board: BoardId,
    pub(super) id: DeviceId,
}

#[derive(Serialize)]
struct Join<'a> {
    code: &'a str,
    name: &'a str,
    skill: Skill,
}

#[derive(Deserialize)]
struct Joined {
    board: BoardId,
    device: DeviceId,
}

#[derive(Serialize)]
struct Batch<'a> {
    sent_at: Timestamp,
    facts: &'a [Report],
}

/// What the board answers to a batch.
#[derive(Debug, Deserialize)]
pub(super) struct Answer {
    board: BoardId,
    /// The journal's last position.
    pub(super) head: Seq,
    /// One per report, in order.
    pub(super) receipts: Vec<Receipt>,
}

/// What became of one report.
#[derive(Debug, Deserialize)]
pub(super) struct Receipt {
    id: Option<EntryId>,
    /// Why it was not taken.
    pub(super) problem: Option<Problem>,
}

/// Why a report was not taken, in the board's words.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Problem {
    /// Stable code.
    pub code: String,
    /// What happened and what to do.
    pub detail: String,
}

impl Device {
    /// Joins the board at `root`, for example `http://127.0.0.1:8080`.
    pub(super) async fn join(root: &str, code: &str, actor: Actor) -> Result<Self, DeviceError> {
        let mut headers = HeaderMap::new();
        let origin = HeaderValue::from_str(root).map_err(|_| DeviceError::Address)?;
        headers.insert(ORIGIN, origin);
        headers.insert("x-holdfast", HeaderValue::from_static("1"));
        crate::tls::provide();
        let client = Client::builder()
            .cookie_store(true)
            .default_headers(headers)
            .timeout(TIMEOUT)
            // The board is this machine: a proxy of the environment has no business here.
            .no_proxy()
            .build()?;
        let join = Join {
            code,
            name: actor.name,
            skill: actor.skill,
        };
        let request = client.post(format!("{root}/join")).json(&join);
        let joined: Joined = insist(&request).await?;
        Ok(Self {
            client,
            root: root.to_owned(),
            board: joined.board,
            id: joined.device,
        })
    }

    /// Posts reports. Sent again they carry the same ids, so that nothing counts twice.
    pub(super) async fn post(
        &self,
        sent_at: Timestamp,
        facts: &[Report],
    ) -> Result<Answer, DeviceError> {
        let batch = Batch { sent_at, facts };
        let request = self
            .client
            .post(format!("{}/journal", self.root))
            .json(&batch);
        let answer: Answer = insist(&request).await?;
        let ours = answer.board == self.board
            && answer.receipts.len() == facts.len()
            && facts
                .iter()
                .zip(&answer.receipts)
                .all(|(sent, receipt)| receipt.id == Some(sent.id));
        if ours {
            Ok(answer)
        } else {
            Err(DeviceError::Mismatch)
        }
    }
}

/// Sends a request until it is answered or the pauses are used up.
async fn insist<T: DeserializeOwned>(request: &RequestBuilder) -> Result<T, DeviceError> {
    let mut pauses = PAUSES.into_iter();
    loop {
        let request = request
            .try_clone()
            .expect("OK because its body is not a stream");
        let (error, wanted) = match request.send().await {
            Ok(response) if response.status().is_success() => return Ok(response.json().await?),
            Ok(response) => refused(response).await?,
            Err(error) => (DeviceError::from(error), None),
        };
        let Some(pause) = pauses.next() else {
            return Err(error);
        };
        tracing::debug!(error = %error, "trying again");
        tokio::time::sleep(wanted.unwrap_or(pause).min(LONGEST_PAUSE)).await;
    }
}

/// A refusal that passes by itself, with the pause the board asks for; any other is the error.
async fn refused(response: Response) -> Result<(DeviceError, Option<Duration>), DeviceError> {
    let status = response.status();
    let wanted = response
        .headers()
        .get(RETRY_AFTER)
        .and_then(|value| value.to_str().ok()?.parse().ok())
        .map(Duration::from_secs);
    let error = DeviceError::Refused(status, response.text().await.unwrap_or_default());
    match status {
        StatusCode::TOO_MANY_REQUESTS | StatusCode::SERVICE_UNAVAILABLE => Ok((error, wanted)),
        _ => Err(error),
    }
}
