//! Who was last heard of, and how much they had not sent by then.
//!
//! Owns what is known of devices between their reports. Not part of the record: it is about connections, and is
//! forgotten when the program stops. Only the lead is told. Promises: a device counts as here while it holds a live
//! stream; a stream whose phone died is ended by the connection's own time-outs.

use std::collections::HashMap;
use std::sync::Mutex;

use jiff::Timestamp;
use serde::Serialize;

use super::app::App;
use crate::incident::DeviceId;

/// What is known of every device.
#[derive(Debug, Default)]
pub(super) struct Presence {
    known: Mutex<HashMap<DeviceId, Heard>>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Heard {
    at: Option<Timestamp>,
    waiting: u32,
    streams: u32,
}

/// A device as the lead is told of it.
#[derive(Debug, Serialize)]
pub(super) struct Contact {
    device: DeviceId,
    /// When it was last heard; none where it was not since the program started.
    heard: Option<Timestamp>,
    /// Holds a live stream now.
    live: bool,
    /// Reports that were only on it at the last contact.
    waiting: u32,
    /// Removed: it may not come in any more.
    removed: bool,
}

impl Presence {
    /// A device asked or sent something.
    pub(super) fn heard(&self, device: DeviceId, at: Timestamp) {
        self.lock().entry(device).or_default().at = Some(at);
    }

    /// A device said how many reports it still keeps to itself.
    pub(super) fn told(&self, device: DeviceId, waiting: u32) {
        self.lock().entry(device).or_default().waiting = waiting;
    }

    /// A device's stream opened.
    pub(super) fn opened(&self, device: DeviceId) {
        self.lock().entry(device).or_default().streams += 1;
    }

    /// A device's stream ended.
    pub(super) fn closed(&self, device: DeviceId, at: Timestamp) {
        let mut known = self.lock();
        let heard = known.entry(device).or_default();
        heard.streams = heard.streams.saturating_sub(1);
        heard.at = Some(at);
    }

    fn of(&self, device: DeviceId) -> Heard {
        self.lock().get(&device).copied().unwrap_or_default()
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, HashMap<DeviceId, Heard>> {
        self.known
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}

/// Everybody who ever joined, as heard of last. What the journal has of them counts where nothing was heard since.
pub(super) fn contacts(app: &App) -> Vec<Contact> {
    let devices: Vec<DeviceId> = app
        .journal
        .read(|incident| incident.people().map(|person| person.device).collect());
    let contact = |device| {
        let heard = app.sessions.presence.of(device);
        Contact {
            device,
            heard: heard.at,
            live: heard.streams > 0,
            waiting: heard.waiting,
            removed: !app.sessions.has(device),
        }
    };
    devices.into_iter().map(contact).collect()
}
