//! The words of what is reported around the ladder.
//!
//! Owns the wording of those facts; `sentence.rs` asks here. Pure.

use super::fact::{
    BeyondChecked, BloodSeen, Fact, InfectionLooked, ReleaseBegun, RisksTold, ShockSignsSeen,
    TourniquetDescribed, WoundDescribed, WoundRinsed,
};
use super::sentence::{
    because, circulation_words, compared_words, list, stain_words, tenths_words, used_list,
};
use crate::rules::bleeding::act::Level;
use crate::rules::bleeding::distal::Skin;
use crate::rules::bleeding::infection::TetanusHistory;
use crate::rules::bleeding::wound::{Contamination, Depth, Mechanism};

pub(super) fn care_words(fact: &Fact) -> String {
    match fact {
        Fact::RisksTold(told) => risks_words(told),
        Fact::WoundDescribed(said) => described_words(said),
        Fact::BeyondChecked(check) => beyond_words(check),
        Fact::TourniquetDescribed(said) => tourniquet_words(*said),
        Fact::ReleaseBegun(begun) => release_words(begun),
        Fact::WoundRinsed(rinsed) => rinsed_words(rinsed),
        Fact::InfectionLooked(look) => infection_words(look),
        Fact::ShockSignsSeen(seen) => shock_words(seen),
        Fact::BloodSeen(seen) => blood_words(*seen),
        Fact::TranexamicSettled(settled) => if settled.given {
            "tranexamic acid given"
        } else {
            "tranexamic acid decided against"
        }
        .to_owned(),
        Fact::WoundClosed(closed) => format!("closed with {}", closed.with.words()),
        Fact::WoundVoided(voided) => {
            format!("there is no such wound{}", because(voided.reason.as_ref()))
        }
        // Everything else has its words in `sentence.rs`.
        other => other.kind().to_owned(),
    }
}

fn yes_no(what: &str, said: Option<bool>) -> Option<String> {
    said.map(|yes| format!("{what}: {}", if yes { "yes" } else { "no" }))
}

fn risks_words(told: &RisksTold) -> String {
    let hour = |at: jiff::Timestamp| at.strftime("%H:%MZ").to_string();
    list([
        Some("told".to_owned()),
        yes_no("blood thinners", told.blood_thinners),
        told.hospital_at
            .map(|at| format!("in hospital at {}", hour(at))),
        yes_no("out in the cold", told.cold),
        told.tetanus.map(tetanus_words),
    ])
}

fn tetanus_words(history: TetanusHistory) -> String {
    match history {
        TetanusHistory::Complete { years_since_last } => {
            format!("tetanus shots complete, the last {years_since_last} years ago")
        }
        TetanusHistory::IncompleteOrUnknown => "tetanus shots not complete or not known".to_owned(),
    }
}

fn described_words(said: &WoundDescribed) -> String {
    list([
        Some("described".to_owned()),
        said.length_mm
            .map(|mm| format!("{} cm long", mm.div_ceil(10))),
        said.depth.map(|depth| depth_words(depth).to_owned()),
        said.mechanism
            .map(|mechanism| mechanism_words(mechanism).to_owned()),
        said.contamination
            .map(|dirt| contamination_words(dirt).to_owned()),
        yes_no("something sticks in it", said.impaled),
        yes_no("broken bone under it", said.open_fracture),
    ])
}

/// How deep a wound is, in words.
pub(super) const fn depth_words(depth: Depth) -> &'static str {
    match depth {
        Depth::Shallow => "shallow",
        Depth::Deep => "deep",
        Depth::Cavity => "a hollow",
        Depth::Unknown => "depth not known",
    }
}

/// How a wound came about, in words.
pub const fn mechanism_words(mechanism: Mechanism) -> &'static str {
    match mechanism {
        Mechanism::Cut => "a cut",
        Mechanism::Graze => "a graze",
        Mechanism::Puncture => "a puncture",
        Mechanism::Crush => "crushed",
        Mechanism::Bite => "a bite",
        Mechanism::Burst => "blast or gunshot",
        Mechanism::Unknown => "cause not known",
    }
}

