//! Reports that came late and changed what the board shows, until the lead has seen them.
//!
//! Owns which those are. Promises: pure; it follows from the entries alone. A report is late when it reached the board
//! more than a minute after it happened; it is told here when the casualty stood on the board without it for a while,
//! the picture would be another one had it never come, and the lead neither made it nor has seen it.

use jiff::{SignedDuration, Timestamp};

use super::casualty::Casualty;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::Seq;
use super::role::Role;

/// For how long the board must have shown a casualty without a report. Design choice: what a phone brings together
/// with the casualty itself surprises nobody.
const SHOWN_WITHOUT: SignedDuration = SignedDuration::from_mins(1);
/// Each of so many late reports is weighed by itself; of more, all are told. Design choice, so that a phone back
/// after hours does not make every fold slow.
const WEIGHED: usize = 8;

/// A late report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Late {
    /// Its position.
    pub seq: Seq,
    /// When it happened.
    pub at: Timestamp,
    /// When it arrived.
    pub arrived: Timestamp,
}

/// Folds the casualty without the entries that are left out.
pub(super) type Without<'a> = &'a dyn Fn(&dyn Fn(&Entry) -> bool) -> Option<Casualty>;

/// The late reports to be told, in the order they happened. `without` folds the casualty without some entries.
pub(super) fn unseen(ordered: &[&Entry], now: &Casualty, without: Without<'_>) -> Vec<Late> {
    let seen = ordered
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::LateSeen(seen) => Some(seen.through),
            _ => None,
        })
        .max()
        .unwrap_or(Seq::START);
    let Some(first) = ordered.iter().map(|entry| entry.recorded_at).min() else {
        return Vec::new();
    };
    let late: Vec<&Entry> = ordered
        .iter()
        .copied()
        .filter(|entry| entry.is_late() && entry.seq > seen && entry.role != Some(Role::Lead))
        .filter(|entry| entry.recorded_at.duration_since(first) > SHOWN_WITHOUT)
        .collect();
    if late.is_empty() {
        return Vec::new();
    }
    let changes = |left_out: &dyn Fn(&Entry) -> bool| {
        without(left_out).is_none_or(|before| picture(&before) != picture(now))
    };
    // What a strike took away is not among the entries any more: it always counts as a change.
    let strikes = |entry: &Entry| matches!(entry.fact, Fact::EntryStruck(_));
    let any_strike = late.iter().any(|entry| strikes(entry));
    let seqs: Vec<Seq> = late.iter().map(|entry| entry.seq).collect();
    if !any_strike && !changes(&|entry| seqs.contains(&entry.seq)) {
        return Vec::new();
    }
    let weighed: Vec<&Entry> = if late.len() > WEIGHED {
        late.clone()
    } else {
        let tells = |one: &&Entry| strikes(one) || changes(&|entry: &Entry| entry.seq == one.seq);
        late.iter().copied().filter(tells).collect()
    };
    // Together they change it though none does alone.
    let told = if weighed.is_empty() { late } else { weighed };
    told.into_iter()
        .map(|entry| Late {
            seq: entry.seq,
            at: entry.happened_at,
            arrived: entry.recorded_at,
        })
        .collect()
}

/// What a row of the board says of somebody.
fn picture(one: &Casualty) -> impl PartialEq {
    let wounds: Vec<_> = one
        .wounds
        .iter()
        .map(|wound| (wound.id, wound.standing.state, wound.tourniquet_since))
        .collect();
    let categories: Vec<_> = one.category.all().iter().map(|given| given.value).collect();
    let places: Vec<_> = one
        .place
        .all()
        .iter()
        .map(|given| given.value.to_string())
        .collect();
    let helpers: Vec<_> = one.helpers().collect();
    let asked: Vec<_> = one
        .asked
        .all()
        .iter()
        .map(|given| given.value.clone())
        .collect();
    let worse: Vec<_> = one.worse_since_sorted().copied().collect();
    let shock = one.shock_since.is_some();
    (wounds, categories, places, helpers, asked, worse, shock)
}
