//! "Getting worse": each rule on both sides of its limit, and what a gap does.

use holdfast::rules::scores::news2::{News2, News2Readings, OxygenScale};
use holdfast::rules::scores::trend::{Person, Signs, Worse, news_worse, worse};
use holdfast::rules::scores::{Consciousness, Gcs, Pressure};
use holdfast::rules::triage::ApparentAge;

const ADULT: Person = Person {
    years: None,
    apparent: ApparentAge::Adult,
};

fn well() -> Signs {
    Signs {
        consciousness: Some(Consciousness::Alert),
        gcs: Gcs::from_scores(4, 5, 6),
        breaths_per_minute: Some(16),
        oxygen_saturation_percent: Some(98),
        radial_pulse: Some(true),
        pulse_per_minute: Some(72),
        systolic: Some(Pressure::Mmhg(122)),
        refill_tenths: Some(15),
        temperature_tenths_c: Some(368),
    }
}

fn flags(person: Person, change: impl FnOnce(&mut Signs)) -> Vec<Worse> {
    let mut later = well();
    change(&mut later);
    worse(person, &well(), &later)
}

#[test]
fn each_rule_on_both_sides_of_its_limit() {
    assert_eq!(flags(ADULT, |_| {}), []);
    assert_eq!(
        flags(ADULT, |signs| signs.consciousness =
            Some(Consciousness::Confused)),
        [Worse::LessAwake]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.gcs = Gcs::from_scores(4, 4, 6)),
        []
    );
    assert_eq!(
        flags(ADULT, |signs| signs.gcs = Gcs::from_scores(3, 4, 6)),
        [Worse::ComaScaleFell]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.breaths_per_minute = Some(29)),
        []
    );
    assert_eq!(
        flags(ADULT, |signs| signs.breaths_per_minute = Some(30)),
        [Worse::BreathingLeftBand]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.breaths_per_minute = Some(9)),
        [Worse::BreathingLeftBand]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.oxygen_saturation_percent = Some(96)),
        []
    );
    assert_eq!(
        flags(ADULT, |signs| signs.oxygen_saturation_percent = Some(95)),
        [Worse::SaturationFell]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.radial_pulse = Some(false)),
        [Worse::RadialPulseLost]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.systolic = Some(Pressure::Unrecordable)),
        [Worse::PressureLost]
    );
    assert_eq!(flags(ADULT, |signs| signs.refill_tenths = Some(20)), []);
    assert_eq!(
        flags(ADULT, |signs| signs.refill_tenths = Some(21)),
        [Worse::RefillSlow]
    );
    assert_eq!(
        flags(ADULT, |signs| signs.temperature_tenths_c = Some(351)),
        []
    );
    assert_eq!(
        flags(ADULT, |signs| signs.temperature_tenths_c = Some(350)),
        [Worse::Cold]
    );
}

#[test]
fn pulse_and_pressure_together() {
    let with = |pulse, mmhg| {
        flags(ADULT, move |signs| {
            signs.pulse_per_minute = Some(pulse);
            signs.systolic = Some(Pressure::Mmhg(mmhg));
        })
    };
    assert_eq!(with(84, 122), [], "up by less than 0.1");
    assert_eq!(with(90, 122), [Worse::ShockIndexRose]);
    assert_eq!(
        with(110, 122),
        [Worse::ShockIndexRose, Worse::ShockIndexHigh]
    );
    assert_eq!(with(60, 89), [Worse::PressureLow]);
    assert_eq!(with(60, 90), []);
    assert_eq!(
        with(92, 102),
        [
            Worse::PulseUpPressureDown,
            Worse::ShockIndexRose,
            Worse::ShockIndexHigh
        ]
    );
    assert!(!with(91, 102).contains(&Worse::PulseUpPressureDown));
    assert!(!with(92, 103).contains(&Worse::PulseUpPressureDown));
}

