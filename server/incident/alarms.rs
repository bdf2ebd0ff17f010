//! Alarms that somebody saw, and helpers who got blood on them.
//!
//! Owns which duty is quiet until when, and the list of exposures. Promises: pure; an acknowledgement silences the
//! one occurrence it names and changes nothing else; every clock ends by a person's report and never by an
//! acknowledgement. How long quiet lasts and when an exposure is due are the rules'.

use jiff::Timestamp;

use super::about::About;
use super::due::Task;
use super::entry::Entry;
use super::fact::Fact;
use super::ids::{DeviceId, EntryId, WoundId};
use super::settings::InForce;
use super::state::Incident;
use super::text::Words;
use crate::rules::bleeding::Severity;
use crate::rules::bleeding::clocks::{Acknowledged, silent_until};
use crate::rules::bleeding::exposure::{Route, exposure_clock};

/// "Seen", by whom and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Silenced {
    /// The duty's code.
    pub duty: Words,
    /// About which wound.
    pub wound: Option<WoundId>,
    /// When that duty was due.
    pub due_at: Timestamp,
    /// When it was seen.
    pub at: Timestamp,
    /// By whom.
    pub by: Words,
}

/// An alarm that is quiet for now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quiet {
    /// Until when.
    pub until: Timestamp,
    /// Who saw it.
    pub by: Words,
}

/// A helper who got blood on them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exposure {
    /// The report.
    pub report: EntryId,
    /// Who reported it.
    pub by: Words,
    /// On which device.
    pub device: DeviceId,
    /// When it happened.
    pub at: Timestamp,
    /// How it got in.
    pub route: Route,
    /// By when a doctor must have been seen; none once one was.
    pub due_at: Option<Timestamp>,
    /// Until when it is quiet.
    pub quiet: Option<Quiet>,
}

/// How the code of an exposure's alarm begins; the report's id follows.
pub(super) const EXPOSURE: &str = "exposure ";

impl Exposure {
    /// The code by which its alarm is seen.
    pub fn code(report: EntryId) -> String {
        format!("{EXPOSURE}{report}")
    }
}

impl Task {
    /// The stored code.
    pub fn code(self) -> String {
        match self {
            Self::Care(kind, _) => serde_json::to_value(kind)
                .ok()
                .and_then(|code| code.as_str().map(str::to_owned))
                .unwrap_or_default(),
            Self::Sort => "sort".to_owned(),
            Self::LookAgain(_) => "look_again".to_owned(),
        }
    }
}

/// What was seen of a casualty's duties, in the order it happened.
pub(super) fn silenced(ordered: &[&Entry]) -> Vec<Silenced> {
    ordered
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::AlarmSeen(alarm) => Some(Silenced {
                duty: alarm.duty.clone(),
                wound: match entry.about {
                    About::Wound(wound) => Some(wound),
                    _ => None,
                },
                due_at: alarm.due_at,
                at: entry.happened_at,
                by: entry.by.clone(),
            }),
            _ => None,
        })
        .collect()
}

/// What calls, as an acknowledgement names it.
pub(super) struct Calling {
    pub(super) code: String,
    pub(super) wound: Option<WoundId>,
    pub(super) due_at: Timestamp,
    pub(super) severity: Severity,
    /// When it becomes worse, and how bad then.
    pub(super) worse: Option<(Timestamp, Severity)>,
}

/// Until when it is quiet. Seen before it was due silences nothing; seen while it was less, it calls again when it
/// has become worse.
pub(super) fn quiet(seen: &[Silenced], calling: &Calling, held: &InForce) -> Option<Quiet> {
    let last = seen.iter().rev().find(|one| {
        one.duty.as_str() == calling.code
            && one.wound == calling.wound
            && one.due_at == calling.due_at
    })?;
    if last.at < calling.due_at {
        return None;
    }
    let (severity, worse_at) = match calling.worse {
        Some((at, worse)) if at <= last.at => (worse.max(calling.severity), None),
        Some((at, worse)) if worse > calling.severity => (calling.severity, Some(at)),
        _ => (calling.severity, None),
    };
    let until = silent_until(&held.policy, Acknowledged(last.at), severity)?;
    Some(Quiet {
        until: worse_at.map_or(until, |at| until.min(at)),
        by: last.by.clone(),
    })
}

impl Incident {
    /// Helpers who got blood on them, newest first.
    pub fn exposures(&self) -> Vec<Exposure> {
        let standing = || self.entries().iter().filter(|one| !self.is_struck(one.seq));
        let doctor = |report: EntryId| {
            standing()
                .any(|one| matches!(&one.fact, Fact::ExposureSeen(seen) if seen.report == report))
        };
        let about_all: Vec<&Entry> = standing()
            .filter(|entry| entry.about == About::Incident)
            .map(AsRef::as_ref)
            .collect();
        let seen = silenced(&about_all);
        let held = self.settings().now();
        let policy = &held.policy;
        let is_quiet = |report: EntryId, due_at: Option<Timestamp>| {
            let calling = Calling {
                code: Exposure::code(report),
                wound: None,
                due_at: due_at?,
                severity: Severity::High,
                worse: None,
            };
            quiet(&seen, &calling, held)
        };
        let mut all: Vec<Exposure> = standing()
            .filter_map(|entry| match &entry.fact {
                Fact::ExposureReported(said) => {
                    let due_at = exposure_clock(policy, entry.happened_at, doctor(entry.id))
                        .map(|clock| clock.due_at);
                    Some(Exposure {
                        report: entry.id,
                        by: entry.by.clone(),
                        device: entry.device,
                        at: entry.happened_at,
                        route: said.route,
                        due_at,
                        quiet: is_quiet(entry.id, due_at),
                    })
                }
                _ => None,
            })
            .collect();
        all.sort_by_key(|one| std::cmp::Reverse(one.at));
        all
    }
}
