//! A wound: the fold of what was reported about it.

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::{Fact, StepTaken, WoundFound};
use super::ids::WoundId;
use crate::rules::bleeding::{Act, Hold, Region, Side, Standing, standing};
use crate::rules::supplies::Item;

/// A wound and where it stands on the ladder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wound {
    /// Its id.
    pub id: WoundId,
    /// Where; none when the report that said so was struck while others about the wound stand.
    pub region: Option<Region>,
    /// Which side of the casualty.
    pub side: Side,
    /// When it was found.
    pub found_at: Timestamp,
    /// Where it stands.
    pub standing: Standing,
}

impl Wound {
    /// Folds a wound's unstruck entries, given in the order things happened. Striking the finding does not
    /// hide what others did to the wound: a tourniquet that is on stays on the board.
    pub fn fold(id: WoundId, entries: &[&Entry]) -> Option<Self> {
        let mine = || {
            entries
                .iter()
                .filter(|entry| entry.about == About::Wound(id))
        };
        let found: Option<&WoundFound> = mine().find_map(|entry| match &entry.fact {
            Fact::WoundFound(found) => Some(found),
            _ => None,
        });
        let region = found.map(|found| found.region);
        let acts: Vec<(Timestamp, Act)> = mine()
            .filter_map(|entry| Some((entry.happened_at, act(&entry.fact)?)))
            .collect();
        let (found_at, _) = *acts.first()?;
        // With no place known, suggest only what can work anywhere it may be: press and pack.
        let standing = standing(region.unwrap_or(Region::ProximalLimb), &acts)?;
        let side = found.map_or(Side::Unspecified, |found| found.side);
        Some(Self {
            id,
            region,
            side,
            found_at,
            standing,
        })
    }

    /// Whether the bleed is not under control: it bleeds, a hand must press, or nobody has looked yet.
    pub const fn needs_hands(&self) -> bool {
        matches!(self.standing.hold, Hold::Bleeding | Hold::HandPressing)
    }

    /// "forearm, left".
    pub fn place(&self) -> String {
        place_words(self.region, self.side)
    }
}

fn act(fact: &Fact) -> Option<Act> {
    match fact {
        Fact::WoundFound(found) => Some(Act::Found {
            flow: found.flow,
            amputation: found.amputation,
        }),
        Fact::StepTaken(step) => Some(Act::Step {
            measure: step.step,
            haemostatic: used_haemostatic(step),
        }),
        Fact::WoundLooked(looked) => Some(Act::Looked(looked.bleeding)),
        Fact::DistalChecked(check) => Some(Act::DistalCheck {
            passed: check.passed(),
        }),
        _ => None,
    }
}

fn used_haemostatic(step: &StepTaken) -> bool {
    step.used
        .iter()
        .any(|used| used.item == Item::HaemostaticGauze)
}

/// Where a wound is, in words: "forearm, left".
pub(super) fn place_words(region: Option<Region>, side: Side) -> String {
    let region = region.map_or("place not known", Region::words);
    match side {
        Side::Left | Side::Right => format!("{region}, {}", side.code()),
        Side::Middle | Side::Unspecified => region.to_owned(),
    }
}
