//! A helper got blood on broken skin, in the eyes or mouth, or was stuck.
//!
//! Owns what is done and the clock until a doctor is seen. Promises: seen by the lead only. Sources: NIOSH
//! 2008-116 and OSHA post-exposure page (wash, flush, report, medical evaluation at once); the two hours to
//! the doctor are our default.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::clocks::{Clock, ClockAbout, ClockKind};
use super::policy::Policy;

/// How blood got in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Route {
    Stick,
    BrokenSkin,
    Eyes,
    Mouth,
}

impl Route {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Stick, Self::BrokenSkin, Self::Eyes, Self::Mouth];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Stick => "stick",
            Self::BrokenSkin => "broken_skin",
            Self::Eyes => "eyes",
            Self::Mouth => "mouth",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stick => "a needle or blade went in",
            Self::BrokenSkin => "blood on broken skin",
            Self::Eyes => "blood in the eyes",
            Self::Mouth => "blood in mouth or nose",
        }
    }

    /// The first thing to do.
    pub const fn first_aid(self) -> &'static str {
        match self {
            Self::Stick | Self::BrokenSkin => "wash with soap and plenty of water",
            Self::Eyes => "rinse the eyes with clean water for minutes",
            Self::Mouth => "rinse mouth and nose with water, do not swallow",
        }
    }
}

/// Before touching anybody. Sources: Stop the Bleed booklet (scene); ANZCOR 9.1.1 (gloves, glasses); new
/// gloves per person from memory; barrier without gloves *common practice*.
pub const PROTECTION: [&str; 4] = [
    "Is the place safe? If not, get out and take them along.",
    "Gloves before blood, glasses if it may spray; new gloves for each person.",
    "No gloves: a clean bag or thick cloth, wash afterwards. A dangerous bleed does not wait for gloves.",
    "Cover your own cuts.",
];

/// The clock of a reported exposure: loud from the report on until a doctor was seen.
pub fn exposure_clock(policy: &Policy, reported_at: Timestamp, doctor_seen: bool) -> Option<Clock> {
    let within = policy.care.exposure_doctor;
    (!doctor_seen).then(|| {
        Clock::new(
            ClockKind::ExposureDoctor,
            ClockAbout::Helper,
            reported_at,
            within,
        )
        .warning_at(reported_at)
    })
}
