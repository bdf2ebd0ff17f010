//! The scores that a casualty's vital signs allow, each with its source.
//!
//! Owns which set of signs each score is taken from: the latest that was measured together and has enough of it.
//! Promises: what is missing makes a range, never a guess; nothing here assigns a category.

use super::time::Moment;
use crate::incident::fact::{ApparentAge, SignsMeasured};
use crate::incident::{Casualty, known_parts, news2, signs};
use crate::rules::scores::Bounds;
use crate::rules::scores::children::{AgeRow, hypotensive_below};
use crate::rules::scores::gcs::{Gcs, Grade};
use crate::rules::scores::news2::{OxygenScale, Risk};
use crate::rules::scores::shock_index::{Alarm, ShockIndex};
use crate::rules::scores::trauma_score::{TraumaScore, sort_label};

/// A score as drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ScoreView {
    pub(crate) name: &'static str,
    pub(crate) value: String,
    /// What it means, or what is missing.
    pub(crate) note: String,
    pub(crate) source: String,
    pub(crate) at: Moment,
    /// Loud: shown as what is overdue is shown.
    pub(crate) loud: bool,
}

type Measured = (jiff::Timestamp, SignsMeasured);

/// Every score that makes sense for somebody.
pub(crate) fn scores(casualty: &Casualty, with_trauma_score: bool) -> Vec<ScoreView> {
    let apparent = casualty.age.value().copied().unwrap_or_default();
    let latest = |has: &dyn Fn(&SignsMeasured) -> bool| {
        casualty.vitals.iter().rev().find(|(_, one)| has(one))
    };
    let trauma = latest(&|one| {
        [
            one.gcs.is_some(),
            one.systolic_mmhg.is_some(),
            one.breaths().is_some(),
        ]
        .into_iter()
        .filter(|has| *has)
        .count()
            >= 2
    });
    [
        latest(&|one| one.gcs.is_some()).map(coma_scale),
        latest(&|one| {
            news2(apparent, casualty.sorting.told, one)
                .is_some_and(|score| known_parts(&score) >= 3)
        })
        .and_then(|one| news(casualty, apparent, one)),
        latest(&|one| {
            one.pulse().is_some() && (one.systolic_mmhg.is_some() || one.systolic_unrecordable)
        })
        .and_then(|one| shock_index(casualty, apparent, one)),
        casualty
            .vitals
            .last()
            .and_then(|one| for_age(casualty, one)),
        trauma.filter(|_| with_trauma_score).map(trauma_score),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn range(bounds: Bounds) -> String {
    bounds.exact().map_or_else(
        || format!("{}–{}", bounds.low, bounds.high),
        |exact| exact.to_string(),
    )
}

fn coma_scale((at, measured): &Measured) -> ScoreView {
    let gcs = measured.gcs.unwrap_or_default();
    let (value, note) = match gcs.total() {
        None => (
            gcs.components(),
            "a part cannot be tested: no total".to_owned(),
        ),
        Some(total) => {
            let grade = gcs
                .exact_total()
                .and_then(Grade::of)
                .map(|grade| match grade {
                    Grade::Mild => "mild",
                    Grade::Moderate => "moderate",
                    Grade::Severe => "severe",
                });
            let note = grade.unwrap_or("parts missing: a range").to_owned();
            (format!("{} ({})", range(total), gcs.components()), note)
        }
    };
    ScoreView {
        name: "Glasgow coma scale",
        value,
        note,
        source: "Teasdale & Jennett, Lancet 1974;2:81–4; Teasdale et al. 2014. Best response counts. Small children: Archives of Disease in Childhood.".to_owned(),
        at: (*at).into(),
        loud: false,
    }
}

fn news(
    casualty: &Casualty,
    apparent: ApparentAge,
    (at, measured): &Measured,
) -> Option<ScoreView> {
    let told = casualty.sorting.told;
    let score = news2(apparent, told, measured)?;
    let risk = match score.risk {
        Some(Risk::Low) => "low",
        Some(Risk::LowMedium) => "low to medium: a single 3",
        Some(Risk::Medium) => "medium: urgent review",
        Some(Risk::High) => "high: emergency",
        None => "incomplete: a range",
    };
    let missing = 7 - known_parts(&score);
    let gaps = if missing == 0 {
        String::new()
    } else {
        format!(", {missing} of 7 missing")
    };
    let scale = match told.oxygen_scale.unwrap_or_default() {
        OxygenScale::One => {
            "Oxygen scale 1; scale 2 is only for documented carbon dioxide retention with a target of 88 to 92 %."
        }
        OxygenScale::Two => "Oxygen scale 2, as told.",
    };
    Some(ScoreView {
        name: "NEWS2",
        value: range(score.total),
        note: format!("{risk}{gaps}"),
        source: format!(
            "Royal College of Physicians 2017. From 16 years, not in pregnancy. {scale} A score of deterioration, not for sorting many."
        ),
        at: (*at).into(),
        loud: score.total.low >= 7,
    })
}

fn shock_index(
    casualty: &Casualty,
    apparent: ApparentAge,
    (at, measured): &Measured,
) -> Option<ScoreView> {
    let now = signs(measured);
    let told = casualty.sorting.told;
    let mislead = if told.pulse_misleads == Some(true) {
        " Pulse misleads: beta blocker or pacemaker."
    } else if told.pregnant == Some(true) {
        " Misleads in pregnancy."
    } else {
        ""
    };
    let Some(index) = ShockIndex::of(now.pulse_per_minute?, now.systolic?) else {
        return Some(ScoreView {
            name: "Shock index",
            value: "no BP".to_owned(),
            note: "no pressure to be had: no number".to_owned(),
            source: "Mutschler et al., Crit Care 2013;17:R172.".to_owned(),
            at: (*at).into(),
            loud: true,
        });
    };
    let child = told.years.and_then(|years| index.raised_for_child(years));
    let is_adult = told
        .years
        .map_or(apparent == ApparentAge::Adult, |years| years > 16);
    let (note, source, loud) = match (child, is_adult) {
        (Some(raised), _) => (
            if raised {
                "raised for the age"
            } else {
                "not raised for the age"
            },
            "Age-adjusted limits 1.22, 1.00, 0.90: Acker et al., J Pediatr Surg 2015 (paper from memory).",
            raised,
        ),
        (None, true) => (
            match index.alarm() {
                Alarm::Quiet => "under 0.9",
                Alarm::Mind => "0.9 or more: mind",
                Alarm::Act => "1.0 or more",
            },
            "Mutschler et al., Crit Care 2013;17:R172; over 0.9: J Trauma Inj 2019;32:17–25.",
            index.alarm() == Alarm::Act,
        ),
        // Without an age nothing is defined.
        (None, false) => return None,
    };
    Some(ScoreView {
        name: "Shock index",
        value: index.shown(),
        note: format!("{note}.{mislead}"),
        source: source.to_owned(),
        at: (*at).into(),
        loud,
    })
}

/// What lies outside the usual range of a child's age: context, no more.
fn for_age(casualty: &Casualty, (at, measured): &Measured) -> Option<ScoreView> {
    let years = casualty.sorting.told.years?;
    let normal = AgeRow::of(years, false)?.normal();
    let outside = |name: &str, value: Option<u16>, (low, high): (u16, u16)| {
        let value = value?;
        (value < low || value > high).then(|| format!("{name} {value} (usual {low}–{high})"))
    };
    let low = measured
        .systolic_mmhg
        .filter(|mmhg| *mmhg < hypotensive_below(years, false))
        .map(|mmhg| format!("pressure {mmhg} is low"));
    let found: Vec<String> = [
        outside("pulse", measured.pulse(), normal.pulse_awake),
        outside("breathing", measured.breaths(), normal.breaths),
        low,
    ]
    .into_iter()
    .flatten()
    .collect();
    Some(ScoreView {
        name: "For the age",
        value: format!("{years} years"),
        note: if found.is_empty() {
            "nothing outside the usual".to_owned()
        } else {
            found.join(", ")
        },
        source: "PALS 2015 ranges as reproduced by a university chart; many healthy children lie outside. Never an input to sorting.".to_owned(),
        at: (*at).into(),
        loud: false,
    })
}

fn trauma_score((at, measured): &Measured) -> ScoreView {
    let now = signs(measured);
    let total = measured.gcs.and_then(Gcs::exact_total);
    let score = TraumaScore::of(total, now.systolic, now.breaths_per_minute);
    let label = match score.priority() {
        Some(category) => sort_label(category).unwrap_or("dead").to_owned(),
        None => "incomplete: a range".to_owned(),
    };
    let weighted = score.revised();
    let four = |value: u32| format!("{}.{:04}", value / 10_000, value % 10_000);
    let weighted = weighted.exact().map_or_else(
        || format!("{} to {}", four(weighted.low), four(weighted.high)),
        four,
    );
    ScoreView {
        name: "Trauma score",
        value: range(score.sum()),
        note: format!("{label}; weighted {weighted}, for audit"),
        source: "Champion et al., J Trauma 1989;29:623–9; coding Utstein 2008, Table 7. A second look; England replaced it in 2023.".to_owned(),
        at: (*at).into(),
        loud: false,
    }
}
