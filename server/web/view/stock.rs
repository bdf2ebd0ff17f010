//! Supplies as drawn.

use crate::incident::Incident;
use crate::rules::supplies::Item;

/// One item of the bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StockView {
    pub(crate) code: &'static str,
    pub(crate) words: &'static str,
    /// What is left, where it was ever counted.
    pub(crate) left: Option<u32>,
    pub(crate) used: u32,
    /// So many more were used than counted.
    pub(crate) overdrawn: u32,
    /// Two or fewer left.
    pub(crate) is_short: bool,
}

/// At or below this many left an item is short. Design choice.
const SHORT: u32 = 2;

/// Every item of the bag, in the order of its list.
pub(crate) fn stock(incident: &Incident) -> Vec<StockView> {
    Item::ALL
        .into_iter()
        .map(|item| {
            let level = incident.stock().get(&item).copied().unwrap_or_default();
            StockView {
                code: item.code(),
                words: item.words(),
                left: level.is_counted.then(|| level.left()),
                used: level.used,
                overdrawn: if level.is_counted {
                    level.overdrawn()
                } else {
                    0
                },
                is_short: level.is_counted && level.left() <= SHORT,
            }
        })
        .collect()
}
