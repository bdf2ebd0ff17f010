//! What was taken out of a kit for a casualty, told or taken for granted.

use std::collections::BTreeSet;

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::DeviceId;
use crate::rules::supplies::Item;

/// Something taken out of a kit for a casualty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spent {
    /// When.
    pub at: Timestamp,
    /// Of what.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// By whom: it comes out of the kit they carry, else out of the common bag.
    pub by: DeviceId,
}

/// One pair of gloves for each person who laid hands on the casualty, from then on, unless they said themselves
/// how many (standard precautions: new gloves for each casualty; from memory).
pub(super) fn gloves(ordered: &[&Entry]) -> Vec<Spent> {
    let told: BTreeSet<DeviceId> = ordered
        .iter()
        .filter(|entry| {
            let used = entry.fact.used();
            used.iter().any(|used| used.item == Item::Gloves)
        })
        .map(|entry| entry.device)
        .collect();
    let mut gloved: BTreeSet<DeviceId> = BTreeSet::new();
    ordered
        .iter()
        .filter(|entry| lays_hands(entry) && !told.contains(&entry.device))
        .filter(|entry| gloved.insert(entry.device))
        .map(|entry| Spent {
            at: entry.happened_at,
            item: Item::Gloves,
            count: 1,
            by: entry.device,
        })
        .collect()
}

/// Whether a report says that its author touched the casualty.
const fn lays_hands(entry: &Entry) -> bool {
    match &entry.fact {
        Fact::WoundFound(_)
        | Fact::WoundFoundWithSigns(_)
        | Fact::WoundAssessed(_)
        | Fact::NoteAdded(_)
        | Fact::AlarmSeen(_)
        | Fact::ReportConfirmed(_)
        | Fact::EntryStruck(_) => false,
        Fact::CasualtyWarmed(_)
        | Fact::VitalsMeasured(_)
        | Fact::SignsMeasured(_)
        | Fact::LifesavingDone(_) => true,
        _ => matches!(entry.about, About::Wound(_)),
    }
}
