//! A person with several records, and what came late about somebody, as drawn.

use serde_json::json;

use super::time::Moment;
use crate::incident::{Alike, Casualty, CasualtyId, Incident, Proposal, sentence};

/// A late report.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LateView {
    pub(crate) at: Moment,
    pub(crate) arrived: Moment,
    pub(crate) words: String,
    pub(crate) by: String,
}

/// Two records that somebody, or the board, takes for one person's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Pair {
    /// Id, number and words of both.
    pub(crate) records: Vec<(String, u32, String)>,
    /// Why: who thinks so, or what they have in common.
    pub(crate) why: String,
    /// The reports that they are one, and that they are two.
    pub(crate) same: String,
    pub(crate) different: String,
}

impl LateView {
    pub(super) fn all(casualty: &Casualty, incident: &Incident) -> Vec<Self> {
        let entries = casualty
            .late
            .iter()
            .filter_map(|late| Some((late, incident.entry(late.seq)?)));
        entries
            .map(|(late, entry)| Self {
                at: late.at.into(),
                arrived: late.arrived.into(),
                words: sentence(entry, incident),
                by: entry.by.to_string(),
            })
            .collect()
    }
}

/// The report that the lead has seen everything late that is shown; nothing where nothing is.
pub(super) fn late_seen(casualty: &Casualty) -> String {
    let Some(through) = casualty.late.iter().map(|late| late.seq).max() else {
        return String::new();
    };
    json!({ "about": { "casualty": casualty.id }, "fact": { "kind": "late.seen/1", "through": through } })
        .to_string()
}

/// The other numbers of a person, each with the report that it is somebody else's after all.
pub(super) fn also(casualty: &Casualty, incident: &Incident) -> Vec<(u32, String)> {
    let records = incident.sames().records(casualty.id);
    let others = records.into_iter().filter(|record| *record != casualty.id);
    others
        .filter_map(|record| {
            // Two people, however they were put together: said against each record it was joined to.
            let joined = incident.sames().joined_to(record);
            let other = if joined.contains(&casualty.id) {
                casualty.id
            } else {
                *joined.first()?
            };
            Some((
                incident.own_number(record)?,
                says(record, "casualty.different/1", other),
            ))
        })
        .collect()
}

impl Pair {
    /// What a helper thinks.
    pub(crate) fn of_proposal(proposal: &Proposal, incident: &Incident) -> Self {
        let why = format!("{} thinks so, {}", proposal.by, super::hour(proposal.at));
        Self::new(proposal.records, why, incident)
    }

    /// What the board points out.
    pub(crate) fn of_alike(alike: &Alike, incident: &Incident) -> Self {
        Self::new(alike.records, alike.why.clone(), incident)
    }

    fn new(records: [CasualtyId; 2], why: String, incident: &Incident) -> Self {
        let [one, other] = records;
        let drawn = records.into_iter().filter_map(|record| {
            let words = incident.casualty(record).map(super::casualty::words);
            Some((
                record.to_string(),
                incident.own_number(record)?,
                words.unwrap_or_default(),
            ))
        });
        Self {
            records: drawn.collect(),
            why,
            same: says(one, "casualty.same/1", other),
            different: says(one, "casualty.different/1", other),
        }
    }
}

fn says(one: CasualtyId, kind: &str, other: CasualtyId) -> String {
    json!({ "about": { "casualty": one }, "fact": { "kind": kind, "other": other } }).to_string()
}
