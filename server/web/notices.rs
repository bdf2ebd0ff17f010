//! What every screen must be told about the board itself.

use serde::Serialize;

use super::app::App;

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Notice {
    /// Stable code.
    pub(super) code: &'static str,
    /// What people read: what is wrong, what is safe, what to do.
    pub(super) words: String,
}

/// Everything there is to tell now, the gravest first.
pub(super) fn notices(app: &App) -> Vec<Notice> {
    let storage = app.journal.storage();
    let disk = storage.words().map(|words| Notice {
        code: storage.code(),
        words,
    });
    let following = app.journal.is_following().then(|| app.standing.notice());
    disk.into_iter()
        .chain(following)
        .chain(app.memories.notices())
        .collect()
}
