//! A wound is found, or looked at.
//!
//! Owns what a look with a flow means in each state. A look at a wound somebody is already treating never
//! takes a measure away; it can only show that more is needed.

use super::{Dated, Fold};
use crate::rules::bleeding::limb::Grip;
use crate::rules::bleeding::measure::{Path, first_measure};
use crate::rules::bleeding::observation::{Findings, HoldSeen, Sign, Stain};
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::terms::Flow;
use crate::rules::bleeding::warning::Warning;

impl Fold<'_> {
    pub(super) fn found(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state == State::Unseen && standing.trail.is_empty() {
            standing.go(dated.at, State::Unseen, Step::Look, Rule::FoundUnseen);
        } else {
            standing.note(dated.at, Rule::KeptAsReported);
        }
    }

    pub(super) fn assessed(&mut self, index: usize, dated: &Dated, findings: &Findings) {
        let mut findings = findings.clone();
        if self.picture.person.shock_since.is_some() && findings.flow != Flow::None {
            findings.signs.insert(Sign::ShockSigns);
        }
        let standing = &mut self.picture.wounds[index];
        if findings.is_dangerous() {
            standing.risk.dangerous = true;
            standing.warnings.insert(Warning::LifeThreat);
        }
        match standing.state {
            State::Unseen | State::Stopped | State::Cleaned | State::Bleeding => {
                self.first_look(index, dated, &findings);
            }
            State::Pressing | State::PackPressing | State::HandsStay => {
                self.look_while_pressing(index, dated, &findings);
            }
            state if state.is_dressed() => {
                let stain = match findings.flow {
                    Flow::None => Stain::Dry,
                    Flow::Ooze => Stain::Growing,
                    Flow::Steady | Flow::High | Flow::Spurting => Stain::Flowing,
                };
                self.dressing_checked(index, dated, (Some(stain), None));
            }
            state if state.is_under_tourniquet() || state == State::Converting => {
                let bleeding = findings.flow != Flow::None;
                self.tourniquet_checked(index, dated, (Some(bleeding), None));
            }
            _ => self.kept(index, dated),
        }
    }

    fn first_look(&mut self, index: usize, dated: &Dated, findings: &Findings) {
        if self.shares_tourniquet(index, dated, findings.flow) {
            return;
        }
        let first = first_measure(self.case.policy, &self.case.wounds[index], findings);
        let standing = &mut self.picture.wounds[index];
        let same_duty = standing.state == State::Bleeding && standing.path == Some(first.path);
        standing.path = Some(first.path);
        standing.warnings.extend(first.warnings);
        match first.path {
            Path::Dress if standing.state == State::Bleeding && standing.layers > 0 => {
                self.dressing_checked(index, dated, (Some(Stain::Dry), None));
            }
            Path::Dress if standing.state == State::Bleeding && standing.times.packed.is_some() => {
                self.pack_holds_after_all(index, dated);
            }
            Path::Dress if standing.state.is_stopped() => self.bleed_checked(index, dated, true),
            Path::Dress => {
                standing.go(dated.at, State::Stopped, Step::DressSimply, first.rule);
                standing.times.stopped = Some(dated.at);
            }
            // Looking again does not give more time.
            _ if same_duty && standing.next == first.step => standing.note(dated.at, first.rule),
            _ => {
                standing.go(dated.at, State::Bleeding, first.step, first.rule);
                standing.begin = first.begin;
            }
        }
    }

    /// Gauze is in, it was given up, and a look says that it stopped: wrap it.
    fn pack_holds_after_all(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        standing.go(
            dated.at,
            State::PackPressing,
            Step::WrapDressing,
            Rule::PackHeldWrap,
        );
        standing.press(dated.at, None);
        standing.holding = true;
    }

    /// A wound below a tight tourniquet shares its check: not bleeding is the tourniquet's doing, bleeding
    /// its failure.
    fn shares_tourniquet(&mut self, index: usize, dated: &Dated, flow: Flow) -> bool {
        let limb = self.limb_of(index);
        let Some(standing) = self.picture.limbs.get(&limb) else {
            return false;
        };
        if !standing.covers(index, self.case.wounds) {
            return false;
        }
        let grip = standing.grip;
        if flow == Flow::None {
            self.enter_grip(index, dated.at, grip, Rule::UnderTourniquet);
        } else {
            self.enter_grip(index, dated.at, Grip::Fails, Rule::UnderTourniquet);
            self.tourniquet_checked(index, dated, (Some(true), None));
        }
        true
    }

    fn look_while_pressing(&mut self, index: usize, dated: &Dated, findings: &Findings) {
        let first = first_measure(self.case.policy, &self.case.wounds[index], findings);
        let standing = &mut self.picture.wounds[index];
        let pressing = standing.state == State::Pressing;
        match first.path {
            Path::Dress => self.hold_ended(index, dated, HoldSeen::Stopped),
            Path::Tourniquet => {
                standing.path = Some(first.path);
                standing.go(dated.at, State::Bleeding, first.step, first.rule);
                standing.begin = first.begin;
            }
            Path::Pack if pressing => {
                standing.path = Some(first.path);
                standing.go(dated.at, State::Bleeding, first.step, first.rule);
                standing.begin = first.begin;
            }
            _ => standing.note(dated.at, Rule::KeptAsReported),
        }
    }
}
