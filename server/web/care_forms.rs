//! What the forms around the ladder offer: signs, points, steps, in the words of the rules.
//!
//! Owns nothing but the choice of what is shown; every word comes from `rules::bleeding`, with its source there.

use crate::incident::{contamination_words, mechanism_words};
use crate::rules::bleeding::Policy;
use crate::rules::bleeding::after_care::RINSING;
use crate::rules::bleeding::conversion::{CONVERSION_STEPS, ReleasePoint};
use crate::rules::bleeding::infection::InfectionSign;
use crate::rules::bleeding::shock::{SHOCK_CARE, ShockSign, WARMTH};
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::{Contamination, Mechanism};

/// Code and words of a choice.
type Named = (&'static str, &'static str);

/// The choices.
#[derive(Debug)]
pub(super) struct CareForms {
    pub(super) shock_signs: Vec<Named>,
    pub(super) shock_care: [&'static str; 5],
    pub(super) warmth: [&'static str; 5],
    pub(super) release_points: Vec<Named>,
    pub(super) release_steps: [&'static str; 7],
    pub(super) infection_signs: Vec<Named>,
    pub(super) rinsing: [&'static str; 4],
    pub(super) mechanisms: Vec<Named>,
    pub(super) contaminations: Vec<Named>,
    pub(super) rough: &'static str,
    pub(super) do_not_close: &'static str,
    /// Where a tourniquet goes: "5 to 7.5 cm", and the middle of that in millimetres.
    pub(super) tourniquet_cm: String,
    pub(super) tourniquet_mm: u16,
    /// How long a tourniquet is eased off, in seconds.
    pub(super) ease_seconds: u32,
    pub(super) never_loosen: &'static str,
    pub(super) opposite_pulses: &'static str,
    pub(super) cold_refill: &'static str,
    /// How long a nail is pressed, in seconds, and after how many tenths the colour is late.
    pub(super) refill_press: u16,
    pub(super) refill_limit: u16,
}

impl CareForms {
    pub(super) fn new(policy: &Policy) -> Self {
        let (care, times) = (&policy.care, &policy.tourniquets);
        Self {
            shock_signs: ShockSign::ALL
                .map(|sign| (sign.code(), sign.words()))
                .to_vec(),
            shock_care: SHOCK_CARE,
            warmth: WARMTH,
            release_points: ReleasePoint::ALL
                .map(|point| (point.code(), point.words()))
                .to_vec(),
            release_steps: CONVERSION_STEPS,
            infection_signs: InfectionSign::ALL
                .map(|sign| (sign.code(), sign.words()))
                .to_vec(),
            rinsing: RINSING,
            mechanisms: [
                ("cut", Mechanism::Cut),
                ("graze", Mechanism::Graze),
                ("puncture", Mechanism::Puncture),
                ("crush", Mechanism::Crush),
                ("bite", Mechanism::Bite),
                ("burst", Mechanism::Burst),
            ]
            .map(|(code, mechanism)| (code, mechanism_words(mechanism)))
            .to_vec(),
            contaminations: [
                ("clean", Contamination::Clean),
                ("dirty", Contamination::Dirty),
                ("gross", Contamination::Gross),
            ]
            .map(|(code, dirt)| (code, contamination_words(dirt)))
            .to_vec(),
            rough: Warning::RoughEstimate.text(),
            do_not_close: Warning::DoNotClose.text(),
            tourniquet_cm: format!(
                "{} to {} cm",
                centimetres(times.distance_least_mm),
                centimetres(times.distance_most_mm)
            ),
            tourniquet_mm: u16::midpoint(times.distance_least_mm, times.distance_most_mm),
            ease_seconds: policy.tourniquets.release_over.0.saturating_mul(60),
            never_loosen: Warning::NeverLoosen.text(),
            opposite_pulses: Warning::OppositePulses.text(),
            cold_refill: Warning::SlowRefillCold.text(),
            refill_press: care.refill_press_seconds,
            refill_limit: care.refill_tenths,
        }
    }
}

/// "5", "7.5".
fn centimetres(mm: u16) -> String {
    match mm % 10 {
        0 => (mm / 10).to_string(),
        tenth => format!("{}.{tenth}", mm / 10),
    }
}
