//! What is kept beside the record, written by the journal's writer alone.

use sqlx::SqliteConnection;

use super::sessions::{self, StoredSession};
use super::settings;

/// What is kept beside the record: who may come in, and settings.
pub(super) enum Kept {
    /// A session, in place of those its device had.
    Session(StoredSession),
    /// A session beside the others of its device.
    Change(StoredSession),
    /// The end of one session.
    End { token_hash: [u8; 32], at: String },
    /// The end of a device's sessions.
    Revocation { device: String, at: String },
    /// Exactly these sessions: a standby's copy.
    Sessions(Vec<StoredSession>),
    /// A setting.
    Setting { name: &'static str, value: String },
}

impl Kept {
    pub(super) async fn write(&self, connection: &mut SqliteConnection) -> Result<(), sqlx::Error> {
        match self {
            Self::Session(session) => sessions::write(connection, session).await,
            Self::Change(session) => sessions::insert(connection, session).await,
            Self::End { token_hash, at } => sessions::end(connection, token_hash, at).await,
            Self::Revocation { device, at } => sessions::revoke(connection, device, at).await,
            Self::Sessions(all) => sessions::write_all(connection, all).await,
            Self::Setting { name, value } => settings::write(connection, name, value).await,
        }
    }
}
