//! What the kits still have to give: need against what is left, item by item.
//!
//! Owns the account of supplies for the board, the kits' page and the re-supply request. Promises: pure; nothing
//! here depends on the present moment: how long an item lasts is told at the rate up to its last use.

use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};

use super::casualty::Casualty;
use super::role::Deed;
use super::spent::Spent;
use super::state::Incident;
use crate::rules::bleeding::{Minutes, State};
use crate::rules::supplies::asked::{asked, function};
use crate::rules::supplies::planning::counted_together;
use crate::rules::supplies::{Item, Stock, StockStatus, Substitute, needed, substitutes, used_by};
use crate::rules::triage::Category;

/// The stretch that "at the present rate" looks back over. Design choice.
const WINDOW: Minutes = Minutes(30);
/// A shorter one says nothing about a rate. Design choice.
const SHORTEST: Minutes = Minutes(5);

/// One item's account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Which item.
    pub item: Item,
    /// What is left, where it was ever counted.
    pub left: Option<u32>,
    /// How many of them are out of date.
    pub out_of_date: u32,
    /// How many more were used than counted.
    pub overdrawn: u32,
    /// How many were used so far.
    pub used: u32,
    /// How many the casualties here are still likely to need, in the first six hours and the days said.
    pub need: u32,
    /// How many the wounds on the board ask for with their next step.
    pub asked: u32,
    /// How many are short.
    pub short: u32,
    /// How bad it is.
    pub status: StockStatus,
    /// How long it lasts at the rate of the time before the last use.
    pub lasts: Option<Minutes>,
    /// What can stand in for it, best first; empty where it is there.
    pub instead: Vec<Substitute>,
}

impl Account {
    /// Whether somebody should hear of it: low, out, or more used than counted.
    pub const fn is_news(&self) -> bool {
        matches!(self.status, StockStatus::Low | StockStatus::Out) || self.overdrawn > 0
    }
}

impl Incident {
    /// What there is, as the rules of supplies count it.
    pub fn stock_left(&self) -> Stock {
        self.supplies.stock()
    }

    /// The account of every item that was counted, used or is needed.
    pub fn accounts(&self) -> Vec<Account> {
        let here = self.here();
        let spent: Vec<Spent> = self
            .casualties()
            .flat_map(|one| one.uses.iter().copied())
            .collect();
        let used = sum(spent.iter().map(|one| (one.item, one.count)));
        let stock = self.stock_left();
        let helpers = self.hands().count();
        let books = Books {
            asked: asked_by_wounds(&here),
            needed: self.still_needed(&here),
            rate: Rate::of(&spent, self.first_report_at()),
            helpers: u32::try_from(helpers).unwrap_or(u32::MAX),
            used,
            stock,
        };
        Item::ALL
            .into_iter()
            .map(|item| self.account(item, &books))
            .filter(|one| one.left.is_some() || one.used > 0 || one.need > 0 || one.asked > 0)
            .collect()
    }

    /// Casualties who are still here: what the others need is no longer asked of these kits.
    pub(super) fn here(&self) -> Vec<&Casualty> {
        self.casualties()
            .filter(|one| self.evacuation.whereabouts(one.id).is_none())
            .collect()
    }

    /// How many people lay hands on casualties.
    pub(super) fn hands(&self) -> impl Iterator<Item = &super::state::Person> {
        self.people().filter(|one| one.role.may(Deed::ReportCare))
    }

    /// By planning factors, less what these casualties have had already.
    pub(super) fn still_needed(&self, here: &[&Casualty]) -> BTreeMap<Item, u32> {
        // Nobody sorted them yet: planned for as delayed (our default).
        let categories: Vec<Category> = here
            .iter()
            .map(|one| one.urgent_category().unwrap_or(Category::Delayed))
            .collect();
        let open = here
            .iter()
            .flat_map(|one| &one.wounds)
            .filter(|wound| !matches!(wound.standing.state, State::Void | State::HandedOver))
            .count();
        let days = self.settings().now().days_to_wait;
        let changes = u32::try_from(open).unwrap_or(u32::MAX).saturating_mul(days);
        let had = sum(here
            .iter()
            .flat_map(|one| &one.uses)
            .map(|one| (one.item, one.count)));
        needed(&categories, changes)
            .into_iter()
            .map(|need| {
                let had: u32 = group(need.item)
                    .iter()
                    .filter_map(|item| had.get(item))
                    .sum();
                (need.item, need.count.saturating_sub(had))
            })
            .collect()
    }

