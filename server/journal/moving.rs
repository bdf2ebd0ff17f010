//! The state tables about leaving: transports, destinations, trips, and who is away.

use serde_json::{Value, json};
use sqlx::SqliteConnection;

use super::tables::Table;
use crate::incident::evac::{Evacuation, Whereabouts, layout_words};

pub(super) const TRANSPORT: Table = Table {
    name: "transport",
    columns: &[
        "transport_id",
        "name",
        "kind",
        "layouts",
        "available_at",
        "state",
        "since",
        "aboard",
        "trips",
    ],
};
pub(super) const DESTINATION: Table = Table {
    name: "destination",
    columns: &[
        "destination_id",
        "name",
        "kind",
        "immediate",
        "delayed",
        "minor",
        "places_told_at",
        "closed",
    ],
};
pub(super) const TRIP: Table = Table {
    name: "trip",
    columns: &[
        "trip",
        "transport_id",
        "destination_id",
        "left_at",
        "arrived_at",
        "casualties",
    ],
};
pub(super) const AWAY: Table = Table {
    name: "away",
    columns: &[
        "casualty_id",
        "state",
        "transport_id",
        "destination_id",
        "since",
        "handed_to",
    ],
};

/// Writes these tables anew: they are small, and a late report may change any of their rows.
pub(super) async fn write(
    connection: &mut SqliteConnection,
    evacuation: &Evacuation,
) -> Result<(), sqlx::Error> {
    let tables = [&TRANSPORT, &DESTINATION, &TRIP, &AWAY];
    for (table, rows) in tables.into_iter().zip(moving_rows(evacuation)) {
        table.clear(connection).await?;
        table.put(connection, rows).await?;
    }
    Ok(())
}

/// Rows of transports, destinations, trips and those away, sorted by the first column.
pub(super) fn moving_rows(evacuation: &Evacuation) -> [Vec<Value>; 4] {
    let transports = evacuation.transports.values();
    let mut trips: Vec<Value> = transports
        .clone()
        .flat_map(|transport| {
            transport.trips.iter().enumerate().map(|(index, trip)| {
                let casualties: Vec<String> =
                    trip.casualties.iter().map(ToString::to_string).collect();
                json!([
                    format!("{}/{}", transport.id, index + 1),
                    transport.id,
                    trip.destination,
                    trip.left_at,
                    trip.arrived_at,
                    casualties.join(" ")
                ])
            })
        })
        .collect();
    trips.sort_by_key(|row| row[0].as_str().unwrap_or_default().to_owned());
    [
        transports
            .map(|one| {
                json!([
                    one.id,
                    one.details.name,
                    one.details.means.code(),
                    layout_words(&one.details.layouts),
                    one.available_at,
                    one.state.code(),
                    one.since,
                    one.aboard.len(),
                    one.trips.len()
                ])
            })
            .collect(),
        evacuation
            .destinations
            .values()
            .map(|one| {
                let [immediate, delayed, minor] = one.places();
                json!([
                    one.id,
                    one.details.name,
                    one.details.place.code(),
                    immediate,
                    delayed,
                    minor,
                    one.places_at,
                    i32::from(one.closed)
                ])
            })
            .collect(),
        trips,
        away_rows(evacuation),
    ]
}

fn away_rows(evacuation: &Evacuation) -> Vec<Value> {
    evacuation
        .whereabouts
        .iter()
        .map(|(id, there)| match there {
            Whereabouts::Loading { transport, at } => {
                json!([id, "loading", transport, null, at, null])
            }
            Whereabouts::Gone {
                transport,
                destination,
                left_at,
                arrived_at,
            } => {
                let state = if arrived_at.is_some() {
                    "arrived"
                } else {
                    "gone"
                };
                json!([id, state, transport, destination, left_at, null])
            }
            Whereabouts::HandedOver {
                to,
                destination,
                at,
            } => json!([id, "handed_over", null, destination, at, to]),
        })
        .collect()
}
