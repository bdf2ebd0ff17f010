//! Covers, breathing, and the care of a wound that stopped.
//!
//! Owns what happens where nothing is pressed: covers of chest, belly, eye and ear, the watch over
//! breathing, plain dressings, rinsing. Promises: a plain dressing never ends a bleed.

use super::{Dated, Fold};
use crate::rules::bleeding::measure::{Begin, Path};
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;

impl Fold<'_> {
    pub(super) fn covered(&mut self, index: usize, dated: &Dated) {
        let region = self.case.wounds[index].region;
        let standing = &mut self.picture.wounds[index];
        if !region.is_covered() {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        standing.go(dated.at, State::Covered, Step::Recheck, Rule::CoveredWatch);
        standing.risk.hastens_evacuation = true;
        standing.times.cover = Some(dated.at);
        if region.threatens_breathing() {
            standing.times.breathing = Some(dated.at);
        }
    }

    pub(super) fn cover_checked(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state == State::Covered {
            standing.times.cover = Some(dated.at);
            standing.times.disturbed = None;
            standing.holding = true;
            standing.next_since = Some(dated.at);
            standing.note(dated.at, Rule::CoverInOrder);
        } else {
            standing.note(dated.at, Rule::KeptAsReported);
        }
    }

    pub(super) fn breathing_checked(&mut self, index: usize, dated: &Dated, worse: bool) {
        if !self.case.wounds[index].region.threatens_breathing() {
            self.kept(index, dated);
            return;
        }
        let standing = &mut self.picture.wounds[index];
        standing.times.breathing = Some(dated.at);
        standing.times.breathing_worse = worse.then_some(dated.at);
        if worse {
            // Of a cover; a bleed that was seen to hold still does.
            standing.holding &= standing.state != State::Covered;
            standing.risk.hastens_evacuation = true;
            standing.warnings.insert(Warning::LiftCoverIfWorse);
            standing.note(dated.at, Rule::BreathingWorse);
        } else if standing.state == State::Covered {
            standing.times.disturbed = None;
            standing.holding = true;
            standing.note(dated.at, Rule::CoverInOrder);
        } else {
            standing.note(dated.at, Rule::CoverInOrder);
        }
    }

    /// A neck and an open chest are watched from the moment on when somebody has looked at them or laid hands on them,
    /// whatever was reported first; not while nothing bleeds there.
    pub(super) fn watch_breathing(&mut self, index: usize, dated: &Dated) {
        let threatens = self.case.wounds[index].region.threatens_breathing();
        let standing = &mut self.picture.wounds[index];
        let quiet = standing.state == State::Unseen
            || standing.state.is_stopped()
            || standing.state.is_closed();
        if threatens && !quiet {
            standing.times.breathing.get_or_insert(dated.at);
        }
    }

    pub(super) fn simply_dressed(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if !standing.state.is_stopped() {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        standing.times.plain_dressing = Some(dated.at);
        standing.times.stopped = Some(dated.at);
        standing.next = Step::Recheck;
        standing.next_since = Some(dated.at);
        standing.note(dated.at, Rule::StoppedDressed);
    }

    pub(super) fn bleed_checked(&mut self, index: usize, dated: &Dated, dry: bool) {
        let press = (Begin::Pressure, self.case.policy.starts.pressure);
        let standing = &mut self.picture.wounds[index];
        if !standing.state.is_stopped() {
            standing.note(dated.at, Rule::KeptAsReported);
        } else if dry {
            standing.times.seen_dry = Some(dated.at);
            standing.times.disturbed = None;
            if standing.times.plain_dressing.is_some() {
                standing.next = Step::Recheck;
            }
            standing.next_since = Some(dated.at);
            standing.note(dated.at, Rule::StillDry);
        } else {
            standing.path = Some(Path::Gradual);
            standing.bleed(dated.at, Step::PressDirectly, press, Rule::BleedsAgain);
        }
    }

    pub(super) fn cleaned(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        standing.times.cleaned = Some(dated.at);
        if !standing.state.is_stopped() {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        standing.go(dated.at, State::Cleaned, Step::Recheck, Rule::CleanedWatch);
        standing.times.plain_dressing = Some(dated.at);
        standing.times.infection_look = Some(dated.at);
        standing.times.seen_dry = None;
    }

    pub(super) fn infection_looked(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state.is_stopped() {
            standing.times.infection_look = Some(dated.at);
            standing.note(dated.at, Rule::ChangedWatch);
        } else {
            standing.note(dated.at, Rule::KeptAsReported);
        }
    }

    /// Asked about first (`question`); once confirmed it is watched as a wound at high risk.
    pub(super) fn closed(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        standing.times.closed = Some(dated.at);
        standing.times.infection_look.get_or_insert(dated.at);
        standing.note(dated.at, Rule::ClosedWatch);
    }

    pub(super) fn dressing_changed(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state.is_stopped() {
            standing.times.plain_dressing = Some(dated.at);
            standing.times.infection_look = Some(dated.at);
            standing.next = Step::Recheck;
            standing.next_since = Some(dated.at);
            standing.note(dated.at, Rule::ChangedWatch);
        } else if standing.state.is_dressed() {
            standing.layers = 1;
            standing.times.dressed = Some(dated.at);
            self.unchecked_dressing(index, dated.at, Rule::DressingNeedsCheck);
        } else {
            standing.note(dated.at, Rule::KeptAsReported);
        }
    }
}