/// How dirty a wound is, in words.
pub const fn contamination_words(contamination: Contamination) -> &'static str {
    match contamination {
        Contamination::Clean => "clean",
        Contamination::Dirty => "dirty",
        Contamination::Gross => "earth or dung in it",
    }
}

fn beyond_words(check: &BeyondChecked) -> String {
    let skin = check.skin.map(|skin| match skin {
        Skin::Same => "skin as the other side",
        Skin::ColdBothSides => "cold on both sides",
        Skin::WorseThisSide => "pale, blue or cold on this side",
        Skin::NotSaid => "skin not looked at",
    });
    list([
        Some(
            if check.before {
                "beyond, before the dressing"
            } else {
                "beyond"
            }
            .to_owned(),
        ),
        check.stain.map(|stain| stain_words(stain).to_owned()),
        check
            .circulation
            .map(|circulation| circulation_words(circulation).to_owned()),
        check
            .refill_tenths
            .map(|tenths| format!("refill {}", tenths_words(tenths))),
        check
            .refill_other_side_tenths
            .map(|tenths| format!("other side {}", tenths_words(tenths))),
        skin.map(str::to_owned),
        check
            .movement
            .map(|movement| compared_words("movement", movement)),
        check
            .feeling
            .map(|feeling| compared_words("feeling", feeling)),
    ])
}

fn tourniquet_words(said: TourniquetDescribed) -> String {
    list([
        Some("tourniquet".to_owned()),
        said.level.map(level_words),
        yes_no("over clothes", said.over_clothes),
        yes_no("improvised", said.improvised),
        yes_no("time written on it", said.time_written),
    ])
}

/// Where a tourniquet sits, in words.
pub fn level_words(level: Level) -> String {
    match level {
        Level::AboveWound(mm) => format!("{} cm above the wound", mm / 10),
        Level::HighAndTight => "as high as it goes".to_owned(),
        Level::NotSaid => "place not said".to_owned(),
    }
}

fn release_words(begun: &ReleaseBegun) -> String {
    let ticked = begun
        .ticked
        .iter()
        .map(|point| Some(point.words().to_owned()));
    let head = format!(
        "begins to replace the tourniquet, {} watches",
        begun.watched_by
    );
    list(std::iter::once(Some(head)).chain(ticked))
}

fn rinsed_words(rinsed: &WoundRinsed) -> String {
    let head = format!("rinsed with {} mL", rinsed.ml);
    list(std::iter::once(Some(head)).chain(used_list(&rinsed.used)))
}

fn infection_words(look: &InfectionLooked) -> String {
    let none = look
        .signs
        .is_empty()
        .then(|| "no sign of infection".to_owned());
    let signs = look.signs.iter().map(|sign| Some(sign.words().to_owned()));
    let changed = look.dressing_changed.then(|| "dressing changed".to_owned());
    list(
        [changed, none]
            .into_iter()
            .chain(signs)
            .chain(used_list(&look.used)),
    )
}

fn shock_words(seen: &ShockSignsSeen) -> String {
    let none = seen.signs.is_empty().then(|| "none".to_owned());
    let signs = seen.signs.iter().map(|sign| Some(sign.words().to_owned()));
    let pulse = seen.pulse_per_minute.map(|pulse| format!("pulse {pulse}"));
    format!(
        "signs of shock: {}",
        list([none].into_iter().chain(signs).chain([pulse]))
    )
}

fn blood_words(seen: BloodSeen) -> String {
    let dressings = |count: Option<u32>, size: &str| {
        count.map(|count| format!("{count} soaked dressings {size}"))
    };
    list([
        Some("blood seen".to_owned()),
        seen.fists
            .map(|fists| format!("{fists} fists on the floor")),
        dressings(seen.dressings_10_by_18, "10 × 18 cm"),
        dressings(seen.dressings_19_by_20, "19 × 20 cm"),
        dressings(seen.dressings_30_by_30, "30 × 30 cm"),
    ])
}
