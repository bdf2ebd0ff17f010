//! The scores against published tables, and against second implementations written another way.

use std::collections::BTreeSet;
use std::time::Duration;

use proptest::prelude::*;
use serde_json::json;

use holdfast::rules::scores::children::{AgeRow, hypotensive_below};
use holdfast::rules::scores::gcs::{Eye, Grade, Motor, Verbal, Wording};
use holdfast::rules::scores::haemorrhage::{CLASSIC, TENTH_EDITION};
use holdfast::rules::scores::news2::{News2, News2Readings, NotFor, OxygenScale, Risk, may_score};
use holdfast::rules::scores::readings::{Counted, Quantity};
use holdfast::rules::scores::shock_index::{Alarm, ShockIndex};
use holdfast::rules::scores::trauma_score::{
    TraumaScore, code_breaths, code_gcs, code_systolic, priority, sort_label,
};
use holdfast::rules::scores::{Bounds, Consciousness, Gcs, Pressure};
use holdfast::rules::triage::{ApparentAge, Category};

use crate::vectors::{Row, rows};

fn number<T: std::str::FromStr>(row: &Row, index: usize) -> T {
    row.column(index)
        .parse()
        .unwrap_or_else(|_| panic!("{} column {index}", row.id()))
}

/// A number, or `-` for missing.
fn perhaps<T: std::str::FromStr>(row: &Row, index: usize) -> Option<T> {
    (row.column(index) != "-").then(|| number(row, index))
}

#[test]
fn trauma_score_vectors() {
    let rows = rows(include_str!("trauma_score.txt"), 8);
    assert!(rows.len() >= 17);
    for row in rows {
        let score = TraumaScore::of(
            Some(number(&row, 1)),
            Some(Pressure::Mmhg(number(&row, 2))),
            Some(number(&row, 3)),
        );
        let id = row.id();
        assert_eq!(score.sum().exact(), Some(number(&row, 4)), "{id}");
        let category = score
            .priority()
            .unwrap_or_else(|| panic!("{id} is complete"));
        assert_eq!(
            sort_label(category).unwrap_or("dead"),
            row.column(5),
            "{id}"
        );
        let revised = score
            .revised()
            .exact()
            .unwrap_or_else(|| panic!("{id} is complete"));
        assert_eq!(
            format!("{}.{:04}", revised / 10_000, revised % 10_000),
            row.column(6),
            "{id}"
        );
    }
}

#[test]
fn the_published_coding_example() {
    // US Traumatic Brain Injury Model Systems data syllabus: 30 breaths and 80 mmHg on arrival code 3 and 3.
    assert_eq!((code_breaths(30), code_systolic(80)), (3, 3));
}

#[test]
fn every_coding_agrees_with_a_second_one_that_counts_thresholds() {
    let passed = |value: u16, thresholds: &[u16]| {
        u8::try_from(
            thresholds
                .iter()
                .filter(|threshold| value >= **threshold)
                .count(),
        )
        .unwrap_or(u8::MAX)
    };
    for value in 0..400 {
        assert_eq!(
            code_systolic(value),
            passed(value, &[1, 50, 76, 90]),
            "{value} mmHg"
        );
        // The rate rises to 4 and then falls to 3.
        let expected = if value > 29 {
            3
        } else {
            [0, 1, 2, 4][usize::from(passed(value, &[1, 6, 10]))]
        };
        assert_eq!(code_breaths(value), expected, "{value} breaths");
    }
    for total in 0..=u8::MAX {
        let expected = (3..=15)
            .contains(&total)
            .then(|| passed(u16::from(total), &[4, 6, 9, 13]));
        assert_eq!(code_gcs(total), expected, "coma total {total}");
    }
}

