//! The small parts resources are made of: references, codes, quantities, narratives, ids.
//!
//! Owns how each is written.

use serde_json::{Value, json};
use uuid::{Builder, Uuid};

pub(super) const LOINC: &str = "http://loinc.org";
pub(super) const SNOMED: &str = "http://snomed.info/sct";
const UCUM: &str = "http://unitsofmeasure.org";

/// For one use each, as BLAKE3's key derivation asks.
const CONTEXT: &str = "holdfast 2026-11-26 resource ids v1";

/// An id that follows from what a resource is made from: the same in every copy (UUID version 8, RFC 9562).
pub(super) fn derived(parts: &[&str]) -> Uuid {
    let hash = blake3::derive_key(CONTEXT, parts.join("\n").as_bytes());
    let mut bytes = [0; 16];
    bytes.copy_from_slice(&hash[..16]);
    Builder::from_custom_bytes(bytes).into_uuid()
}

/// To another resource of the bundle.
pub(super) fn reference(id: Uuid) -> Value {
    json!({ "reference": format!("urn:uuid:{id}") })
}

/// To somebody or something that has no resource of its own.
pub(super) fn named(name: &str) -> Value {
    json!({ "display": name })
}

pub(super) fn coding(system: &str, code: &str) -> Value {
    json!({ "system": system, "code": code })
}

/// A concept in words.
pub(super) fn text(words: &str) -> Value {
    json!({ "text": words })
}

/// A concept in words and codes.
pub(super) fn coded(words: &str, codings: &[Value]) -> Value {
    if codings.is_empty() {
        return text(words);
    }
    json!({ "coding": codings, "text": words })
}

/// A measured value in a unit of UCUM.
pub(super) fn quantity(value: &Value, unit: &str, code: &str) -> Value {
    json!({ "value": value, "unit": unit, "system": UCUM, "code": code })
}

/// Why there is no value.
pub(super) fn absent(code: &str, words: &str) -> Value {
    let system = "http://terminology.hl7.org/CodeSystem/data-absent-reason";
    coded(words, &[coding(system, code)])
}

/// A value kept in tenths.
pub(super) fn tenths(value: u16) -> Value {
    json!(f64::from(value) / 10.0)
}

/// What people read of a resource.
pub(super) fn narrative(words: &str) -> Value {
    let escaped = words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;");
    let lines = escaped.replace('\n', "<br/>");
    json!({
        "status": "generated",
        "div": format!("<div xmlns=\"http://www.w3.org/1999/xhtml\">{lines}</div>"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_the_same_each_time_and_differ_by_what_they_are_made_from() {
        let one = derived(&["supply", "e1", "0"]);
        assert_eq!(one, derived(&["supply", "e1", "0"]));
        assert_ne!(one, derived(&["supply", "e1", "1"]));
        assert_eq!(one.get_version_num(), 8);
    }

    #[test]
    fn words_cannot_become_markup() {
        let div = narrative("a <b> & c\nd")["div"].clone();
        assert_eq!(
            div,
            "<div xmlns=\"http://www.w3.org/1999/xhtml\">a &lt;b&gt; &amp; c<br/>d</div>"
        );
    }
}
