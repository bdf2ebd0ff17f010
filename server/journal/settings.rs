//! Settings of one board that are not part of the record, such as its join code.

use sqlx::{Row, SqliteConnection};

/// Reads a setting.
pub(super) async fn read(
    connection: &mut SqliteConnection,
    name: &str,
) -> Result<Option<String>, sqlx::Error> {
    let row = sqlx::query("select value from setting where name = ?")
        .bind(name)
        .fetch_optional(connection)
        .await?;
    row.map(|row| row.try_get(0)).transpose()
}

/// Writes a setting.
pub(super) async fn write(
    connection: &mut SqliteConnection,
    name: &str,
    value: &str,
) -> Result<(), sqlx::Error> {
    sqlx::query("insert into setting (name, value) values (?, ?) on conflict (name) do update set value = excluded.value")
        .bind(name)
        .bind(value)
        .execute(connection)
        .await
        .map(drop)
}
