//! NEWS2, a score of deterioration for people of 16 and over; not a tool for sorting a mass casualty.
//!
//! Owns the bands of Chart 1, both oxygen scales, the total and its risk. Source: Royal College of Physicians,
//! *National Early Warning Score (NEWS) 2*, London 2017, used with acknowledgement; monitoring intervals and
//! limits of use from secondary texts. Promises: a missing value is never normal: the total becomes a range,
//! and the risk is given only where the whole range agrees. The chart is computed, not redrawn.

use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::bounds::Bounds;
use super::consciousness::Consciousness;
use crate::rules::triage::ApparentAge;

/// Which oxygen scale.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum OxygenScale {
    /// For everybody.
    #[default]
    One,
    /// Only for documented carbon dioxide retention with a target of 88 to 92 %.
    Two,
}

/// What was measured; `None` where it was not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct News2Readings {
    /// Breaths a minute.
    pub breaths_per_minute: Option<u16>,
    /// Oxygen saturation in per cent.
    pub oxygen_saturation_percent: Option<u16>,
    /// Whether on any supplementary oxygen.
    pub on_oxygen: Option<bool>,
    /// Systolic pressure in mmHg. A pressure that could not be had is missing.
    pub systolic_mmhg: Option<u16>,
    /// Heart beats a minute.
    pub pulse_per_minute: Option<u16>,
    /// Level of consciousness.
    pub consciousness: Option<Consciousness>,
    /// Temperature in tenths of a degree Celsius.
    pub temperature_tenths_c: Option<u16>,
}

/// The parts and what they add up to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct News2 {
    /// Breathing, saturation, oxygen, pressure, pulse, consciousness, temperature.
    pub parts: [Bounds; 7],
    /// The total, 0 to 20.
    pub total: Bounds,
    /// The risk, where it is the same over the whole range.
    pub risk: Option<Risk>,
}

/// What the total calls for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Risk {
    /// 0 to 4, no single 3.
    Low,
    /// A single 3, total under 5.
    LowMedium,
    /// 5 or 6.
    Medium,
    /// 7 and over.
    High,
}

/// Why somebody must not be scored.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NotFor {
    /// Under 16, or looks like it.
    Child,
    /// Age unknown and not plainly grown up.
    AgeUnknown,
    /// Pregnant.
    Pregnant,
}

/// Whether the score may be used: 16 and over, not in pregnancy. Years decide over looks.
pub const fn may_score(
    years: Option<u16>,
    apparent: ApparentAge,
    pregnant: bool,
) -> Result<(), NotFor> {
    match (pregnant, years, apparent) {
        (true, ..) => Err(NotFor::Pregnant),
        (_, Some(0..16), _) | (_, None, ApparentAge::Infant | ApparentAge::Child) => {
            Err(NotFor::Child)
        }
        (_, None, ApparentAge::Unknown) => Err(NotFor::AgeUnknown),
        (_, Some(16..), _) | (_, None, ApparentAge::Adult) => Ok(()),
    }
}

impl News2 {
    /// Scores `readings`.
    pub fn of(scale: OxygenScale, readings: &News2Readings) -> Self {
        let three = |points: Option<u8>| Bounds::of(points, 0, 3);
        let parts = [
            three(readings.breaths_per_minute.map(breathing)),
            match scale {
                OxygenScale::One => three(readings.oxygen_saturation_percent.map(saturation_one)),
                OxygenScale::Two => {
                    saturation_two(readings.oxygen_saturation_percent, readings.on_oxygen)
                }
            },
            Bounds::of(readings.on_oxygen.map(|on| if on { 2 } else { 0 }), 0, 2),
            three(readings.systolic_mmhg.map(pressure)),
            three(readings.pulse_per_minute.map(pulse)),
            three(readings.consciousness.map(consciousness)),
            three(readings.temperature_tenths_c.map(temperature)),
        ];
        let total = parts.into_iter().fold(Bounds::exactly(0), Bounds::plus);
        let low = risk(total.low, parts.iter().any(|part| part.low == 3));
        let high = risk(total.high, parts.iter().any(|part| part.high == 3));
        Self {
            parts,
            total,
            risk: (low == high).then_some(low),
        }
    }

    /// How often to look again; the upper limit where the text gives a range. `None` means continuously, or
    /// that the risk is not known.
    pub const fn monitor_every(&self) -> Option<Duration> {
        match self.risk {
            Some(Risk::Low) if self.total.high == 0 => Some(Duration::from_hours(12)),
            Some(Risk::Low) => Some(Duration::from_hours(6)),
            Some(Risk::LowMedium | Risk::Medium) => Some(Duration::from_hours(1)),
            Some(Risk::High) | None => None,
        }
    }
}

const fn risk(total: u32, any_three: bool) -> Risk {
    match (total, any_three) {
        (7.., _) => Risk::High,
        (5..=6, _) => Risk::Medium,
        (_, true) => Risk::LowMedium,
        (_, false) => Risk::Low,
    }
}

const fn breathing(per_minute: u16) -> u8 {
    match per_minute {
        0..=8 | 25.. => 3,
        9..=11 => 1,
        12..=20 => 0,
        21..=24 => 2,
    }
}

const fn saturation_one(percent: u16) -> u8 {
    match percent {
        0..=91 => 3,
        92..=93 => 2,
        94..=95 => 1,
        96.. => 0,
    }
}

/// On scale 2 a saturation over 92 % is a fault only on oxygen, so without that answer it is a range.
fn saturation_two(percent: Option<u16>, on_oxygen: Option<bool>) -> Bounds {
    let Some(percent) = percent else {
        return Bounds::between(0, 3);
    };
    let too_high = match percent {
        0..=83 => return Bounds::exactly(3),
        84..=85 => return Bounds::exactly(2),
        86..=87 => return Bounds::exactly(1),
        88..=92 => return Bounds::exactly(0),
        93..=94 => 1,
        95..=96 => 2,
        97.. => 3,
    };
    match on_oxygen {
        Some(true) => Bounds::exactly(too_high),
        Some(false) => Bounds::exactly(0),
        None => Bounds::between(0, too_high),
    }
}

const fn pressure(mmhg: u16) -> u8 {
    match mmhg {
        0..=90 | 220.. => 3,
        91..=100 => 2,
        101..=110 => 1,
        111..=219 => 0,
    }
}

const fn pulse(per_minute: u16) -> u8 {
    match per_minute {
        0..=40 | 131.. => 3,
        41..=50 | 91..=110 => 1,
        51..=90 => 0,
        111..=130 => 2,
    }
}

const fn consciousness(level: Consciousness) -> u8 {
    match level {
        Consciousness::Alert => 0,
        Consciousness::Confused
        | Consciousness::Voice
        | Consciousness::Pain
        | Consciousness::Unresponsive => 3,
    }
}

const fn temperature(tenths_c: u16) -> u8 {
    match tenths_c {
        0..=350 => 3,
        351..=360 | 381..=390 => 1,
        361..=380 => 0,
        391.. => 2,
    }
}
