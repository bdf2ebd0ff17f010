//! What got worse between one set of vital signs and those before it.
//!
//! Owns the comparison over time of the rules in `scores::trend`. Promises: each sign is compared with the last
//! time it was measured, however long ago; a pulse is never put together with a pressure taken at another time.

use jiff::Timestamp;

use super::fact::{ApparentAge, CasualtyTold, SignsMeasured};
use crate::rules::scores::Pressure;
use crate::rules::scores::news2::{News2, News2Readings, may_score};
use crate::rules::scores::trend::{Person, Signs, Worse, news_worse, worse};
use crate::rules::triage::Answer;

/// Something that got worse, and when it was seen.
pub type Flag = (Timestamp, Worse);

/// Whose limits apply.
pub const fn person(apparent: ApparentAge, told: CasualtyTold) -> Person {
    Person {
        years: told.years,
        apparent,
    }
}

/// One set of vital signs as the rules read it.
pub fn signs(measured: &SignsMeasured) -> Signs {
    let systolic = if measured.systolic_unrecordable {
        Some(Pressure::Unrecordable)
    } else {
        measured.systolic_mmhg.map(Pressure::Mmhg)
    };
    Signs {
        consciousness: measured.consciousness,
        gcs: measured.gcs,
        breaths_per_minute: measured.breaths(),
        oxygen_saturation_percent: measured.oxygen_saturation_percent,
        radial_pulse: measured.radial_pulse.and_then(Answer::known),
        pulse_per_minute: measured.pulse(),
        systolic,
        refill_tenths: measured.refill_tenths,
        temperature_tenths_c: measured.temperature_tenths_c,
    }
}

/// NEWS2 of one set of vital signs; none where the score is not made for the person.
pub fn news2(apparent: ApparentAge, told: CasualtyTold, measured: &SignsMeasured) -> Option<News2> {
    may_score(told.years, apparent, told.pregnant == Some(true)).ok()?;
    let readings = News2Readings {
        breaths_per_minute: measured.breaths(),
        oxygen_saturation_percent: measured.oxygen_saturation_percent,
        on_oxygen: measured.on_oxygen,
        systolic_mmhg: measured
            .systolic_mmhg
            .filter(|_| !measured.systolic_unrecordable),
        pulse_per_minute: measured.pulse(),
        consciousness: measured.consciousness,
        temperature_tenths_c: measured.temperature_tenths_c,
    };
    Some(News2::of(told.oxygen_scale.unwrap_or_default(), &readings))
}

/// How many of NEWS2's seven parts are known.
pub fn known_parts(score: &News2) -> usize {
    score
        .parts
        .iter()
        .filter(|part| part.exact().is_some())
        .count()
}

/// Everything that ever got worse, oldest first.
pub(super) fn flags(
    apparent: ApparentAge,
    told: CasualtyTold,
    vitals: &[(Timestamp, SignsMeasured)],
) -> Vec<Flag> {
    let person = person(apparent, told);
    let mut scored: Option<News2> = None;
    let mut before = Signs::default();
    let mut together = Signs::default();
    let mut flags = Vec::new();
    for (at, measured) in vitals {
        let now = signs(measured);
        let mut found = worse(person, &before, &now);
        for flag in worse(person, &together, &now) {
            if !found.contains(&flag) {
                found.push(flag);
            }
        }
        if let Some(score) = news2(apparent, told, measured).filter(|score| known_parts(score) >= 4)
        {
            found.extend(scored.iter().flat_map(|before| news_worse(before, &score)));
            scored = Some(score);
        }
        flags.extend(found.into_iter().map(|flag| (*at, flag)));
        before = carried(before, now);
        if now.pulse_per_minute.is_some() && now.systolic.is_some() {
            together = Signs {
                pulse_per_minute: now.pulse_per_minute,
                systolic: now.systolic,
                ..Signs::default()
            };
        }
    }
    flags
}

/// The last known value of each sign by itself. Pulse and pressure belong together and are carried apart.
fn carried(before: Signs, now: Signs) -> Signs {
    Signs {
        consciousness: now.consciousness.or(before.consciousness),
        gcs: now.gcs.or(before.gcs),
        breaths_per_minute: now.breaths_per_minute.or(before.breaths_per_minute),
        oxygen_saturation_percent: now
            .oxygen_saturation_percent
            .or(before.oxygen_saturation_percent),
        radial_pulse: now.radial_pulse.or(before.radial_pulse),
        pulse_per_minute: None,
        systolic: now.systolic.or(before.systolic),
        refill_tenths: now.refill_tenths.or(before.refill_tenths),
        temperature_tenths_c: now.temperature_tenths_c.or(before.temperature_tenths_c),
    }
}
