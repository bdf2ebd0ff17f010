//! What can go wrong between the program and the disk.

/// The journal could not do what was asked. Nothing was acknowledged.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// Too much is waiting; ask again in a moment.
    #[error("the board is busy")]
    Busy,
    /// The writer has stopped; the program is ending.
    #[error("the board is stopping")]
    Stopped,
    /// The disk is full.
    #[error("the board's disk is full")]
    Full,
    /// Another program holds the file.
    #[error("another program holds the board's file")]
    Held,
    /// A write failed in a way that leaves unknown what is on disk; nothing is acknowledged any more.
    #[error(
        "the board's disk failed; what is on it must be verified before anything is stored again"
    )]
    Unsound,
    /// This machine only follows another's board.
    #[error("this machine is a standby and only follows")]
    Following,
    /// Entries of another machine that do not go on from what is here.
    #[error("the other machine's record is another history from entry {seq} on: {what}")]
    OtherHistory {
        /// Where.
        seq: u64,
        /// In which way.
        what: String,
    },
    /// The disk or the database refused.
    #[error("the database refused: {0}")]
    Storage(#[from] sqlx::Error),
    /// A newer program has written this file.
    #[error(
        "a newer holdfast has written this file (layout {there}, this one knows up to {here}); run that one, or a newer"
    )]
    Newer {
        /// The file's layout.
        there: i64,
        /// The newest this program knows.
        here: i64,
    },
    /// The database could not be brought to this program's layout.
    #[error("the database could not be prepared: {0}")]
    Migration(#[from] sqlx::migrate::MigrateError),
    /// The journal on disk is not what was written.
    #[error("the journal is damaged at entry {seq}: {what}")]
    Damaged {
        /// Where.
        seq: u64,
        /// In which way.
        what: String,
    },
    /// A setting of the database is not what durability needs.
    #[error(
        "the database did not take the setting {0}; the board cannot promise that reports survive"
    )]
    Setting(&'static str),
}