#[test]
fn all_125_weighted_scores_differ() {
    let mut seen = BTreeSet::new();
    for gcs in 0..=4 {
        for systolic in 0..=4 {
            for breaths in 0..=4 {
                let score = TraumaScore {
                    gcs: Some(gcs),
                    systolic: Some(systolic),
                    breaths: Some(breaths),
                };
                let revised = score
                    .revised()
                    .exact()
                    .expect("OK because nothing is missing");
                assert!(seen.insert(revised), "{score:?}");
            }
        }
    }
    assert_eq!(seen.len(), 125);
    assert_eq!((seen.first(), seen.last()), (Some(&0), Some(&78_408)));
}

#[test]
fn what_is_missing_from_a_trauma_score_stays_open() {
    let nothing = TraumaScore::default();
    assert_eq!(
        (nothing.sum(), nothing.priority()),
        (Bounds::between(0, 12), None)
    );
    let unrecordable = TraumaScore::of(Some(15), Some(Pressure::Unrecordable), Some(18));
    assert_eq!(unrecordable.sum(), Bounds::between(8, 12));
    assert_eq!(unrecordable.priority(), None);
    let bad_anyway = TraumaScore::of(Some(7), None, Some(16));
    assert_eq!(
        (bad_anyway.sum(), bad_anyway.priority().map(Category::code)),
        (Bounds::between(6, 10), Some("immediate"))
    );
    let untestable = Gcs {
        verbal: Some(Verbal::NotTestable),
        ..Gcs::from_scores(4, 5, 6).expect("OK because in range")
    };
    assert_eq!(
        TraumaScore::of(untestable.exact_total(), None, None).gcs,
        None
    );
}

proptest! {
    #[test]
    fn a_trauma_score_lies_within_its_bounds(
        codes in proptest::array::uniform3(0u8..=4),
        missing in proptest::array::uniform3(any::<bool>()),
    ) {
        let whole = TraumaScore { gcs: Some(codes[0]), systolic: Some(codes[1]), breaths: Some(codes[2]) };
        let part = |index: usize| (!missing[index]).then_some(codes[index]);
        let partial = TraumaScore { gcs: part(0), systolic: part(1), breaths: part(2) };
        for (inner, outer) in [(whole.sum(), partial.sum()), (whole.revised(), partial.revised())] {
            let value = inner.exact().expect("OK because nothing is missing");
            prop_assert!((outer.low..=outer.high).contains(&value));
        }
        let true_one = priority(whole.sum().low);
        prop_assert!(partial.priorities().contains(&true_one));
        if let Some(decided) = partial.priority() {
            prop_assert_eq!(decided, true_one);
        }
    }
}

#[test]
fn coma_scale_vectors() {
    for row in rows(include_str!("gcs.txt"), 6) {
        let gcs = Gcs::from_scores(number(&row, 1), number(&row, 2), number(&row, 3));
        assert_eq!(
            gcs.and_then(Gcs::exact_total),
            Some(number(&row, 4)),
            "{}",
            row.id()
        );
    }
}

#[test]
fn all_coma_scales_add_up_and_grade() {
    let mut count = 0;
    for (eye, verbal, motor) in
        (0..=7).flat_map(|e| (0..=7).flat_map(move |v| (0..=7).map(move |m| (e, v, m))))
    {
        let valid = (1..=4).contains(&eye) && (1..=5).contains(&verbal) && (1..=6).contains(&motor);
        let total = Gcs::from_scores(eye, verbal, motor).and_then(Gcs::exact_total);
        assert_eq!(total, valid.then_some(eye + verbal + motor));
        if let Some(total) = total {
            count += 1;
            let expected = if total >= 13 {
                Grade::Mild
            } else if total >= 9 {
                Grade::Moderate
            } else {
                Grade::Severe
            };
            assert_eq!(Grade::of(total), Some(expected));
        }
    }
    assert_eq!(count, 120);
    assert_eq!(Grade::of(2), None);
}

