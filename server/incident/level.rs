//! How many of one item there are, and what was said of it.
//!
//! Promises: `counted + moved - used` is what is there, and is never shown below zero: what was used beyond it is said.

use jiff::Timestamp;

/// One item, of a kit or over all kits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Level {
    /// How many the last counts found.
    pub counted: u32,
    /// How many were used since those counts (or at all, where nobody counted).
    pub used: u32,
    /// How many came in from other kits since, less those that went out.
    pub moved: i64,
    /// How many of those counted are out of date.
    pub out_of_date: u32,
    /// Whether anybody ever counted it.
    pub is_counted: bool,
    /// When that last changed: counted, moved or used.
    pub changed_at: Option<Timestamp>,
}

impl Level {
    /// What is left; never below zero.
    pub fn left(&self) -> u32 {
        u32::try_from(self.balance().max(0)).unwrap_or(u32::MAX)
    }

    /// How many more were used than counted: somebody should count again. None where nobody counted.
    pub fn overdrawn(&self) -> u32 {
        if !self.is_counted {
            return 0;
        }
        u32::try_from((-self.balance()).max(0)).unwrap_or(u32::MAX)
    }

    /// How many of what is left are in date: people take those first.
    pub fn in_date(&self) -> u32 {
        self.left().saturating_sub(self.out_of_date)
    }

    pub(super) fn balance(&self) -> i64 {
        i64::from(self.counted) + self.moved - i64::from(self.used)
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.counted = self.counted.saturating_add(other.counted);
        self.used = self.used.saturating_add(other.used);
        self.moved = self.moved.saturating_add(other.moved);
        self.out_of_date = self.out_of_date.saturating_add(other.out_of_date);
        self.is_counted |= other.is_counted;
        self.changed_at = self.changed_at.max(other.changed_at);
    }

    pub(super) fn changes(&mut self, at: Timestamp) {
        self.changed_at = self.changed_at.max(Some(at));
    }
}
