//! What is normal in children, by age.
//!
//! Owns the ranges of heart rate, breathing and pressure and the pressure that is too low. Source: PALS 2015
//! ranges as reproduced by a university teaching chart (secondary); other charts differ (PALS 2006), and large
//! centile studies find that these limits call many healthy children abnormal. Promises: context to show
//! beside a reading, never an input to triage.

use serde::Serialize;

/// A range, both ends included.
pub type Range = (u16, u16);

/// The rows of the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum AgeRow {
    /// Under 28 days.
    Neonate,
    /// 1 to 12 months.
    Infant,
    /// 1 and 2 years.
    Toddler,
    /// 3 to 5 years.
    Preschool,
    /// 6 to 9 years.
    School,
    /// 10 and 11 years.
    Preadolescent,
    /// 12 to 15 years.
    Adolescent,
}

/// What is normal in one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Normal {
    /// Heart beats a minute, awake.
    pub pulse_awake: Range,
    /// Heart beats a minute, asleep.
    pub pulse_asleep: Range,
    /// Breaths a minute.
    pub breaths: Range,
    /// Systolic pressure in mmHg.
    pub systolic: Range,
}

impl AgeRow {
    /// All rows, youngest first.
    pub const ALL: [Self; 7] = [
        Self::Neonate,
        Self::Infant,
        Self::Toddler,
        Self::Preschool,
        Self::School,
        Self::Preadolescent,
        Self::Adolescent,
    ];

    /// The row for a child of so many completed years; `None` from 16 on. `newborn` is under 28 days.
    pub const fn of(years: u16, newborn: bool) -> Option<Self> {
        match (years, newborn) {
            (0, true) => Some(Self::Neonate),
            (0, false) => Some(Self::Infant),
            (1..=2, _) => Some(Self::Toddler),
            (3..=5, _) => Some(Self::Preschool),
            (6..=9, _) => Some(Self::School),
            (10..=11, _) => Some(Self::Preadolescent),
            (12..=15, _) => Some(Self::Adolescent),
            (16.., _) => None,
        }
    }

    /// The normal ranges of this row. The neonate's breathing is the infant's row, the pressure that of the
    /// first four days; school age and preadolescents share heart rate and breathing.
    pub const fn normal(self) -> Normal {
        let (pulse_awake, pulse_asleep, breaths, systolic) = match self {
            Self::Neonate => ((100, 205), (90, 160), (30, 53), (67, 84)),
            Self::Infant => ((100, 190), (90, 160), (30, 53), (72, 104)),
            Self::Toddler => ((98, 140), (80, 120), (22, 37), (86, 106)),
            Self::Preschool => ((80, 120), (65, 100), (20, 28), (89, 112)),
            Self::School => ((75, 118), (58, 90), (18, 25), (97, 115)),
            Self::Preadolescent => ((75, 118), (58, 90), (18, 25), (102, 120)),
            Self::Adolescent => ((60, 100), (50, 90), (12, 20), (110, 131)),
        };
        Normal {
            pulse_awake,
            pulse_asleep,
            breaths,
            systolic,
        }
    }
}

/// The systolic pressure in mmHg under which a child of so many completed years is hypotensive.
///
/// Newborns 60, infants 70, from 1 to 9 years 70 + 2 × age, from 10 years 90.
pub const fn hypotensive_below(years: u16, newborn: bool) -> u16 {
    match (years, newborn) {
        (0, true) => 60,
        (0, false) => 70,
        (1..=9, _) => 70 + 2 * years,
        (10.., _) => 90,
    }
}
