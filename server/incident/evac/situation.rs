//! What the incident report needs beside the casualties: each answer as it was last given.

use jiff::Timestamp;

use crate::incident::entry::Entry;
use crate::incident::fact::{PickUpTold, SituationReported};
use crate::incident::text::Words;

/// The latest answer to everything, and who spoke last of a major incident.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Situation {
    /// The answers.
    pub told: SituationReported,
    /// What an aircraft asks beside them.
    pub pick_up: PickUpTold,
    /// When and by whom it was said whether the incident is major.
    pub major_by: Option<(Timestamp, Words)>,
    /// When anything was last told.
    pub at: Option<Timestamp>,
}

/// Each answer that was given replaces the one before.
macro_rules! later {
    ($known:expr, $said:expr, $($field:ident),+) => {
        $(if $said.$field.is_some() { $known.$field.clone_from(&$said.$field); })+
    };
}

impl Situation {
    pub(super) fn take(&mut self, said: &SituationReported, entry: &Entry) {
        if said.major.is_some() {
            self.major_by = Some((entry.happened_at, entry.by.clone()));
        }
        self.at = Some(entry.happened_at);
        later!(
            self.told,
            said,
            major,
            location,
            position,
            what,
            hazards_present,
            hazards_potential,
            access,
            egress,
            rendezvous,
            avoid,
            uninjured,
            estimate,
            services_present,
            services_required,
            radio,
            marking,
            terrain
        );
    }

    pub(super) fn take_pick_up(&mut self, said: &PickUpTold) {
        later!(
            self.pick_up,
            said,
            special,
            status,
            wording,
            security,
            contamination
        );
    }
}
