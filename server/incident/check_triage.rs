//! Whether the numbers of a fact about sorting or vital signs can be meant.
//!
//! Owns their bounds, wide on purpose, and the one thing that is asked for: whoever is called expectant must be
//! told what they are short of, so that it can be asked again when more arrives.

use super::check::{optional, within};
use super::fact::{CasualtyTold, CategoryDecided, Fact, SignsMeasured, VitalsMeasured};
use super::refusal::Refusal;
use crate::rules::scores::readings::Counted;
use crate::rules::triage::{Category, Input, Sheet, Systems};

/// Checks a fact of this file; any other passes.
///
/// # Errors
/// When a number is out of bounds, nothing is said, or what must be said is missing.
pub(super) fn check(fact: &Fact) -> Result<(), Refusal> {
    match fact {
        Fact::VitalsMeasured(vitals) if *vitals == VitalsMeasured::default() => {
            Err(Refusal::SaysNothing)
        }
        Fact::SignsMeasured(signs) if *signs == SignsMeasured::default() => {
            Err(Refusal::SaysNothing)
        }
        Fact::VitalsMeasured(vitals) => {
            let tenths = vitals.temperature_tenths_c;
            optional("temperature in tenths of a degree", tenths, 150, 450)?;
            signs(&vitals.into())
        }
        Fact::SignsMeasured(measured) => signs(measured),
        Fact::TriageChosen(chosen) => {
            let systems = Systems {
                adult: chosen.adult,
                child: chosen.child,
            };
            if systems.is_sound() {
                Ok(())
            } else {
                Err(Refusal::DoesNotFit)
            }
        }
        Fact::AssessmentAnswered(answered) => {
            let said = answered.answer.is_some() || answered.number.is_some();
            if !said && answered.level.is_none() {
                return Err(Refusal::SaysNothing);
            }
            optional("the number", answered.number, 0, 300)?;
            counted(answered.counted)
        }
        Fact::CategoryDecided(decided) => category(decided),
        Fact::LifesavingDone(done) => optional("rescue breaths", done.rescue_breaths, 0, 20),
        Fact::CasualtyTold(told) if *told == CasualtyTold::default() => Err(Refusal::SaysNothing),
        Fact::CasualtyTold(told) => optional("the age in years", told.years, 0, 130),
        _ => Ok(()),
    }
}

fn category(decided: &CategoryDecided) -> Result<(), Refusal> {
    if decided.category == Category::Expectant && decided.short_of.is_none() {
        return Err(Refusal::NeedsGrounds);
    }
    decided.sheet.as_ref().map_or(Ok(()), sheet)
}

fn sheet(sheet: &Sheet) -> Result<(), Refusal> {
    let answers = sheet.answers();
    for input in [
        Input::BreathsPerMinute,
        Input::PulsePerMinute,
        Input::RefillTenths,
        Input::AgeYears,
    ] {
        optional("a number of the sheet", answers.number(input), 0, 300)?;
    }
    let longest = sheet.step().map_or(0, str::len);
    within(
        "the length of a step's name",
        u32::try_from(longest).unwrap_or(u32::MAX),
        0,
        8,
    )
}

fn counted(counted: Option<Counted>) -> Result<(), Refusal> {
    counted.map_or(Ok(()), |counted| {
        within("a count", u32::from(counted.count), 0, 600)?;
        within("the seconds counted", u32::from(counted.seconds), 1, 600)
    })
}

fn signs(vitals: &SignsMeasured) -> Result<(), Refusal> {
    counted(vitals.breaths_counted)?;
    counted(vitals.pulse_counted)?;
    optional("breaths per minute", vitals.breaths_per_minute, 0, 120)?;
    optional("pulse per minute", vitals.pulse_per_minute, 0, 300)?;
    optional("systolic pressure", vitals.systolic_mmhg, 0, 300)?;
    optional(
        "oxygen saturation",
        vitals.oxygen_saturation_percent,
        0,
        100,
    )?;
    optional("refill in tenths of a second", vitals.refill_tenths, 0, 150)?;
    optional(
        "temperature in tenths of a degree",
        vitals.temperature_tenths_c,
        100,
        450,
    )?;
    optional("pain", vitals.pain, 0, 10)?;
    let skins = u32::try_from(vitals.skin.len()).unwrap_or(u32::MAX);
    within("the number of words for the skin", skins, 0, 6)
}
