//! Transactions in plain statements.
//!
//! Not sqlx's own guard: after a failed commit (a full disk undoes the transaction by itself) its count of open
//! transactions stays wrong and the connection never begins another.

use sqlx::SqliteConnection;

/// Takes the write lock.
pub(super) async fn begin(connection: &mut SqliteConnection) -> Result<(), sqlx::Error> {
    run(connection, "begin immediate").await
}

/// Commits what went well, undoes what did not. Durable when this returns well.
pub(super) async fn end<T>(
    connection: &mut SqliteConnection,
    done: Result<T, sqlx::Error>,
) -> Result<T, sqlx::Error> {
    let ended = match done {
        Ok(value) => run(connection, "commit").await.map(|()| value),
        Err(error) => Err(error),
    };
    if ended.is_err() {
        // Often undone already; then this says so, and that is no news.
        drop(run(connection, "rollback").await);
    }
    ended
}

async fn run(
    connection: &mut SqliteConnection,
    statement: &'static str,
) -> Result<(), sqlx::Error> {
    sqlx::query(statement).execute(connection).await.map(drop)
}
