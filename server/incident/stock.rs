//! What is left in the bags: counted, less what was used since the count.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::KitId;
use crate::rules::supplies::Item;

/// One item over all kits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Level {
    /// How many the last counts found.
    pub counted: u32,
    /// How many were used since those counts (or at all, where nobody counted).
    pub used: u32,
    /// Whether anybody ever counted it.
    pub is_counted: bool,
}

impl Level {
    /// What is left; never below zero.
    pub const fn left(&self) -> u32 {
        self.counted.saturating_sub(self.used)
    }

    /// How many more were used than counted: somebody should count again.
    pub const fn overdrawn(&self) -> u32 {
        self.used.saturating_sub(self.counted)
    }
}

/// Works out the levels from the unstruck counts (in any order) and every use on a casualty.
pub(super) fn levels(counts: &[&Entry], uses: &[(Timestamp, Item, u32)]) -> BTreeMap<Item, Level> {
    let mut latest: BTreeMap<(Item, KitId), ((Timestamp, u64), u32)> = BTreeMap::new();
    for entry in counts {
        if let (About::Kit(kit), Fact::StockCounted(count)) = (entry.about, &entry.fact) {
            let key = (entry.happened_at, entry.seq.0);
            let slot = latest
                .entry((count.item, kit))
                .or_insert((key, count.count));
            if key >= slot.0 {
                *slot = (key, count.count);
            }
        }
    }
    let mut levels: BTreeMap<Item, Level> = BTreeMap::new();
    let mut since: BTreeMap<Item, Timestamp> = BTreeMap::new();
    for ((item, _), ((at, _), count)) in latest {
        let level = levels.entry(item).or_default();
        level.counted = level.counted.saturating_add(count);
        level.is_counted = true;
        // Uses do not say from which bag: only those before every bag's count are surely inside the counts.
        let oldest = since.entry(item).or_insert(at);
        *oldest = at.min(*oldest);
    }
    for (at, item, count) in uses {
        if since.get(item).is_none_or(|counted_at| at > counted_at) {
            let level = levels.entry(*item).or_default();
            level.used = level.used.saturating_add(*count);
        }
    }
    levels
}
