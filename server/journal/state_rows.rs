//! A group of entries with the state rows they change, written in the caller's transaction.

use sqlx::SqliteConnection;

use super::general;
use super::log::{self, LogRow};
use super::moving;
use super::tables::{self, CASUALTY, EVAC_REQUEST, PERSON, STOCK, WOUND};
use crate::incident::{Casualty, Changes};

/// Writes entries and state.
pub(super) async fn write(
    connection: &mut SqliteConnection,
    rows: &[LogRow],
    changes: &Changes,
) -> Result<(), sqlx::Error> {
    log::append(connection, rows).await?;
    write_state(connection, changes).await
}

async fn write_state(
    connection: &mut SqliteConnection,
    changes: &Changes,
) -> Result<(), sqlx::Error> {
    let people = changes.people.iter().map(tables::person_row).collect();
    PERSON.put(connection, people).await?;
    let numbers: Vec<u32> = changes
        .casualties
        .iter()
        .map(|change| change.number)
        .collect();
    if !numbers.is_empty() {
        write_casualties(connection, &numbers, changes).await?;
    }
    if let Some(evacuation) = &changes.evacuation {
        moving::write(connection, evacuation).await?;
    }
    if changes.settings_changed {
        general::write_settings(connection, &changes.settings).await?;
    }
    if changes.kits_changed {
        general::write_kits(connection, &changes.supplies).await?;
    }
    if changes.stock_changed {
        let rows = changes
            .supplies
            .levels
            .iter()
            .map(|(item, level)| tables::stock_row(*item, level))
            .collect();
        STOCK.clear(connection).await?;
        STOCK.put(connection, rows).await?;
    }
    Ok(())
}

async fn write_casualties(
    connection: &mut SqliteConnection,
    numbers: &[u32],
    changes: &Changes,
) -> Result<(), sqlx::Error> {
    let here: Vec<&Casualty> = changes
        .casualties
        .iter()
        .filter_map(|change| change.after.as_ref())
        .collect();
    let casualties = here
        .iter()
        .map(|casualty| tables::casualty_row(casualty))
        .collect();
    let wounds = here
        .iter()
        .flat_map(|casualty| tables::wound_rows(casualty))
        .collect();
    let requests = here
        .iter()
        .filter_map(|casualty| tables::evac_row(casualty))
        .collect();
    for (table, key, rows) in [
        (&CASUALTY, "number", casualties),
        (&WOUND, "casualty_number", wounds),
        (&EVAC_REQUEST, "casualty_number", requests),
    ] {
        table.remove(connection, key, numbers).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}
