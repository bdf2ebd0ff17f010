//! "Getting worse": plain comparisons of two sets of readings of the same person.
//!
//! Owns the flags, each with its source or *common practice*. Promises: only what was measured both times is
//! compared; a gap raises nothing and hides nothing else; a flag asks for a look, it is not a diagnosis and
//! changes no category.

use serde::Serialize;

use super::children::hypotensive_below;
use super::consciousness::Consciousness;
use super::gcs::Gcs;
use super::news2::News2;
use super::readings::Pressure;
use super::shock_index::{Alarm, ShockIndex};
use crate::rules::triage::ApparentAge;

/// One set of readings; `None` where nothing was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Signs {
    /// Level of consciousness.
    pub consciousness: Option<Consciousness>,
    /// Coma scale.
    pub gcs: Option<Gcs>,
    /// Breaths a minute.
    pub breaths_per_minute: Option<u16>,
    /// Oxygen saturation in per cent.
    pub oxygen_saturation_percent: Option<u16>,
    /// Whether a pulse was felt at the wrist.
    pub radial_pulse: Option<bool>,
    /// Heart beats a minute.
    pub pulse_per_minute: Option<u16>,
    /// Systolic pressure.
    pub systolic: Option<Pressure>,
    /// Capillary refill in tenths of a second.
    pub refill_tenths: Option<u16>,
    /// Temperature in tenths of a degree Celsius.
    pub temperature_tenths_c: Option<u16>,
}

/// Whose readings they are, as far as a limit depends on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Person {
    /// Age in completed years, if known; decides over looks.
    pub years: Option<u16>,
    /// How old they look.
    pub apparent: ApparentAge,
}

impl Person {
    /// Whether limits for adults (16 and over) apply.
    const fn is_adult(self) -> bool {
        match (self.years, self.apparent) {
            (Some(years), _) => years >= 16,
            (None, apparent) => matches!(apparent, ApparentAge::Adult),
        }
    }

    /// The systolic pressure in mmHg that is too low; none for a child of unknown age.
    const fn low_systolic(self) -> Option<u16> {
        match (self.is_adult(), self.years) {
            (true, _) => Some(90),
            (false, Some(years)) => Some(hypotensive_below(years, false)),
            (false, None) => None,
        }
    }
}

/// Something that got worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Worse {
    /// Less awake.
    LessAwake,
    /// Coma scale down by 2 or more.
    ComaScaleFell,
    /// Breathing left the band of 10 to 29.
    BreathingLeftBand,
    /// Saturation down by 3 points or more, or now 91 % or less.
    SaturationFell,
    /// The pulse at the wrist is gone.
    RadialPulseLost,
    /// Pulse up by 20 or more while the pressure is down by 20 or more.
    PulseUpPressureDown,
    /// Pressure can no longer be had.
    PressureLost,
    /// Pressure dropped under the limit.
    PressureLow,
    /// Shock index up by more than 0.1.
    ShockIndexRose,
    /// Shock index came to 0.9 or more.
    ShockIndexHigh,
    /// Refill now over 2 seconds.
    RefillSlow,
    /// Temperature now 35.0 °C or less.
    Cold,
    /// NEWS2 up by 2 or more.
    NewsRose,
    /// NEWS2 came to 5 or 6.
    NewsMedium,
    /// NEWS2 came to 7 or more.
    NewsHigh,
}

impl Worse {
    /// What is shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::LessAwake => "less awake than before",
            Self::ComaScaleFell => "coma scale down by 2 or more",
            Self::BreathingLeftBand => "breathing now under 10 or over 29",
            Self::SaturationFell => "oxygen saturation lower",
            Self::RadialPulseLost => "no longer a pulse at the wrist",
            Self::PulseUpPressureDown => "pulse up by 20, pressure down by 20",
            Self::PressureLost => "blood pressure can no longer be had",
            Self::PressureLow => "blood pressure now low",
            Self::ShockIndexRose => "shock index up by more than 0.1",
            Self::ShockIndexHigh => "shock index now 0.9 or more",
            Self::RefillSlow => "refill now over 2 seconds (unreliable when cold)",
            Self::Cold => "temperature now 35 °C or less",
            Self::NewsRose => "NEWS2 up by 2 or more",
            Self::NewsMedium => "NEWS2 now 5 or more: urgent review",
            Self::NewsHigh => "NEWS2 now 7 or more: emergency",
        }
    }

    /// Who says that it matters.
    pub const fn source(self) -> &'static str {
        match self {
            Self::LessAwake
            | Self::ComaScaleFell
            | Self::PressureLost
            | Self::PulseUpPressureDown
            | Self::NewsRose => "common practice",
            Self::NewsMedium | Self::NewsHigh => {
                "thresholds of NEWS2 (Royal College of Physicians 2017)"
            }
            Self::BreathingLeftBand | Self::RadialPulseLost => {
                "coding table of the revised trauma score (Utstein 2008, Table 7)"
            }
            Self::PressureLow => {
                "revised trauma score (Utstein 2008); in children PALS 2015 (secondary)"
            }
            Self::SaturationFell | Self::Cold => {
                "bands of NEWS2 (Royal College of Physicians 2017)"
            }
            Self::ShockIndexRose => "Joseph et al., Shock 2016",
            Self::ShockIndexHigh => "J Trauma Inj 2019;32:17–25 (over 0.9)",
            Self::RefillSlow => "START 1983",
        }
    }
}

