//! A wound as a Condition, by the report that founds it.
//!
//! Owns that resource. Everything that is reported of the wound later refers to it.

use serde_json::{Value, json};

use super::elements::{coding, reference, text};
use super::{Bundle, by, note_time};
use crate::exchange::standards::source::Told;
use crate::incident::About;

/// The condition of an entry that founds a wound.
pub(super) fn put(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    let (About::Wound(id), Some(casualty)) = (told.entry.about, told.casualty) else {
        return;
    };
    if told.entry.fact.founds_wound_of().is_none() || bundle.has(id.uuid()) {
        return;
    }
    let verified = if told.is_struck {
        "entered-in-error"
    } else {
        "confirmed"
    };
    let system = "http://terminology.hl7.org/CodeSystem/condition-ver-status";
    let mut condition = json!({
        "resourceType": "Condition",
        "verificationStatus": { "coding": [coding(system, verified)] },
        "code": text(&told.words),
        "subject": reference(casualty.uuid()),
        "encounter": reference(Bundle::encounter(casualty)),
        "recordedDate": told.entry.recorded_at.to_string(),
        "recorder": by(told),
    });
    // Rule con-5: what was a mistake has no clinical status.
    if !told.is_struck {
        let system = "http://terminology.hl7.org/CodeSystem/condition-clinical";
        condition["clinicalStatus"] = json!({ "coding": [coding(system, "active")] });
    }
    put_place(bundle, told, &mut condition);
    note_time(told, &mut condition);
    bundle.put(id.uuid(), condition, Some(told.entry.id));
}

/// Where on the body, in words; nothing where that is not known.
pub(super) fn put_place(bundle: &Bundle<'_>, told: &Told<'_>, resource: &mut Value) {
    let place = bundle.source.wound_place(&told.entry.about);
    if !place.is_empty() {
        resource["bodySite"] = json!([text(&place)]);
    }
}
