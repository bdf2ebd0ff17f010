//! What every screen must be told about the board itself.

use std::sync::Mutex;

use serde::Serialize;

use super::app::App;
use crate::incident::Incident;

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Notice {
    /// Stable code.
    pub(super) code: &'static str,
    /// What people read: what is wrong, what is safe, what to do.
    pub(super) words: String,
    /// The page where something can be done about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) page: Option<&'static str>,
}

/// Everything there is to tell now, the gravest first.
///
/// Takes the incident that its caller looks at already: a second look inside a first would wait for a writer that waits
/// for the first.
pub(super) fn notices(app: &App, incident: &Incident) -> Vec<Notice> {
    let storage = app.journal.storage();
    let disk = storage.words().map(|words| Notice {
        code: storage.code(),
        words,
        page: None,
    });
    let following = if app.journal.is_following() {
        Some(app.standing.notice())
    } else {
        app.standing.words_notice()
    };
    disk.into_iter()
        .chain(following)
        .chain(app.machine_clock.notice())
        .chain(app.memories.notices())
        .chain(app.copies.notice())
        .chain(super::command::notice(app, incident))
        .collect()
}

/// Whether the copies that are made by themselves come about.
#[derive(Debug, Default)]
pub struct Copies(Mutex<Option<String>>);

impl Copies {
    /// A copy was made and verified.
    pub fn went_well(&self) {
        *self.lock() = None;
    }

    /// No copy could be made in this folder.
    pub fn failed(&self, folder: &str) {
        *self.lock() = Some(format!(
            "NO COPY of the record could be made in {folder}: is the stick in, has it room? The board itself goes on."
        ));
    }

    fn notice(&self) -> Option<Notice> {
        let words = self.lock().clone()?;
        Some(Notice {
            code: "no-copy",
            words,
            page: None,
        })
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Option<String>> {
        self.0
            .lock()
            .expect("OK because nothing panics while holding it")
    }
}
