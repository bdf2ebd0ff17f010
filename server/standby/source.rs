//! The board that is followed, as its standby asks it: over HTTP like any device, in the lead's role.

use std::time::Duration;

use reqwest::header::{CONTENT_TYPE, HeaderMap, HeaderValue, ORIGIN};
use reqwest::{Client, Response, StatusCode};
use serde::Deserialize;
use serde_json::json;

use super::Followed;
use crate::incident::{BoardId, Seq};
use crate::journal::{Chain, StoredEntry};
use crate::web::{Handed, WordsHeld, WordsStand};

/// How long one answer may take, and how long a machine may take to be found: a slow link is no lost board.
const TIMEOUT: Duration = Duration::from_secs(15);
const FOUND: Duration = Duration::from_secs(3);
/// Entries asked for at a time.
const PAGE: usize = 300;

/// Why the board cannot be followed just now.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// Not an address.
    #[error("{0} is no address of a board; it looks like http://10.42.0.1:8080")]
    Address(String),
    /// An address over TLS, and nobody to vouch for it.
    #[error(
        "{0} is followed over TLS: fetch the board's authority from http://…:8080/authority.crt, compare its SHA-256 with the board's own screen, and name the file with --authority"
    )]
    NoAuthority(String),
    /// An authority, and an address in the clear.
    #[error(
        "{0} is in the clear, and an authority was named: give the board's https address, or leave --authority out"
    )]
    InTheClear(String),
    /// Not an authority's certificate.
    #[error("this authority cannot be used: {0}. Fetch it again from the board: /authority.crt")]
    Authority(rustls::Error),
    /// Nothing answered.
    #[error("the board does not answer: {0}")]
    Network(#[from] reqwest::Error),
    /// The words were not right.
    #[error("the board does not take these lead words; they stand on its own screen")]
    Words,
    /// The board turned this machine away.
    #[error("the board answered {0}: it was removed from its devices")]
    Refused(StatusCode),
    /// The board takes its lead only over TLS.
    #[error(
        "the board takes its lead only over TLS now: its https address and --authority are needed"
    )]
    Insecure,
    /// The board is not asked under this address any more.
    #[error("the board does not take {0} for an address of its own any more")]
    NotItsAddress(String),
    /// Another board answers in its place.
    #[error("another board answers there")]
    OtherBoard,
    /// The board has no time.
    #[error("the board answered {0}: it has no time just now")]
    Busy(StatusCode),
    /// The board is not well.
    #[error("the board answered {0}")]
    Fault(StatusCode),
    /// Something answered that is not the board.
    #[error("what answers there is not the board ({0})")]
    Astray(StatusCode),
    /// Half an answer.
    #[error("the board's answer broke off")]
    BrokenOff,
}

/// What of a problem document a standby goes by.
#[derive(Default, Deserialize)]
#[serde(default)]
struct Said {
    code: String,
    /// Which board says so, where it does not know who asks.
    board: Option<BoardId>,
}

impl SourceError {
    /// What an answer other than the one hoped for says: only a board of ours gives its reasons as a problem document.
    async fn of(answer: Response, followed: Option<BoardId>) -> Self {
        let (status, address) = (answer.status(), answer.url().origin().ascii_serialization());
        let is_problem = answer
            .headers()
            .get(CONTENT_TYPE)
            .is_some_and(|kind| kind.as_bytes().starts_with(b"application/problem+json"));
        if !is_problem {
            return Self::Astray(status);
        }
        let said: Said = answer.json().await.unwrap_or_default();
        let is_other = said.board.is_some() && followed.is_some() && said.board != followed;
        match status {
            _ if is_other => Self::OtherBoard,
            StatusCode::FORBIDDEN if said.code == "lead-needs-tls" => Self::Insecure,
            StatusCode::UNAUTHORIZED | StatusCode::FORBIDDEN => Self::Refused(status),
            StatusCode::MISDIRECTED_REQUEST => Self::NotItsAddress(address),
            StatusCode::TOO_MANY_REQUESTS | StatusCode::SERVICE_UNAVAILABLE => Self::Busy(status),
            _ => Self::Fault(status),
        }
    }
}

/// A joined standby's view of the board.
#[derive(Debug)]
pub(super) struct Source {
    client: Client,
    root: String,
    /// The lead's words of the board, as this machine was started with them.
    lead_words: String,
    /// Which board that is.
    board: BoardId,
    /// What the incident is called, for the copy's file name.
    pub(super) incident: String,
}