    fn account(&self, item: Item, books: &Books) -> Account {
        let level = self.supplies.levels.get(&item).copied().unwrap_or_default();
        let is_known = level.is_counted || level.moved > 0;
        let of = |map: &BTreeMap<Item, u32>| map.get(&item).copied().unwrap_or(0);
        let asked = of(&books.asked);
        let need = of(&books.needed).max(asked);
        let together: u32 = group(item)
            .iter()
            .filter_map(|part| books.stock.left(*part))
            .fold(0, u32::saturating_add);
        let status = if !is_known {
            StockStatus::Uncounted
        } else if level.left() == 0 {
            StockStatus::Out
        } else {
            books.stock.status(item, need, books.helpers)
        };
        let in_rate = of(&books.rate.used);
        let gone = matches!(status, StockStatus::Out);
        let instead = function(item)
            .filter(|_| gone)
            .map_or_else(Vec::new, |function| {
                substitutes(&self.settings().now().policy, function, &books.stock)
            });
        Account {
            item,
            left: is_known.then(|| level.left()),
            out_of_date: level.out_of_date.min(level.left()),
            overdrawn: if is_known { level.overdrawn() } else { 0 },
            used: of(&books.used),
            need,
            asked,
            short: if is_known || together > 0 {
                need.saturating_sub(together)
            } else {
                need
            },
            status,
            lasts: books.stock.runway(item, in_rate, books.rate.over),
            instead,
        }
    }
}

/// What every account is made from.
struct Books {
    asked: BTreeMap<Item, u32>,
    needed: BTreeMap<Item, u32>,
    used: BTreeMap<Item, u32>,
    rate: Rate,
    stock: Stock,
    helpers: u32,
}

/// What was used in the stretch before the last use.
struct Rate {
    used: BTreeMap<Item, u32>,
    over: Minutes,
}

impl Rate {
    fn of(spent: &[Spent], first: Option<Timestamp>) -> Self {
        let Some(last) = spent.iter().map(|one| one.at).max() else {
            return Self {
                used: BTreeMap::new(),
                over: Minutes::ZERO,
            };
        };
        let window = SignedDuration::from_mins(i64::from(WINDOW.0));
        let since = |one: &&Spent| last.duration_since(one.at) < window;
        let known = first.map_or(SignedDuration::ZERO, |first| last.duration_since(first));
        let over = u32::try_from(known.as_mins()).unwrap_or(0);
        Self {
            used: sum(spent.iter().filter(since).map(|one| (one.item, one.count))),
            over: Minutes(over.clamp(SHORTEST.0, WINDOW.0)),
        }
    }
}

fn asked_by_wounds(here: &[&Casualty]) -> BTreeMap<Item, u32> {
    sum(here
        .iter()
        .flat_map(|one| &one.wounds)
        .flat_map(|wound| asked(&wound.standing, wound.region, wound.described.depth))
        .flat_map(used_by))
}

/// The items one line of the plan counts together, or the item alone.
pub(super) fn group(item: Item) -> Vec<Item> {
    let together = counted_together(item);
    if together.is_empty() {
        vec![item]
    } else {
        together.to_vec()
    }
}

fn sum(counts: impl Iterator<Item = (Item, u32)>) -> BTreeMap<Item, u32> {
    let mut all: BTreeMap<Item, u32> = BTreeMap::new();
    for (item, count) in counts {
        let line = all.entry(item).or_default();
        *line = line.saturating_add(count);
    }
    all
}
