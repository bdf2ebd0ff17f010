//! Supplies: vectors F32 to F34, and the promises of counting.

use holdfast::rules::bleeding::{Minutes, Policy};
use holdfast::rules::supplies::consumption::used_by_all;
use holdfast::rules::supplies::stock::stock_clock;
use holdfast::rules::supplies::substitution::ladder;
use holdfast::rules::supplies::{Function, Item, Stock, StockStatus, Use, needed, substitutes};
use holdfast::rules::triage::Category;

use super::sequences_file::zero;

#[test]
fn f32_consumption_of_a_thigh() {
    let used = used_by_all(&[
        Use::FirstContact,
        Use::PackDeep(Item::HaemostaticGauze),
        Use::PressureDressing(Item::BarBandage),
        Use::Tourniquet,
    ]);
    let expected = [
        (Item::Gloves, 1),
        (Item::Tourniquet, 1),
        (Item::HaemostaticGauze, 1),
        (Item::PackingGauze, 1),
        (Item::BarBandage, 1),
    ];
    assert_eq!(used, expected);
}

#[test]
fn f33_substitutes_for_haemostatic_gauze() {
    let mut stock = Stock::default();
    stock.count(Item::HaemostaticGauze, 0);
    let offered = substitutes(&Policy::default(), Function::Packing, &stock);
    let items: Vec<Item> = offered.iter().map(|rung| rung.items[0]).collect();
    assert_eq!(items, [Item::PackingGauze, Item::GauzeRoll, Item::Cloth]);
    assert!(
        offered
            .iter()
            .all(|rung| rung.hold == Some(Minutes(10)) && rung.mind.is_some())
    );
    let best = &ladder(&Policy::default(), Function::Packing)[0];
    assert_eq!(
        (best.items[0], best.hold),
        (Item::HaemostaticGauze, Some(Minutes(3)))
    );
}

#[test]
fn f34_planning() {
    let mut casualties = vec![Category::Immediate; 2];
    casualties.extend([Category::Delayed; 3]);
    casualties.extend([Category::Minor; 5]);
    casualties.push(Category::Dead);
    let all = needed(&casualties, 0);
    let of = |item| {
        all.iter()
            .find(|need| need.item == item)
            .map(|need| need.count)
    };
    assert_eq!(of(Item::Tourniquet), Some(3));
    assert_eq!(of(Item::BarBandage), Some(8));
    assert_eq!(of(Item::Gloves), Some(22));
    let with_changes = needed(&casualties, 4);
    let gloves = with_changes
        .iter()
        .find(|need| need.item == Item::Gloves)
        .expect("gloves");
    assert_eq!(gloves.count, 26);
}

#[test]
fn never_below_zero_but_said() {
    let mut stock = Stock::default();
    assert_eq!(stock.left(Item::Tourniquet), None, "nobody counted");
    stock.count(Item::Tourniquet, 3);
    stock.take(Item::Tourniquet, 5);
    assert_eq!(stock.left(Item::Tourniquet), Some(0));
    let words = stock.recount_words(Item::Tourniquet);
    assert_eq!(words.as_deref(), Some("used 2 more than counted"));
    stock.count(Item::Tourniquet, 4);
    assert_eq!(
        (
            stock.left(Item::Tourniquet),
            stock.recount_words(Item::Tourniquet)
        ),
        (Some(4), None)
    );
}

#[test]
fn status_runway_and_clock() {
    let mut stock = Stock::default();
    let uncounted = stock.status(Item::HaemostaticGauze, 2, 3);
    assert_eq!(uncounted, StockStatus::Uncounted);
    stock.count(Item::HaemostaticGauze, 0);
    stock.count(Item::PackingGauze, 6);
    assert_eq!(
        stock.status(Item::HaemostaticGauze, 2, 3),
        StockStatus::Enough,
        "together"
    );
    stock.take(Item::PackingGauze, 6);
    assert_eq!(stock.status(Item::HaemostaticGauze, 2, 3), StockStatus::Out);
    stock.count(Item::Gloves, 6);
    assert_eq!(
        stock.status(Item::Gloves, 1, 3),
        StockStatus::Low,
        "two pairs per helper"
    );
    assert_eq!(
        stock.runway(Item::Gloves, 4, Minutes(60)),
        Some(Minutes(90))
    );
    assert_eq!(stock.runway(Item::Gloves, 0, Minutes(60)), None);
    assert!(stock_clock(StockStatus::Enough, zero()).is_none());
    assert_eq!(
        stock_clock(StockStatus::Out, zero()).map(|clock| clock.due_at),
        Some(zero())
    );
}

#[test]
fn codes_are_stable_and_their_own_json() {
    for item in Item::ALL {
        let json = serde_json::to_value(item).unwrap();
        assert_eq!(json, item.code());
        assert!(
            item.code()
                .chars()
                .all(|one| one.is_ascii_lowercase() || one == '_')
        );
    }
}
