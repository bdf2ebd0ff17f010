//! Clocks that follow from one wound.
//!
//! Owns which duty runs in which state. Everything is read off the standing; nothing is remembered here.

use jiff::Timestamp;

use super::{Clock, ClockAbout, ClockKind, Severity};
use crate::rules::bleeding::after_care::rinsing_expected;
use crate::rules::bleeding::ladder::{Case, Picture};
use crate::rules::bleeding::limb::LimbStanding;
use crate::rules::bleeding::measure::Begin;
use crate::rules::bleeding::minutes::Minutes;
use crate::rules::bleeding::region::Region;
use crate::rules::bleeding::standing::{HoldKind, Standing};
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::step::Step;
use crate::rules::bleeding::wound::Limb;

pub(super) fn of(case: &Case<'_>, picture: &Picture, index: usize, all: &mut Vec<Clock>) {
    let standing = &picture.wounds[index];
    if standing.times.known.is_none() || standing.state.is_closed() {
        return;
    }
    let about = ClockAbout::Wound(index);
    measures(case, standing, about, all);
    dressings(case, standing, about, all);
    tourniquet(case, picture, index, all);
    watches(case, index, standing, all);
    after_care(case, picture, index, all);
}

fn measures(case: &Case<'_>, standing: &Standing, about: ClockAbout, all: &mut Vec<Clock>) {
    let policy = case.policy;
    let since = standing.next_since.or(standing.times.known);
    let Some(since) = since else { return };
    if standing.state == State::Unseen {
        all.push(Clock::new(
            ClockKind::FirstLook,
            about,
            since,
            policy.starts.first_look,
        ));
    }
    if let Some((begin, within)) = standing.begin {
        let kind = match begin {
            Begin::Tourniquet => ClockKind::BeginTourniquet,
            Begin::Packing => ClockKind::BeginPacking,
            Begin::Pressure => ClockKind::BeginPressure,
            Begin::OwnWay => ClockKind::BeginOwnWay,
        };
        let mut clock = Clock::new(kind, about, since, within);
        // Due sooner than for a bleed that is no danger yet: it is one, or nobody presses any more.
        if begin == Begin::Pressure && within < policy.starts.pressure {
            clock.severity = Severity::Critical;
        }
        all.push(clock);
    }
    if let Some(hold) = standing.hold.filter(|_| standing.hands.pressing) {
        let kind = match hold.kind {
            HoldKind::Pressure => ClockKind::PressureHold,
            HoldKind::Nose => ClockKind::NosePinch,
            HoldKind::Haemostatic => ClockKind::HaemostaticHold,
            HoldKind::Plain => ClockKind::PlainPackHold,
        };
        let clock = Clock::new(kind, about, hold.started_at, hold.lasts);
        all.push(clock.worse_after(policy.holds.serious_after, Severity::High));
    }
    if standing.state == State::PackPressing && standing.next == Step::WrapDressing {
        all.push(Clock::new(
            ClockKind::Wrap,
            about,
            since,
            policy.dressings.wrap_within,
        ));
    }
    if standing.state == State::HandsStay
        && let Some(since) = standing.hands.since.filter(|_| standing.hands.pressing)
    {
        let every = policy.holds.relief;
        all.push(Clock::new(ClockKind::RelieveHands, about, since, every).repeating(every));
    }
}

fn dressings(case: &Case<'_>, standing: &Standing, about: ClockAbout, all: &mut Vec<Clock>) {
    let times = &case.policy.dressings;
    let watch = next_watch(case, standing);
    match standing.state {
        State::DressingUnchecked => {
            if let Some(since) = standing.next_since {
                let kind = ClockKind::DressingFirstCheck;
                all.push(Clock::new(kind, about, since, times.first_check));
            }
        }
        State::DressingHolds if watch.is_none() => {
            if let Some(checked) = standing.times.checked {
                let clock = Clock::new(ClockKind::DressingRecheck, about, checked, times.recheck);
                all.push(clock.repeating(times.recheck));
            }
        }
        State::DressingTight => {
            if let Some(tight) = standing.times.tight {
                let within = times.loosen_within;
                all.push(Clock::new(ClockKind::LoosenDressing, about, tight, within));
            }
        }
        _ => {}
    }
    if let Some((released, after)) = watch {
        all.push(Clock::new(
            ClockKind::WatchAfterRelease,
            about,
            released,
            after,
        ));
    }
}

/// The next look of the close watch after a release, until the last one was made.
fn next_watch(case: &Case<'_>, standing: &Standing) -> Option<(Timestamp, Minutes)> {
    if !standing.state.is_dressed() {
        return None;
    }
    let released = standing.times.released?;
    let checked = standing.times.checked.unwrap_or(released);
    let mut points = case.policy.tourniquets.watch_after.iter();
    points
        .find(|after| !after.passed(released, checked))
        .map(|after| (released, *after))
}

