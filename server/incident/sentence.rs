//! What an entry says, in words: for the log, a casualty's timeline, handover and print.
//!
//! Owns the one wording of each fact. Pure; local hours are put beside it by whoever shows it.

use super::about::About;
use super::care_words::{contamination_words, depth_words, level_words, mechanism_words};
use super::entry::Entry;
use super::fact::{
    Circulation, Compared, DistalChecked, DressingChecked, EntryStruck, EvacRequested, Fact,
    StepDone, StepTaken, Used, WoundFound, WoundFoundWithSigns,
};
use super::general_words::general;
use super::ids::WoundId;
use super::sentence_triage::triage_words;
use super::state::Incident;
use super::text::Text;
use super::wound::{Wound, place_words};
use crate::rules::bleeding::Sign;
use crate::rules::bleeding::observation::{Pulse, Stain};
use crate::rules::bleeding::wound::{Amputation, Extremity};

/// An entry in words, without who and when.
pub fn sentence(entry: &Entry, incident: &Incident) -> String {
    match (&entry.fact, entry.about) {
        (Fact::WoundFound(found), _) => found_words(found),
        (Fact::WoundFoundWithSigns(found), _) => signs_words(found),
        // These name another entry, which says the place.
        (fact @ (Fact::EntryStruck(_) | Fact::ReportConfirmed(_)), _) => {
            about_other(fact, incident)
        }
        (fact, About::Wound(wound)) => about_wound(fact, wound, entry, incident),
        (fact, about) => {
            let said = about_other(fact, incident);
            match incident.evacuation().name(about) {
                Some(name) if !said.starts_with(name) => format!("{name}: {said}"),
                _ => said,
            }
        }
    }
}

fn about_wound(fact: &Fact, wound: WoundId, entry: &Entry, incident: &Incident) -> String {
    let said = about_other(fact, incident);
    let place = incident
        .casualty_of(&entry.about)
        .and_then(|casualty| incident.casualty(casualty))
        .and_then(|casualty| casualty.wounds.iter().find(|known| known.id == wound))
        .map_or_else(|| "wound".to_owned(), Wound::place);
    format!("{place}: {said}")
}

fn about_other(fact: &Fact, incident: &Incident) -> String {
    match fact {
        Fact::IncidentOpened(opened) => format!("board opened: {}", opened.name),
        Fact::IncidentDescribed(said) => list([
            said.name.as_ref().map(|name| format!("name: {name}")),
            said.place.as_ref().map(|place| format!("place: {place}")),
            said.note.as_ref().map(ToString::to_string),
        ]),
        Fact::HelperJoined(joined) => {
            format!("joined as {}, {}", joined.role.code(), joined.skill.words())
        }
        Fact::CasualtyRegistered(said) => list([
            Some(format!("registered: {}", said.age.code())),
            said.words.as_ref().map(ToString::to_string),
            said.place.as_ref().map(ToString::to_string),
            said.tag.as_ref().map(|tag| format!("tag {tag}")),
        ]),
        Fact::CasualtyDescribed(said) => list([
            Some("described".to_owned()),
            said.age.map(|age| age.code().to_owned()),
            said.words.as_ref().map(ToString::to_string),
            said.tag.as_ref().map(|tag| format!("tag {tag}")),
        ]),
        Fact::CasualtyTaken(taken) => taken.helper.map_or_else(
            || "nobody has them".to_owned(),
            |device| {
                format!(
                    "taken on by {}",
                    incident
                        .person(device)
                        .map_or("somebody", |one| one.name.as_str())
                )
            },
        ),
        Fact::CasualtyMoved(moved) => format!("moved to {}", moved.place),
        Fact::CasualtyPlaced(placed) => format!("is at this place: {}", placed.place),
        Fact::NoteAdded(note) => note.text.to_string(),
        Fact::EvacRequested(request) => evac_words(request),
        Fact::EvacCancelled(cancelled) => {
            format!(
                "evacuation request taken back{}",
                because(cancelled.reason.as_ref())
            )
        }
        Fact::StockCounted(count) => format!("counted {} {}", count.count, count.item.words()),
        Fact::EntryStruck(strike) => strike_words(strike, incident),
        other => general(other, incident)
            .or_else(|| super::evac::words(other, incident))
            .unwrap_or_else(|| bleeding_words(other, incident)),
    }
}

