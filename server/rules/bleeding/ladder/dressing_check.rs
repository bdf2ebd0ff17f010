//! A pressure dressing is looked at.
//!
//! Owns the two halves of a dressing check: the stain, and life beyond the dressing. Promises: bad news in
//! one half acts at once; good news needs both halves, and counts from the older one.

use super::{Dated, Fold};
use crate::rules::bleeding::measure::Begin;
use crate::rules::bleeding::observation::{Beyond, Stain};
use crate::rules::bleeding::policy::BleedThrough;
use crate::rules::bleeding::region::{Allowed, Class};
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;

impl Fold<'_> {
    pub(super) fn dressing_checked(
        &mut self,
        index: usize,
        dated: &Dated,
        seen: (Option<Stain>, Option<Beyond>),
    ) {
        let (stain, beyond) = seen;
        let standing = &mut self.picture.wounds[index];
        if standing.state == State::Bleeding
            && standing.layers > 0
            && stain.is_some_and(Stain::is_quiet)
        {
            // It held after all: a look said so.
            self.unchecked_dressing(index, dated.at, Rule::DressingNeedsCheck);
        }
        let standing = &mut self.picture.wounds[index];
        if !standing.state.is_dressed() {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        if let Some(stain) = stain {
            standing.stain = Some((dated.at, stain));
        }
        if let Some(beyond) = beyond {
            standing.beyond = Some((dated.at, beyond));
        }
        self.judge_dressing(index, dated);
    }

    fn judge_dressing(&mut self, index: usize, dated: &Dated) {
        let place = self.case.wounds[index].region.capability();
        let policy = self.case.policy;
        let standing = &mut self.picture.wounds[index];
        if !place.distal_check && standing.beyond.is_none() {
            standing.beyond = standing.stain.map(|(at, _)| (at, Beyond::NotApplicable));
        }
        let stain = standing.stain.map(|(_, stain)| stain);
        let beyond = standing.beyond.map(|(_, beyond)| beyond);
        let never_remove = policy.switches.bleed_through == BleedThrough::NeverRemove;
        let full = standing.layers >= policy.dressings.most_layers && !never_remove;
        match (stain, beyond) {
            (Some(seen), _) if seen.is_through() || (seen == Stain::Growing && full) => {
                standing.risk.dangerous |= seen.is_through();
                self.bled_through(index, dated, seen);
            }
            (Some(seen), Some(Beyond::Fail))
                if place.class == Class::Junction && seen.is_quiet() =>
            {
                self.limb_starves(index, dated.at);
                self.dressing_holds(index, Rule::JunctionNoPulse);
            }
            (None, Some(Beyond::Fail)) if place.class == Class::Junction => {
                self.half_checked(index, dated, Step::LookAtDressing);
            }
            (_, Some(Beyond::Fail)) => self.dressing_too_tight(index, dated),
            (Some(Stain::Growing), _) => {
                let rule = Rule::GrowsReinforce;
                standing.go(
                    dated.at,
                    State::DressingUnchecked,
                    Step::ReinforceDressing,
                    rule,
                );
                standing.stain = None;
                standing.beyond = None;
            }
            (Some(_), Some(_)) => self.dressing_passes(index, beyond),
            (Some(_), None) => self.half_checked(index, dated, Step::CheckBeyond),
            (None, _) => self.half_checked(index, dated, Step::LookAtDressing),
        }
    }

    fn half_checked(&mut self, index: usize, dated: &Dated, missing: Step) {
        let standing = &mut self.picture.wounds[index];
        if standing.state != State::DressingTight {
            standing.next = missing;
        }
        standing.note(dated.at, Rule::HalfChecked);
    }

    fn dressing_passes(&mut self, index: usize, beyond: Option<Beyond>) {
        let limb = self.limb_of(index);
        match beyond {
            Some(Beyond::NoneBefore) => {
                let standing = &mut self.picture.wounds[index];
                standing.risk.limb = true;
                standing.risk.hastens_evacuation = true;
                self.dressing_holds(index, Rule::NoneBefore);
            }
            Some(Beyond::Pass) => {
                // Blood is felt beyond: whatever stopped it no longer does.
                if let Some(limb) = self.picture.limbs.get_mut(&limb)
                    && let Some(since) = limb.dressing_since.take()
                    && let Some((at, _)) = self.picture.wounds[index].beyond
                {
                    limb.ended.push((since, at));
                }
                self.picture.wounds[index].risk.limb = false;
                self.dressing_holds(index, Rule::DressingHolds);
            }
            _ => self.dressing_holds(index, Rule::DressingHolds),
        }
    }

    /// Both halves are there: the check counts from the older.
    fn dressing_holds(&mut self, index: usize, rule: Rule) {
        let standing = &mut self.picture.wounds[index];
        let (Some((stain_at, _)), Some((beyond_at, _))) = (standing.stain, standing.beyond) else {
            return;
        };
        let older = stain_at.min(beyond_at);
        let newer = stain_at.max(beyond_at);
        let disturbed = standing.times.disturbed.filter(|at| *at > older);
        let earlier = standing.times.checked;
        standing.go(newer, State::DressingHolds, Step::Recheck, rule);
        standing.times.checked = Some(earlier.map_or(older, |at| at.max(older)));
        standing.times.disturbed = disturbed;
        standing.times.tight = None;
        standing.stain = None;
        standing.beyond = None;
    }

    fn dressing_too_tight(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state == State::DressingTight {
            standing.note(dated.at, Rule::DressingTooTight);
            return;
        }
        standing.times.tight = Some(dated.at);
        standing.go(
            dated.at,
            State::DressingTight,
            Step::LoosenDressing,
            Rule::DressingTooTight,
        );
    }

    fn bled_through(&mut self, index: usize, dated: &Dated, seen: Stain) {
        let place = self.case.wounds[index].region.capability();
        let policy = self.case.policy;
        let packing = (Begin::Packing, policy.starts.packing);
        let standing = &mut self.picture.wounds[index];
        standing.stain = None;
        standing.beyond = None;
        let second_time = seen == Stain::Growing;
        match policy.switches.bleed_through {
            BleedThrough::UndressAtSecond if second_time => {
                standing.layers = 0;
                standing.times.dressed = None;
                standing.times.packed = None;
                let press = (Begin::Pressure, policy.starts.pressure_life_threat);
                standing.bleed(dated.at, Step::PressDirectly, press, Rule::ThroughUndress);
            }
            _ if place.tourniquet => {
                let tourniquet = (Begin::Tourniquet, policy.starts.tourniquet);
                standing.bleed(
                    dated.at,
                    Step::Tourniquet,
                    tourniquet,
                    Rule::ThroughTourniquet,
                );
            }
            BleedThrough::NeverRemove => {
                standing.bleed(dated.at, Step::HoldByHand, packing, Rule::ThroughAdd);
            }
            _ if standing.repacks < policy.dressings.most_repacks
                && place.packing == Allowed::Yes =>
            {
                standing.bleed(dated.at, Step::Repack, packing, Rule::ThroughRepack);
            }
            _ => standing.bleed(dated.at, Step::HoldByHand, packing, Rule::ThroughHands),
        }
    }
}
