//! How much is needed for the casualties at hand.
//!
//! Owns the planning factors per category and the need. Factors are our defaults for the first six hours, set
//! beside the kit lists of `NaCTSO` (UK), ANSI/ISEA Z308.1-2014 and Texas HB 496 (2019, as introduced).

use super::item::Item;
use crate::rules::triage::Category;

/// What is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Need {
    /// Of what.
    pub item: Item,
    /// How many, rounded up.
    pub count: u32,
}

/// Tenths of an item per casualty in the first six hours: immediate, delayed, minor. Bandages with and
/// without bar are one line, and so are haemostatic and plain gauze: the first named stands for both.
const FACTORS: [(Item, [u32; 3]); 10] = [
    (Item::Gloves, [40, 30, 10]),
    (Item::Tourniquet, [10, 2, 0]),
    (Item::HaemostaticGauze, [20, 5, 0]),
    (Item::BarBandage, [20, 10, 2]),
    (Item::LargePad, [20, 20, 5]),
    (Item::GauzeRoll, [20, 20, 10]),
    (Item::TriangularBandage, [10, 10, 3]),
    (Item::VentedChestSeal, [3, 1, 0]),
    (Item::Blanket, [20, 10, 5]),
    (Item::WaterDecilitres, [0, 100, 100]),
];

/// Per open wound and further day: one dressing change.
const PER_CHANGE: [Item; 3] = [Item::SmallPad, Item::GauzeRoll, Item::Gloves];

/// Items of which one line counts both.
pub const fn counted_together(item: Item) -> &'static [Item] {
    match item {
        Item::HaemostaticGauze => &[Item::HaemostaticGauze, Item::PackingGauze],
        Item::BarBandage => &[Item::BarBandage, Item::PressureBandage],
        _ => &[],
    }
}

/// What `casualties` need, with `changes` dressing changes ahead (open wounds times further days). Expectant
/// casualties count as immediate, the dead need nothing (our default).
pub fn needed(casualties: &[Category], changes: u32) -> Vec<Need> {
    let tenths = |factors: &[u32; 3]| -> u32 {
        casualties
            .iter()
            .map(|category| match category {
                Category::Immediate | Category::Expectant | Category::NotBreathing => factors[0],
                Category::Delayed => factors[1],
                Category::Minor => factors[2],
                Category::Dead => 0,
            })
            .fold(0, u32::saturating_add)
    };
    let mut all: Vec<Need> = FACTORS
        .iter()
        .map(|(item, factors)| Need {
            item: *item,
            count: tenths(factors).div_ceil(10),
        })
        .collect();
    for item in PER_CHANGE {
        match all.iter_mut().find(|need| need.item == item) {
            Some(need) => need.count = need.count.saturating_add(changes),
            None => all.push(Need {
                item,
                count: changes,
            }),
        }
    }
    all
}
