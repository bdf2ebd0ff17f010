//! The state tables: what the fold says, in rows that anyone with the `sqlite3` shell can read.
//!
//! Owns the one translation from the fold to rows. It is used both to write the tables and to check them, so
//! the two cannot drift apart.

use serde_json::{Value, json};
use sqlx::{Row, SqliteConnection};

use super::moving::{AWAY, DESTINATION, TRANSPORT, TRIP, moving_rows};
use crate::incident::{Casualty, Incident, Level, Person, Wound};
use crate::rules::supplies::Item;

/// One state table: its name, its columns in order, and the key.
pub(super) struct Table {
    pub(super) name: &'static str,
    pub(super) columns: &'static [&'static str],
}

pub(super) const PERSON: Table = Table {
    name: "person",
    columns: &["device", "name", "skill", "role", "joined_at"],
};
pub(super) const CASUALTY: Table = Table {
    name: "casualty",
    columns: &[
        "number",
        "casualty_id",
        "met_at",
        "age",
        "words",
        "place",
        "tag",
        "category",
        "category_disputed",
        "bleeding",
        "tourniquet_since",
        "dressings_used",
        "helper_device",
        "evac",
        "last_seq",
    ],
};
pub(super) const WOUND: Table = Table {
    name: "wound",
    columns: &[
        "wound_id",
        "casualty_number",
        "region",
        "side",
        "found_at",
        "rung",
        "hold",
        "hold_since",
        "tourniquet_since",
        "next_due_at",
    ],
};
pub(super) const STOCK: Table = Table {
    name: "stock",
    columns: &["item", "counted", "used", "in_the_bags"],
};
pub(super) const EVAC_REQUEST: Table = Table {
    name: "evac_request",
    columns: &[
        "casualty_number",
        "requested_at",
        "priority",
        "posture",
        "needs",
    ],
};

impl Table {
    /// Replaces rows, given as JSON arrays in column order.
    pub(super) async fn put(
        &self,
        connection: &mut SqliteConnection,
        rows: Vec<Value>,
    ) -> Result<(), sqlx::Error> {
        if rows.is_empty() {
            return Ok(());
        }
        let fields: Vec<String> = (0..self.columns.len())
            .map(|index| format!("value ->> {index}"))
            .collect();
        let sql = format!(
            "insert or replace into {} ({}) select {} from json_each(?)",
            self.name,
            self.columns.join(", "),
            fields.join(", ")
        );
        // The text is made of this file's constants only.
        sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(Value::from(rows).to_string())
            .execute(connection)
            .await
            .map(drop)
    }

    /// Removes the rows whose column holds one of these numbers.
    pub(super) async fn remove(
        &self,
        connection: &mut SqliteConnection,
        column: &str,
        numbers: &[u32],
    ) -> Result<(), sqlx::Error> {
        if numbers.is_empty() {
            return Ok(());
        }
        let sql = format!(
            "delete from {} where {column} in (select value from json_each(?))",
            self.name
        );
        sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(json!(numbers).to_string())
            .execute(connection)
            .await
            .map(drop)
    }

    /// Removes every row.
    pub(super) async fn clear(&self, connection: &mut SqliteConnection) -> Result<(), sqlx::Error> {
        let sql = format!("delete from {}", self.name);
        sqlx::query(sqlx::AssertSqlSafe(sql))
            .execute(connection)
            .await
            .map(drop)
    }

    async fn exists(&self, connection: &mut SqliteConnection) -> Result<bool, sqlx::Error> {
        let found: i64 =
            sqlx::query("select count(*) from sqlite_schema where type = 'table' and name = ?")
                .bind(self.name)
                .fetch_one(connection)
                .await?
                .try_get(0)?;
        Ok(found > 0)
    }

    /// Every row as a JSON array in column order, sorted by the first two columns.
    pub(super) async fn read(
        &self,
        connection: &mut SqliteConnection,
    ) -> Result<Vec<Value>, sqlx::Error> {
        let columns = self.columns.join(", ");
        let sql = format!(
            "select json_array({columns}) from {} order by {}, {}",
            self.name, self.columns[0], self.columns[1]
        );
        let rows = sqlx::query(sqlx::AssertSqlSafe(sql))
            .fetch_all(connection)
            .await?;
        rows.iter()
            .map(|row| {
                let text: String = row.try_get(0)?;
                serde_json::from_str(&text).map_err(|error| sqlx::Error::Decode(Box::new(error)))
            })
            .collect()
    }
}