fn found_words(found: &WoundFound) -> String {
    let gone = if found.amputation { ", amputation" } else { "" };
    format!(
        "{}: wound, {}{gone}",
        place_words(Some(found.region), found.side),
        found.flow.words()
    )
}

fn bleeding_words(fact: &Fact, incident: &Incident) -> String {
    match fact {
        Fact::WoundFound(found) => found_words(found),
        Fact::WoundFoundWithSigns(found) => signs_words(found),
        Fact::WoundAssessed(seen) => list(
            std::iter::once(Some(format!("looked, {}", seen.flow.words())))
                .chain(sign_list(&seen.signs)),
        ),
        Fact::StepDone(step) => done_words(step),
        Fact::DressingChecked(check) => dressing_words(check),
        Fact::TourniquetChecked(check) => list([
            Some("tourniquet checked".to_owned()),
            check
                .bleeding
                .map(|bleeds| if bleeds { "bleeds on" } else { "stopped" }.to_owned()),
            check.pulse.map(|pulse| pulse_words(pulse).to_owned()),
        ]),
        Fact::TourniquetTimed(told) => format!(
            "tourniquet went on at {}",
            told.applied_at.strftime("%H:%MZ")
        ),
        Fact::BreathingChecked(check) => if check.worse {
            "breathing worse"
        } else {
            "breathing as before"
        }
        .to_owned(),
        Fact::CasualtyWarmed(warmed) => {
            list(std::iter::once(Some("wrapped up warm".to_owned())).chain(used_list(&warmed.used)))
        }
        Fact::ShockJudged(judged) => if judged.shock {
            "shock suspected"
        } else {
            "no shock"
        }
        .to_owned(),
        Fact::ReportConfirmed(confirmed) => {
            let named = incident
                .position(confirmed.entry)
                .map(|seq| format!(" entry {seq}"));
            format!("confirmed{}", named.unwrap_or_default())
        }
        Fact::StepTaken(step) => step_words(step),
        Fact::WoundLooked(looked) => format!("looked, {}", looked.bleeding.words()),
        Fact::DistalChecked(check) => distal_words(check),
        other => {
            triage_words(other, incident).unwrap_or_else(|| super::care_words::care_words(other))
        }
    }
}

fn signs_words(found: &WoundFoundWithSigns) -> String {
    // By name and without a rest: a field that is added must be told here.
    let WoundFoundWithSigns {
        casualty: _,
        region,
        side,
        extremity,
        flow,
        signs,
        depth,
        amputation,
        mechanism,
        contamination,
        impaled,
        open_fracture,
    } = found;
    let place = place_words(Some(*region), *side);
    let flow = flow.map_or("not looked at yet", crate::rules::bleeding::Flow::words);
    let limb = extremity.map(|limb| match limb {
        Extremity::Arm => "arm".to_owned(),
        Extremity::Leg => "leg".to_owned(),
    });
    let lost = amputation.and_then(|lost| match lost {
        Amputation::None => None,
        Amputation::Partial => Some("partly torn off".to_owned()),
        Amputation::Complete => Some("amputation".to_owned()),
    });
    let seen = [
        Some(format!("{place}: wound, {flow}")),
        limb,
        lost,
        depth.map(|depth| depth_words(depth).to_owned()),
        mechanism.map(|mechanism| mechanism_words(mechanism).to_owned()),
        contamination.map(|dirt| contamination_words(dirt).to_owned()),
        impaled.then(|| "something sticks in it".to_owned()),
        open_fracture.then(|| "broken bone under it".to_owned()),
    ];
    list(seen.into_iter().chain(sign_list(signs)))
}

fn sign_list(signs: &[Sign]) -> impl Iterator<Item = Option<String>> + '_ {
    signs.iter().map(|sign| Some(sign_words(*sign).to_owned()))
}

/// A sign in words.
pub const fn sign_words(sign: Sign) -> &'static str {
    match sign {
        Sign::Pooling => "blood pools",
        Sign::ClothesSoaked => "clothes soaked",
        Sign::DressingSoaked => "bandage soaked",
        Sign::WillNotStop => "will not stop",
        Sign::ConfusedOrUnconscious => "confused or unconscious",
        Sign::ShockSigns => "pale, sweaty, fast pulse",
        Sign::GreatForce => "great force",
        Sign::HandsShort => "one helper for several",
        Sign::OutOfReach => "cannot be reached or seen",
    }
}

pub(super) fn used_list(used: &[Used]) -> impl Iterator<Item = Option<String>> + '_ {
    used.iter()
        .map(|used| Some(format!("{} {}", used.count, used.item.words())))
}

