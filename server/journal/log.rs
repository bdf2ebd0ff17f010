//! Every statement on the entry table.

use serde_json::json;
use sqlx::{Row, SqliteConnection};

use super::chain::Chain;

/// An entry as stored.
#[derive(Clone, Debug)]
pub(super) struct LogRow {
    pub(super) seq: i64,
    pub(super) id: String,
    pub(super) body: String,
    pub(super) chain: Chain,
}

/// Adds entries in one statement: a statement for each is nearly four times slower (measured).
pub(super) async fn append(
    connection: &mut SqliteConnection,
    rows: &[LogRow],
) -> Result<(), sqlx::Error> {
    let list: Vec<_> = rows
        .iter()
        .map(|row| json!([row.seq, row.id, row.body, row.chain.hex()]))
        .collect();
    sqlx::query(
        "insert into entry (seq, id, body, chain) \
         select value ->> 0, value ->> 1, value ->> 2, unhex(value ->> 3) from json_each(?)",
    )
    .bind(json!(list).to_string())
    .execute(connection)
    .await
    .map(drop)
}

/// Entries after a position, oldest first, at most `limit`.
pub(super) async fn after(
    connection: &mut SqliteConnection,
    seq: u64,
    limit: u32,
) -> Result<Vec<LogRow>, sqlx::Error> {
    let rows =
        sqlx::query("select seq, id, body, chain from entry where seq > ? order by seq limit ?")
            .bind(i64::try_from(seq).unwrap_or(i64::MAX))
            .bind(limit)
            .fetch_all(connection)
            .await?;
    rows.iter()
        .map(|row| {
            let chain: Vec<u8> = row.try_get(3)?;
            Ok(LogRow {
                seq: row.try_get(0)?,
                id: row.try_get(1)?,
                body: row.try_get(2)?,
                chain: Chain::from_bytes(&chain).ok_or(sqlx::Error::RowNotFound)?,
            })
        })
        .collect()
}

/// The last position and its chain value; the start when there is none.
pub(super) async fn last(connection: &mut SqliteConnection) -> Result<(u64, Chain), sqlx::Error> {
    let row = sqlx::query("select seq, chain from entry order by seq desc limit 1")
        .fetch_optional(connection)
        .await?;
    let Some(row) = row else {
        return Ok((0, Chain::START));
    };
    let seq: i64 = row.try_get(0)?;
    let chain: Vec<u8> = row.try_get(1)?;
    let chain = Chain::from_bytes(&chain).ok_or(sqlx::Error::RowNotFound)?;
    Ok((seq.unsigned_abs(), chain))
}
