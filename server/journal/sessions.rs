//! Sessions on disk, so that a restart does not turn phones away. Not part of the record.

use serde::{Deserialize, Serialize};
use sqlx::{Row, SqliteConnection};

use super::transaction;

/// A session as stored: plain values, the token only as its hash.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct StoredSession {
    /// BLAKE3 of the token.
    pub token_hash: [u8; 32],
    /// The device.
    pub device: String,
    /// What the person calls themselves.
    pub name: String,
    /// Stored code of the skill.
    pub skill: String,
    /// Stored code of the role.
    pub role: String,
    /// When it began, RFC 3339.
    pub created_at: String,
}

/// Every session that was not revoked.
pub(super) async fn read_all(
    connection: &mut SqliteConnection,
) -> Result<Vec<StoredSession>, sqlx::Error> {
    let rows = sqlx::query(
        "select token_hash, device, name, skill, role, created_at from session where revoked_at is null",
    )
    .fetch_all(connection)
    .await?;
    rows.iter()
        .map(|row| {
            let hash: Vec<u8> = row.try_get(0)?;
            Ok(StoredSession {
                token_hash: hash.try_into().map_err(|_| sqlx::Error::RowNotFound)?,
                device: row.try_get(1)?,
                name: row.try_get(2)?,
                skill: row.try_get(3)?,
                role: row.try_get(4)?,
                created_at: row.try_get(5)?,
            })
        })
        .collect()
}

/// Keeps a session and ends the others the device had before: both or neither. The same session with another role
/// takes the place of what was kept of it.
pub(super) async fn write(
    connection: &mut SqliteConnection,
    session: &StoredSession,
) -> Result<(), sqlx::Error> {
    transaction::begin(connection).await?;
    let done = replace(connection, session).await;
    transaction::end(connection, done).await
}

/// Keeps exactly these sessions.
pub(super) async fn write_all(
    connection: &mut SqliteConnection,
    sessions: &[StoredSession],
) -> Result<(), sqlx::Error> {
    transaction::begin(connection).await?;
    let done = replace_all(connection, sessions).await;
    transaction::end(connection, done).await
}

async fn replace_all(
    connection: &mut SqliteConnection,
    sessions: &[StoredSession],
) -> Result<(), sqlx::Error> {
    sqlx::query("delete from session")
        .execute(&mut *connection)
        .await?;
    for session in sessions {
        insert(connection, session).await?;
    }
    Ok(())
}

async fn replace(
    connection: &mut SqliteConnection,
    session: &StoredSession,
) -> Result<(), sqlx::Error> {
    revoke(connection, &session.device, &session.created_at).await?;
    insert(connection, session).await
}

/// Keeps a session beside the device's others, or what is new of it.
pub(super) async fn insert(
    connection: &mut SqliteConnection,
    session: &StoredSession,
) -> Result<(), sqlx::Error> {
    sqlx::query("insert or replace into session (token_hash, device, name, skill, role, created_at) values (?, ?, ?, ?, ?, ?)")
        .bind(session.token_hash.as_slice())
        .bind(&session.device)
        .bind(&session.name)
        .bind(&session.skill)
        .bind(&session.role)
        .bind(&session.created_at)
        .execute(connection)
        .await
        .map(drop)
}

/// Ends one session.
pub(super) async fn end(
    connection: &mut SqliteConnection,
    token_hash: &[u8; 32],
    at: &str,
) -> Result<(), sqlx::Error> {
    sqlx::query("update session set revoked_at = ? where token_hash = ? and revoked_at is null")
        .bind(at)
        .bind(token_hash.as_slice())
        .execute(connection)
        .await
        .map(drop)
}

/// Ends every session of a device.
pub(super) async fn revoke(
    connection: &mut SqliteConnection,
    device: &str,
    at: &str,
) -> Result<(), sqlx::Error> {
    sqlx::query("update session set revoked_at = ? where device = ? and revoked_at is null")
        .bind(at)
        .bind(device)
        .execute(connection)
        .await
        .map(drop)
}
