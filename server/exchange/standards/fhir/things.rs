//! Places and things: Location, Device and `DeviceUseStatement` for tourniquets, `SupplyDelivery` for what was used up.
//!
//! Owns these.

use serde_json::{Value, json};

use super::elements::{SNOMED, coded, coding, derived, reference, text};
use super::{Bundle, care};
use crate::exchange::messages;
use crate::exchange::standards::geojson::rounded;
use crate::exchange::standards::source::Told;
use crate::incident::{About, CasualtyId, Fact, Tied};
use crate::rules::place::{self, Position};

/// The site and the destinations.
pub(super) fn put_places(bundle: &mut Bundle<'_>) {
    let incident = bundle.source.incident;
    let told = &incident.evacuation().situation.told;
    let words = told.location.as_ref().map(ToString::to_string);
    let words = words.or_else(|| {
        incident
            .description()
            .place
            .as_ref()
            .map(ToString::to_string)
    });
    let mut site = json!({
        "resourceType": "Location",
        "status": "active",
        "mode": "instance",
        "name": bundle.source.name(),
    });
    if let Some(words) = words {
        site["description"] = json!(words);
    }
    put_position(&mut site, messages::position(incident).and_then(Result::ok));
    bundle.put(bundle.site(), site, None);
    for destination in incident.evacuation().destinations.values() {
        let name = destination.details.name.as_str();
        let mut location = json!({
            "resourceType": "Location",
            "status": if destination.closed { "inactive" } else { "active" },
            "mode": "instance",
            "name": name,
            "type": [text(destination.details.place.words())],
        });
        let position = place::read(name).ok().map(|reading| reading.position);
        put_position(&mut location, position);
        bundle.put(destination.id.uuid(), location, None);
    }
}

fn put_position(location: &mut Value, position: Option<Position>) {
    if let Some(position) = position {
        location["position"] = json!({
            "longitude": rounded(position.longitude()),
            "latitude": rounded(position.latitude()),
        });
    }
}

/// Every tourniquet: on the body while it is tight, with both times once it was let go; and those reported by mistake.
pub(super) fn put_tourniquets(bundle: &mut Bundle<'_>) {
    let incident = bundle.source.incident;
    for casualty in incident.casualties() {
        for (at, tied) in casualty.tourniquets.iter().enumerate() {
            let place = bundle.source.wound_place(&About::Wound(tied.wound));
            let key = [
                casualty.id.to_string(),
                tied.wound.to_string(),
                at.to_string(),
            ];
            put_tourniquet(bundle, casualty.id, &key, (&place, Some(tied)), None);
        }
    }
    for entry in incident.entries() {
        let told = bundle.source.told(entry);
        if let (true, true, Some(casualty)) =
            (told.is_struck, care::ties(&entry.fact), told.casualty)
        {
            let place = bundle.source.wound_place(&entry.about);
            let key = [entry.id.to_string()];
            put_tourniquet(bundle, casualty, &key, (&place, None), Some(&told));
        }
    }
}

/// One that was on, or one that was reported by mistake.
fn put_tourniquet(
    bundle: &mut Bundle<'_>,
    casualty: CasualtyId,
    key: &[String],
    (place, tied): (&str, Option<&Tied>),
    mistake: Option<&Told<'_>>,
) {
    let is_on = tied.is_some_and(|tied| tied.ended.is_none());
    let (device_status, use_status) = match (mistake.is_some(), is_on) {
        (true, _) => ("entered-in-error", "entered-in-error"),
        (false, true) => ("active", "active"),
        (false, false) => ("inactive", "completed"),
    };
    let key = key.join(" ");
    let (device, in_use) = (derived(&["device", &key]), derived(&["in use", &key]));
    let codings: Vec<Value> = bundle
        .source
        .snomed
        .then(|| coding(SNOMED, "38141007"))
        .into_iter()
        .collect();
    let of = mistake.map(|told| told.entry.id);
    let made = json!({
        "resourceType": "Device",
        "status": device_status,
        "type": coded("tourniquet", &codings),
        "patient": reference(casualty.uuid()),
    });
    bundle.put(device, made, of);
    let mut used = json!({
        "resourceType": "DeviceUseStatement",
        "status": use_status,
        "subject": reference(casualty.uuid()),
        "device": reference(device),
    });
    if !place.is_empty() {
        used["bodySite"] = text(place);
    }
    if let Some(tied) = tied {
        used["timingPeriod"]["start"] = json!(tied.since.to_string());
        if let Some(end) = tied.ended {
            used["timingPeriod"]["end"] = json!(end.to_string());
        }
        if !tied.time_known {
            used["note"] = json!([{ "text": "Nobody told when it went on: this is the earliest it can have been." }]);
        }
    }
    bundle.put(in_use, used, of);
}

/// What an entry says was used up.
pub(super) fn put_used(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    for (at, used) in told.entry.fact.used().iter().enumerate() {
        let mut supply = json!({
            "resourceType": "SupplyDelivery",
            "status": if told.is_struck { "entered-in-error" } else { "completed" },
            "suppliedItem": {
                "quantity": { "value": used.count, "unit": used.item.unit() },
                "itemCodeableConcept": text(used.item.words()),
            },
            "occurrenceDateTime": told.at().to_string(),
        });
        if let Some(casualty) = told.casualty {
            supply["patient"] = reference(casualty.uuid());
        }
        let id = derived(&["supply", &told.entry.id.to_string(), &at.to_string()]);
        bundle.put(id, supply, Some(told.entry.id));
    }
}

/// The resource a place or transport has, for who says something about it.
pub(super) fn of_about(about: &About, fact: &Fact) -> Option<uuid::Uuid> {
    match (about, fact) {
        (About::Destination(id), _) => Some(id.uuid()),
        (_, Fact::TransportLeft(left)) => {
            left.destination.map(crate::incident::DestinationId::uuid)
        }
        _ => None,
    }
}
