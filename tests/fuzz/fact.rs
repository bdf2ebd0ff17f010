//! Whatever bytes come in as a report: read or refused, taken in or refused, and never a fault of ours.
//!
//! What is taken in is folded beside what stands already, put into words, stored, read back, and folded again: both
//! folds agree.
#![no_main]

use std::sync::LazyLock;

use holdfast::incident::{Author, Entry, Incident, Report, Role, Words, sentence};
use libfuzzer_sys::{Corpus, fuzz_target};

/// A small incident: everything in it is there to be named by a report.
static BASE: LazyLock<Incident> = LazyLock::new(|| {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/facts");
    let mut incident = Incident::default();
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .expect("the fixtures are there")
        .map(|file| file.expect("a name").path())
        .collect();
    // What opens the board and what founds something comes first; a second round takes what had nothing to name.
    names.sort_by_key(|path| {
        let name = path.display().to_string();
        let founds = ["incident.opened", "helper.joined", "registered", "added", "wound.found"];
        founds
            .iter()
            .position(|one| name.contains(one))
            .unwrap_or(founds.len())
    });
    for path in names.iter().chain(&names) {
        let text = std::fs::read_to_string(path).expect("it can be read");
        let Ok(entry) = serde_json::from_str::<Entry>(&text) else {
            continue;
        };
        let author = author(&entry);
        let report = Report {
            id: entry.id,
            about: entry.about,
            happened_at: entry.happened_at,
            based_on: entry.based_on,
            time_unsure: false,
            epoch: None,
            fact: entry.fact,
        };
        let mut draft = incident.draft();
        drop(draft.admit(report, &author, entry.recorded_at));
        let changes = draft.finish();
        incident.adopt(changes);
    }
    assert!(incident.casualties().count() > 0, "somebody is there");
    incident
});

fn author(entry: &Entry) -> Author {
    let of_the_board = entry.fact.is_of_the_board();
    Author {
        device: entry.device,
        name: Words::new("Ina").expect("a name"),
        role: (!of_the_board).then_some(Role::Lead),
        skill: None,
    }
}

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let Ok(report) = serde_json::from_slice::<Report>(bytes) else {
        return Corpus::Keep;
    };
    let mut incident = BASE.clone();
    let now = incident
        .entries()
        .last()
        .map_or(report.happened_at, |entry| entry.recorded_at);
    let who = incident.entries().first().expect("it was opened").device;
    let author = Author {
        device: who,
        name: Words::new("Ina").expect("a name"),
        role: Some(Role::Lead),
        skill: None,
    };
    let mut draft = incident.draft();
    let taken = draft.admit(report, &author, now).is_ok();
    let changes = draft.finish();
    incident.adopt(changes);
    if !taken {
        return Corpus::Keep;
    }
    let stored: Vec<String> = incident
        .entries()
        .iter()
        .map(|entry| serde_json::to_string(entry).expect("it can be stored"))
        .collect();
    let read = stored
        .iter()
        .map(|body| serde_json::from_str(body).expect("what was stored can be read"))
        .collect();
    let again = Incident::replay(read);
    assert!(incident.casualties().eq(again.casualties()), "replay differs");
    assert_eq!(incident.duties(), again.duties());
    for entry in again.entries() {
        assert!(!sentence(entry, &again).is_empty());
    }
    Corpus::Keep
});
