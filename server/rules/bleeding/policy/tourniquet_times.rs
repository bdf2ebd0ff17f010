//! Tourniquet checks, reviews, limits and conversion, in minutes.
//!
//! Owns the defaults of everything counted from the first tourniquet. The bands are limits for managing
//! risk, not borders of physiology (TCCC proposed change, J Spec Oper Med, spring 2026).

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::minutes::Minutes;

/// Times of a limb under a tourniquet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct TourniquetTimes {
    /// Check after putting on, tightening or moving. Source: JTS curriculum.
    pub first_check: Minutes,
    /// Put right one that does not work. Source: TCCC Guidelines; 1 min is our default.
    pub fix_within: Minutes,
    /// Every further check. Source says "frequently"; 10 is our default.
    pub recheck: Minutes,
    /// Place it this far above the wound, in millimetres, at least. Source: TCCC Guidelines (2 in).
    pub distance_least_mm: u16,
    /// … and at most. Source: TCCC Guidelines (3 in).
    pub distance_most_mm: u16,
    /// "Is it still needed?" Our defaults; TCCC Guidelines say as soon as feasible and before 2 h.
    pub review_at: Vec<Minutes>,
    /// Warning before two hours. Our default.
    pub two_hours_soon: Minutes,
    /// Two hours. Source: TCCC Guidelines; Drew et al., J Spec Oper Med 2015.
    pub two_hours: Minutes,
    /// Serious limb harm becomes possible. Source: J Spec Oper Med, spring 2024 (lessons from Ukraine).
    pub four_hours: Minutes,
    /// Warning before six hours. Our default.
    pub six_hours_soon: Minutes,
    /// Not released in the field from here on. Source: TCCC Guidelines 2024; Drew et al. 2015.
    pub six_hours: Minutes,
    /// Ask again for a missing time. Our default; that it must be written down: JTS curriculum.
    pub time_missing_every: Minutes,
    /// Conversion by a trained lead, before. Source: TCCC Guidelines.
    pub convert_lead: Minutes,
    /// Conversion by a medic, before. Source: Drew et al. 2015; TCCC Guidelines.
    pub convert_medic: Minutes,
    /// Release slowly over at least this. Source: JTS curriculum, conversion module.
    pub release_over: Minutes,
    /// Another try is acceptable within this after a failed one. Source: JTS curriculum; a 2023 journal
    /// article on conversion takes a failure as a reason to leave it.
    pub retry_within: Minutes,
    /// Failed tries after which a lead may still try. Our default.
    pub failures_lead: u8,
    /// Failed tries after which a medic may still try. Our default between the two schools.
    pub failures_medic: u8,
    /// Close watch after a conversion. Source of the watch: JTS curriculum; the times are our default.
    pub watch_after: Vec<Minutes>,
    /// Leave it on when a hospital is reached within this. Source: JTS curriculum.
    pub leave_if_hospital_within: Minutes,
}

impl Default for TourniquetTimes {
    fn default() -> Self {
        Self {
            first_check: Minutes(1),
            fix_within: Minutes(1),
            recheck: Minutes(10),
            distance_least_mm: 50,
            distance_most_mm: 75,
            review_at: vec![Minutes(30), Minutes(60), Minutes(90)],
            two_hours_soon: Minutes(90),
            two_hours: Minutes(120),
            four_hours: Minutes(240),
            six_hours_soon: Minutes(330),
            six_hours: Minutes(360),
            time_missing_every: Minutes(2),
            convert_lead: Minutes(120),
            convert_medic: Minutes(360),
            release_over: Minutes(1),
            retry_within: Minutes(120),
            failures_lead: 0,
            failures_medic: 1,
            watch_after: vec![Minutes(5), Minutes(10)],
            leave_if_hospital_within: Minutes(120),
        }
    }
}
