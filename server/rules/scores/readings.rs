//! What a counted or measured value is: how it was counted, and whether it can be right.
//!
//! Owns counts over a window, the blood pressure that could not be had, and the plausible ranges. Promises: an
//! implausible value is asked about ("220? keep or change"), never refused. The ranges are *common practice*:
//! wide enough that a living person's reading passes, narrow enough to catch a slipped digit.

use serde::{Deserialize, Serialize};

/// Something counted over a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    /// How many.
    pub count: u16,
    /// Over how many seconds.
    pub seconds: u16,
}

impl Counted {
    /// The windows offered, in seconds. Fifteen gives only multiples of four.
    pub const WINDOWS: [u16; 3] = [15, 30, 60];

    /// How many a minute, rounded to the nearest; `None` for an empty window or more than fits.
    pub fn per_minute(self) -> Option<u16> {
        let seconds = u32::from(self.seconds);
        let rounded = (u32::from(self.count) * 60 + seconds / 2).checked_div(seconds)?;
        u16::try_from(rounded).ok()
    }
}

/// Systolic blood pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pressure {
    /// In mmHg. Zero means no circulation, not a failed reading.
    Mmhg(u16),
    /// Tried, and nothing to be had. Not zero: a ratio with it has no value.
    Unrecordable,
}

impl Pressure {
    /// The number, if there is one.
    pub const fn mmhg(self) -> Option<u16> {
        match self {
            Self::Mmhg(value) => Some(value),
            Self::Unrecordable => None,
        }
    }
}

/// A measured value that has a unit and a plausible range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Breaths a minute.
    BreathsPerMinute,
    /// Heart beats a minute.
    PulsePerMinute,
    /// Systolic pressure in mmHg.
    SystolicMmhg,
    /// Oxygen saturation in per cent.
    OxygenSaturationPercent,
    /// Temperature in tenths of a degree Celsius.
    TemperatureTenthsC,
    /// Capillary refill in tenths of a second.
    RefillTenths,
    /// Age in completed years.
    AgeYears,
}

impl Quantity {
    /// All quantities.
    pub const ALL: [Self; 7] = [
        Self::BreathsPerMinute,
        Self::PulsePerMinute,
        Self::SystolicMmhg,
        Self::OxygenSaturationPercent,
        Self::TemperatureTenthsC,
        Self::RefillTenths,
        Self::AgeYears,
    ];

    /// The unit as shown, for the value as people say it.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::BreathsPerMinute | Self::PulsePerMinute => "/min",
            Self::SystolicMmhg => "mmHg",
            Self::OxygenSaturationPercent => "%",
            Self::TemperatureTenthsC => "°C",
            Self::RefillTenths => "s",
            Self::AgeYears => "years",
        }
    }

    /// The plausible range, both ends included, in the stored unit (*common practice*).
    ///
    /// The lowest temperature leaves room for the deeply hypothermic, who have survived readings under 14 °C
    /// (from memory).
    pub const fn plausible(self) -> (u16, u16) {
        match self {
            Self::BreathsPerMinute => (0, 80),
            Self::PulsePerMinute => (0, 250),
            Self::SystolicMmhg => (0, 280),
            Self::OxygenSaturationPercent => (40, 100),
            Self::TemperatureTenthsC => (130, 430),
            Self::RefillTenths => (0, 150),
            Self::AgeYears => (0, 115),
        }
    }

    /// Whether to ask "keep or change?" about `value`. Zero breaths or beats are plausible but grave.
    pub const fn ask_about(self, value: u16) -> bool {
        let (low, high) = self.plausible();
        value < low || value > high
    }
}
