//! The stored fixtures as facts to send: one valid example of every kind, and the things they are about.

use std::path::{Path, PathBuf};

use holdfast::clock::fresh_id;
use holdfast::incident::Fact;
use serde_json::{Value, json};

use super::Device;

/// Kinds that only the board itself writes.
pub(crate) const BOARD_ONLY: [&str; 7] = [
    "record.copied/1",
    "record.taken/1",
    "board.continued/1",
    "incident.opened/1",
    "incident.closed/1",
    "helper.joined/1",
    "command.handed_over/1",
];

/// Well-known ids in the fixtures.
pub(crate) const CASUALTY: &str = "019aa000-0000-7000-8000-0000000000c1";
pub(crate) const WOUND: &str = "019aa000-0000-7000-8000-0000000000a1";
/// Somebody else, for reports about two records.
const OTHER: &str = "019aa000-0000-7000-8000-0000000000c2";
const TRANSPORT: &str = "019aa000-0000-7000-8000-000000000071";
const DESTINATION: &str = "019aa000-0000-7000-8000-000000000081";
const HELPER: &str = "019aa000-0000-7000-8000-0000000000d1";
const ENTRY: &str = "019aa000-0000-7000-8000-0000000000e1";

/// One stored entry.
#[derive(Clone, Debug)]
pub(crate) struct Fixture {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
    pub(crate) entry: Value,
}

impl Fixture {
    pub(crate) fn kind(&self) -> &str {
        self.entry["fact"]["kind"].as_str().unwrap()
    }

    /// Whether this one has every field (and not only those that must be there).
    pub(crate) fn is_full(&self) -> bool {
        !self.path.to_string_lossy().ends_with(".minimal.json")
    }

    /// As a device would send it, with a fresh id; helpers in it are the device itself.
    pub(crate) fn to_send(&self, device: &Device) -> Value {
        let text = self.entry.to_string().replace(HELPER, &device.id);
        let entry: Value = serde_json::from_str(&text).unwrap();
        json!({ "id": fresh_id(), "about": entry["about"], "happened_at": entry["happened_at"],
            "based_on": entry["based_on"], "fact": entry["fact"] })
    }
}

/// Every fixture, by file name.
pub(crate) fn fixtures() -> Vec<Fixture> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/facts");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let entry = serde_json::from_str(&text).unwrap();
            Fixture { path, text, entry }
        })
        .collect()
}

/// Every kind the program knows, as serde lists them.
pub(crate) fn kinds() -> Vec<String> {
    let error = serde_json::from_value::<Fact>(json!({ "kind": "?" })).unwrap_err();
    let text = error.to_string();
    let kinds: Vec<String> = text
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|word| word.contains('/'))
        .map(ToOwned::to_owned)
        .collect();
    assert!(kinds.len() >= 18, "{text}");
    kinds
}

/// Reports what the fixtures are about: the casualty, the wound and the entry that one of them strikes.
pub(crate) async fn set_the_scene(device: &Device) {
    let registered = json!({ "kind": "casualty.registered/1", "age": "adult", "words": "fixture" });
    device
        .says(json!({ "casualty": CASUALTY }), registered.clone())
        .await;
    device.says(json!({ "casualty": OTHER }), registered).await;
    let found = json!({ "kind": "wound.found/1", "casualty": CASUALTY, "region": "forearm",
        "side": "left", "flow": "steady" });
    device.says(json!({ "wound": WOUND }), found).await;
    let added = json!({ "kind": "transport.added/1", "name": "Ambulance 1", "means": "ambulance",
        "layouts": [{ "lying": 1, "sitting": 1 }], "attendants": 1, "load_minutes": 5, "unload_minutes": 10 });
    device.says(json!({ "transport": TRANSPORT }), added).await;
    let added = json!({ "kind": "destination.added/1", "name": "Hut", "place": "meeting_point" });
    device
        .says(json!({ "destination": DESTINATION }), added)
        .await;
    let mut note = device.fact(
        json!({ "casualty": CASUALTY }),
        json!({ "kind": "note.added/1", "text": "to be struck" }),
    );
    note["id"] = json!(ENTRY);
    let receipt = device.reports(note).await;
    assert!(receipt["seq"].is_u64(), "{receipt}");
}
