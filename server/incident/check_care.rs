//! Whether the numbers of what is reported around the ladder can be meant. The bounds are wide, as in `check.rs`.

use super::check::{optional, within};
use super::fact::{BeyondChecked, BloodSeen, Fact, RisksTold, TourniquetDescribed, WoundDescribed};
use super::refusal::Refusal;

/// Checks such a fact by itself; any other is let through.
pub(super) fn check(fact: &Fact) -> Result<(), Refusal> {
    let says_nothing = match fact {
        Fact::RisksTold(told) => *told == RisksTold::default(),
        Fact::WoundDescribed(said) => *said == WoundDescribed::default(),
        Fact::TourniquetDescribed(said) => *said == TourniquetDescribed::default(),
        Fact::BloodSeen(seen) => *seen == BloodSeen::default(),
        Fact::BeyondChecked(check) => {
            *check
                == BeyondChecked {
                    before: check.before,
                    ..BeyondChecked::default()
                }
        }
        _ => false,
    };
    if says_nothing {
        return Err(Refusal::SaysNothing);
    }
    match fact {
        Fact::WoundDescribed(said) => said.length_mm.map_or(Ok(()), |mm| {
            within("the length in millimetres", mm, 1, 2000)
        }),
        Fact::BeyondChecked(check) => {
            optional("refill in tenths of a second", check.refill_tenths, 0, 150)?;
            let other = check.refill_other_side_tenths;
            optional("refill of the other side", other, 0, 150)
        }
        Fact::ReleaseBegun(begun) => few("the number of points", begun.ticked.len(), 7),
        Fact::ShockSignsSeen(seen) => {
            few("the number of signs", seen.signs.len(), 10)?;
            optional("pulse per minute", seen.pulse_per_minute, 0, 300)
        }
        Fact::BloodSeen(seen) => [
            seen.fists,
            seen.dressings_10_by_18,
            seen.dressings_19_by_20,
            seen.dressings_30_by_30,
        ]
        .into_iter()
        .flatten()
        .try_for_each(|count| within("a count", count, 0, 200)),
        Fact::WoundRinsed(rinsed) => within("millilitres", rinsed.ml, 1, 20_000),
        Fact::InfectionLooked(look) => few("the number of signs", look.signs.len(), 15),
        _ => Ok(()),
    }
}

fn few(what: &'static str, length: usize, most: u32) -> Result<(), Refusal> {
    within(what, u32::try_from(length).unwrap_or(u32::MAX), 0, most)
}
