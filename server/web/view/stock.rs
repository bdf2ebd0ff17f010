//! Supplies as drawn: an item's account, a kit and what is in it.

use serde_json::json;

use super::duty::severity_code;
use super::time::Moment;
use crate::incident::{Account, Incident, Kit, StockAlarm};
use crate::rules::bleeding::Severity;
use crate::rules::supplies::{Item, StockStatus, Substitute};

/// One item's account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StockView {
    pub(crate) words: &'static str,
    pub(crate) unit: &'static str,
    /// What is left, where it was ever counted.
    pub(crate) left: Option<u32>,
    pub(crate) out_of_date: u32,
    pub(crate) used: u32,
    /// So many more were used than counted.
    pub(crate) overdrawn: u32,
    pub(crate) need: u32,
    pub(crate) asked: u32,
    pub(crate) short: u32,
    /// "about 25 min"; empty where nobody can tell.
    pub(crate) lasts: String,
    pub(crate) is_out: bool,
    /// Low, out, or more used than counted.
    pub(crate) is_news: bool,
    /// "packing gauze: press the full time".
    pub(crate) instead: String,
}

/// An item that is low or out, as a row among what needs somebody.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ShortView {
    /// "tourniquet: none left".
    pub(crate) words: String,
    /// What stands in for it, how many are short.
    pub(crate) line: String,
    pub(crate) since: Moment,
    pub(crate) severity: &'static str,
    pub(crate) can_wait: bool,
    /// Names this occurrence.
    pub(crate) alarm: String,
    /// The report that somebody saw it; empty on a board that has no bag yet.
    pub(crate) ack: String,
    /// Until when it is quiet, and who saw it.
    pub(crate) quiet: Option<(Moment, String)>,
}

impl ShortView {
    fn of(alarm: &StockAlarm, incident: &Incident) -> Self {
        let account = &alarm.account;
        let item = account.item.words();
        let instead = account.instead.first().map(instead_words);
        let short = (account.short > 0).then(|| format!("{} short", account.short));
        let lasts = account
            .lasts
            .filter(|_| account.status != StockStatus::Out)
            .map(|minutes| format!("lasts about {} min", minutes.0));
        let said = [instead.map(|made| format!("instead: {made}")), short, lasts];
        let ack = incident.common_bag().map(|bag| {
            let fact =
                json!({ "kind": "alarm.seen/1", "duty": alarm.code(), "due_at": alarm.since });
            json!({ "about": { "kit": bag }, "fact": fact }).to_string()
        });
        Self {
            words: if account.status == StockStatus::Out {
                format!("{item}: none left")
            } else {
                format!("{item}: {} left", account.left.unwrap_or(0))
            },
            line: said.into_iter().flatten().collect::<Vec<_>>().join(" · "),
            since: alarm.since.into(),
            severity: severity_code(alarm.severity),
            can_wait: alarm.severity <= Severity::Medium,
            alarm: format!("{} {}", alarm.code(), alarm.since),
            ack: ack.unwrap_or_default(),
            quiet: alarm
                .quiet
                .as_ref()
                .map(|quiet| (quiet.until.into(), quiet.by.to_string())),
        }
    }
}

/// What is low or out, what is out first.
pub(crate) fn short(incident: &Incident) -> Vec<ShortView> {
    let alarms = incident.stock_alarms();
    alarms
        .iter()
        .map(|alarm| ShortView::of(alarm, incident))
        .collect()
}

/// A kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct KitView {
    pub(crate) id: String,
    pub(crate) name: String,
    /// "with Teo", "by the shelter"; empty where nobody said.
    pub(crate) place: String,
    pub(crate) counted: Option<Moment>,
    /// Code, words, left, out of date, more used than counted.
    pub(crate) items: Vec<KitItem>,
}

/// One item of a kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct KitItem {
    pub(crate) code: &'static str,
    pub(crate) words: &'static str,
    pub(crate) left: u32,
    pub(crate) out_of_date: u32,
    pub(crate) overdrawn: u32,
}

impl StockView {
    fn of(account: &Account) -> Self {
        Self {
            words: account.item.words(),
            unit: account.item.unit(),
            left: account.left,
            out_of_date: account.out_of_date,
            used: account.used,
            overdrawn: account.overdrawn,
            need: account.need,
            asked: account.asked,
            short: account.short,
            lasts: account
                .lasts
                .map(|minutes| format!("about {} min", minutes.0))
                .unwrap_or_default(),
            is_out: account.status == StockStatus::Out,
            is_news: account.is_news(),
            instead: account
                .instead
                .first()
                .map(instead_words)
                .unwrap_or_default(),
        }
    }
}

/// A substitute in words, with what to mind and how long to press.
pub(crate) fn instead_words(rung: &Substitute) -> String {
    let items: Vec<&str> = rung.items.iter().map(|item| item.words()).collect();
    let made = items.join(" and ");
    match (made.is_empty(), rung.mind) {
        (false, Some(mind)) => format!("{made}: {mind}"),
        (false, None) => made,
        (true, mind) => mind.unwrap_or_default().to_owned(),
    }
}

/// Every item that was counted, used or is needed: what is low or out first.
pub(crate) fn stock(incident: &Incident) -> Vec<StockView> {
    let mut all: Vec<StockView> = incident.accounts().iter().map(StockView::of).collect();
    all.sort_by_key(|one| (!one.is_out, !one.is_news, one.left.is_none()));
    all
}

/// What to ask for from outside: "4 tourniquets"; of what nobody counted nothing can be said.
pub(crate) fn to_bring(incident: &Incident) -> Vec<(u32, &'static str)> {
    incident
        .accounts()
        .iter()
        .filter(|one| one.left.is_some() && one.short > 0)
        .map(|one| (one.short, one.item.words()))
        .collect()
}

/// Every kit, the common bag first.
pub(crate) fn kits(incident: &Incident) -> Vec<KitView> {
    let common = incident.common_bag();
    let mut all: Vec<&Kit> = incident.kits().collect();
    all.sort_by_key(|kit| (Some(kit.id) != common, kit.name.clone(), kit.id));
    all.into_iter()
        .map(|kit| KitView::of(kit, incident))
        .collect()
}

impl KitView {
    fn of(kit: &Kit, incident: &Incident) -> Self {
        let carrier = kit
            .carrier
            .and_then(|device| incident.person(device))
            .map(|person| format!("with {}", person.name));
        let place = kit.place.as_ref().map(ToString::to_string);
        Self {
            id: kit.id.to_string(),
            name: incident.kit_name(kit.id),
            place: carrier.or(place).unwrap_or_default(),
            counted: kit.counted_at.map(Moment::from),
            items: Item::ALL
                .into_iter()
                .filter_map(|item| Some((item, kit.levels.get(&item)?)))
                .map(|(item, level)| KitItem {
                    code: item.code(),
                    words: item.words(),
                    left: level.left(),
                    out_of_date: level.out_of_date.min(level.left()),
                    overdrawn: level.overdrawn(),
                })
                .collect(),
        }
    }
}
