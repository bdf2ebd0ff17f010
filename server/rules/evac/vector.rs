//! How good a plan is: whole numbers in dictionary order, smaller is better.
//!
//! Owns the order of what counts: for each priority the number left behind, then the number late, then the sum
//! of delivery minutes; then the number of trips; then how many people the plan on screen would have to be
//! changed for. Our own objective, after the trade's class by class; class by class is a choice and not always
//! the order that saves most (Mills, Argon & Ziya, M&SOM 2013;15(3):361–377). Side effects to know: a minute for
//! one first-priority casualty outranks everything below; and inside a short horizon somebody of low priority
//! may be left behind to save minutes for others, so callers keep the horizon long.

use std::fmt;
use std::ops::{Add, Sub};

/// The vector of a plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Vector {
    /// For each priority, first to last.
    pub classes: [ClassCount; 4],
    /// Trips made.
    pub trips: u32,
    /// Casualties whose trip differs from the plan on screen.
    pub changed: u32,
}

/// What counts for one priority, in this order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ClassCount {
    /// Not delivered.
    pub left_behind: u32,
    /// Delivered after the deadline.
    pub late: u32,
    /// Sum of delivery minutes.
    pub minutes: u32,
}

impl Vector {
    /// How many levels there are before the trips.
    pub const CLASS_LEVELS: usize = 12;
    /// How many levels can be proven: all but the changes.
    pub const LEVELS: usize = 13;

    /// The levels in order, without the changes to the plan on screen.
    pub fn levels(&self) -> [u32; Self::LEVELS] {
        let mut levels = [0; Self::LEVELS];
        for (three, class) in levels.chunks_mut(3).zip(&self.classes) {
            three.copy_from_slice(&[class.left_behind, class.late, class.minutes]);
        }
        levels[Self::CLASS_LEVELS] = self.trips;
        levels
    }
}

/// The same, packed for speed: a word for each priority, and one for trips and changes. Sums and differences of
/// scores are scores as long as no part of the result is negative.
#[derive(Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score(pub(super) [u64; 5]);

/// One person left behind.
pub(super) const LEFT_BEHIND: u64 = 1 << 48;
/// One person late.
pub(super) const LATE: u64 = 1 << 32;
/// One trip, in the last word.
pub(super) const TRIP: u64 = 1 << 32;

impl Score {
    /// The same without the changes: what is proven.
    pub(super) fn without_changes(mut self) -> Self {
        self.0[4] &= !0xffff_ffff;
        self
    }

    #[expect(clippy::cast_possible_truncation, reason = "each part is masked")]
    pub(super) fn vector(self) -> Vector {
        let mut classes = [ClassCount::default(); 4];
        for (class, word) in classes.iter_mut().zip(self.0) {
            *class = ClassCount {
                left_behind: (word >> 48) as u32,
                late: ((word >> 32) & 0xffff) as u32,
                minutes: word as u32,
            };
        }
        Vector {
            classes,
            trips: (self.0[4] >> 32) as u32,
            changed: self.0[4] as u32,
        }
    }
}

impl Add for Score {
    type Output = Self;

    fn add(mut self, other: Self) -> Self {
        for (mine, theirs) in self.0.iter_mut().zip(other.0) {
            *mine = mine.wrapping_add(theirs);
        }
        self
    }
}

impl Sub for Score {
    type Output = Self;

    fn sub(mut self, other: Self) -> Self {
        for (mine, theirs) in self.0.iter_mut().zip(other.0) {
            *mine = mine.wrapping_sub(theirs);
        }
        self
    }
}

impl fmt::Debug for Score {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.vector().levels())
    }
}