/// What got worse from `earlier` to `later`, in no order of weight.
pub fn worse(person: Person, earlier: &Signs, later: &Signs) -> Vec<Worse> {
    [
        (less_awake(earlier, later), Worse::LessAwake),
        (coma_scale_fell(earlier, later), Worse::ComaScaleFell),
        (
            breathing_left_band(person, earlier, later),
            Worse::BreathingLeftBand,
        ),
        (saturation_fell(earlier, later), Worse::SaturationFell),
        (
            (earlier.radial_pulse, later.radial_pulse) == (Some(true), Some(false)),
            Worse::RadialPulseLost,
        ),
        (
            pulse_up_pressure_down(earlier, later),
            Worse::PulseUpPressureDown,
        ),
        (pressure_lost(earlier, later), Worse::PressureLost),
        (pressure_low(person, earlier, later), Worse::PressureLow),
        (
            shock_index_rose(person, earlier, later),
            Worse::ShockIndexRose,
        ),
        (
            shock_index_high(person, earlier, later),
            Worse::ShockIndexHigh,
        ),
        (
            crossed(earlier.refill_tenths, later.refill_tenths, |tenths| {
                tenths > 20
            }),
            Worse::RefillSlow,
        ),
        (
            crossed(
                earlier.temperature_tenths_c,
                later.temperature_tenths_c,
                |tenths| tenths <= 350,
            ),
            Worse::Cold,
        ),
    ]
    .into_iter()
    .filter_map(|(got_worse, flag)| got_worse.then_some(flag))
    .collect()
}

/// Whether a limit that was kept before is broken now.
fn crossed<T: Copy>(earlier: Option<T>, later: Option<T>, broken: impl Fn(T) -> bool) -> bool {
    earlier.is_some_and(|value| !broken(value)) && later.is_some_and(broken)
}

fn less_awake(earlier: &Signs, later: &Signs) -> bool {
    matches!((earlier.consciousness, later.consciousness), (Some(before), Some(now)) if now > before)
}

fn coma_scale_fell(earlier: &Signs, later: &Signs) -> bool {
    let total = |signs: &Signs| signs.gcs.and_then(Gcs::exact_total);
    matches!((total(earlier), total(later)), (Some(before), Some(now)) if now + 2 <= before)
}

fn breathing_left_band(person: Person, earlier: &Signs, later: &Signs) -> bool {
    // The band is an adult's: a child of two breathes faster than 29 in good health.
    person.is_adult()
        && crossed(
            earlier.breaths_per_minute,
            later.breaths_per_minute,
            |breaths| !(10..=29).contains(&breaths),
        )
}

fn saturation_fell(earlier: &Signs, later: &Signs) -> bool {
    let (earlier, later) = (
        earlier.oxygen_saturation_percent,
        later.oxygen_saturation_percent,
    );
    let fell = matches!((earlier, later), (Some(before), Some(now)) if now + 3 <= before);
    fell || crossed(earlier, later, |percent| percent <= 91)
}

/// What NEWS2 says got worse. Only what holds whatever is missing counts: the least the later score can be
/// against the most the earlier one could have been.
pub fn news_worse(earlier: &News2, later: &News2) -> Vec<Worse> {
    let (before, now) = (earlier.total.high, later.total.low);
    let came_to = |limit| before < limit && now >= limit;
    [
        (now >= before + 2, Worse::NewsRose),
        (came_to(5) && now < 7, Worse::NewsMedium),
        (came_to(7), Worse::NewsHigh),
    ]
    .into_iter()
    .filter_map(|(got_worse, flag)| got_worse.then_some(flag))
    .collect()
}

fn pulse_up_pressure_down(earlier: &Signs, later: &Signs) -> bool {
    let mmhg = |signs: &Signs| signs.systolic.and_then(Pressure::mmhg);
    let pulse_up = matches!((earlier.pulse_per_minute, later.pulse_per_minute),
        (Some(before), Some(now)) if now >= before + 20);
    pulse_up
        && matches!((mmhg(earlier), mmhg(later)), (Some(before), Some(now)) if now + 20 <= before)
}

fn pressure_lost(earlier: &Signs, later: &Signs) -> bool {
    let had_one = earlier
        .systolic
        .and_then(Pressure::mmhg)
        .is_some_and(|mmhg| mmhg > 0);
    had_one
        && matches!(
            later.systolic,
            Some(Pressure::Unrecordable | Pressure::Mmhg(0))
        )
}

fn pressure_low(person: Person, earlier: &Signs, later: &Signs) -> bool {
    let mmhg = |signs: &Signs| signs.systolic.and_then(Pressure::mmhg);
    person
        .low_systolic()
        .is_some_and(|limit| crossed(mmhg(earlier), mmhg(later), |mmhg| mmhg < limit))
}

fn shock_index(signs: &Signs) -> Option<ShockIndex> {
    ShockIndex::of(signs.pulse_per_minute?, signs.systolic?)
}

fn shock_index_rose(person: Person, earlier: &Signs, later: &Signs) -> bool {
    person.is_adult()
        && matches!(
            (shock_index(earlier), shock_index(later)),
            (Some(before), Some(now)) if before.rose_by_more_than_a_tenth(now)
        )
}

fn shock_index_high(person: Person, earlier: &Signs, later: &Signs) -> bool {
    person.is_adult()
        && crossed(shock_index(earlier), shock_index(later), |index| {
            index.alarm() >= Alarm::Mind
        })
}
