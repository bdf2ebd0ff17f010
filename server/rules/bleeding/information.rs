//! Figures that inform and decide nothing: tranexamic acid, blood loss.
//!
//! Owns what is shown and to whom. Promises: never a gate for any rule; poor accuracy is said beside every
//! figure.

use jiff::Timestamp;

use super::act::Role;
use super::policy::{MedicPanel, Policy};

/// What the tranexamic acid panel shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TranexamicView {
    /// Nothing: not a medic, or switched off.
    Hidden,
    /// The time of injury is not known, so no countdown.
    InjuryTimeUnknown,
    /// Minutes left.
    Open {
        /// Minutes until the window closes.
        minutes_left: u32,
    },
    /// Too late: later use goes with higher mortality.
    Closed,
}

/// Tranexamic acid, for medics only. Source: JTS curriculum (as early as possible, within 3 h of injury);
/// JTS, damage control resuscitation (later: higher mortality).
pub fn tranexamic_view(
    policy: &Policy,
    role: Role,
    injured_at: Option<Timestamp>,
    now: Timestamp,
) -> TranexamicView {
    if role != Role::Medic || policy.switches.tranexamic_acid == MedicPanel::Off {
        return TranexamicView::Hidden;
    }
    let Some(injured_at) = injured_at else {
        return TranexamicView::InjuryTimeUnknown;
    };
    let closes = policy.care.tranexamic_window.after(injured_at);
    let left = closes.duration_since(now).as_mins();
    match u32::try_from(left) {
        Ok(minutes_left) if closes > now => TranexamicView::Open { minutes_left },
        _ => TranexamicView::Closed,
    }
}

/// Where spilt blood was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpiltBlood {
    /// On a hard floor: closed fists needed to cover it. Source: Merlin et al., Am J Emerg Med 2009.
    Fists(u32),
    /// Soaked military dressings of 10 × 18 cm: 300 mL each. Source: *Emergency War Surgery* (relayed).
    FieldDressings(u32),
    /// … of 19 × 20 cm: 750 mL.
    MediumDressings(u32),
    /// … of 30 × 30 cm: 1000 mL.
    LargeDressings(u32),
    /// … abdominal, 46 × 56 cm: 2500 mL.
    AbdominalDressings(u32),
    /// Grams a dressing gained, at 1.06 g/mL. Source: relayed with the table above.
    Grams(u32),
}

/// A lower bound in millilitres. Never used by a rule: estimates are too poor to guide treatment (study of
/// ambulance and hospital staff).
pub fn blood_at_least_ml(policy: &Policy, seen: &[SpiltBlood]) -> u32 {
    seen.iter().fold(0u32, |sum, one| {
        let ml = match *one {
            SpiltBlood::Fists(count) => count.saturating_mul(policy.care.fist_ml),
            SpiltBlood::FieldDressings(count) => count.saturating_mul(300),
            SpiltBlood::MediumDressings(count) => count.saturating_mul(750),
            SpiltBlood::LargeDressings(count) => count.saturating_mul(1000),
            SpiltBlood::AbdominalDressings(count) => count.saturating_mul(2500),
            SpiltBlood::Grams(grams) => grams.saturating_mul(50) / 53,
        };
        sum.saturating_add(ml)
    })
}

/// The estimate as it is shown.
pub fn blood_words(ml: u32) -> String {
    format!("at least ~{ml} mL, poor accuracy")
}
