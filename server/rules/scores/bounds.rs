//! A total of which some parts are missing.
//!
//! Owns the range type. Promises: the true total lies within it, whatever the missing parts turn out to be.

use serde::Serialize;

/// The lowest and the highest total the missing parts allow; equal when nothing is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Bounds {
    /// With every missing part at its least.
    pub low: u32,
    /// With every missing part at its most.
    pub high: u32,
}

impl Bounds {
    /// A part that is known.
    pub const fn exactly(value: u32) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// A part that is missing, or known only to lie in a range.
    pub const fn between(low: u32, high: u32) -> Self {
        Self { low, high }
    }

    /// The known part, or everything from `low` to `high`.
    pub fn of(value: Option<u8>, low: u8, high: u8) -> Self {
        value.map_or_else(
            || Self::between(u32::from(low), u32::from(high)),
            |value| Self::exactly(u32::from(value)),
        )
    }

    /// Both together.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            high: self.high + other.high,
        }
    }

    /// The same, counted `weight` times.
    #[must_use]
    pub const fn times(self, weight: u32) -> Self {
        Self {
            low: self.low * weight,
            high: self.high * weight,
        }
    }

    /// The total, if nothing is missing.
    pub const fn exact(self) -> Option<u32> {
        if self.low == self.high {
            Some(self.low)
        } else {
            None
        }
    }
}
