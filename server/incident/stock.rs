//! What is left in the kits: counted, plus what came in, less what went out and what was used since.
//!
//! Owns the fold of kits. Promises: pure; the same unstruck entries give the same kits in whatever order they are
//! looked at.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::about::About;
use super::alarms::{Silenced, silenced};
use super::entry::Entry;
use super::fact::{Fact, KitDescribed};
use super::ids::{DeviceId, KitId, Seq};
use super::level::Level;
use super::spent::Spent;
use super::text::Words;
use crate::rules::supplies::{Item, Stock};

/// A bag or box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kit {
    /// Its id.
    pub id: KitId,
    /// What people call it.
    pub name: Option<Words>,
    /// Where it stands, while nobody carries it.
    pub place: Option<Words>,
    /// Who carries it.
    pub carrier: Option<DeviceId>,
    /// When it was last counted.
    pub counted_at: Option<Timestamp>,
    /// What is in it.
    pub levels: BTreeMap<Item, Level>,
}

/// Every kit, and what they hold together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Supplies {
    /// The kits somebody spoke of, and the common bag.
    pub kits: BTreeMap<KitId, Kit>,
    /// What they hold together.
    pub levels: BTreeMap<Item, Level>,
    /// What was seen of those that are low or out, in the order it happened.
    pub(super) seen: Vec<Silenced>,
    /// The bag the board started with.
    common: Option<KitId>,
}

impl Supplies {
    /// What people call a kit.
    pub fn name(&self, id: KitId) -> String {
        let named = self.kits.get(&id).and_then(|kit| kit.name.as_ref());
        match named {
            Some(name) => name.to_string(),
            None if Some(id) == self.common => "common bag".to_owned(),
            None => "a kit without a name".to_owned(),
        }
    }

    /// What there is, as the rules of supplies count it. Haemostatic gauze out of date counts as plain gauze.
    pub fn stock(&self) -> Stock {
        let mut stock = Stock::default();
        let expired = self
            .levels
            .get(&Item::HaemostaticGauze)
            .map_or(0, |level| level.left() - level.in_date());
        for (item, level) in &self.levels {
            let known = level.is_counted || level.moved > 0;
            match item {
                _ if !known && level.used == 0 => {}
                _ if !known => stock.take(*item, level.used),
                Item::HaemostaticGauze => stock.count(*item, level.in_date()),
                Item::PackingGauze => stock.count(*item, level.left().saturating_add(expired)),
                _ => stock.count(*item, level.left()),
            }
        }
        stock
    }
}

/// When something about a kit happened, and in which order.
type Order = (Timestamp, Seq);

struct Fold {
    kits: BTreeMap<KitId, Kit>,
    counts: BTreeMap<(KitId, Item), Order>,
    carried: Vec<(Timestamp, KitId, Option<DeviceId>)>,
    common: Option<KitId>,
}

/// Works out the kits from their unstruck entries, in any order of presentation, and every use on a casualty.
pub(super) fn fold(entries: &[&Entry], uses: &[Spent], common: Option<KitId>) -> Supplies {
    let mut ordered: Vec<&Entry> = entries
        .iter()
        .copied()
        .filter(|entry| matches!(entry.about, About::Kit(_)))
        .collect();
    ordered.sort_by_key(|entry| entry.order());
    let mut fold = Fold {
        kits: BTreeMap::new(),
        counts: BTreeMap::new(),
        carried: Vec::new(),
        common,
    };
    for entry in &ordered {
        fold.take(entry);
    }
    for entry in &ordered {
        fold.move_over(entry);
    }
    let loose = fold.use_up(uses);
    Supplies {
        seen: silenced(&ordered),
        ..fold.finish(&loose)
    }
}

impl Fold {
    fn kit(&mut self, id: KitId) -> &mut Kit {
        self.kits.entry(id).or_insert_with(|| Kit {
            id,
            name: None,
            place: None,
            carrier: None,
            counted_at: None,
            levels: BTreeMap::new(),
        })
    }

    fn take(&mut self, entry: &Entry) {
        let About::Kit(id) = entry.about else { return };
        match &entry.fact {
            Fact::StockCounted(count) => {
                self.count(id, entry.order(), (count.item, count.count, 0));
            }
            Fact::KitCounted(all) => {
                for one in &all.items {
                    let counted = (one.item, one.count, one.out_of_date);
                    self.count(id, entry.order(), counted);
                }
            }
            Fact::KitDescribed(said) => self.describe(id, entry.happened_at, said),
            _ => {}
        }
    }

