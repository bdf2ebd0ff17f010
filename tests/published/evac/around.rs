//! The rules of thumb around the planner: carries, daylight, priority, presets.

use holdfast::rules::evac::daylight::{Light, light, sun_times};
use holdfast::rules::evac::kinds::Kind;
use holdfast::rules::evac::on_foot::{Carry, Ground, TooFew, carry, walk};
use holdfast::rules::evac::priority::{Condition, deadline, suggest};
use holdfast::rules::evac::{Layout, Priority};
use holdfast::rules::triage::Category;

fn party(metres: u32, height: u32, ground: Ground, bearers: u16) -> Result<i32, TooFew> {
    carry(Carry {
        metres,
        height,
        ground,
        bearers,
        wheel: false,
    })
}

/// Worked by hand from the rule beside it in the code: our estimate, no published speed is known.
#[test]
fn a_carry_takes_as_long_as_worked_out_by_hand() {
    assert_eq!(party(1200, 0, Ground::Path, 8), Ok(46));
    assert_eq!(party(1200, 0, Ground::Path, 6), Ok(70));
    assert_eq!(party(300, 40, Ground::Rough, 8), Ok(32));
    assert_eq!(party(300, 0, Ground::VeryRough, 8), Ok(46));
    assert_eq!(party(1200, 0, Ground::Path, 5), Err(TooFew));
    assert!(TooFew.to_string().contains("too few to carry"));
    assert_eq!(walk(2500, 0), 60);
    // Rounded up to whole minutes, once.
    assert_eq!(walk(2501, 1), 61);
    let on_a_wheel = |ground| {
        carry(Carry {
            metres: 1200,
            height: 0,
            ground,
            bearers: 8,
            wheel: true,
        })
    };
    assert_eq!(on_a_wheel(Ground::Path), Ok(34));
    assert_eq!(on_a_wheel(Ground::Rough), party(1200, 0, Ground::Rough, 8));
}

fn midnight(text: &str) -> i64 {
    let moment: jiff::Timestamp = format!("{text}T00:00:00Z").parse().expect("a date");
    moment.as_second()
}

/// Place, date, then dawn, sunrise, sunset and dusk in UTC.
type Row = (f64, f64, &'static str, [(i64, i64); 4]);

/// Times of the `PyPI` package `astral` 3.2, to be met within two minutes.
#[test]
fn the_sun_keeps_the_times_of_an_independent_library() {
    let rows: [Row; 5] = [
        (
            54.527,
            -3.0165,
            "2025-06-14",
            [(2, 39), (3, 36), (20, 49), (21, 46)],
        ),
        (
            54.527,
            -3.0165,
            "2025-12-14",
            [(7, 42), (8, 28), (15, 46), (16, 31)],
        ),
        (
            46.0,
            7.7,
            "2025-02-01",
            [(6, 19), (6, 52), (16, 35), (17, 7)],
        ),
        (
            0.0,
            0.0,
            "2025-03-20",
            [(5, 43), (6, 4), (18, 10), (18, 32)],
        ),
        (
            -33.9,
            18.4,
            "2025-06-21",
            [(5, 23), (5, 52), (15, 45), (16, 13)],
        ),
    ];
    for (latitude, longitude, date, expected) in rows {
        let start = midnight(date);
        let sun = sun_times(latitude, longitude, start).expect("a place and a day");
        let found = [sun.dawn, sun.sunrise, sun.sunset, sun.dusk];
        for (found, (hour, minute)) in found.into_iter().zip(expected) {
            let expected = start + hour * 3600 + minute * 60;
            let off = found.expect("it happens") - expected;
            assert!(off.abs() <= 120, "{date} at {latitude}: {off} s off");
        }
        let noon = start + 12 * 3600;
        assert_eq!(
            light(latitude, longitude, noon),
            Some(Light::Until(sun.dusk.expect("dusk")))
        );
    }
}

#[test]
fn polar_day_and_night_are_answers_and_nonsense_is_none() {
    let summer = midnight("2025-06-21");
    let sun = sun_times(68.0, 20.0, summer).expect("a place and a day");
    assert_eq!(sun.dusk, None);
    assert_eq!(sun.sunset, None);
    assert_eq!(light(68.0, 20.0, summer), Some(Light::AllDay));
    let winter = midnight("2025-12-21");
    assert_eq!(light(84.0, 20.0, winter), Some(Light::NoDay));
    let night = midnight("2025-12-14");
    let dawn = sun_times(54.527, -3.0165, night)
        .and_then(|sun| sun.dawn)
        .expect("dawn");
    assert_eq!(light(54.527, -3.0165, night), Some(Light::DarkUntil(dawn)));
    assert_eq!(light(200.0, 0.0, summer), None);
    assert_eq!(light(f64::NAN, 0.0, summer), None);
}

/// Our default: category first, raised by a running tourniquet and by getting worse, never lowered.
#[test]
fn a_priority_is_suggested_from_category_tourniquet_and_trend() {
    let of = |category, tourniquet_minutes, getting_worse| {
        suggest(Condition {
            category,
            tourniquet_minutes,
            getting_worse,
        })
        .priority
    };
    assert_eq!(
        of(Some(Category::Immediate), None, false),
        Some(Priority::First)
    );
    assert_eq!(
        of(Some(Category::Delayed), None, false),
        Some(Priority::Second)
    );
    assert_eq!(
        of(Some(Category::Delayed), None, true),
        Some(Priority::First)
    );
    assert_eq!(
        of(Some(Category::Minor), Some(5), false),
        Some(Priority::First)
    );
    assert_eq!(
        of(Some(Category::Minor), None, true),
        Some(Priority::Second)
    );
    assert_eq!(
        of(Some(Category::Minor), None, false),
        Some(Priority::Third)
    );
    assert_eq!(
        of(Some(Category::Expectant), Some(5), true),
        Some(Priority::Last)
    );
    assert_eq!(of(Some(Category::Dead), Some(5), true), None);
    assert_eq!(of(None, None, false), Some(Priority::First));
}

/// Urgent 1 hour, priority 4 hours: US ATP 5-0.2-1, table G-30. Tourniquet under 2 hours: PMC10662576.
#[test]
fn late_is_after_the_published_times() {
    assert_eq!(deadline(Priority::First, Some(-10), None), Some(50));
    assert_eq!(deadline(Priority::First, Some(-10), Some(-100)), Some(20));
    assert_eq!(deadline(Priority::Second, Some(0), None), Some(240));
    assert_eq!(deadline(Priority::Third, Some(0), None), None);
    assert_eq!(deadline(Priority::Third, None, Some(0)), Some(120));
}

/// A US field ambulance takes 4 lying, or 2 lying and 4 sitting, or 8 sitting: NAVMED P-5139.
#[test]
fn presets_are_sensible() {
    let field = Kind::FieldAmbulance.preset().layouts;
    assert_eq!(
        field,
        [Layout::new(4, 0), Layout::new(2, 4), Layout::new(0, 8)]
    );
    for kind in Kind::ALL {
        let preset = kind.preset();
        assert!(
            preset.layouts.iter().all(|l| l.lying + l.sitting > 0),
            "{}",
            kind.words()
        );
        assert!(preset.load > 0 && preset.unload > 0);
        assert_eq!(preset.by_daylight, kind.words().contains("Helicopter"));
    }
}
