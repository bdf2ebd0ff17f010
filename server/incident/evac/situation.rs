//! What the incident report needs beside the casualties: each answer as it was last given.

use jiff::Timestamp;

use crate::incident::entry::Entry;
use crate::incident::fact::SituationReported;
use crate::incident::text::Words;

/// The latest answer to everything, and who spoke last of a major incident.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Situation {
    /// The answers.
    pub told: SituationReported,
    /// When and by whom it was said whether the incident is major.
    pub major_by: Option<(Timestamp, Words)>,
    /// When anything was last told.
    pub at: Option<Timestamp>,
}

impl Situation {
    pub(super) fn take(&mut self, said: &SituationReported, entry: &Entry) {
        if said.major.is_some() {
            self.major_by = Some((entry.happened_at, entry.by.clone()));
        }
        self.at = Some(entry.happened_at);
        let known = &mut self.told;
        macro_rules! later {
            ($($field:ident),+) => { $(if said.$field.is_some() { known.$field.clone_from(&said.$field); })+ };
        }
        later!(
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
}