    fn count(&mut self, id: KitId, at: Order, (item, count, out_of_date): (Item, u32, u32)) {
        self.counts.insert((id, item), at);
        let kit = self.kit(id);
        kit.counted_at = Some(at.0);
        let level = kit.levels.entry(item).or_default();
        level.counted = count;
        level.out_of_date = out_of_date.min(count);
        level.is_counted = true;
        level.changes(at.0);
    }

    fn describe(&mut self, id: KitId, at: Timestamp, said: &KitDescribed) {
        let kit = self.kit(id);
        kit.name = said.name.clone().or_else(|| kit.name.take());
        match (&said.place, said.carrier) {
            (place, Some(carrier)) => {
                kit.place.clone_from(place);
                kit.carrier = Some(carrier);
            }
            (Some(place), None) => {
                kit.place = Some(place.clone());
                kit.carrier = None;
            }
            (None, None) => return,
        }
        let carrier = kit.carrier;
        self.carried.push((at, id, carrier));
    }

    fn move_over(&mut self, entry: &Entry) {
        let (About::Kit(from), Fact::StockMoved(moved)) = (entry.about, &entry.fact) else {
            return;
        };
        for one in &moved.items {
            for (id, sign) in [(from, -1), (moved.to, 1)] {
                // What moved before a count is inside the count already.
                let counted = self.counts.get(&(id, one.item));
                if counted.is_none_or(|counted| entry.order() > *counted) {
                    let level = self.kit(id).levels.entry(one.item).or_default();
                    level.moved += sign * i64::from(one.count);
                    level.changes(entry.happened_at);
                }
            }
        }
    }

    /// Which kit somebody carried at a moment: the one they took up last.
    fn kit_of(&self, device: DeviceId, at: Timestamp) -> Option<KitId> {
        let mut held: Vec<KitId> = Vec::new();
        for (_, kit, carrier) in self.carried.iter().filter(|(from, ..)| *from <= at) {
            held.retain(|known| known != kit);
            if *carrier == Some(device) {
                held.push(*kit);
            }
        }
        held.pop()
    }

    /// Takes every use out of its kit; gives back those of kits in which nobody counted that item.
    fn use_up(&mut self, uses: &[Spent]) -> Vec<Spent> {
        let mut loose = Vec::new();
        for spent in uses {
            let kit = self.kit_of(spent.by, spent.at).or(self.common);
            let counted = kit.and_then(|kit| self.counts.get(&(kit, spent.item)));
            match (kit, counted) {
                (Some(kit), Some(counted)) => {
                    if spent.at > counted.0 {
                        let level = self.kit(kit).levels.entry(spent.item).or_default();
                        level.used = level.used.saturating_add(spent.count);
                        level.changes(spent.at);
                    }
                }
                _ => loose.push(*spent),
            }
        }
        loose
    }

