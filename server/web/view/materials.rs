//! What a step is made of, by what is left in the kits.
//!
//! Owns the choice of materials that stand on a button: the usual ones, or the best rung of the substitution ladder
//! that can be made. Promises: what nobody has counted may be there; a substitute says what to mind; somebody who
//! used something else says so with one tap more.

use super::stock::instead_words;
use crate::incident::fact::{Deed, Used};
use crate::rules::bleeding::Policy;
use crate::rules::supplies::substitution::ladder;
use crate::rules::supplies::{Function, Item, Stock, Substitute, Use, substitutes, used_by};

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

/// What a pressure dressing is made of, kind by kind: with a bar, with twists, improvised from the best that is there.
/// What is counted and gone is not offered; should all be gone, people still wrap with what they find.
pub(super) fn dressings(left: &Stock) -> Vec<(&'static str, Made)> {
    let one = |item| vec![Used { item, count: 1 }];
    let kinds = [
        (
            "Pressure dressing: with bar",
            one(Item::BarBandage),
            "bar over the wound, turn back over it",
        ),
        (
            "Pressure dressing: twisted",
            one(Item::PressureBandage),
            "a twist over the wound at each pass",
        ),
    ];
    let mut all: Vec<(&'static str, Made)> = kinds
        .into_iter()
        .filter(|(_, used, _)| used.iter().all(|used| left.may_have(used.item)))
        .map(|(label, used, mind)| {
            let made = Made {
                used,
                mind: mind.to_owned(),
                improvised: false,
            };
            (label, made)
        })
        .collect();
    all.push(("Pressure dressing: improvised", improvised(left)));
    all
}

/// Pad and elastic bandage, pad and triangular bandage, or cloth.
fn improvised(left: &Stock) -> Made {
    let rungs = ladder(&Policy::default(), Function::PressureDressing);
    let made_up: Vec<Substitute> = rungs
        .into_iter()
        .filter(|rung| !matches!(rung.items, [Item::BarBandage | Item::PressureBandage]))
        .collect();
    let counted = |item: &Item| left.left(*item).is_some_and(|left| left > 0);
    let may = |item: &Item| left.may_have(*item);
    let rung = made_up
        .iter()
        .find(|rung| rung.items.iter().all(counted))
        .or_else(|| made_up.iter().find(|rung| rung.items.iter().all(may)))
        .or(made_up.last());
    rung.map_or_else(Made::default, |rung| Made {
        // A folded pad and a strip are two pieces of cloth.
        used: used_by(Use::PressureDressing(
            *rung.items.last().unwrap_or(&Item::Cloth),
        ))
        .into_iter()
        .map(|(item, count)| Used { item, count })
        .collect(),
        mind: instead_words(rung),
        improvised: false,
    })
}

/// What there is to pack with, the best first; all of it where nothing is left, for people pack with what they find.
pub(super) fn gauzes(left: &Stock) -> Vec<Item> {
    let all = [
        Item::HaemostaticGauze,
        Item::PackingGauze,
        Item::GauzeRoll,
        Item::Cloth,
    ];
    let there: Vec<Item> = all
        .into_iter()
        .filter(|item| left.may_have(*item))
        .collect();
    if there.is_empty() {
        all.to_vec()
    } else {
        there
    }
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
    }

    #[test]
    fn each_kind_of_dressing_has_its_own_materials_and_the_improvised_one_goes_by_what_is_left() {
        let items = |made: &Made| -> Vec<(Item, u32)> {
            let used = made.used.iter();
            used.map(|used| (used.item, used.count)).collect()
        };
        let mut left = Stock::default();
        let all = dressings(&left);
        assert_eq!(items(&all[0].1), [(Item::BarBandage, 1)]);
        assert_eq!(items(&all[1].1), [(Item::PressureBandage, 1)]);
        let elastic = [(Item::LargePad, 1), (Item::ElasticBandage, 1)];
        assert_eq!(items(&all[2].1), elastic);
        left.count(Item::BarBandage, 0);
        left.count(Item::PressureBandage, 0);
        left.count(Item::LargePad, 3);
        left.count(Item::TriangularBandage, 1);
        let all = dressings(&left);
        assert_eq!(all.len(), 1);
        let folded = [(Item::LargePad, 1), (Item::TriangularBandage, 1)];
        assert_eq!(items(&all[0].1), folded);
        assert!(all[0].1.mind.contains("fold it to a band"));
        left.count(Item::LargePad, 0);
        left.count(Item::Cloth, 9);
        assert_eq!(items(&dressings(&left)[0].1), [(Item::Cloth, 2)]);
    }

    #[test]
    fn with_nothing_left_people_pack_with_what_they_find() {
        let mut left = Stock::default();
        left.count(Item::HaemostaticGauze, 0);
        let there = [Item::PackingGauze, Item::GauzeRoll, Item::Cloth];
        assert_eq!(gauzes(&left), there);
        for item in there {
            left.count(item, 0);
        }
        assert_eq!(gauzes(&left).len(), 4);
    }
}
