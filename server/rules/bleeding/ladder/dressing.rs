//! Pressure dressings: on, a layer more, loosened, kept tight.
//!
//! Owns what is done to a dressing. Promises: each change asks for both halves of the check again; a dressing
//! kept tight on purpose starts the limb's clock at the time it went on.

use jiff::Timestamp;

use super::{Dated, Fold};
use crate::rules::bleeding::measure::Begin;
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;

impl Fold<'_> {
    pub(super) fn dressing_applied(&mut self, index: usize, dated: &Dated) {
        let grace = self.case.policy.holds.grace_seconds;
        let standing = &mut self.picture.wounds[index];
        let still_on = standing.state == State::Bleeding && standing.layers > 0;
        if standing.state.is_dressed() || still_on {
            self.dressing_reinforced(index, dated);
            return;
        }
        if standing
            .hold
            .is_some_and(|hold| !hold.is_up(dated.at, grace))
        {
            standing.warnings.insert(Warning::WrappedEarly);
        }
        standing.layers = 1;
        standing.times.dressed = Some(dated.at);
        if standing.state.is_under_tourniquet() || standing.state == State::Converting {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        if standing.state == State::HandsStay {
            standing.note(dated.at, Rule::HandsReplaced);
        }
        self.unchecked_dressing(index, dated.at, Rule::DressingNeedsCheck);
    }

    /// A dressing went on or was changed: both halves of the check are due.
    pub(super) fn unchecked_dressing(&mut self, index: usize, at: Timestamp, rule: Rule) {
        let has_beyond = self.case.wounds[index].region.capability().distal_check;
        let next = if has_beyond {
            Step::CheckBeyond
        } else {
            Step::LookAtDressing
        };
        let standing = &mut self.picture.wounds[index];
        standing.stain = None;
        standing.beyond = None;
        standing.go(at, State::DressingUnchecked, next, rule);
    }

    pub(super) fn dressing_reinforced(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        let still_on = standing.state == State::Bleeding && standing.layers > 0;
        if standing.state.is_dressed() || still_on {
            standing.layers = standing.layers.saturating_add(1);
            self.unchecked_dressing(index, dated.at, Rule::ReinforcedCheck);
        } else if matches!(
            standing.state,
            State::Bleeding | State::Pressing | State::PackPressing
        ) {
            self.dressing_applied(index, dated);
        } else {
            standing.note(dated.at, Rule::KeptAsReported);
        }
    }

    pub(super) fn dressing_loosened(&mut self, index: usize, dated: &Dated) {
        let limb = self.picture.limbs.get(&self.limb_of(index));
        let starving = limb.is_some_and(|limb| limb.dressing_since.is_some());
        let standing = &self.picture.wounds[index];
        let kept_tight = starving && standing.state == State::Bleeding && standing.layers > 0;
        if standing.state.is_dressed() || kept_tight {
            self.unchecked_dressing(index, dated.at, Rule::LoosenedCheck);
        } else {
            self.kept(index, dated);
        }
    }

    pub(super) fn dressing_kept_tight(&mut self, index: usize, dated: &Dated) {
        let standing = &self.picture.wounds[index];
        if !standing.state.is_dressed() {
            self.kept(index, dated);
            return;
        }
        self.limb_starves(index, dated.at);
        let place = self.case.wounds[index].region.capability();
        if place.tourniquet {
            let begin = (Begin::Tourniquet, self.case.policy.starts.tourniquet);
            let standing = &mut self.picture.wounds[index];
            standing.bleed(dated.at, Step::Tourniquet, begin, Rule::KeptTightTourniquet);
        } else {
            self.unchecked_dressing(index, dated.at, Rule::JunctionNoPulse);
        }
    }

    /// The dressing stops the limb's blood: the limb's clock runs from when the dressing went on.
    pub(super) fn limb_starves(&mut self, index: usize, at: Timestamp) {
        let limb = self.limb_of(index);
        let standing = &mut self.picture.wounds[index];
        standing.risk.limb = true;
        standing.risk.hastens_evacuation = true;
        let from = standing.times.dressed.unwrap_or(at);
        let limb = self.picture.limbs.entry(limb).or_default();
        limb.dressing_since = Some(limb.dressing_since.map_or(from, |since| since.min(from)));
    }
}
