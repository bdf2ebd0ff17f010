//! What a step is made of, by what is left in the kits.
//!
//! Owns the choice of materials that stand on a button: the usual ones, or the best rung of the substitution ladder
//! that can be made. Promises: what nobody has counted may be there; a substitute says what to mind; somebody who
//! used something else says so with one tap more.

use super::stock::instead_words;
use crate::incident::fact::{Deed, Used};
use crate::rules::bleeding::Policy;
use crate::rules::supplies::{Function, Item, Stock, Substitute, substitutes};

/// What a step is made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Made {
    pub(super) used: Vec<Used>,
    /// What to mind, where it is not the usual; else empty.
    pub(super) mind: String,
    /// A tourniquet that is not a made one.
    pub(super) improvised: bool,
}

/// What this deed is made of with this stock.
pub(super) fn made(deed: Deed, left: &Stock) -> Made {
    let usual = deed.usual();
    let is_there = usual.iter().all(|used| left.may_have(used.item));
    let rung = function(deed)
        .filter(|_| !is_there)
        .and_then(|function| best(function, left));
    rung.map_or(
        Made {
            used: usual,
            ..Made::default()
        },
        |rung| Made {
            used: rung
                .items
                .iter()
                .map(|item| Used {
                    item: *item,
                    count: 1,
                })
                .collect(),
            mind: instead_words(&rung),
            improvised: rung.items == [Item::ImprovisedTourniquet],
        },
    )
}

/// The best rung of which everything is known to be there, else the best that may be.
fn best(function: Function, left: &Stock) -> Option<Substitute> {
    let mut rungs = substitutes(&Policy::default(), function, left);
    let counted = rungs.iter().position(|rung| {
        let there = |item: &Item| left.left(*item).is_some_and(|left| left > 0);
        rung.items.iter().all(there)
    });
    (!rungs.is_empty()).then(|| rungs.swap_remove(counted.unwrap_or(0)))
}

const fn function(deed: Deed) -> Option<Function> {
    match deed {
        Deed::Press => Some(Function::Pad),
        Deed::PressureDressing => Some(Function::PressureDressing),
        Deed::Tourniquet | Deed::SecondTourniquet => Some(Function::Tourniquet),
        Deed::PlainDressing => Some(Function::PlainDressing),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_gone_is_replaced_by_the_next_rung_that_is_there() {
        let mut left = Stock::default();
        assert_eq!(made(Deed::Tourniquet, &left).used[0].item, Item::Tourniquet);
        left.count(Item::Tourniquet, 0);
        let band = made(Deed::Tourniquet, &left);
        assert_eq!(band.used[0].item, Item::ImprovisedTourniquet);
        assert!(band.improvised && band.mind.contains("last resort"));
        left.count(Item::PressureBandage, 0);
        left.count(Item::LargePad, 3);
        left.count(Item::TriangularBandage, 1);
        let items: Vec<Item> = made(Deed::PressureDressing, &left)
            .used
            .iter()
            .map(|used| used.item)
            .collect();
        assert_eq!(items, [Item::LargePad, Item::TriangularBandage]);
    }
}
