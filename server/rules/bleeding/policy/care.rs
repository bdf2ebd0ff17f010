//! Numbers around the bleeding: moves, shock, warmth, breathing, wound care, exposure, silence.
//!
//! Owns those defaults. Promises nothing but the numbers and their sources.

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::minutes::Minutes;

/// Times and limits of the care around the ladder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Care {
    /// Check everything after a move. Source of the check: JTS curriculum; 2 min is our default.
    pub after_move: Minutes,
    /// First look at a wound that stopped. Our default.
    pub stopped_first: Minutes,
    /// Every further look. Our default.
    pub stopped_next: Minutes,
    /// Observations in shock. From memory (5 min when unstable).
    pub observe_shock: Minutes,
    /// Observations when stable. From memory (15 min).
    pub observe_stable: Minutes,
    /// Warm and insulated, after the first control. Our default; content: TCCC change 20-01 (2020).
    pub warm_after_control: Minutes,
    /// … or after the casualty was met, whichever is sooner. Our default.
    pub warm_after_meeting: Minutes,
    /// Breathing check (open chest, neck). Our default.
    pub breathing: Minutes,
    /// Help when breathing got worse. Our default.
    pub breathing_worse: Minutes,
    /// Look at a cover over organs. Our default.
    pub organ_cover: Minutes,
    /// Rinse before, counted from the injury. Source: JTS, nursing and wound care in prolonged casualty
    /// care (later counts as dirty).
    pub rinse_before: Minutes,
    /// Warn this long before that. Our default.
    pub rinse_warning: Minutes,
    /// Change a dressing. Source: JTS Clinical Practice Guideline 62 (at least every 24 h).
    pub dressing_change: Minutes,
    /// Look for infection. Source: Wilderness Medical Society, Snowmass 2005 (daily).
    pub infection_look: Minutes,
    /// … for a wound at high risk. Our default.
    pub infection_look_high_risk: Minutes,
    /// Packing stays in at most. From memory (product labels).
    pub packing_stays: Minutes,
    /// Tranexamic acid, from injury. Source: JTS, damage control resuscitation (later: higher mortality).
    pub tranexamic_window: Minutes,
    /// Warn at. Our default.
    pub tranexamic_warning: Minutes,
    /// Doctor after blood exposure. Source: NIOSH 2008-116 (at once); 2 h is our default.
    pub exposure_doctor: Minutes,
    /// Refill limit, tenths of a second. Source: St John Ambulance; ANZCOR 9.1.1.
    pub refill_tenths: u16,
    /// … adult women. Source: Schriger & Baraff, Ann Emerg Med 1988.
    pub refill_tenths_woman: u16,
    /// … elderly. Source: Schriger & Baraff 1988.
    pub refill_tenths_elderly: u16,
    /// Elderly from, in years. Our default.
    pub elderly_from: u16,
    /// Press this long before looking at the refill, seconds. Source: St John Ambulance.
    pub refill_press_seconds: u16,
    /// Pulse above which an adult looks shocked, per minute. Source: ANZCOR 9.1.1.
    pub shock_pulse: u16,
    /// Least rinse, millilitres. Source: Atlas of Emergency Medicine, ch. 18.
    pub rinse_least_ml: u32,
    /// Least rinse of a grossly dirty wound. Source: wilderness protocol 4 (relayed); JTS CPG 62.
    pub rinse_least_gross_ml: u32,
    /// Rinse per centimetre, clean. Source: Atlas of Emergency Medicine, ch. 18.
    pub rinse_ml_per_cm_clean: u32,
    /// Rinse per centimetre, dirty. Source: College of Urgent Care Medicine note (50 to 100, relayed).
    pub rinse_ml_per_cm_dirty: u32,
    /// Blood on a hard floor under one closed fist, millilitres. Source: Merlin et al., Am J Emerg Med 2009.
    pub fist_ml: u32,
    /// An acknowledged critical clock stays silent for. Our default.
    pub silence_critical: Minutes,
    /// … a high one. Our default.
    pub silence_high: Minutes,
    /// … a medium one. Our default.
    pub silence_medium: Minutes,
    /// A phone clock this far off is pointed out, seconds. Our default.
    pub skew_warning_seconds: u32,
}

impl Default for Care {
    fn default() -> Self {
        Self {
            after_move: Minutes(2),
            stopped_first: Minutes(10),
            stopped_next: Minutes(60),
            observe_shock: Minutes(5),
            observe_stable: Minutes(15),
            warm_after_control: Minutes(10),
            warm_after_meeting: Minutes(20),
            breathing: Minutes(5),
            breathing_worse: Minutes(1),
            organ_cover: Minutes(30),
            rinse_before: Minutes(360),
            rinse_warning: Minutes(120),
            dressing_change: Minutes(1440),
            infection_look: Minutes(1440),
            infection_look_high_risk: Minutes(720),
            packing_stays: Minutes(1440),
            tranexamic_window: Minutes(180),
            tranexamic_warning: Minutes(120),
            exposure_doctor: Minutes(120),
            refill_tenths: 20,
            refill_tenths_woman: 29,
            refill_tenths_elderly: 45,
            elderly_from: 65,
            refill_press_seconds: 5,
            shock_pulse: 100,
            rinse_least_ml: 500,
            rinse_least_gross_ml: 1000,
            rinse_ml_per_cm_clean: 60,
            rinse_ml_per_cm_dirty: 100,
            fist_ml: 20,
            silence_critical: Minutes(2),
            silence_high: Minutes(5),
            silence_medium: Minutes(15),
            skew_warning_seconds: 60,
        }
    }
}
