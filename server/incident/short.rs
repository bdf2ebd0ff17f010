//! What is low or out, as alarms of their own.
//!
//! Owns since when an item is short. Promises: pure, and without the present moment: an alarm is about the number
//! that is left, so it calls anew when that changes and not when somebody else is met. How bad it is, the rules say
//! (`supplies::stock`).

use jiff::Timestamp;

use super::alarms::{Calling, Quiet, quiet};
use super::casualty::Casualty;
use super::needs::{Account, group};
use super::state::Incident;
use crate::rules::bleeding::Severity;
use crate::rules::supplies::stock::{few_for_hands, stock_clock};
use crate::rules::supplies::{Item, StockStatus};

/// An item that is low or out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockAlarm {
    /// Its account.
    pub account: Account,
    /// Since when.
    pub since: Timestamp,
    /// How bad.
    pub severity: Severity,
    /// Seen: quiet for now.
    pub quiet: Option<Quiet>,
}

impl StockAlarm {
    /// The code by which it is acknowledged.
    pub fn code(&self) -> String {
        format!("{PREFIX}{}", self.account.item.code())
    }
}

/// Before an item's code.
const PREFIX: &str = "stock.";

/// The item an acknowledged code names.
pub(super) fn item_of(code: &str) -> Option<Item> {
    let named = code.strip_prefix(PREFIX)?;
    Item::ALL.into_iter().find(|item| item.code() == named)
}

impl Incident {
    /// What is low or out, what is out first, then the one that has been so the longest.
    pub fn stock_alarms(&self) -> Vec<StockAlarm> {
        let mut here = self.here();
        here.sort_by_key(|one| needs_since(one));
        let held = self.settings().now();
        let mut all: Vec<StockAlarm> = self
            .accounts()
            .into_iter()
            .filter_map(|account| {
                let since = self.short_since(&account, &here)?;
                let clock = stock_clock(account.status, since)?;
                let mut alarm = StockAlarm {
                    account,
                    since,
                    severity: clock.severity,
                    quiet: None,
                };
                let calling = Calling {
                    code: alarm.code(),
                    wound: None,
                    due_at: since,
                    severity: clock.severity,
                    worse: None,
                };
                alarm.quiet = quiet(&self.supplies.seen, &calling, held);
                Some(alarm)
            })
            .collect();
        all.sort_by_key(|one| (std::cmp::Reverse(one.severity), one.since, one.account.item));
        all
    }

    fn short_since(&self, account: &Account, here: &[&Casualty]) -> Option<Timestamp> {
        let levels = || {
            group(account.item)
                .into_iter()
                .filter_map(|part| self.supplies.levels.get(&part))
        };
        let own = self.supplies.levels.get(&account.item)?.changed_at?;
        let left = levels()
            .map(super::level::Level::left)
            .fold(0, u32::saturating_add);
        match account.status {
            StockStatus::Out => Some(own),
            StockStatus::Low => {
                let changed = levels()
                    .filter_map(|level| level.changed_at)
                    .max()
                    .unwrap_or(own);
                let passed = if left < account.need {
                    self.need_passed(account.item, left, here)
                } else {
                    self.hands_passed(account.item, left)
                };
                Some(passed.map_or(changed, |at| at.max(changed)))
            }
            StockStatus::Enough | StockStatus::Uncounted => None,
        }
    }

    /// When those who were here needed more than is left; none where it is the next steps that ask for it.
    fn need_passed(&self, item: Item, left: u32, here: &[&Casualty]) -> Option<Timestamp> {
        let needs = |count: usize| {
            self.still_needed(&here[..count])
                .get(&item)
                .copied()
                .unwrap_or(0)
        };
        let counts: Vec<usize> = (1..=here.len()).collect();
        let enough = counts.partition_point(|count| needs(*count) <= left);
        here.get(enough).map(|one| needs_since(one))
    }

    /// When so many were here that it became few for them.
    fn hands_passed(&self, item: Item, left: u32) -> Option<Timestamp> {
        let mut joined: Vec<Timestamp> = self.hands().map(|one| one.joined_at).collect();
        joined.sort_unstable();
        let few = (1_u32..)
            .zip(&joined)
            .find(|(count, _)| few_for_hands(item, left, *count));
        few.map(|(_, at)| *at)
    }
}

/// From when a casualty counts in the need as they do now.
fn needs_since(casualty: &Casualty) -> Timestamp {
    let sorted = casualty
        .sorting
        .decisions
        .last()
        .map(|decision| decision.at);
    sorted.unwrap_or(casualty.met_at)
}
