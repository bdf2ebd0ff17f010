//! How much is there, how bad that is, how long it lasts.
//!
//! Owns counting. Promises: stock is never shown below zero; what was used beyond the count is said ("used 2
//! more than counted") and asks for a recount. Thresholds are our default.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::item::Item;
use super::planning::counted_together;
use crate::rules::bleeding::clocks::{Clock, ClockAbout, ClockKind, Severity};
use crate::rules::bleeding::minutes::Minutes;

/// Counted and used.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stock {
    counted: BTreeMap<Item, u32>,
    used_since: BTreeMap<Item, u32>,
}

/// How bad a stock is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StockStatus {
    /// Enough.
    Enough,
    /// Less than needed, or down to the last ones.
    Low,
    /// None left: offer substitutes, ask for more.
    Out,
    /// Nobody has counted it.
    Uncounted,
}

impl Stock {
    /// Somebody counted: what was used before no longer matters.
    pub fn count(&mut self, item: Item, count: u32) {
        self.counted.insert(item, count);
        self.used_since.remove(&item);
    }

    /// Some was used.
    pub fn take(&mut self, item: Item, count: u32) {
        let used = self.used_since.entry(item).or_default();
        *used = used.saturating_add(count);
    }

    /// How many are left; `None` if nobody counted.
    pub fn left(&self, item: Item) -> Option<u32> {
        let counted = *self.counted.get(&item)?;
        Some(counted.saturating_sub(self.used(item)))
    }

    /// How many more were used than had been counted.
    pub fn used_beyond_count(&self, item: Item) -> u32 {
        self.counted
            .get(&item)
            .map_or(0, |counted| self.used(item).saturating_sub(*counted))
    }

    /// "used 2 more than counted", if so.
    pub fn recount_words(&self, item: Item) -> Option<String> {
        let beyond = self.used_beyond_count(item);
        (beyond > 0).then(|| format!("used {beyond} more than counted"))
    }

    /// Counted and left, or never counted.
    pub fn may_have(&self, item: Item) -> bool {
        self.left(item) != Some(0)
    }

    /// How bad it is against the need. `helpers` sets the floor for gloves.
    pub fn status(&self, item: Item, need: u32, helpers: u32) -> StockStatus {
        let together = counted_together(item);
        let parts = if together.is_empty() {
            std::slice::from_ref(&item)
        } else {
            together
        };
        let counts: Vec<u32> = parts.iter().filter_map(|part| self.left(*part)).collect();
        if counts.is_empty() {
            return StockStatus::Uncounted;
        }
        let left = counts
            .iter()
            .fold(0u32, |sum, count| sum.saturating_add(*count));
        if left == 0 {
            StockStatus::Out
        } else if left < need || few_for_hands(item, left, helpers) {
            StockStatus::Low
        } else {
            StockStatus::Enough
        }
    }

    /// How long it lasts if it goes on being used as in the last `window`: `None` if nothing was used or
    /// nobody counted.
    pub fn runway(&self, item: Item, used_in_window: u32, window: Minutes) -> Option<Minutes> {
        let left = self.left(item)?;
        if used_in_window == 0 || window == Minutes::ZERO {
            return None;
        }
        let minutes = u64::from(left) * u64::from(window.0) / u64::from(used_in_window);
        Some(Minutes(u32::try_from(minutes).unwrap_or(u32::MAX)))
    }

    fn used(&self, item: Item) -> u32 {
        self.used_since.get(&item).copied().unwrap_or(0)
    }
}

/// Whether these are the last ones: of what saves lives two, of gloves two pairs for each helper. Our default.
pub const fn few_for_hands(item: Item, left: u32, helpers: u32) -> bool {
    let last = match item {
        Item::Tourniquet | Item::HaemostaticGauze | Item::BarBandage | Item::VentedChestSeal => 2,
        Item::Gloves => helpers.saturating_mul(2),
        _ => 0,
    };
    left <= last
}

/// How many are short.
pub const fn shortfall(need: u32, left: u32) -> u32 {
    need.saturating_sub(left)
}

/// The clock of an item that is low or out, due at once.
pub fn stock_clock(status: StockStatus, since: Timestamp) -> Option<Clock> {
    let mut clock = Clock::new(ClockKind::Stock, ClockAbout::Kit, since, Minutes::ZERO);
    match status {
        StockStatus::Low => Some(clock),
        StockStatus::Out => {
            clock.severity = Severity::High;
            Some(clock)
        }
        StockStatus::Enough | StockStatus::Uncounted => None,
    }
}
