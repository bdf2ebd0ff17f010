//! The incident on a map (RFC 7946): the site, where people meet, the places people are at, the destinations.
//!
//! Owns the document. Longitude stands first (section 3.1.1), on WGS 84. A place whose position nobody told in figures is
//! a feature without geometry (section 3.2 allows it): it is known, only not where. As of when it is stands in a member
//! of our own (section 6.1).

use serde_json::{Value, json};

use super::File;
use super::source::Source;
use crate::exchange::messages;
use crate::rules::place::{self, Position};

/// The document.
pub(super) fn file(source: &Source<'_>) -> File {
    let document = document(source);
    File {
        name: source.file_name("places", "geojson"),
        kind: "application/geo+json",
        bytes: format!("{document:#}\n").into_bytes(),
    }
}

fn document(source: &Source<'_>) -> Value {
    let features: Vec<Value> = std::iter::once(site(source))
        .chain(rendezvous(source))
        .chain(places(source))
        .chain(destinations(source))
        .map(|(position, properties)| feature(source, position, properties))
        .collect();
    json!({
        "type": "FeatureCollection",
        "features": features,
        "holdfast": {
            "incident": source.name(),
            "as_of_entry": source.as_of.seq,
            "check": source.as_of.check,
            "made_at": source.as_of.at.to_string(),
            "exercise": source.is_exercise(),
            "about": source.as_of_words(),
        },
    })
}

type Place = (Option<Position>, Value);

fn feature(source: &Source<'_>, position: Option<Position>, mut properties: Value) -> Value {
    properties["exercise"] = json!(source.is_exercise());
    let geometry = position.map(|at| {
        let coordinates = [rounded(at.longitude()), rounded(at.latitude())];
        json!({ "type": "Point", "coordinates": coordinates })
    });
    json!({ "type": "Feature", "geometry": geometry, "properties": properties })
}

/// Six decimals are about ten centimetres (section 11.2): more than anybody here knows.
pub(super) fn rounded(degrees: f64) -> f64 {
    (degrees * 1e6).round() / 1e6
}

/// Words that are a position in figures, read as one.
fn read(words: &str) -> Option<Position> {
    place::read(words).ok().map(|reading| reading.position)
}

fn site(source: &Source<'_>) -> Place {
    let told = &source.incident.evacuation().situation.told;
    let description = source.incident.description();
    let words = told.location.as_ref().map(ToString::to_string);
    let words = words.or_else(|| description.place.as_ref().map(ToString::to_string));
    let position = messages::position(source.incident).and_then(Result::ok);
    let properties = json!({
        "kind": "site",
        "name": source.name(),
        "words": words,
        "position_as_given": told.position,
    });
    (position, properties)
}

fn rendezvous(source: &Source<'_>) -> Option<Place> {
    let told = &source.incident.evacuation().situation.told;
    let words = told.rendezvous.as_ref()?;
    let properties = json!({ "kind": "rendezvous", "name": words });
    Some((read(words.as_str()), properties))
}

/// The places casualties are said to be at, with who is there.
fn places(source: &Source<'_>) -> Vec<Place> {
    let mut named = source.incident.places();
    named.sort();
    let places = named.into_iter().map(|words| {
        let there = source.incident.casualties().filter(|one| {
            let is_there = one.place.all().iter().any(|given| given.value == words);
            is_there && source.incident.evacuation().whereabouts(one.id).is_none()
        });
        let numbers: Vec<u32> = there.map(|one| one.number).collect();
        let properties = json!({ "kind": "place", "name": words, "casualties": numbers });
        (read(words.as_str()), properties)
    });
    places.collect()
}

fn destinations(source: &Source<'_>) -> Vec<Place> {
    let destinations = source.incident.evacuation().destinations.values();
    let destinations = destinations.map(|one| {
        let properties = json!({
            "kind": "destination",
            "id": one.id,
            "name": one.details.name,
            "sort": one.details.place.words(),
            "closed": one.closed,
        });
        (read(one.details.name.as_str()), properties)
    });
    destinations.collect()
}
