//! What a wound will still ask for, from where it stands.
//!
//! Owns the step's way to materials: the suggested step and what belongs to it. It is a lower bound: a hold that
//! fails asks for more. Quantities are those of [`used_by`](super::consumption::used_by).

use super::consumption::Use;
use super::item::Item;
use super::substitution::Function;
use crate::rules::bleeding::wound::Depth;
use crate::rules::bleeding::{Region, Standing, State, Step};

/// What the next steps of a wound use, best material first.
pub fn asked(standing: &Standing, region: Option<Region>, depth: Depth) -> Vec<Use> {
    let wrap = Use::PressureDressing(Item::BarBandage);
    let pack = if depth == Depth::Shallow {
        Use::PackShallow(Item::HaemostaticGauze)
    } else {
        Use::PackDeep(Item::HaemostaticGauze)
    };
    match (standing.state, standing.next) {
        (State::HandedOver | State::Void, _) => Vec::new(),
        (State::Unseen, _) | (_, Step::PressDirectly) => vec![Use::Pressure],
        (_, Step::Pack) => vec![pack, wrap],
        (_, Step::Repack) => vec![Use::Repack(Item::HaemostaticGauze), wrap],
        (_, Step::WrapDressing) | (State::PackPressing, _) => vec![wrap],
        (_, Step::ReinforceDressing) => vec![Use::Reinforce],
        (_, Step::Tourniquet | Step::TightenOrSecond) => vec![Use::Tourniquet],
        (_, Step::DressSimply) => vec![Use::PlainDressing],
        (State::Covered, _) => Vec::new(),
        (_, Step::Cover) => cover(region).into_iter().collect(),
        _ => Vec::new(),
    }
}

fn cover(region: Option<Region>) -> Option<Use> {
    match region? {
        Region::ChestOpen => Some(Use::CoverChest),
        Region::Evisceration => Some(Use::CoverOrgans),
        Region::Eye => Some(Use::CoverEye),
        _ => Some(Use::Pressure),
    }
}

/// What an item is for, where something can stand in for it.
pub const fn function(item: Item) -> Option<Function> {
    match item {
        Item::HaemostaticGauze | Item::PackingGauze => Some(Function::Packing),
        Item::BarBandage | Item::PressureBandage => Some(Function::PressureDressing),
        Item::Tourniquet => Some(Function::Tourniquet),
        Item::LargePad => Some(Function::Pad),
        Item::VentedChestSeal => Some(Function::OpenChest),
        Item::EyeShield => Some(Function::Eye),
        Item::SmallPad => Some(Function::PlainDressing),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::supplies::used_by;

    fn standing(state: State, next: Step) -> Standing {
        Standing {
            state,
            next,
            ..Standing::unknown()
        }
    }

    #[test]
    fn a_failing_tourniquet_asks_for_one_more_and_one_that_holds_for_none() {
        let thigh = Some(Region::Thigh);
        let fails = standing(State::TourniquetFails, Step::TightenOrSecond);
        let asks = asked(&fails, thigh, Depth::default());
        assert_eq!(used_by(asks[0]), [(Item::Tourniquet, 1)]);
        let holds = standing(State::TourniquetHolds, Step::Recheck);
        assert_eq!(asked(&holds, thigh, Depth::default()), []);
    }

    #[test]
    fn a_wound_to_be_packed_asks_for_gauze_and_for_the_bandage_after_it() {
        let bleeds = standing(State::Bleeding, Step::Pack);
        let asks = asked(&bleeds, Some(Region::Groin), Depth::Deep);
        let items: Vec<Item> = asks
            .iter()
            .flat_map(|one| used_by(*one))
            .map(|(item, _)| item)
            .collect();
        assert_eq!(
            items,
            [Item::HaemostaticGauze, Item::PackingGauze, Item::BarBandage]
        );
    }

    #[test]
    fn what_was_handed_over_asks_for_nothing() {
        let gone = standing(State::HandedOver, Step::Pack);
        assert_eq!(asked(&gone, None, Depth::default()), []);
    }
}
