//! What a report refers to: whether the board knows it, and what the entry is kept under.
//!
//! Owns the refusals for what refers to nothing, and what a draft is asked about who has had whom. Changes nothing.

use std::sync::Arc;

use super::about::About;
use super::draft::Draft;
use super::entry::Report;
use super::fact::Fact;
use super::ids::{CasualtyId, DeviceId};
use super::refusal::Refusal;

impl Draft<'_> {
    /// Whether somebody has had a casualty: taken on by themselves or given to them.
    pub(super) fn had(&self, about: &About, device: DeviceId) -> bool {
        let id = self.casualty_of(about);
        let thread = id.into_iter().flat_map(|id| self.base.timeline(id));
        let added = self.added.iter().map(Arc::as_ref);
        let mine = added.filter(|entry| self.casualty_of(&entry.about) == id);
        thread.chain(mine).any(|entry| {
            matches!(&entry.fact, Fact::CasualtyTaken(taken) if taken.helper == Some(device))
        })
    }

    fn knows(&self, device: DeviceId) -> bool {
        self.people.contains(&device) || self.base.person(device).is_some()
    }

    /// Checks that what is referred to exists; returns what the entry is about.
    pub(super) fn resolve(&self, report: &Report) -> Result<About, Refusal> {
        if let Some(casualty) = report.fact.founds_wound_of() {
            return self.resolve_wound(report.about, casualty);
        }
        if let (About::Casualty(one), Some(other)) = (report.about, report.fact.other_record())
            && one == other
        {
            return Err(Refusal::DoesNotFit);
        }
        match &report.fact {
            Fact::ReportConfirmed(confirmed) => {
                let known = self.known(confirmed.entry).map(|entry| entry.about);
                return known.ok_or(Refusal::RefersToNothing("report"));
            }
            Fact::EntryStruck(strike) => {
                // A strike is about whatever the struck entry is about, so that it is folded with it.
                return self
                    .known(strike.entry)
                    .map(|entry| entry.about)
                    .ok_or(Refusal::RefersToNothing("report"));
            }
            Fact::CasualtyRegistered(_) => return Ok(report.about),
            fact if fact
                .other_record()
                .is_some_and(|id| !self.knows_casualty(id)) =>
            {
                return Err(Refusal::RefersToNothing("casualty"));
            }
            Fact::EvacAsked(asked)
                if asked
                    .together_with
                    .is_some_and(|id| !self.knows_casualty(id)) =>
            {
                return Err(Refusal::RefersToNothing("casualty"));
            }
            fact if fact.names_device().is_some_and(|one| !self.knows(one)) => {
                return Err(Refusal::RefersToNothing("helper"));
            }
            _ => {}
        }
        if let Some(missed) = self
            .base
            .places
            .misses(&self.places, report.about, &report.fact)
        {
            return Err(Refusal::RefersToNothing(missed));
        }
        match report.about {
            About::Casualty(id) if !self.knows_casualty(id) => {
                Err(Refusal::RefersToNothing("casualty"))
            }
            About::Wound(_) if self.casualty_of(&report.about).is_none() => {
                Err(Refusal::RefersToNothing("wound"))
            }
            about => Ok(about),
        }
    }

    fn resolve_wound(&self, about: About, casualty: CasualtyId) -> Result<About, Refusal> {
        if !self.knows_casualty(casualty) {
            return Err(Refusal::RefersToNothing("casualty"));
        }
        let anothers = self
            .record_of(&about)
            .is_some_and(|owner| owner != casualty);
        if anothers {
            Err(Refusal::DoesNotFit)
        } else {
            Ok(about)
        }
    }
}
