//! Tourniquets: on, checked, tightened, doubled, moved, their time.
//!
//! Owns what a limb's tourniquet does to every wound below it. Promises: the limb's clock is never started,
//! shortened or reset by guess; a time nobody knows is the earliest it can have been, and marked.

use jiff::Timestamp;

use super::{Dated, Fold};
use crate::rules::bleeding::act::{Application, Correction};
use crate::rules::bleeding::limb::{Grip, LimbStanding, Tourniquet};
use crate::rules::bleeding::observation::Pulse;
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::Amputation;

impl Fold<'_> {
    pub(super) fn tourniquet_applied(&mut self, index: usize, dated: &Dated, how: Application) {
        self.put_on(index, dated, how);
        self.grip(index, dated.at, Grip::Unchecked, Rule::TourniquetNeedsCheck);
    }

    pub(super) fn second_tourniquet(&mut self, index: usize, dated: &Dated, how: Application) {
        if self.limb(index).is_some_and(LimbStanding::is_tight) {
            self.put_on(index, dated, how);
            self.grip(index, dated.at, Grip::Unchecked, Rule::TightenedCheck);
        } else {
            // A second one means that a first is on, since nobody knows when.
            self.tourniquet_applied(
                index,
                dated,
                Application {
                    time_unknown: true,
                    ..how
                },
            );
        }
    }

    pub(super) fn tourniquet_tightened(&mut self, index: usize, dated: &Dated) {
        match self.limb(index) {
            Some(limb) if limb.is_tight() => {
                self.grip(index, dated.at, Grip::Unchecked, Rule::TightenedCheck);
            }
            Some(limb) if !limb.tourniquets.is_empty() => self.retightened(index, dated),
            _ => {
                let how = Application {
                    time_unknown: true,
                    ..Application::default()
                };
                self.tourniquet_applied(index, dated, how);
            }
        }
    }

    pub(super) fn tourniquet_moved(&mut self, index: usize, dated: &Dated, how: Application) {
        let before = self.below_tourniquet(index);
        let limb = self.limb_of(index);
        if let Some(limb) = self.picture.limbs.get_mut(&limb) {
            for old in &mut limb.tourniquets {
                old.loosened_at.get_or_insert(dated.at);
            }
        }
        // The clock stays with the first one; without a first one its time is unknown.
        let none_before = self
            .limb(index)
            .is_none_or(|limb| limb.tourniquets.is_empty());
        let time_unknown = how.time_unknown || none_before;
        self.put_on(
            index,
            dated,
            Application {
                time_unknown,
                ..how
            },
        );
        self.grip(index, dated.at, Grip::Unchecked, Rule::MovedCheck);
        let after = self.below_tourniquet(index);
        for bare in before.into_iter().filter(|wound| !after.contains(wound)) {
            self.look_after_release(bare, dated.at);
        }
    }

    pub(super) fn retightened(&mut self, index: usize, dated: &Dated) {
        let limb = self.limb_of(index);
        let standing = self.picture.limbs.entry(limb).or_default();
        if standing.is_tight() {
            self.grip(index, dated.at, Grip::Unchecked, Rule::TightenedCheck);
        } else if let Some(last) = standing.tourniquets.last_mut() {
            last.loosened_at = None;
            standing.retightened_at = Some(dated.at);
            self.grip(
                index,
                dated.at,
                Grip::Unchecked,
                Rule::RetightenedKeepsStart,
            );
        } else {
            let how = Application {
                time_unknown: true,
                ..Application::default()
            };
            self.tourniquet_applied(index, dated, how);
        }
    }

    pub(super) fn tourniquet_time_told(&mut self, index: usize, dated: &Dated, told: Timestamp) {
        let limb = self.limb_of(index);
        if let Some(standing) = self.picture.limbs.get_mut(&limb) {
            let unknown = standing.tourniquets.iter().position(|one| !one.time_known);
            if let Some(one) = standing.tourniquets.get_mut(unknown.unwrap_or(0)) {
                one.applied_at = told.min(one.reported_at.max(dated.at));
                one.time_known = true;
            }
        }
        self.picture.wounds[index].note(dated.at, Rule::TimeTold);
    }

    /// How it sits is told of the one that went on last.
    pub(super) fn tourniquet_described(&mut self, index: usize, dated: &Dated, how: Correction) {
        let limb = self.limb_of(index);
        let last = self
            .picture
            .limbs
            .get_mut(&limb)
            .and_then(|limb| limb.tourniquets.last_mut());
        if let Some(last) = last {
            let application = &mut last.application;
            application.level = how.level.unwrap_or(application.level);
            application.over_clothes = how.over_clothes.unwrap_or(application.over_clothes);
            application.improvised = how.improvised.unwrap_or(application.improvised);
            application.time_written = how.time_written.unwrap_or(application.time_written);
        }
        self.kept(index, dated);
    }

    pub(super) fn tourniquet_checked(
        &mut self,
        index: usize,
        dated: &Dated,
        seen: (Option<bool>, Option<Pulse>),
    ) {
        let limb = self.limb_of(index);
        let lost = self.case.wounds[index].amputation == Amputation::Complete;
        let Some(standing) = self
            .picture
            .limbs
            .get_mut(&limb)
            .filter(|limb| limb.is_tight())
        else {
            self.kept(index, dated);
            return;
        };
        let (bleeding, pulse) = seen;
        // While it is being replaced the pulse is meant to come back; only blood speaks against it.
        let pulse = pulse.filter(|_| standing.grip != Grip::Converting);
        if let Some(bleeding) = bleeding {
            standing.bleeding = Some((dated.at, bleeding));
        }
        if let Some(pulse) = pulse {
            standing.pulse_felt = Some((dated.at, pulse == Pulse::Present));
        } else if lost && bleeding.is_some() && standing.pulse_felt.is_none() {
            standing.pulse_felt = Some((dated.at, false));
        }
        match (standing.bleeding, standing.pulse_felt) {
            (Some((_, true)), _) | (_, Some((_, true))) => {
                standing.bleeding = None;
                standing.pulse_felt = None;
                self.grip(index, dated.at, Grip::Fails, Rule::TourniquetFails);
            }
            (Some((stopped, _)), Some((gone, _))) if standing.grip != Grip::Converting => {
                standing.bleeding = None;
                standing.pulse_felt = None;
                self.tourniquet_works(index, (stopped.min(gone), stopped.max(gone)));
            }
            (Some(_), None) => self.tourniquet_half_checked(index, dated, Step::FeelForPulse),
            (None, Some(_)) => self.tourniquet_half_checked(index, dated, Step::CheckTourniquet),
            _ => self.kept(index, dated),
        }
    }

    fn tourniquet_half_checked(&mut self, index: usize, dated: &Dated, missing: Step) {
        let standing = &mut self.picture.wounds[index];
        if matches!(
            standing.state,
            State::TourniquetUnchecked | State::TourniquetHolds
        ) {
            standing.next = missing;
        }
        standing.note(dated.at, Rule::HalfChecked);
    }

    fn tourniquet_works(&mut self, index: usize, halves: (Timestamp, Timestamp)) {
        let (older, newer) = halves;
        let limb = self.limb_of(index);
        if let Some(standing) = self.picture.limbs.get_mut(&limb) {
            let earlier = standing.checked_at;
            standing.checked_at = Some(earlier.map_or(older, |at| at.max(older)));
        }
        let disturbed = self.picture.wounds[index]
            .times
            .disturbed
            .filter(|at| *at > older);
        self.grip(index, newer, Grip::Works, Rule::TourniquetWorks);
        for below in self.below_tourniquet(index) {
            let standing = &mut self.picture.wounds[below];
            standing.times.checked = Some(older);
            standing.times.disturbed = disturbed;
        }
    }

    fn put_on(&mut self, index: usize, dated: &Dated, how: Application) {
        let earliest = self.case.casualty.injured_at.or(self.case.casualty.met_at);
        let earliest = earliest
            .or(self.first_act_at)
            .unwrap_or(dated.at)
            .min(dated.at);
        let limb = self.limb_of(index);
        let stump = self.case.wounds.iter().enumerate().any(|(other, wound)| {
            wound.amputation != Amputation::None && wound.limb(other) == Some(limb)
        });
        let standing = self.picture.limbs.entry(limb).or_default();
        // Where a first one already counts, a later one of unknown time starts nothing.
        let unknown_start = how.time_unknown && standing.tourniquets.is_empty();
        standing.tourniquets.push(Tourniquet {
            applied_at: if unknown_start { earliest } else { dated.at },
            time_known: !how.time_unknown,
            reported_at: dated.at,
            application: how,
            for_wound: index,
            by: dated.by.clone(),
            loosened_at: None,
        });
        standing.stump |= stump;
        if unknown_start {
            self.picture.wounds[index]
                .warnings
                .insert(Warning::WriteTime);
        }
    }

    fn limb(&self, index: usize) -> Option<&LimbStanding> {
        self.picture.limbs.get(&self.limb_of(index))
    }

    /// Every known, open wound below a tight tourniquet of this wound's limb.
    pub(super) fn below_tourniquet(&self, index: usize) -> Vec<usize> {
        let limb = self.limb_of(index);
        let Some(standing) = self.picture.limbs.get(&limb) else {
            return Vec::new();
        };
        (0..self.case.wounds.len())
            .filter(|other| self.limb_of(*other) == limb)
            .filter(|other| self.known(*other))
            .filter(|other| !self.picture.wounds[*other].state.is_closed())
            .filter(|other| standing.covers(*other, self.case.wounds))
            .collect()
    }

    /// The limb's tourniquets now do this; all wounds below share it.
    pub(super) fn grip(&mut self, index: usize, at: Timestamp, grip: Grip, rule: Rule) {
        let limb = self.limb_of(index);
        let standing = self.picture.limbs.entry(limb).or_default();
        standing.grip = grip;
        standing.grip_since = Some(at);
        if grip == Grip::Unchecked {
            standing.bleeding = None;
            standing.pulse_felt = None;
        }
        for below in self.below_tourniquet(index) {
            self.enter_grip(below, at, grip, rule);
        }
    }

    pub(super) fn enter_grip(&mut self, index: usize, at: Timestamp, grip: Grip, rule: Rule) {
        let (state, next) = match grip {
            Grip::Off => return,
            Grip::Unchecked => (State::TourniquetUnchecked, Step::CheckTourniquet),
            Grip::Works => (State::TourniquetHolds, Step::Recheck),
            Grip::Fails => (State::TourniquetFails, Step::TightenOrSecond),
            Grip::Converting => (State::Converting, Step::ConvertStepByStep),
        };
        let standing = &mut self.picture.wounds[index];
        standing.go(at, state, next, rule);
        standing.risk.hastens_evacuation = true;
    }
}
