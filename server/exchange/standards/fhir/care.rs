//! What was done, seen and said about somebody: a Procedure for each step, an Observation in words for the rest.
//!
//! Owns the codes of steps. SNOMED CT: application of tourniquet, pressure dressing, direct pressure, dressing (public
//! draft R4 trauma guide, value set for bleeding control; the first also in a NEMSIS analysis). Packing has no confirmed
//! code: words alone.

use serde_json::{Value, json};

use super::elements::{SNOMED, coded, coding, derived, reference, text};
use super::{Bundle, about, by, note_time, wounds};
use crate::exchange::standards::source::Told;
use crate::exchange::standards::theme::{Theme, theme};
use crate::incident::fact::{Deed, StepDone};
use crate::incident::{About, Fact, Tied, WoundId};
use crate::rules::bleeding::Measure;

/// The resource of an entry about care.
pub(super) fn put(bundle: &mut Bundle<'_>, told: &Told<'_>) {
    if told.casualty.is_none() {
        return;
    }
    let (key, resource) = match (&told.entry.fact, theme(&told.entry.fact)) {
        (Fact::TranexamicSettled(settled), _) => ("medicine", medicine(told, settled.given)),
        (_, Theme::Treatment) => ("procedure", procedure(bundle, told)),
        (_, Theme::Check) => ("seen", observation(told, "Look or check")),
        (fact, _) => match fact.category() {
            Some(category) => ("category", sorted(told, category.word())),
            None => match said(fact) {
                Some(what) => ("said", observation(told, what)),
                None => return,
            },
        },
    };
    let mut resource = resource;
    about(bundle, told, &mut resource);
    note_time(told, &mut resource);
    if key == "medicine" {
        // The same under the name that this resource has for it.
        let context = resource["encounter"].take();
        resource["context"] = context;
        if let Some(members) = resource.as_object_mut() {
            members.remove("encounter");
        }
    }
    let id = derived(&[key, &told.entry.id.to_string()]);
    bundle.put(id, resource, Some(told.entry.id));
}

/// What is told of a person in words alone.
const fn said(fact: &Fact) -> Option<&'static str> {
    match fact {
        Fact::NoteAdded(_) => Some("Remark"),
        Fact::HistoryTold(_) | Fact::CasualtyTold(_) | Fact::RisksTold(_) => Some("Told"),
        Fact::WoundDescribed(_) | Fact::TourniquetDescribed(_) | Fact::TourniquetTimed(_) => {
            Some("Described")
        }
        Fact::WoundVoided(_) => Some("Entered by mistake"),
        Fact::CasualtyMoved(_) => Some("Moved"),
        _ => None,
    }
}

fn observation(told: &Told<'_>, what: &str) -> Value {
    json!({
        "resourceType": "Observation",
        "status": if told.is_struck { "entered-in-error" } else { "final" },
        "code": text(what),
        "effectiveDateTime": told.at().to_string(),
        "issued": told.entry.recorded_at.to_string(),
        "performer": [by(told)],
        "valueString": told.words,
    })
}

fn sorted(told: &Told<'_>, word: &str) -> Value {
    let mut observation = observation(told, "Triage category");
    if let Some(members) = observation.as_object_mut() {
        members.remove("valueString");
    }
    observation["valueCodeableConcept"] = text(word);
    observation
}

fn medicine(told: &Told<'_>, given: bool) -> Value {
    let status = match (told.is_struck, given) {
        (true, _) => "entered-in-error",
        (false, true) => "completed",
        (false, false) => "not-done",
    };
    json!({
        "resourceType": "MedicationAdministration",
        "status": status,
        "medicationCodeableConcept": text("tranexamic acid"),
        "effectiveDateTime": told.at().to_string(),
        "performer": [{ "actor": by(told) }],
    })
}

