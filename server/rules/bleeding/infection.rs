//! Signs of infection and of wounds that need a shot, for the handover.
//!
//! Owns how serious a set of signs is, and the tetanus note. Promises: notes for handover, never a prompt to
//! treat. Sources: sign lists from memory and *common practice*; daily look: Wilderness Medical Society 2005;
//! tetanus: Minnesota Department of Health summary of CDC/ACIP.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

/// A sign at or around a wound.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum InfectionSign {
    RednessBeyondInk,
    Swelling,
    Warmth,
    MorePainAfterDayTwo,
    Pus,
    BadSmell,
    RedStreaks,
    SwollenNodes,
    Fever,
    Shivering,
    FastPulse,
    PainBeyondLook,
    Crackling,
    BlistersOrDuskySkin,
    RapidSpread,
}

impl InfectionSign {
    /// Every sign, the mild ones first.
    pub const ALL: [Self; 15] = [
        Self::RednessBeyondInk,
        Self::Swelling,
        Self::Warmth,
        Self::MorePainAfterDayTwo,
        Self::Pus,
        Self::BadSmell,
        Self::RedStreaks,
        Self::SwollenNodes,
        Self::Fever,
        Self::Shivering,
        Self::FastPulse,
        Self::PainBeyondLook,
        Self::Crackling,
        Self::BlistersOrDuskySkin,
        Self::RapidSpread,
    ];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::RednessBeyondInk => "redness_beyond_ink",
            Self::Swelling => "swelling",
            Self::Warmth => "warmth",
            Self::MorePainAfterDayTwo => "more_pain_after_day_two",
            Self::Pus => "pus",
            Self::BadSmell => "bad_smell",
            Self::RedStreaks => "red_streaks",
            Self::SwollenNodes => "swollen_nodes",
            Self::Fever => "fever",
            Self::Shivering => "shivering",
            Self::FastPulse => "fast_pulse",
            Self::PainBeyondLook => "pain_beyond_look",
            Self::Crackling => "crackling",
            Self::BlistersOrDuskySkin => "blisters_or_dusky_skin",
            Self::RapidSpread => "rapid_spread",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::RednessBeyondInk => "redness past the ink line",
            Self::Swelling => "swelling",
            Self::Warmth => "warm",
            Self::MorePainAfterDayTwo => "more pain after day two",
            Self::Pus => "pus",
            Self::BadSmell => "bad smell",
            Self::RedStreaks => "red streaks",
            Self::SwollenNodes => "swollen nodes",
            Self::Fever => "fever from 38 °C",
            Self::Shivering => "shivering",
            Self::FastPulse => "fast pulse",
            Self::PainBeyondLook => "pain far beyond its look",
            Self::Crackling => "crackling under the skin",
            Self::BlistersOrDuskySkin => "blisters, grey or dusky skin",
            Self::RapidSpread => "spreads fast",
        }
    }
}

impl Infection {
    /// What is to be done, in words; nothing without a sign.
    pub const fn advice(self) -> Option<&'static str> {
        match self {
            Self::None => None,
            Self::Local => Some("infection here: rinse again, change every 12 hours, ask a medic"),
            Self::Systemic => Some("infection spreads in the body: leave urgently"),
            Self::Deep => Some("may be gas or flesh-eating: leave as an emergency"),
        }
    }
}

/// How serious.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Infection {
    /// No sign.
    None,
    /// Clean again, change twice a day, ask a medic.
    Local,
    /// Leave urgently.
    Systemic,
    /// Leave as an emergency: gas or flesh-eating infection possible.
    Deep,
}

/// How serious a set of signs is; the worst sign decides.
pub fn infection(signs: &BTreeSet<InfectionSign>) -> Infection {
    use InfectionSign as Sign;
    signs
        .iter()
        .map(|sign| match sign {
            Sign::PainBeyondLook
            | Sign::Crackling
            | Sign::BlistersOrDuskySkin
            | Sign::RapidSpread => Infection::Deep,
            Sign::RedStreaks
            | Sign::SwollenNodes
            | Sign::Fever
            | Sign::Shivering
            | Sign::FastPulse => Infection::Systemic,
            _ => Infection::Local,
        })
        .max()
        .unwrap_or(Infection::None)
}

/// Fever from this temperature, tenths of a degree Celsius (from memory).
pub const FEVER_TENTHS: u16 = 380;

/// Shots against tetanus so far.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum TetanusHistory {
    /// Three or more, the last one this many full years ago.
    Complete {
        /// Years since the last.
        years_since_last: u16,
    },
    /// Fewer than three, or nobody knows.
    IncompleteOrUnknown,
}

/// The tetanus note for the handover; `minor` means clean and minor.
pub const fn tetanus_note(history: TetanusHistory, minor: bool) -> Option<&'static str> {
    match history {
        TetanusHistory::Complete { years_since_last } => {
            if years_since_last >= 10 || (!minor && years_since_last >= 5) {
                Some("tetanus booster")
            } else {
                None
            }
        }
        TetanusHistory::IncompleteOrUnknown if minor => Some("tetanus vaccine"),
        TetanusHistory::IncompleteOrUnknown => Some("tetanus vaccine and immune globulin"),
    }
}

/// The note for the bite of a mammal (*common practice*).
pub const BITE_NOTE: &str = "rabies assessment";
