//! Hands on the wound.
//!
//! Owns holds: begun, lifted, looked at too soon, ended. Promises: a hold that has run its time is "look
//! now", never "stopped"; pressure that was lifted begins again in full.

use super::{Dated, Fold};
use crate::rules::bleeding::measure::Begin;
use crate::rules::bleeding::observation::HoldSeen;
use crate::rules::bleeding::policy::FirstForLimb;
use crate::rules::bleeding::region::{Allowed, Region};
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::standing::{Hold, HoldKind};
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::Depth;

impl Fold<'_> {
    pub(super) fn pressure_started(&mut self, index: usize, dated: &Dated) {
        let hold = self.pressure_hold(index, dated);
        let standing = &mut self.picture.wounds[index];
        match standing.state {
            State::Unseen | State::Bleeding | State::Stopped | State::Cleaned => {
                standing.go(
                    dated.at,
                    State::Pressing,
                    Step::KeepPressing,
                    Rule::PressUnlifted,
                );
                standing.hold = Some(hold);
                standing.repeats = 0;
                standing.press(dated.at, dated.by.clone());
                standing.warnings.insert(Warning::PressHard);
            }
            State::Pressing | State::PackPressing if !standing.hands.pressing => {
                self.begin_hold_again(index, dated, Rule::PressUnlifted);
            }
            State::Pressing | State::PackPressing | State::HandsStay => {
                standing.press(dated.at, dated.by.clone());
                standing.begin = None;
                standing.note(dated.at, Rule::KeptAsReported);
            }
            _ => standing.note(dated.at, Rule::KeptAsReported),
        }
    }

    fn pressure_hold(&self, index: usize, dated: &Dated) -> Hold {
        let holds = &self.case.policy.holds;
        let (kind, lasts) = if self.case.wounds[index].region == Region::Nose {
            (HoldKind::Nose, holds.nose)
        } else {
            let thinned = self.case.casualty.anticoagulant == Some(true);
            (HoldKind::Pressure, holds.direct_pressure(thinned))
        };
        Hold {
            kind,
            started_at: dated.at,
            lasts,
        }
    }

    fn begin_hold_again(&mut self, index: usize, dated: &Dated, rule: Rule) {
        let standing = &mut self.picture.wounds[index];
        if let Some(hold) = &mut standing.hold {
            hold.started_at = dated.at;
        }
        let keep = if standing.hold.is_some() {
            Step::KeepPressing
        } else {
            standing.next
        };
        let whose = dated.by.clone().or_else(|| standing.hands.whose.clone());
        let state = standing.state;
        standing.go(dated.at, state, keep, rule);
        standing.press(dated.at, whose);
    }

    pub(super) fn pressure_lapsed(&mut self, index: usize, dated: &Dated, resumed: bool) {
        let standing = &mut self.picture.wounds[index];
        if !matches!(
            standing.state,
            State::Pressing | State::PackPressing | State::HandsStay
        ) {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        standing.warnings.insert(Warning::LiftedEarly);
        if resumed {
            self.begin_hold_again(index, dated, Rule::LiftedRestarts);
        } else {
            let within = self.case.policy.starts.packing;
            standing.hands.pressing = false;
            standing.holding = false;
            standing.next_since = Some(dated.at);
            standing.begin = Some((Begin::Pressure, within));
            standing.note(dated.at, Rule::HandsGone);
        }
    }

    pub(super) fn hold_ended(&mut self, index: usize, dated: &Dated, seen: HoldSeen) {
        match self.picture.wounds[index].state {
            State::Pressing => self.pressing_ended(index, dated, seen),
            State::PackPressing => self.pack_pressing_ended(index, dated, seen),
            _ => self.kept(index, dated),
        }
    }

    /// Looked before the time: it begins again. True if so.
    fn looked_too_soon(&mut self, index: usize, dated: &Dated) -> bool {
        let grace = self.case.policy.holds.grace_seconds;
        let standing = &mut self.picture.wounds[index];
        let too_soon = standing
            .hold
            .is_some_and(|hold| !hold.is_up(dated.at, grace));
        if too_soon {
            standing.warnings.insert(Warning::LiftedEarly);
            self.begin_hold_again(index, dated, Rule::LookedTooSoon);
        }
        too_soon
    }

    fn pressing_ended(&mut self, index: usize, dated: &Dated, seen: HoldSeen) {
        if seen == HoldSeen::Continues && self.tourniquet_when_pressure_fails(index) {
            self.pressure_failed(index, dated);
            return;
        }
        if self.looked_too_soon(index, dated) {
            return;
        }
        let holds = &self.case.policy.holds;
        let standing = &mut self.picture.wounds[index];
        let nose = standing
            .hold
            .is_some_and(|hold| hold.kind == HoldKind::Nose);
        if seen == HoldSeen::Stopped {
            standing.go(
                dated.at,
                State::Stopped,
                Step::DressSimply,
                Rule::StoppedUnderPressure,
            );
            standing.times.stopped = Some(dated.at);
            standing.times.seen_dry = None;
        } else if nose && standing.repeats.saturating_add(1) < holds.nose_times {
            standing.repeats += 1;
            self.begin_hold_again(index, dated, Rule::PinchOnceMore);
        } else if !nose && seen == HoldSeen::Ooze && standing.repeats < holds.ooze_repeats {
            standing.repeats += 1;
            self.begin_hold_again(index, dated, Rule::OozeOnceMore);
        } else {
            // Source: ANZCOR 9.1.1, bleeding that local pressure does not control is a danger to life.
            standing.risk.dangerous |= seen == HoldSeen::Continues;
            self.pressure_failed(index, dated);
        }
    }

    /// This incident presses first and goes straight to the tourniquet when that fails.
    fn tourniquet_when_pressure_fails(&self, index: usize) -> bool {
        self.case.policy.switches.first_for_limb == FirstForLimb::PressureThenTourniquet
            && self.picture.wounds[index].risk.dangerous
            && self.case.wounds[index].region.capability().tourniquet
    }

    fn pressure_failed(&mut self, index: usize, dated: &Dated) {
        let wound = &self.case.wounds[index];
        let place = wound.region.capability();
        let starts = &self.case.policy.starts;
        let packing = (Begin::Packing, starts.packing);
        let straight_up = self.tourniquet_when_pressure_fails(index);
        let standing = &mut self.picture.wounds[index];
        if straight_up {
            let tourniquet = (Begin::Tourniquet, starts.tourniquet);
            let rule = Rule::PressureFailedTourniquet;
            standing.bleed(dated.at, Step::Tourniquet, tourniquet, rule);
        } else if place.packing == Allowed::Yes && wound.depth != Depth::Shallow {
            standing.bleed(dated.at, Step::Pack, packing, Rule::PressureFailedPack);
        } else if place.pressure_dressing == Allowed::Yes {
            standing.bleed(
                dated.at,
                Step::WrapDressing,
                packing,
                Rule::PressureFailedWrap,
            );
        } else {
            standing.bleed(
                dated.at,
                Step::HoldByHand,
                packing,
                Rule::PressureFailedHands,
            );
        }
    }

    fn pack_pressing_ended(&mut self, index: usize, dated: &Dated, seen: HoldSeen) {
        if self.looked_too_soon(index, dated) {
            return;
        }
        if seen == HoldSeen::Continues {
            self.picture.wounds[index].risk.dangerous = true;
            self.pack_failed(index, dated);
            return;
        }
        let can_wrap = self.case.wounds[index]
            .region
            .capability()
            .pressure_dressing
            == Allowed::Yes;
        let within = self.case.policy.starts.packing;
        let standing = &mut self.picture.wounds[index];
        standing.hold = None;
        if can_wrap {
            let rule = Rule::PackHeldWrap;
            standing.go(dated.at, State::PackPressing, Step::WrapDressing, rule);
        } else {
            let rule = Rule::PackHeldHands;
            standing.go(dated.at, State::PackPressing, Step::HoldByHand, rule);
            standing.begin = Some((Begin::Packing, within));
        }
        standing.holding = seen == HoldSeen::Stopped;
    }

    pub(super) fn manual_hold(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state.is_under_tourniquet() || standing.state == State::Converting {
            standing.note(dated.at, Rule::KeptAsReported);
            return;
        }
        standing.go(
            dated.at,
            State::HandsStay,
            Step::KeepPressing,
            Rule::HandsStay,
        );
        standing.hold = None;
        // Whose hands are on it feel whether it holds: a move is answered.
        standing.times.disturbed = None;
        standing.press(dated.at, dated.by.clone());
        standing.risk.hastens_evacuation = true;
    }

    /// A look at a wound that hands stay on: it is what a move asks for, and moves nothing else.
    pub(super) fn looked_under_hands(&mut self, index: usize, dated: &Dated) {
        let standing = &mut self.picture.wounds[index];
        if standing.state == State::HandsStay {
            standing.times.disturbed = None;
        }
        standing.note(dated.at, Rule::KeptAsReported);
    }
}