fn procedure(bundle: &Bundle<'_>, told: &Told<'_>) -> Value {
    let codings: Vec<Value> = code(&told.entry.fact)
        .filter(|_| bundle.source.snomed)
        .map(|code| coding(SNOMED, code))
        .into_iter()
        .collect();
    let is_off = matches!(&told.entry.fact, Fact::StepDone(done) if done.step == Deed::HandsOff);
    let status = match (told.is_struck, is_off) {
        (true, _) => "entered-in-error",
        (false, true) => "stopped",
        (false, false) => "completed",
    };
    let mut procedure = json!({
        "resourceType": "Procedure",
        "status": status,
        "code": coded(&told.words, &codings),
        "performer": [{ "actor": by(told) }],
        "recorder": by(told),
    });
    match lasted(bundle, told) {
        Some(tied) => {
            procedure["performedPeriod"]["start"] = json!(tied.since.to_string());
            if let Some(end) = tied.ended {
                procedure["performedPeriod"]["end"] = json!(end.to_string());
            }
        }
        None => procedure["performedDateTime"] = json!(told.at().to_string()),
    }
    if let About::Wound(wound) = told.entry.about {
        if bundle.has(wound.uuid()) {
            procedure["reasonReference"] = json!([reference(wound.uuid())]);
        }
        wounds::put_place(bundle, told, &mut procedure);
    }
    procedure
}

/// The SNOMED CT code of a step, where one is confirmed.
const fn code(fact: &Fact) -> Option<&'static str> {
    const TOURNIQUET: &str = "20655006";
    const PRESSURE_DRESSING: &str = "26906007";
    const DIRECT_PRESSURE: &str = "735346000";
    const DRESSING: &str = "3895009";
    match fact {
        Fact::StepTaken(taken) => match taken.step {
            Measure::DirectPressure => Some(DIRECT_PRESSURE),
            Measure::PressureDressing => Some(PRESSURE_DRESSING),
            Measure::Tourniquet => Some(TOURNIQUET),
            Measure::Packing => None,
        },
        Fact::StepDone(StepDone { step, .. }) => match step {
            Deed::Press | Deed::HoldByHand => Some(DIRECT_PRESSURE),
            Deed::PressureDressing => Some(PRESSURE_DRESSING),
            Deed::Tourniquet | Deed::SecondTourniquet => Some(TOURNIQUET),
            Deed::PlainDressing | Deed::Cover | Deed::ChangeDressing => Some(DRESSING),
            _ => None,
        },
        _ => None,
    }
}

/// Whether a report says that a tourniquet went on.
pub(super) fn ties(fact: &Fact) -> bool {
    match fact {
        Fact::StepTaken(taken) => taken.step == Measure::Tourniquet,
        Fact::StepDone(done) => {
            matches!(done.step, Deed::Tourniquet | Deed::SecondTourniquet)
        }
        _ => false,
    }
}

/// From when to when the tourniquet of this report was on; nothing where that cannot be told apart.
fn lasted<'t>(bundle: &'t Bundle<'_>, told: &Told<'_>) -> Option<&'t Tied> {
    let (About::Wound(wound), true) = (told.entry.about, ties(&told.entry.fact)) else {
        return None;
    };
    if told.is_struck {
        return None;
    }
    let incident = bundle.source.incident;
    let casualty = incident.casualty(told.casualty?)?;
    let on: Vec<&Tied> = of_wound(&casualty.tourniquets, wound);
    let reports: Vec<_> = incident
        .timeline(casualty.id)
        .into_iter()
        .filter(|entry| {
            entry.about == told.entry.about && ties(&entry.fact) && !incident.is_struck(entry.seq)
        })
        .map(|entry| entry.seq)
        .collect();
    let at = reports.iter().position(|seq| *seq == told.entry.seq)?;
    (reports.len() == on.len()).then(|| on[at])
}

fn of_wound(tied: &[Tied], wound: WoundId) -> Vec<&Tied> {
    tied.iter().filter(|one| one.wound == wound).collect()
}