/// A person's row.
pub(super) fn person_row(person: &Person) -> Value {
    json!([
        person.device,
        person.name,
        person.skill.code(),
        person.role.code(),
        person.joined_at
    ])
}

/// A casualty's row.
pub(super) fn casualty_row(casualty: &Casualty) -> Value {
    json!([
        casualty.number,
        casualty.id,
        casualty.met_at,
        casualty.age.value().map(|age| age.code()),
        casualty.words.value(),
        casualty.place.value(),
        casualty.tag.value(),
        casualty
            .urgent_category()
            .map(crate::rules::triage::Category::code),
        i32::from(casualty.category.is_disputed()),
        casualty.bleeding().code(),
        casualty.tourniquet_since(),
        casualty.dressings().values().sum::<u32>(),
        casualty.helpers().next(),
        if casualty.evac.is_some() {
            "requested"
        } else {
            "none"
        },
        casualty.last_seq,
    ])
}

/// The rows of a casualty's wounds.
pub(super) fn wound_rows(casualty: &Casualty) -> impl Iterator<Item = Value> {
    casualty
        .wounds
        .iter()
        .map(|wound| wound_row(casualty, wound))
}

fn wound_row(casualty: &Casualty, wound: &Wound) -> Value {
    let standing = &wound.standing;
    let mine = casualty
        .clocks
        .iter()
        .filter(|clock| clock.wound == Some(wound.id));
    json!([
        wound.id,
        casualty.number,
        wound.region.map(crate::rules::bleeding::Region::code),
        wound.side.code(),
        wound.found_at,
        standing.rung,
        standing.state.code(),
        standing.next_since.unwrap_or(wound.found_at),
        wound.tourniquet_since,
        mine.map(|clock| clock.due_at).min(),
    ])
}

/// A casualty's evacuation request, if one stands.
pub(super) fn evac_row(casualty: &Casualty) -> Option<Value> {
    let (at, request) = casualty.evac.as_ref()?;
    Some(json!([
        casualty.number,
        at,
        request.priority.code(),
        request.posture.code(),
        Some(request.needs_words()).filter(|needs| !needs.is_empty())
    ]))
}

/// An item's row.
pub(super) fn stock_row(item: Item, level: &Level) -> Value {
    json!([
        item.code(),
        level.is_counted.then_some(level.counted),
        level.used,
        level.left()
    ])
}

/// Every row of every table as the fold has it, in the order in which they are read.
pub(super) fn expected(incident: &Incident) -> Vec<(&'static Table, Vec<Value>)> {
    let mut people: Vec<Value> = incident.people().map(person_row).collect();
    let mut wounds: Vec<Value> = incident.casualties().flat_map(wound_rows).collect();
    let mut stock: Vec<Value> = incident
        .stock()
        .iter()
        .map(|(item, level)| stock_row(*item, level))
        .collect();
    for rows in [&mut people, &mut wounds, &mut stock] {
        rows.sort_by_key(|row| row[0].as_str().unwrap_or_default().to_owned());
    }
    let [transports, destinations, trips, away] = moving_rows(incident.evacuation());
    let mut all = vec![
        (&PERSON, people),
        (&CASUALTY, incident.casualties().map(casualty_row).collect()),
        (&WOUND, wounds),
        (&STOCK, stock),
        (
            &EVAC_REQUEST,
            incident.casualties().filter_map(evac_row).collect(),
        ),
        (&TRANSPORT, transports),
        (&DESTINATION, destinations),
        (&TRIP, trips),
        (&AWAY, away),
    ];
    all.extend(super::general::expected(incident));
    all
}

/// Which state tables differ from the fold.
pub(super) async fn differences(
    connection: &mut SqliteConnection,
    incident: &Incident,
) -> Result<Vec<&'static str>, sqlx::Error> {
    let mut differing = Vec::new();
    let older = super::open::is_of_older_layout(connection).await?;
    for (table, rows) in expected(incident) {
        // A record as an older program left it has fewer tables; they are made when it is next opened.
        if older && !table.exists(connection).await? {
            continue;
        }
        if table.read(connection).await? != rows {
            differing.push(table.name);
        }
    }
    Ok(differing)
}

/// Writes every state table anew from the fold.
pub(super) async fn rebuild(
    connection: &mut SqliteConnection,
    incident: &Incident,
) -> Result<(), sqlx::Error> {
    for (table, rows) in expected(incident) {
        table.clear(connection).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}
