//! Heart rate over systolic pressure, for adults, and its limits for children.
//!
//! Owns the shock index, its classes and the paediatric age-adjusted limits. Sources: Mutschler et al., Crit
//! Care 2013;17:R172 (classes); J Trauma Inj 2019;32:17–25 (over 0.9); Acker et al., J Pediatr Surg 2015 (paper
//! from memory; limits from a 2022 validation study, blunt trauma, 4 to 16 years). Promises: every comparison
//! is between whole numbers, so that exactly 0.9 is exactly 0.9; without a pressure there is no index.
//!
//! Misleading under beta blockers, in pregnancy, with a pacemaker (from memory), and weak as a predictor of
//! massive transfusion (sensitivity 0.68, Crit Care 2023 meta-analysis).

use serde::Serialize;

use super::readings::Pressure;

/// A heart rate and the pressure taken with it; the pressure is not zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct ShockIndex {
    pulse: u16,
    systolic: u16,
}

/// The class of shock by the index (Mutschler 2013).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub enum ShockClass {
    /// Under 0.6: none.
    I,
    /// 0.6 to under 1.0: mild.
    II,
    /// 1.0 to under 1.4: moderate.
    III,
    /// 1.4 and over: severe.
    IV,
}

/// How loudly the board shows the index (*common practice*, after the published 0.9 and 1.0).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Alarm {
    /// Nothing to show.
    Quiet,
    /// 0.9 or more.
    Mind,
    /// 1.0 or more.
    Act,
}

impl ShockIndex {
    /// The index; `None` without a pressure, or with a pressure of zero: show "no BP", no number.
    pub fn of(pulse_per_minute: u16, systolic: Pressure) -> Option<Self> {
        let systolic = systolic.mmhg().filter(|mmhg| *mmhg > 0)?;
        Some(Self {
            pulse: pulse_per_minute,
            systolic,
        })
    }

    /// Whether it is at least `numerator`/`denominator`.
    const fn at_least(self, numerator: u32, denominator: u32) -> bool {
        denominator * self.pulse as u32 >= numerator * self.systolic as u32
    }

    /// Whether it is strictly more than `numerator`/`denominator`.
    const fn more_than(self, numerator: u32, denominator: u32) -> bool {
        denominator * self.pulse as u32 > numerator * self.systolic as u32
    }

    /// The class of shock.
    pub const fn class(self) -> ShockClass {
        if self.at_least(14, 10) {
            ShockClass::IV
        } else if self.at_least(1, 1) {
            ShockClass::III
        } else if self.at_least(6, 10) {
            ShockClass::II
        } else {
            ShockClass::I
        }
    }

    /// How loudly to show it.
    pub const fn alarm(self) -> Alarm {
        if self.at_least(1, 1) {
            Alarm::Act
        } else if self.at_least(9, 10) {
            Alarm::Mind
        } else {
            Alarm::Quiet
        }
    }

    /// The published alarm: strictly more than 0.9.
    pub const fn over_nine_tenths(self) -> bool {
        self.more_than(9, 10)
    }

    /// For showing only: thousandths, rounded. Two decimals are enough on a screen.
    pub const fn thousandths(self) -> u32 {
        let systolic = self.systolic as u32;
        (1000 * self.pulse as u32 + systolic / 2) / systolic
    }

    /// As shown, two decimals.
    pub fn shown(self) -> String {
        let systolic = u32::from(self.systolic);
        let hundredths = (100 * u32::from(self.pulse) + systolic / 2) / systolic;
        format!("{}.{:02}", hundredths / 100, hundredths % 100)
    }

    /// Whether `later` is more than 0.1 above this one.
    pub fn rose_by_more_than_a_tenth(self, later: Self) -> bool {
        let [pulse, systolic] = [self.pulse, self.systolic].map(u64::from);
        let [later_pulse, later_systolic] = [later.pulse, later.systolic].map(u64::from);
        // later_pulse/later_systolic - pulse/systolic > 1/10, all multiplied out.
        10 * later_pulse * systolic > 10 * pulse * later_systolic + systolic * later_systolic
    }

    /// Whether it is raised for a child of `years` completed years: over 1.22 at 4 to 6, over 1.00 at 7 to 12,
    /// over 0.90 at 13 to 16. `None` at other ages, for which nothing is defined.
    ///
    /// Huang et al., Front Pediatr 2021, cut differently (1–6, 7–12, 12–17) and overlap at 12; not used.
    pub const fn raised_for_child(self, years: u16) -> Option<bool> {
        match years {
            4..=6 => Some(self.more_than(122, 100)),
            7..=12 => Some(self.more_than(1, 1)),
            13..=16 => Some(self.more_than(9, 10)),
            _ => None,
        }
    }
}
