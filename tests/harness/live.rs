//! A live stream as a page hears it: waits for the next event that matches, with a deadline.

use std::time::Duration;

use futures_util::StreamExt;
use futures_util::stream::BoxStream;
use reqwest::{Client, Method};
use serde_json::Value;
use tokio::time::{Instant, timeout_at};

use super::DEADLINE;
use super::device::Device;

/// One event.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Event {
    pub(crate) name: String,
    pub(crate) id: Option<u64>,
    pub(crate) data: Value,
}

/// An open stream.
pub(crate) struct Stream {
    bytes: BoxStream<'static, reqwest::Result<Vec<u8>>>,
    pending: String,
    half: Vec<u8>,
    /// Answer to the request.
    pub(crate) status: u16,
    pub(crate) content_type: String,
}

impl Stream {
    pub(super) async fn open(device: &Device, path: &str, last: Option<u64>) -> Self {
        // A client of its own: this one has no time-out for the whole answer.
        holdfast::tls::provide();
        let client = Client::builder().build().unwrap();
        let mut request = client
            .request(Method::GET, format!("{}{path}", device.origin))
            .header("accept", "text/event-stream");
        if let Some(cookie) = &device.cookie {
            request = request.header("cookie", cookie);
        }
        if let Some(last) = last {
            request = request.header("last-event-id", last.to_string());
        }
        let response = request.send().await.unwrap();
        let content_type = response
            .headers()
            .get("content-type")
            .map_or("", |value| value.to_str().unwrap())
            .to_owned();
        Self {
            status: response.status().as_u16(),
            content_type,
            bytes: response
                .bytes_stream()
                .map(|chunk| chunk.map(|bytes| bytes.to_vec()))
                .boxed(),
            pending: String::new(),
            half: Vec::new(),
        }
    }

    /// The next event, or nothing when the stream has ended.
    pub(crate) async fn next(&mut self) -> Option<Event> {
        self.next_before(Instant::now() + DEADLINE)
            .await
            .expect("something is heard in time")
    }

    /// The next event that matches; the stream must not end before.
    pub(crate) async fn hears(&mut self, matches: impl Fn(&Event) -> bool) -> Event {
        let end = Instant::now() + DEADLINE;
        loop {
            match self.next_before(end).await.expect("it is heard in time") {
                Some(event) if matches(&event) => return event,
                Some(_) => {}
                None => panic!("the stream ended"),
            }
        }
    }

    /// The next event of a name.
    pub(crate) async fn hears_of(&mut self, name: &str) -> Event {
        self.hears(|event| event.name == name).await
    }

    /// What arrives until nothing has for this long.
    pub(crate) async fn hears_within(&mut self, quiet: Duration) -> Vec<Event> {
        let mut events = Vec::new();
        while let Ok(Some(event)) = self.next_before(Instant::now() + quiet).await {
            events.push(event);
        }
        events
    }

    /// A character may arrive in two pieces.
    fn take_in(&mut self, bytes: &[u8]) {
        self.half.extend_from_slice(bytes);
        let whole = match std::str::from_utf8(&self.half) {
            Ok(text) => text.len(),
            Err(error) => error.valid_up_to(),
        };
        let rest = self.half.split_off(whole);
        let text = std::mem::replace(&mut self.half, rest);
        self.pending.push_str(std::str::from_utf8(&text).unwrap());
    }

    async fn next_before(
        &mut self,
        end: Instant,
    ) -> Result<Option<Event>, tokio::time::error::Elapsed> {
        loop {
            if let Some(end) = self.pending.find("\n\n") {
                let block: String = self.pending.drain(..end + 2).collect();
                let event = read(&block);
                if let Some(event) = event {
                    return Ok(Some(event));
                }
                continue;
            }
            match timeout_at(end, self.bytes.next()).await? {
                Some(Ok(bytes)) => self.take_in(&bytes),
                Some(Err(_)) | None => return Ok(None),
            }
        }
    }
}

fn read(block: &str) -> Option<Event> {
    let field = |name: &str| {
        let lines: Vec<&str> = block
            .lines()
            .filter_map(|line| line.strip_prefix(name)?.strip_prefix(':'))
            .map(|value| value.strip_prefix(' ').unwrap_or(value))
            .collect();
        (!lines.is_empty()).then(|| lines.join("\n"))
    };
    Some(Event {
        name: field("event")?,
        id: field("id").map(|id| id.parse().unwrap()),
        data: serde_json::from_str(&field("data")?).unwrap(),
    })
}