#[derive(Deserialize)]
struct Joined {
    board: BoardId,
}

#[derive(Deserialize)]
struct Line {
    seq: Seq,
    body: String,
    chain: String,
}

impl Source {
    /// Joins in the lead's role.
    pub(super) async fn join(followed: &Followed) -> Result<Self, SourceError> {
        let root = followed.address.trim_end_matches('/').to_owned();
        let address = || SourceError::Address(followed.address.clone());
        let origin = HeaderValue::from_str(&root).map_err(|_| address())?;
        if !root.starts_with("http://") && !root.starts_with("https://") {
            return Err(address());
        }
        let mut headers = HeaderMap::new();
        headers.insert(ORIGIN, origin);
        headers.insert("x-holdfast", HeaderValue::from_static("1"));
        crate::tls::provide();
        let mut client = Client::builder();
        if root.starts_with("http://") && followed.authority.is_some() {
            return Err(SourceError::InTheClear(root));
        }
        if root.starts_with("https://") {
            let authority = followed.authority.clone();
            let authority = authority.ok_or(SourceError::NoAuthority(root.clone()))?;
            let trusted = crate::tls::trusts(authority).map_err(SourceError::Authority)?;
            client = client.tls_backend_preconfigured(trusted);
        }
        let client = client
            .default_headers(headers)
            .cookie_store(true)
            .redirect(reqwest::redirect::Policy::none())
            .timeout(TIMEOUT)
            .connect_timeout(FOUND)
            .no_proxy()
            .build()?;
        let join = json!({ "code": followed.lead_words, "name": "standby machine" });
        let answer = client
            .post(format!("{root}/join"))
            .json(&join)
            .send()
            .await?;
        match answer.status() {
            StatusCode::OK => {
                let Joined { board } = answer.json().await?;
                Ok(Self {
                    client,
                    root,
                    lead_words: followed.lead_words.clone(),
                    board,
                    incident: "standby".to_owned(),
                })
            }
            _ => Err(match SourceError::of(answer, None).await {
                SourceError::Refused(_) => SourceError::Words,
                other => other,
            }),
        }
    }

    /// The lead's words of the board, as this machine was started with them.
    pub(super) fn lead_words(&self) -> &str {
        &self.lead_words
    }

    /// What a standby needs besides the record.
    pub(super) async fn handed(&self) -> Result<Handed, SourceError> {
        let answer = self
            .client
            .get(format!("{}/standby", self.root))
            .send()
            .await?;
        match answer.status() {
            StatusCode::OK => Ok(answer.json().await?),
            _ => Err(SourceError::of(answer, Some(self.board)).await),
        }
    }

    /// Whether the words this machine was started with still open the lead's role there.
    pub(super) async fn words_stand(&self) -> Result<bool, SourceError> {
        let held = WordsHeld {
            words: self.lead_words.clone(),
        };
        let address = format!("{}/standby/words", self.root);
        let answer = self.client.post(address).json(&held).send().await?;
        match answer.status() {
            StatusCode::OK => Ok(answer.json::<WordsStand>().await?.stand),
            _ => Err(SourceError::of(answer, Some(self.board)).await),
        }
    }

    /// Every entry from the first.
    pub(super) async fn all(&self) -> Result<Vec<StoredEntry>, SourceError> {
        let mut all: Vec<StoredEntry> = Vec::new();
        loop {
            let at = all.last().map_or(Seq::START, |entry| entry.seq);
            let page = self.after(at).await?;
            let is_last = page.len() < PAGE;
            all.extend(page);
            if is_last {
                return Ok(all);
            }
        }
    }

    /// The next entries after a position.
    pub(super) async fn after(&self, seq: Seq) -> Result<Vec<StoredEntry>, SourceError> {
        let address = format!("{}/journal?after={seq}&limit={PAGE}", self.root);
        let answer = self.client.get(address).send().await?;
        if answer.status() != StatusCode::OK {
            return Err(SourceError::of(answer, Some(self.board)).await);
        }
        // Whole or not at all: a line cut in two is no entry.
        let text = answer.text().await?;
        if !text.is_empty() && !text.ends_with('\n') {
            return Err(SourceError::BrokenOff);
        }
        text.lines()
            .map(|line| {
                let line: Line = serde_json::from_str(line).map_err(|_| SourceError::BrokenOff)?;
                Ok(StoredEntry {
                    seq: line.seq,
                    body: line.body,
                    chain: Chain::from_hex(&line.chain).ok_or(SourceError::BrokenOff)?,
                })
            })
            .collect()
    }
}