fn step_words(step: &StepTaken) -> String {
    list(std::iter::once(Some(step.step.words().to_owned())).chain(used_list(&step.used)))
}

fn done_words(step: &StepDone) -> String {
    let on = step.tourniquet.unwrap_or_default();
    let level = on.level.map(level_words);
    let ticked = [
        (step.expired, "out of date"),
        (on.over_clothes, "over clothes"),
        (on.improvised, "improvised"),
        (on.time_unknown, "time not known"),
        (on.time_written, "time written on it"),
    ];
    let ticked = ticked
        .into_iter()
        .map(|(is, words)| is.then(|| words.to_owned()));
    list(
        [Some(step.step.words().to_owned()), level]
            .into_iter()
            .chain(ticked)
            .chain(used_list(&step.used)),
    )
}

fn dressing_words(check: &DressingChecked) -> String {
    list([
        Some("dressing checked".to_owned()),
        check.stain.map(|stain| stain_words(stain).to_owned()),
        check
            .circulation
            .map(|circulation| circulation_words(circulation).to_owned()),
        check
            .movement
            .map(|movement| compared_words("movement", movement)),
        check
            .feeling
            .map(|feeling| compared_words("feeling", feeling)),
        check
            .refill_tenths
            .map(|tenths| format!("refill {}", tenths_words(tenths))),
        check.cold.then(|| "cold".to_owned()),
    ])
}

pub(super) const fn stain_words(stain: Stain) -> &'static str {
    match stain {
        Stain::Dry => "dry",
        Stain::Stable => "stain no larger",
        Stain::Growing => "stain grows",
        Stain::Soaked => "soaked",
        Stain::Flowing => "bleeds through",
    }
}

pub(super) fn tenths_words(tenths: u16) -> String {
    format!("{}.{} s", tenths / 10, tenths % 10)
}

const fn pulse_words(pulse: Pulse) -> &'static str {
    match pulse {
        Pulse::Absent => "no pulse beyond",
        Pulse::Present => "pulse still felt",
        Pulse::NotApplicable => "limb beyond lost",
    }
}

pub(super) const fn circulation_words(circulation: Circulation) -> &'static str {
    match circulation {
        Circulation::Present => "pulse there",
        Circulation::Weaker => "pulse weaker",
        Circulation::Absent => "no pulse",
        Circulation::CannotTell => "pulse cannot be told",
    }
}

pub(super) fn compared_words(what: &str, compared: Compared) -> String {
    match compared {
        Compared::AsBefore => format!("{what} as before"),
        Compared::Worse => format!("{what} worse"),
        Compared::CannotTell => format!("{what} cannot be told"),
    }
}

fn distal_words(check: &DistalChecked) -> String {
    let (movement, feeling) = (
        compared_words("movement", check.movement),
        compared_words("feeling", check.feeling),
    );
    format!(
        "beyond the dressing: {}, {movement}, {feeling}",
        circulation_words(check.circulation)
    )
}

fn evac_words(request: &EvacRequested) -> String {
    list([
        Some(format!(
            "evacuation requested: {}",
            request.priority.words()
        )),
        Some(request.posture.code().to_owned()),
        request.needs.as_ref().map(ToString::to_string),
    ])
}

fn strike_words(strike: &EntryStruck, incident: &Incident) -> String {
    let named = incident
        .position(strike.entry)
        .and_then(|seq| incident.entry(seq));
    let what = named.map_or_else(String::new, |named| match &named.fact {
        // A strike of a strike of a strike … is told by its number, so that no chain of them runs deep.
        Fact::EntryStruck(_) => format!(" the strike {}", named.seq),
        _ => format!(" {}: {}", named.seq, sentence(named, incident)),
    });
    format!("struck{what}{}", because(strike.reason.as_ref()))
}

pub(super) fn list(parts: impl IntoIterator<Item = Option<String>>) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

pub(super) fn because<const MAX: usize>(reason: Option<&Text<MAX>>) -> String {
    reason
        .map(|reason| format!(" ({reason})"))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_fact_has_words() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/facts");
        for file in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            let entry: Entry = serde_json::from_str(&text).unwrap();
            let words = sentence(&entry, &Incident::default());
            assert!(
                !words.is_empty() && !words.contains(entry.fact.kind()),
                "{}",
                entry.fact.kind()
            );
        }
    }
}
