//! The state tables about the incident as a whole: its settings, who is named as what, the kits and what is in them.

use serde_json::{Value, json};
use sqlx::SqliteConnection;

use super::tables::Table;
use crate::incident::{Incident, Kit, Setting, Settings, Supplies};

pub(super) const POLICY: Table = Table {
    name: "policy",
    columns: &[
        "setting",
        "words",
        "value",
        "brought_as",
        "changed_at",
        "changed_by",
        "decided_by",
    ],
};
pub(super) const NAMED: Table = Table {
    name: "named",
    columns: &["device", "named_as"],
};
pub(super) const KIT: Table = Table {
    name: "kit",
    columns: &["kit_id", "name", "place", "carrier_device", "counted_at"],
};
pub(super) const KIT_ITEM: Table = Table {
    name: "kit_item",
    columns: &[
        "kit_id",
        "item",
        "counted",
        "out_of_date",
        "moved",
        "used",
        "left_in_it",
    ],
};

/// Writes the settings anew: they are few, and one change is seldom.
pub(super) async fn write_settings(
    connection: &mut SqliteConnection,
    settings: &Settings,
) -> Result<(), sqlx::Error> {
    for (table, rows) in [&POLICY, &NAMED].into_iter().zip(setting_rows(settings)) {
        table.clear(connection).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}

/// Writes the kits anew: a late report may change any of their rows.
pub(super) async fn write_kits(
    connection: &mut SqliteConnection,
    supplies: &Supplies,
) -> Result<(), sqlx::Error> {
    for (table, rows) in [&KIT, &KIT_ITEM].into_iter().zip(kit_rows(supplies)) {
        table.clear(connection).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}

/// Every row of these tables as the fold has it, in the order in which they are read.
pub(super) fn expected(incident: &Incident) -> [(&'static Table, Vec<Value>); 4] {
    let [policy, named] = setting_rows(incident.settings());
    let [kits, items] = kit_rows(incident.supplies());
    [
        (&POLICY, policy),
        (&NAMED, named),
        (&KIT, kits),
        (&KIT_ITEM, items),
    ]
}

fn setting_rows(settings: &Settings) -> [Vec<Value>; 2] {
    let now = settings.now();
    let row = |setting: Setting| {
        let changed = settings.changed(setting);
        json!([
            setting.code(),
            setting.words(),
            setting.value_words(&setting.get(now)),
            setting.default_words(),
            changed.map(|changed| changed.at),
            changed.map(|changed| &changed.by),
            changed.and_then(|changed| changed.decided_by.as_ref()),
        ])
    };
    let policy = Setting::ALL.into_iter().map(row).collect();
    let named = now.named.iter();
    let named = named.map(|(device, named)| json!([device, named.code()]));
    [in_order(policy), in_order(named.collect())]
}

fn kit_rows(supplies: &Supplies) -> [Vec<Value>; 2] {
    let kits = supplies.kits.values().map(|kit| {
        json!([
            kit.id,
            supplies.name(kit.id),
            kit.place,
            kit.carrier,
            kit.counted_at
        ])
    });
    let items = supplies.kits.values().flat_map(item_rows);
    [in_order(kits.collect()), in_order(items.collect())]
}

fn item_rows(kit: &Kit) -> impl Iterator<Item = Value> {
    kit.levels.iter().map(|(item, level)| {
        json!([
            kit.id,
            item.code(),
            level.is_counted.then_some(level.counted),
            level.out_of_date,
            level.moved,
            level.used,
            level.left()
        ])
    })
}

/// Sorted by the first two columns, as a table is read.
fn in_order(mut rows: Vec<Value>) -> Vec<Value> {
    let text = |row: &Value, column: usize| row[column].as_str().unwrap_or_default().to_owned();
    rows.sort_by_key(|row| (text(row, 0), text(row, 1)));
    rows
}