#[test]
fn a_component_that_cannot_be_tested_leaves_no_total() {
    let mut gcs = Gcs::from_scores(4, 1, 6).expect("OK because in range");
    gcs.verbal = Some(Verbal::NotTestable);
    assert_eq!(
        (gcs.total(), gcs.components().as_str()),
        (None, "E4 VNT M6")
    );
    gcs.verbal = None;
    assert_eq!(
        (gcs.total(), gcs.components().as_str()),
        (Some(Bounds::between(11, 15)), "E4 V? M6")
    );
    assert_eq!(Gcs::default().total(), Some(Bounds::between(3, 15)));
    assert_eq!(
        serde_json::to_value(Gcs {
            eye: Some(Eye::ToSound),
            ..Gcs::default()
        })
        .expect("OK because plain data"),
        json!({"eye": "to_sound"})
    );
}

#[test]
fn the_coma_scale_hints_at_a_level_and_never_back() {
    let hint = |eye, verbal, motor| {
        Gcs::from_scores(eye, verbal, motor).and_then(Consciousness::hint_from)
    };
    assert_eq!(hint(4, 4, 6), Some(Consciousness::Alert));
    assert_eq!(hint(3, 4, 6), Some(Consciousness::Voice));
    assert_eq!(hint(2, 2, 4), Some(Consciousness::Pain));
    assert_eq!(hint(1, 2, 1), Some(Consciousness::Pain));
    assert_eq!(hint(1, 1, 3), Some(Consciousness::Pain));
    assert_eq!(hint(1, 1, 1), Some(Consciousness::Unresponsive));
    let unclear = Gcs {
        eye: Some(Eye::None),
        verbal: Some(Verbal::NotTestable),
        motor: Some(Motor::None),
    };
    assert_eq!(Consciousness::hint_from(unclear), None);
    assert!(Consciousness::ALL.is_sorted());
}

#[test]
fn children_under_five_are_asked_in_other_words() {
    assert_eq!(
        Wording::for_age(Some(4), ApparentAge::Adult),
        Some(Wording::UnderFive)
    );
    assert_eq!(
        Wording::for_age(Some(5), ApparentAge::Child),
        Some(Wording::Adult)
    );
    assert_eq!(
        Wording::for_age(None, ApparentAge::Infant),
        Some(Wording::UnderFive)
    );
    assert_eq!(Wording::for_age(None, ApparentAge::Child), None);
    for level in [
        Verbal::Orientated,
        Verbal::Confused,
        Verbal::Words,
        Verbal::Sounds,
    ] {
        assert_ne!(
            Wording::Adult.verbal(level),
            Wording::UnderFive.verbal(level)
        );
    }
}

fn scale(row: &Row, index: usize) -> OxygenScale {
    match row.column(index) {
        "1" => OxygenScale::One,
        "2" => OxygenScale::Two,
        other => panic!("{} scale {other}", row.id()),
    }
}

