//! Gauze in the wound.
//!
//! Owns the hold a material asks for, repacking, and what follows when a pack fails.

use super::{Dated, Fold};
use crate::rules::bleeding::measure::Begin;
use crate::rules::bleeding::minutes::Minutes;
use crate::rules::bleeding::policy::Policy;
use crate::rules::bleeding::region::Allowed;
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::standing::{Hold, HoldKind};
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;
use crate::rules::supplies::Item;

/// How long to press on a pack of this material; an unknown material counts as plain gauze, and so does
/// haemostatic gauze out of date (our default).
pub(super) fn pack_hold(
    policy: &Policy,
    material: Option<Item>,
    expired: bool,
) -> (HoldKind, Minutes) {
    match material {
        Some(Item::HaemostaticGauze) if !expired => {
            (HoldKind::Haemostatic, policy.holds.haemostatic)
        }
        Some(Item::Cloth) => (HoldKind::Plain, policy.holds.cloth),
        _ => (HoldKind::Plain, policy.holds.plain),
    }
}

impl Fold<'_> {
    pub(super) fn packed(&mut self, index: usize, dated: &Dated, gauze: (Option<Item>, bool)) {
        let (material, expired) = gauze;
        let (kind, lasts) = pack_hold(self.case.policy, material, expired);
        let standing = &mut self.picture.wounds[index];
        if expired && material == Some(Item::HaemostaticGauze) {
            standing.warnings.insert(Warning::ExpiredGauze);
        }
        standing.times.packed = Some(dated.at);
        // Under a tourniquet packing prepares its release and changes nothing yet.
        if standing.state.is_under_tourniquet() || standing.state == State::Converting {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        if standing.next == Step::Repack || standing.state.is_dressed() {
            standing.repacks = standing.repacks.saturating_add(1);
        }
        if standing.state == State::HandsStay {
            standing.note(dated.at, Rule::HandsReplaced);
        }
        standing.layers = 0;
        standing.times.dressed = None;
        standing.go(
            dated.at,
            State::PackPressing,
            Step::KeepPressing,
            Rule::PackHold,
        );
        standing.hold = Some(Hold {
            kind,
            started_at: dated.at,
            lasts,
        });
        standing.press(dated.at, dated.by.clone());
    }

    pub(super) fn pack_failed(&mut self, index: usize, dated: &Dated) {
        let place = self.case.wounds[index].region.capability();
        let starts = &self.case.policy.starts;
        let most_repacks = self.case.policy.dressings.most_repacks;
        let packing = (Begin::Packing, starts.packing);
        let standing = &mut self.picture.wounds[index];
        if place.tourniquet {
            let tourniquet = (Begin::Tourniquet, starts.tourniquet);
            standing.bleed(
                dated.at,
                Step::Tourniquet,
                tourniquet,
                Rule::PackFailedTourniquet,
            );
        } else if standing.repacks < most_repacks && place.packing != Allowed::No {
            standing.bleed(dated.at, Step::Repack, packing, Rule::PackFailedRepack);
        } else {
            standing.bleed(dated.at, Step::HoldByHand, packing, Rule::PackFailedHands);
        }
    }
}
