//! Whether a fact's numbers can be meant.
//!
//! Owns the bounds of what a field holds. Bounds are wide on purpose: an odd value is a person's to keep;
//! only what cannot be a measurement is turned back.

use super::fact::{Fact, WoundAssessed, WoundFoundWithSigns};
use super::refusal::Refusal;
use super::setting::Decides;
use super::{check_care, check_triage};

/// Checks a fact by itself, without looking at the state.
///
/// # Errors
/// When a number is out of bounds or nothing is said.
pub(super) fn check(fact: &Fact) -> Result<(), Refusal> {
    match fact {
        Fact::StepTaken(step) => {
            within(
                "the number of kinds used",
                u32::try_from(step.used.len()).unwrap_or(u32::MAX),
                0,
                12,
            )?;
            step.used
                .iter()
                .try_for_each(|used| within("a count", used.count, 1, 50))
        }
        Fact::PolicyChanged(change) => {
            change.setting.check(&change.value)?;
            let adviser = change.setting.decides() == Decides::MedicalAdviser;
            if adviser && change.decided_by.is_none() {
                return Err(Refusal::NeedsDecider(change.setting.words()));
            }
            Ok(())
        }
        Fact::KitCounted(_) | Fact::StockMoved(_) | Fact::KitDescribed(_) => check_kit(fact),
        Fact::RecordKept(kept) => within("days to keep the record", kept.days, 1, 90),
        Fact::StockCounted(count) => within("the count", count.count, 0, 9999),
        Fact::CategoryAssigned(assigned) => match &assigned.assessment {
            Some(super::fact::Assessment::Start {
                answers,
                variant,
                step,
                ..
            }) => {
                let longest = variant.len().max(step.as_ref().map_or(0, String::len));
                within(
                    "the length of a code",
                    u32::try_from(longest).unwrap_or(u32::MAX),
                    0,
                    40,
                )?;
                optional("breaths per minute", answers.breaths_per_minute, 0, 120)?;
                optional(
                    "refill in tenths of a second",
                    answers.refill_tenths,
                    0,
                    150,
                )
            }
            None => Ok(()),
        },
        Fact::CasualtyDescribed(said)
            if said.age.is_none() && said.words.is_none() && said.tag.is_none() =>
        {
            Err(Refusal::SaysNothing)
        }
        Fact::IncidentDescribed(said)
            if said.name.is_none() && said.place.is_none() && said.note.is_none() =>
        {
            Err(Refusal::SaysNothing)
        }
        other => check_bleeding(other),
    }
}

fn check_kit(fact: &Fact) -> Result<(), Refusal> {
    let kinds = |all: usize| {
        if all == 0 {
            return Err(Refusal::SaysNothing);
        }
        let all = u32::try_from(all).unwrap_or(u32::MAX);
        within("the number of items", all, 1, 40)
    };
    match fact {
        Fact::KitCounted(count) => {
            kinds(count.items.len())?;
            count.items.iter().try_for_each(|one| {
                within("the count", one.count, 0, 9999)?;
                within("those out of date", one.out_of_date, 0, one.count)
            })
        }
        Fact::StockMoved(moved) => {
            kinds(moved.items.len())?;
            let count = |one: &super::fact::ItemMoved| within("the count", one.count, 1, 9999);
            moved.items.iter().try_for_each(count)
        }
        Fact::KitDescribed(said)
            if said.name.is_none() && said.place.is_none() && said.carrier.is_none() =>
        {
            Err(Refusal::SaysNothing)
        }
        _ => Ok(()),
    }
}

fn check_bleeding(fact: &Fact) -> Result<(), Refusal> {
    match fact {
        Fact::StepDone(_)
        | Fact::CasualtyWarmed(_)
        | Fact::WoundRinsed(_)
        | Fact::InfectionLooked(_) => {
            let used = fact.used();
            within(
                "the number of kinds used",
                u32::try_from(used.len()).unwrap_or(u32::MAX),
                0,
                12,
            )?;
            used.iter()
                .try_for_each(|used| within("a count", used.count, 1, 50))?;
            check_care::check(fact)
        }
        Fact::WoundFoundWithSigns(WoundFoundWithSigns { signs, .. })
        | Fact::WoundAssessed(WoundAssessed { signs, .. }) => within(
            "the number of signs",
            u32::try_from(signs.len()).unwrap_or(u32::MAX),
            0,
            9,
        ),
        Fact::DressingChecked(check) => {
            if check.stain.is_none()
                && check.circulation.is_none()
                && check.movement.is_none()
                && check.feeling.is_none()
                && check.refill_tenths.is_none()
            {
                return Err(Refusal::SaysNothing);
            }
            optional("refill in tenths of a second", check.refill_tenths, 0, 150)?;
            optional(
                "refill of the other side",
                check.refill_other_side_tenths,
                0,
                150,
            )
        }
        Fact::TourniquetChecked(check) if check.bleeding.is_none() && check.pulse.is_none() => {
            Err(Refusal::SaysNothing)
        }
        other => check_triage::check(other)
            .and_then(|()| check_care::check(other))
            .and_then(|()| super::evac::check(other)),
    }
}

pub(super) fn optional(
    what: &'static str,
    given: Option<u16>,
    min: u32,
    max: u32,
) -> Result<(), Refusal> {
    given.map_or(Ok(()), |given| within(what, u32::from(given), min, max))
}

pub(super) fn within(what: &'static str, given: u32, min: u32, max: u32) -> Result<(), Refusal> {
    if (min..=max).contains(&given) {
        Ok(())
    } else {
        Err(Refusal::OutOfRange {
            what,
            min,
            max,
            given,
        })
    }
}