/// Readings from seven columns: breaths, saturation, oxygen, systolic, pulse, consciousness, temperature.
fn readings(row: &Row, first: usize) -> News2Readings {
    let level = row.column(first + 5);
    News2Readings {
        breaths_per_minute: perhaps(row, first),
        oxygen_saturation_percent: perhaps(row, first + 1),
        on_oxygen: match row.column(first + 2) {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
        systolic_mmhg: perhaps(row, first + 3),
        pulse_per_minute: perhaps(row, first + 4),
        consciousness: (level != "-").then(|| {
            serde_json::from_value(json!(level)).unwrap_or_else(|error| panic!("{level}: {error}"))
        }),
        temperature_tenths_c: perhaps(row, first + 6),
    }
}

fn risk_words(risk: Option<Risk>) -> String {
    let Some(risk) = risk else {
        return "-".to_owned();
    };
    let value = serde_json::to_value(risk).expect("OK because a risk is a word");
    value
        .as_str()
        .expect("OK because a risk is a word")
        .to_owned()
}

#[test]
fn news2_vectors() {
    let rows = rows(include_str!("news2.txt"), 14);
    assert_eq!(rows.len(), 13);
    for row in rows {
        let got = News2::of(scale(&row, 1), &readings(&row, 3));
        let id = row.id();
        assert_eq!(
            got.total.exact(),
            Some(number(&row, 10)),
            "{id} {}",
            row.column(2)
        );
        assert_eq!(risk_words(got.risk), row.column(11), "{id}");
        if row.column(12) != "-" {
            let parts: Vec<String> = got
                .parts
                .iter()
                .filter_map(|part| part.exact())
                .map(|points| points.to_string())
                .collect();
            assert_eq!(parts.join(" "), row.column(12), "{id}");
        }
    }
}

#[test]
fn news2_with_gaps() {
    for row in rows(include_str!("news2_incomplete.txt"), 13) {
        let got = News2::of(scale(&row, 1), &readings(&row, 2));
        let id = row.id();
        assert_eq!(
            got.total,
            Bounds::between(number(&row, 9), number(&row, 10)),
            "{id}"
        );
        assert_eq!(risk_words(got.risk), row.column(11), "{id}");
    }
}

#[test]
fn news2_is_for_grown_people() {
    assert_eq!(may_score(Some(16), ApparentAge::Child, false), Ok(()));
    assert_eq!(
        may_score(Some(15), ApparentAge::Adult, false),
        Err(NotFor::Child)
    );
    assert_eq!(may_score(None, ApparentAge::Adult, false), Ok(()));
    assert_eq!(
        may_score(None, ApparentAge::Unknown, false),
        Err(NotFor::AgeUnknown)
    );
    assert_eq!(
        may_score(Some(30), ApparentAge::Adult, true),
        Err(NotFor::Pregnant)
    );
}

#[test]
fn news2_monitoring() {
    let well = News2Readings {
        breaths_per_minute: Some(16),
        oxygen_saturation_percent: Some(98),
        on_oxygen: Some(false),
        systolic_mmhg: Some(122),
        pulse_per_minute: Some(72),
        consciousness: Some(Consciousness::Alert),
        temperature_tenths_c: Some(368),
    };
    let every = |readings: News2Readings| News2::of(OxygenScale::One, &readings).monitor_every();
    assert_eq!(every(well), Some(Duration::from_hours(12)));
    assert_eq!(
        every(News2Readings {
            pulse_per_minute: Some(95),
            ..well
        }),
        Some(Duration::from_hours(6))
    );
    assert_eq!(
        every(News2Readings {
            breaths_per_minute: Some(25),
            ..well
        }),
        Some(Duration::from_hours(1))
    );
    assert_eq!(
        every(News2Readings {
            systolic_mmhg: None,
            ..well
        }),
        None
    );
}

/// NEWS2 once more, as columns of thresholds: each band starts at its value and scores its points.
fn news2_by_columns(scale: OxygenScale, readings: [u16; 5], on_oxygen: bool, alert: bool) -> u32 {
    let lookup = |value: u16, bands: &[(u16, u32)]| {
        bands
            .iter()
            .rev()
            .find(|(from, _)| value >= *from)
            .map_or(0, |(_, points)| *points)
    };
    let [breaths, saturation, systolic, pulse, temperature] = readings;
    let saturation = match (scale, on_oxygen) {
        (OxygenScale::One, _) => lookup(saturation, &[(0, 3), (92, 2), (94, 1), (96, 0)]),
        (OxygenScale::Two, false) => lookup(saturation, &[(0, 3), (84, 2), (86, 1), (88, 0)]),
        (OxygenScale::Two, true) => lookup(
            saturation,
            &[(0, 3), (84, 2), (86, 1), (88, 0), (93, 1), (95, 2), (97, 3)],
        ),
    };
    lookup(breaths, &[(0, 3), (9, 1), (12, 0), (21, 2), (25, 3)])
        + saturation
        + if on_oxygen { 2 } else { 0 }
        + lookup(systolic, &[(0, 3), (91, 2), (101, 1), (111, 0), (220, 3)])
        + lookup(
            pulse,
            &[(0, 3), (41, 1), (51, 0), (91, 1), (111, 2), (131, 3)],
        )
        + if alert { 0 } else { 3 }
        + lookup(
            temperature,
            &[(0, 3), (351, 1), (361, 0), (381, 1), (391, 2)],
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn news2_agrees_with_the_columns_and_lies_within_its_bounds(
        values in (0u16..40, 75u16..=100, 60u16..250, 30u16..160, 330u16..420),
        (two, on_oxygen, level) in (any::<bool>(), any::<bool>(), 0usize..5),
        missing in proptest::array::uniform7(any::<bool>()),
    ) {
        let scale = if two { OxygenScale::Two } else { OxygenScale::One };
        let (breaths, saturation, systolic, pulse, temperature) = values;
        let level = Consciousness::ALL[level];
        let whole = News2Readings {
            breaths_per_minute: Some(breaths),
            oxygen_saturation_percent: Some(saturation),
            on_oxygen: Some(on_oxygen),
            systolic_mmhg: Some(systolic),
            pulse_per_minute: Some(pulse),
            consciousness: Some(level),
            temperature_tenths_c: Some(temperature),
        };
        let expected = news2_by_columns(
            scale, [breaths, saturation, systolic, pulse, temperature], on_oxygen, level == Consciousness::Alert,
        );
        let got = News2::of(scale, &whole);
        prop_assert_eq!(got.total.exact(), Some(expected));
        prop_assert!(got.risk.is_some());

        let partial = News2Readings {
            breaths_per_minute: whole.breaths_per_minute.filter(|_| !missing[0]),
            oxygen_saturation_percent: whole.oxygen_saturation_percent.filter(|_| !missing[1]),
            on_oxygen: whole.on_oxygen.filter(|_| !missing[2]),
            systolic_mmhg: whole.systolic_mmhg.filter(|_| !missing[3]),
            pulse_per_minute: whole.pulse_per_minute.filter(|_| !missing[4]),
            consciousness: whole.consciousness.filter(|_| !missing[5]),
            temperature_tenths_c: whole.temperature_tenths_c.filter(|_| !missing[6]),
        };
        let open = News2::of(scale, &partial);
        prop_assert!((open.total.low..=open.total.high).contains(&expected));
        if let Some(risk) = open.risk {
            prop_assert_eq!(Some(risk), got.risk, "a risk that is given holds whatever is missing");
        }
    }
}

#[test]
fn shock_index_vectors() {
    for row in rows(include_str!("shock_index.txt"), 7) {
        let index = ShockIndex::of(number(&row, 2), Pressure::Mmhg(number(&row, 3)));
        let thousandths = index.map_or_else(
            || "none".to_owned(),
            |index| index.thousandths().to_string(),
        );
        assert_eq!(thousandths, row.column(4), "{}", row.id());
        let class = index.map_or_else(|| "-".to_owned(), |index| format!("{:?}", index.class()));
        assert_eq!(class, row.column(5), "{}", row.id());
    }
}

#[test]
fn shock_index_limits_are_exact() {
    let index = |pulse, systolic| {
        ShockIndex::of(pulse, Pressure::Mmhg(systolic)).expect("OK because not zero")
    };
    assert!(!index(108, 120).over_nine_tenths());
    assert!(index(109, 120).over_nine_tenths());
    assert_eq!(index(107, 120).alarm(), Alarm::Quiet);
    assert_eq!(index(108, 120).alarm(), Alarm::Mind);
    assert_eq!(index(120, 120).alarm(), Alarm::Act);
    assert_eq!(
        index(84, 60).class(),
        holdfast::rules::scores::shock_index::ShockClass::IV
    );
    assert_eq!(index(112, 126).shown(), "0.89");
    assert_eq!(ShockIndex::of(100, Pressure::Unrecordable), None);
    assert!(!index(70, 100).rose_by_more_than_a_tenth(index(80, 100)));
    assert!(index(70, 100).rose_by_more_than_a_tenth(index(81, 100)));
}

#[test]
fn shock_index_in_children() {
    for row in rows(include_str!("shock_index_children.txt"), 7) {
        let index = ShockIndex::of(number(&row, 3), Pressure::Mmhg(number(&row, 4)))
            .expect("OK because not zero");
        let got = match index.raised_for_child(number(&row, 2)) {
            None => "none",
            Some(true) => "raised",
            Some(false) => "normal",
        };
        assert_eq!(got, row.column(5), "{} {}", row.id(), row.column(1));
    }
}

#[test]
fn shock_index_in_children_agrees_with_a_table_by_age() {
    for years in 0..20u16 {
        let limit: Option<u32> = match years {
            y if (4..7).contains(&y) => Some(122),
            y if (7..13).contains(&y) => Some(100),
            y if (13..17).contains(&y) => Some(90),
            _ => None,
        };
        for pulse in 60..200u16 {
            for systolic in [50u16, 77, 100, 120] {
                let index =
                    ShockIndex::of(pulse, Pressure::Mmhg(systolic)).expect("OK because not zero");
                let expected =
                    limit.map(|limit| u32::from(pulse) * 100 > u32::from(systolic) * limit);
                assert_eq!(
                    index.raised_for_child(years),
                    expected,
                    "{years} {pulse}/{systolic}"
                );
            }
        }
    }
}

#[test]
fn pressure_limits_of_children() {
    for (years, limit) in [(1, 72), (4, 78), (9, 88), (10, 90), (11, 90)] {
        assert_eq!(hypotensive_below(years, false), limit, "{years} years");
    }
    assert_eq!(
        (hypotensive_below(0, true), hypotensive_below(0, false)),
        (60, 70)
    );
    for row in AgeRow::ALL {
        let normal = row.normal();
        for (low, high) in [
            normal.pulse_awake,
            normal.pulse_asleep,
            normal.breaths,
            normal.systolic,
        ] {
            assert!(low < high, "{row:?}");
        }
    }
    assert_eq!(AgeRow::of(6, false), Some(AgeRow::School));
    assert_eq!(AgeRow::of(9, false), Some(AgeRow::School));
    assert_eq!(AgeRow::of(15, false), Some(AgeRow::Adolescent));
    assert_eq!(AgeRow::of(16, false), None);
    assert_eq!(
        AgeRow::of(2, false).map(|row| row.normal().breaths),
        Some((22, 37))
    );
}

#[test]
fn the_cards_are_whole() {
    assert_eq!((CLASSIC.lines.len(), TENTH_EDITION.lines.len()), (9, 9));
    for line in CLASSIC.lines.iter().chain(TENTH_EDITION.lines) {
        assert!(
            line.classes.iter().all(|text| !text.is_empty()),
            "{}",
            line.sign
        );
    }
}

#[test]
fn counts_and_plausible_values() {
    let per_minute = |count, seconds| Counted { count, seconds }.per_minute();
    assert_eq!(per_minute(7, 15), Some(28));
    assert_eq!(per_minute(8, 15), Some(32));
    assert_eq!(per_minute(11, 30), Some(22));
    assert_eq!(per_minute(19, 60), Some(19));
    assert_eq!(per_minute(7, 0), None);
    assert_eq!(per_minute(u16::MAX, 1), None);
    assert!(Quantity::SystolicMmhg.ask_about(1200) && !Quantity::SystolicMmhg.ask_about(120));
    assert!(Quantity::OxygenSaturationPercent.ask_about(101));
    assert!(
        !Quantity::BreathsPerMinute.ask_about(0),
        "grave, but not a slip"
    );
    assert!(
        Quantity::TemperatureTenthsC.ask_about(37),
        "degrees typed for tenths"
    );
    for quantity in Quantity::ALL {
        let (low, high) = quantity.plausible();
        assert!(
            !quantity.ask_about(low) && !quantity.ask_about(high) && quantity.ask_about(high + 1)
        );
        assert!(!quantity.unit().is_empty());
    }
}