#[test]
fn a_rising_news2_is_told_only_where_no_gap_can_explain_it() {
    let whole = News2Readings {
        breaths_per_minute: Some(16),
        oxygen_saturation_percent: Some(98),
        on_oxygen: Some(false),
        systolic_mmhg: Some(122),
        pulse_per_minute: Some(72),
        consciousness: Some(Consciousness::Alert),
        temperature_tenths_c: Some(368),
    };
    let score = |readings: &News2Readings| News2::of(OxygenScale::One, readings);
    let told = |later: News2Readings| news_worse(&score(&whole), &score(&later));
    assert_eq!(told(whole), []);
    let breaths = |rate| News2Readings {
        breaths_per_minute: Some(rate),
        ..whole
    };
    assert_eq!(told(breaths(11)), [], "up by 1");
    assert_eq!(told(breaths(21)), [Worse::NewsRose]);
    let low = |rate, mmhg| News2Readings {
        systolic_mmhg: Some(mmhg),
        ..breaths(rate)
    };
    assert_eq!(told(low(25, 95)), [Worse::NewsRose, Worse::NewsMedium]);
    let shocked = News2Readings {
        oxygen_saturation_percent: Some(94),
        ..low(25, 88)
    };
    assert_eq!(told(shocked), [Worse::NewsRose, Worse::NewsHigh]);
    // The first one may have been as high as 3: a gap is no rise.
    let gap = News2Readings {
        breaths_per_minute: None,
        ..whole
    };
    assert_eq!(news_worse(&score(&gap), &score(&breaths(25))), []);
    assert_eq!(news_worse(&score(&whole), &score(&gap)), []);
}

#[test]
fn limits_of_adults_are_not_put_on_children() {
    let child = Person {
        years: Some(4),
        apparent: ApparentAge::Child,
    };
    assert_eq!(
        flags(child, |signs| signs.breaths_per_minute = Some(31)),
        []
    );
    assert_eq!(flags(child, |signs| signs.pulse_per_minute = Some(118)), []);
    assert_eq!(
        flags(child, |signs| signs.systolic = Some(Pressure::Mmhg(78))),
        []
    );
    assert_eq!(
        flags(child, |signs| signs.systolic = Some(Pressure::Mmhg(77))),
        [Worse::PressureLow]
    );
    let unknown = Person::default();
    assert_eq!(
        flags(unknown, |signs| signs.systolic = Some(Pressure::Mmhg(60))),
        [],
        "no limit without an age"
    );
    assert_eq!(
        flags(unknown, |signs| signs.consciousness =
            Some(Consciousness::Pain)),
        [Worse::LessAwake]
    );
}

#[test]
fn a_gap_raises_nothing_and_getting_better_neither() {
    assert_eq!(worse(ADULT, &Signs::default(), &well()), []);
    assert_eq!(worse(ADULT, &well(), &Signs::default()), []);
    let mut bad = well();
    bad.consciousness = Some(Consciousness::Pain);
    bad.breaths_per_minute = Some(36);
    bad.radial_pulse = Some(false);
    assert_eq!(worse(ADULT, &bad, &well()), []);
    assert_eq!(
        worse(ADULT, &bad, &bad),
        [],
        "what was bad before is shown elsewhere"
    );
}

#[test]
fn each_flag_has_words_and_a_source() {
    for flag in [
        Worse::LessAwake,
        Worse::ComaScaleFell,
        Worse::BreathingLeftBand,
        Worse::SaturationFell,
        Worse::RadialPulseLost,
        Worse::PressureLost,
        Worse::PressureLow,
        Worse::ShockIndexRose,
        Worse::ShockIndexHigh,
        Worse::RefillSlow,
        Worse::Cold,
        Worse::PulseUpPressureDown,
        Worse::NewsRose,
        Worse::NewsMedium,
        Worse::NewsHigh,
    ] {
        assert!(!flag.words().is_empty() && !flag.source().is_empty());
    }
}
