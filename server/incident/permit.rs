//! Which deed a report is, and whether its author's role allows it.
//!
//! Owns the way from a fact to a row of the role table. Asked once, when a fact is taken in.

use super::about::About;
use super::draft::Author;
use super::entry::{Entry, Report};
use super::fact::Fact;
use super::ids::EntryId;
use super::refusal::Refusal;
use super::role::Deed;
use crate::rules::triage::Category;

/// Goes on only where the author's role allows this report; `known` finds the entry a strike names, `had` whether the
/// author has had the casualty.
pub(super) fn permit<'a>(
    report: &Report,
    author: &Author,
    known: impl Fn(EntryId) -> Option<&'a Entry>,
    had: impl Fn() -> bool,
) -> Result<(), Refusal> {
    let Some(role) = author.role else {
        return Ok(());
    };
    if report.fact.is_of_the_board() {
        return Err(Refusal::BoardOnly);
    }
    let deed = match &report.fact {
        Fact::IncidentDescribed(_) | Fact::TriageChosen(_) | Fact::CircumstancesChanged(_) => {
            Deed::DescribeIncident
        }
        Fact::PolicyChanged(_) | Fact::HelperTrained(_) | Fact::HelperNamed(_) => {
            Deed::ChangeSettings
        }
        Fact::ExposureSeen(_) => Deed::ManageDevices,
        // The only alarm of the whole incident is that of a private report.
        Fact::AlarmSeen(_) if report.about == About::Incident => Deed::ManageDevices,
        Fact::EvacRequested(_)
        | Fact::EvacAsked(_)
        | Fact::EvacCancelled(_)
        | Fact::HistoryTold(_)
        | Fact::CasualtyTold(_) => Deed::ReportEvac,
        fact if fact.moves_people() => moving_deed(fact),
        // What came over the radio: the coordinator writes it down.
        Fact::NoteAdded(_) if report.about == About::Incident => Deed::ReportEvac,
        Fact::StockCounted(_)
        | Fact::KitCounted(_)
        | Fact::StockMoved(_)
        | Fact::KitDescribed(_) => Deed::CountStock,
        Fact::AlarmSeen(_) if matches!(report.about, About::Kit(_)) => Deed::CountStock,
        fact if fact.category() == Some(Category::Expectant) => Deed::AssignExpectant,
        // Who has somebody may put them down or hand them on; nobody but the lead takes them from another.
        Fact::CasualtyTaken(taken) if taken.helper != Some(author.device) && !had() => {
            Deed::AssignOthers
        }
        Fact::CasualtyDifferent(_) | Fact::LateSeen(_) => Deed::JoinRecords,
        // Takes a whole wound off the list: the lead's, like striking what others said.
        Fact::WoundVoided(_) => Deed::StrikeAny,
        Fact::EntryStruck(strike) => strike_deed(known(strike.entry), author, &known)?,
        fact if fact.reserved().is_some() => fact.reserved().unwrap_or(Deed::Appoint),
        _ => Deed::ReportCare,
    };
    if !role.may(deed) {
        return Err(Refusal::NotAllowed);
    }
    match &report.fact {
        Fact::EntryStruck(strike) if deed == Deed::StrikeAny && strike.reason.is_none() => {
            Err(Refusal::NeedsReason)
        }
        _ => Ok(()),
    }
}

/// The helper at the door says who is on and that it left; the rest is the coordinator's.
const fn moving_deed(fact: &Fact) -> Deed {
    match fact {
        Fact::CasualtyLoaded(_)
        | Fact::CasualtyUnloaded(_)
        | Fact::CasualtyHandedOver(_)
        | Fact::TransportStands(_)
        | Fact::TransportLeft(_)
        | Fact::TransportArrived(_) => Deed::ReportEvac,
        _ => Deed::RunEvac,
    }
}

fn strike_deed<'a>(
    named: Option<&'a Entry>,
    author: &Author,
    known: impl Fn(EntryId) -> Option<&'a Entry>,
) -> Result<Deed, Refusal> {
    // Who opened the board and who joined is no report that could be mistaken: without its first entry the
    // board would begin anew under another id at the next start.
    if named.is_some_and(|entry| entry.fact.is_of_the_board()) {
        return Err(Refusal::BoardOnly);
    }
    // A strike of a strike brings back what was struck: whoever may not name a deputy must not do it that way.
    let mut at = named;
    while let Some(entry) = at {
        if let Some(deed) = entry.fact.reserved() {
            return Ok(deed);
        }
        at = match &entry.fact {
            Fact::EntryStruck(strike) => known(strike.entry),
            _ => None,
        };
    }
    let own = named.is_none_or(|entry| entry.device == author.device);
    Ok(if own {
        Deed::StrikeOwn
    } else {
        Deed::StrikeAny
    })
}