fn tourniquet(case: &Case<'_>, picture: &Picture, index: usize, all: &mut Vec<Clock>) {
    let standing = &picture.wounds[index];
    let times = &case.policy.tourniquets;
    let about = ClockAbout::Wound(index);
    let Some(since) = standing.next_since else {
        return;
    };
    match standing.state {
        State::TourniquetUnchecked => {
            let limb = case.wounds[index]
                .limb(index)
                .unwrap_or(Limb::OfWound(index));
            let since = picture
                .limbs
                .get(&limb)
                .and_then(|limb| limb.grip_since)
                .unwrap_or(since);
            let kind = ClockKind::TourniquetFirstCheck;
            all.push(Clock::new(kind, about, since, times.first_check));
        }
        State::TourniquetHolds => {
            let checked = standing.times.checked.unwrap_or(since);
            let clock = Clock::new(ClockKind::TourniquetRecheck, about, checked, times.recheck);
            all.push(clock.repeating(times.recheck));
        }
        State::TourniquetFails => {
            all.push(Clock::new(
                ClockKind::FixTourniquet,
                about,
                since,
                times.fix_within,
            ));
        }
        _ => {}
    }
}

fn watches(case: &Case<'_>, index: usize, standing: &Standing, all: &mut Vec<Clock>) {
    let lengths = &case.policy.care;
    let about = ClockAbout::Wound(index);
    if let Some(disturbed) = standing.times.disturbed {
        all.push(Clock::new(
            ClockKind::CheckAfterMove,
            about,
            disturbed,
            lengths.after_move,
        ));
    }
    if let Some(worse) = standing.times.breathing_worse {
        all.push(Clock::new(
            ClockKind::Breathing,
            about,
            worse,
            lengths.breathing_worse,
        ));
    } else if let Some(checked) = standing.times.breathing {
        let clock = Clock::new(ClockKind::Breathing, about, checked, lengths.breathing);
        all.push(clock.repeating(lengths.breathing));
    }
    if standing.state == State::Covered
        && case.wounds[index].region == Region::Evisceration
        && let Some(looked) = standing.times.cover
    {
        let clock = Clock::new(ClockKind::OrganCover, about, looked, lengths.organ_cover);
        all.push(clock.repeating(lengths.organ_cover));
    }
    if let Some(packed) = standing.times.packed {
        all.push(Clock::new(
            ClockKind::PackingStays,
            about,
            packed,
            lengths.packing_stays,
        ));
    }
}

fn after_care(case: &Case<'_>, picture: &Picture, index: usize, all: &mut Vec<Clock>) {
    let standing = &picture.wounds[index];
    let lengths = &case.policy.care;
    let about = ClockAbout::Wound(index);
    if !standing.state.is_stopped() {
        return;
    }
    match (standing.times.stopped, standing.times.seen_dry) {
        (stopped, Some(dry)) if stopped.is_none_or(|at| dry >= at) => {
            let clock = Clock::new(ClockKind::StoppedRecheck, about, dry, lengths.stopped_next);
            all.push(clock.repeating(lengths.stopped_next));
        }
        (Some(stopped), _) if standing.state == State::Stopped => {
            let clock = Clock::new(
                ClockKind::StoppedRecheck,
                about,
                stopped,
                lengths.stopped_first,
            );
            all.push(clock.repeating(lengths.stopped_next));
        }
        _ => {}
    }
    if let Some(dressed) = standing.times.plain_dressing {
        let clock = Clock::new(
            ClockKind::DressingChange,
            about,
            dressed,
            lengths.dressing_change,
        );
        all.push(clock.repeating(lengths.dressing_change));
    }
    if let Some(looked) = standing.times.infection_look {
        let high_risk = case.wounds[index].is_high_risk()
            || late(case, standing)
            || standing.times.closed.is_some();
        let every = if high_risk {
            lengths.infection_look_high_risk
        } else {
            lengths.infection_look
        };
        all.push(Clock::new(ClockKind::InfectionLook, about, looked, every).repeating(every));
    }
    let untouched = picture.limbs.get(
        &case.wounds[index]
            .limb(index)
            .unwrap_or(Limb::OfWound(index)),
    );
    let free = untouched.is_none_or(|limb: &LimbStanding| !limb.is_tight());
    if free
        && rinsing_expected(case, standing, index)
        && let Some(injured) = case.casualty.injured_at.or(standing.times.known)
    {
        let clock = Clock::new(ClockKind::RinseBefore, about, injured, lengths.rinse_before);
        let warn = lengths.rinse_warning.before(clock.due_at);
        all.push(clock.warning_at(warn));
    }
}

/// Rinsed later than the limit: at high risk (our default).
fn late(case: &Case<'_>, standing: &Standing) -> bool {
    match (case.casualty.injured_at, standing.times.cleaned) {
        (Some(injured), Some(cleaned)) => case.policy.care.rinse_before.passed(injured, cleaned),
        _ => false,
    }
}