    fn finish(mut self, loose: &[Spent]) -> Supplies {
        if let Some(common) = self.common {
            self.kit(common);
        }
        let mut levels: BTreeMap<Item, Level> = BTreeMap::new();
        for kit in self.kits.values() {
            for (item, level) in &kit.levels {
                levels.entry(*item).or_default().add(level);
            }
        }
        // Of what came out of a kit nobody counted it can only be said that it was not inside the oldest count.
        let mut oldest: BTreeMap<Item, Timestamp> = BTreeMap::new();
        for ((_, item), (at, _)) in &self.counts {
            let known = oldest.entry(*item).or_insert(*at);
            *known = (*known).min(*at);
        }
        for spent in loose {
            if oldest
                .get(&spent.item)
                .is_none_or(|counted| spent.at > *counted)
            {
                let level = levels.entry(spent.item).or_default();
                level.used = level.used.saturating_add(spent.count);
                level.changes(spent.at);
            }
        }
        Supplies {
            kits: self.kits,
            levels,
            seen: Vec::new(),
            common: self.common,
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};
    use uuid::Uuid;

    use super::*;

    const KITS: u128 = 3;
    const PEOPLE: u128 = 3;

    fn kit(number: u128) -> KitId {
        KitId::new(Uuid::from_u128(100 + number % KITS))
    }

    fn device(number: u128) -> DeviceId {
        DeviceId::new(Uuid::from_u128(200 + number % PEOPLE))
    }

    fn minute(number: usize) -> Timestamp {
        Timestamp::from_second(60 * i64::try_from(number).unwrap()).unwrap()
    }

    fn entry(number: usize, about: KitId, fact: &Value) -> Entry {
        serde_json::from_value(json!({
            "seq": number + 1, "id": Uuid::from_u128(u128::try_from(number).unwrap() + 1),
            "about": { "kit": about }, "happened_at": minute(number), "recorded_at": minute(number),
            "based_on": 0, "by": "Jo", "device": device(0), "fact": fact
        }))
        .unwrap()
    }

    #[derive(Clone, Debug)]
    enum Told {
        Count(u128, u32),
        Move(u128, u128, u32),
        Carry(u128, u128),
        Use(u128, u32),
    }

    fn told() -> impl Strategy<Value = Told> {
        prop_oneof![
            (0..KITS, 0..30_u32).prop_map(|(kit, count)| Told::Count(kit, count)),
            (0..KITS, 1..KITS, 1..9_u32).prop_map(|(from, by, n)| Told::Move(from, from + by, n)),
            (0..KITS, 0..PEOPLE).prop_map(|(kit, who)| Told::Carry(kit, who)),
            (0..PEOPLE, 1..4_u32).prop_map(|(who, count)| Told::Use(who, count)),
        ]
    }

    proptest! {
        /// A ledger kept while it happens comes to the same as the fold afterwards, for each kit: counted, less
        /// what was used, plus what came in.
        #[test]
        fn stock_is_counted_less_used_plus_moved(
            story in prop::collection::vec(told(), 0..40),
            shuffled in any::<prop::sample::Index>(),
        ) {
            let counts = (0..KITS).map(|one| Told::Count(one, 10));
            let story: Vec<Told> = counts.chain(story).collect();
            let mut ledger = [0_i64; 3];
            let mut carried: Vec<(usize, u128)> = Vec::new();
            let (mut entries, mut uses) = (Vec::new(), Vec::new());
            let of = |kit: u128| usize::try_from(kit % KITS).unwrap();
            for (number, one) in story.iter().enumerate() {
                match *one {
                    Told::Count(which, count) => {
                        ledger[of(which)] = i64::from(count);
                        let fact = json!({ "kind": "stock.counted/2",
                            "items": [{ "item": "tourniquet", "count": count }] });
                        entries.push(entry(number, kit(which), &fact));
                    }
                    Told::Move(from, to, count) => {
                        ledger[of(from)] -= i64::from(count);
                        ledger[of(to)] += i64::from(count);
                        let fact = json!({ "kind": "stock.moved/1", "to": kit(to),
                            "items": [{ "item": "tourniquet", "count": count }] });
                        entries.push(entry(number, kit(from), &fact));
                    }
                    Told::Carry(which, who) => {
                        carried.retain(|(kit, _)| *kit != of(which));
                        carried.push((of(which), who));
                        let fact = json!({ "kind": "kit.described/1", "carrier": device(who) });
                        entries.push(entry(number, kit(which), &fact));
                    }
                    Told::Use(who, count) => {
                        let own = carried.iter().rev().find(|(_, holder)| *holder == who);
                        ledger[own.map_or(0, |(kit, _)| *kit)] -= i64::from(count);
                        let item = Item::Tourniquet;
                        uses.push(Spent { at: minute(number), item, count, by: device(who) });
                    }
                }
            }
            let mut presented: Vec<&Entry> = entries.iter().collect();
            let turn = shuffled.index(presented.len());
            presented.rotate_left(turn);
            let supplies = fold(&presented, &uses, Some(kit(0)));
            for (number, balance) in (0..).zip(ledger) {
                let level = supplies.kits[&kit(number)].levels[&Item::Tourniquet];
                prop_assert_eq!(level.balance(), balance, "kit {}: {:?}", number, story);
                prop_assert_eq!(i64::from(level.left()) - i64::from(level.overdrawn()), balance);
            }
            let all = supplies.levels[&Item::Tourniquet];
            prop_assert_eq!(all.balance(), ledger.iter().sum::<i64>());
        }
    }

    #[test]
    fn haemostatic_gauze_out_of_date_counts_as_plain_gauze() {
        let fact = json!({ "kind": "stock.counted/2", "items": [
            { "item": "haemostatic_gauze", "count": 3, "out_of_date": 2 },
            { "item": "packing_gauze", "count": 1 }] });
        let counted = entry(0, kit(0), &fact);
        let stock = fold(&[&counted], &[], Some(kit(0))).stock();
        assert_eq!(stock.left(Item::HaemostaticGauze), Some(1));
        assert_eq!(stock.left(Item::PackingGauze), Some(3));
    }
}
