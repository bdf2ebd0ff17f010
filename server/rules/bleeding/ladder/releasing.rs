//! Taking a tourniquet off again: review, conversion.
//!
//! Owns what a review suggests and what a conversion does to every wound below. Promises: a failed
//! conversion never moves the limb's start; a successful one leaves a dressing to be checked, never a
//! "stopped". Source: JTS curriculum, conversion module; Drew et al., J Spec Oper Med 2015.

use jiff::Timestamp;

use super::{Dated, Fold};
use crate::rules::bleeding::act::Role;
use crate::rules::bleeding::conversion::advises_leaving;
use crate::rules::bleeding::limb::{Grip, LimbStanding};
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;

impl Fold<'_> {
    pub(super) fn tourniquet_reviewed(&mut self, index: usize, dated: &Dated) {
        let limb = self.limb_of(index);
        let Some(standing) = self
            .picture
            .limbs
            .get_mut(&limb)
            .filter(|limb| limb.is_tight())
        else {
            self.kept(index, dated);
            return;
        };
        standing.reviewed_at = Some(dated.at);
        let shock = self.picture.person.shock_since.is_some();
        // After two hours only a medic goes through the list. Source: proposed TCCC change 25-2; Drew et al. 2015.
        let lead_until = self.case.policy.tourniquets.convert_lead;
        let too_late = standing
            .without_blood_since()
            .is_some_and(|since| lead_until.passed(since, dated.at));
        let leave = advises_leaving(&self.case, standing, (shock, dated.at))
            || (too_late && dated.role != Role::Medic);
        let (next, rule) = if leave {
            (Step::LeaveTourniquet, Rule::ReviewLeave)
        } else {
            (Step::AskIfStillNeeded, Rule::ReviewConvert)
        };
        for below in self.below_tourniquet(index) {
            let standing = &mut self.picture.wounds[below];
            standing.note(dated.at, rule);
            if standing.state == State::TourniquetHolds {
                standing.next = next;
                standing.next_since = Some(dated.at);
            }
        }
    }

    pub(super) fn conversion_started(&mut self, index: usize, dated: &Dated) {
        let limb = self.limb_of(index);
        if self
            .picture
            .limbs
            .get(&limb)
            .is_some_and(LimbStanding::is_tight)
        {
            self.grip(index, dated.at, Grip::Converting, Rule::ConvertByList);
        } else {
            self.kept(index, dated);
        }
    }

    pub(super) fn conversion_ended(&mut self, index: usize, dated: &Dated, held: bool) {
        let limb = self.limb_of(index);
        let below = self.below_tourniquet(index);
        let Some(standing) = self
            .picture
            .limbs
            .get_mut(&limb)
            .filter(|limb| limb.is_tight())
        else {
            self.kept(index, dated);
            return;
        };
        if !held {
            standing.failed_at.push(dated.at);
            self.grip(index, dated.at, Grip::Unchecked, Rule::ConversionFailed);
            return;
        }
        if let Some(since) = standing.without_blood_since() {
            standing.ended.push((since, dated.at));
        }
        standing.grip = Grip::Off;
        standing.grip_since = Some(dated.at);
        let dressing = standing.dressing_since.take();
        standing.earlier_dressing = [standing.earlier_dressing, dressing]
            .into_iter()
            .flatten()
            .min();
        for tourniquet in &mut standing.tourniquets {
            tourniquet.loosened_at.get_or_insert(dated.at);
        }
        for other in below {
            if other != index {
                self.look_after_release(other, dated.at);
            }
        }
        let standing = &mut self.picture.wounds[index];
        standing.layers = standing.layers.max(1);
        standing.times.dressed.get_or_insert(dated.at);
        standing.times.packed.get_or_insert(dated.at);
        standing.times.released = Some(dated.at);
        self.unchecked_dressing(index, dated.at, Rule::ConversionHeld);
    }

    /// A wound that is no longer below a tight tourniquet: its dressing is checked, or somebody looks.
    pub(super) fn look_after_release(&mut self, index: usize, at: Timestamp) {
        let standing = &mut self.picture.wounds[index];
        standing.times.released = Some(at);
        if standing.layers > 0 {
            self.unchecked_dressing(index, at, Rule::LookAfterRelease);
        } else {
            standing.rung = 0;
            standing.go(at, State::Unseen, Step::Look, Rule::LookAfterRelease);
        }
    }
}
