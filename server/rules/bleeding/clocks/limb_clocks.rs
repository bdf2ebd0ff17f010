//! Clocks that follow from one limb's time without blood.
//!
//! Owns the lines at two, four and six hours, the reviews, and the nag for a missing time. All count from
//! the limb's start, whatever happened to the tourniquet since.

use jiff::Timestamp;

use super::{Clock, ClockAbout, ClockKind};
use crate::rules::bleeding::ladder::{Case, Picture};
use crate::rules::bleeding::limb::{Grip, LimbStanding};
use crate::rules::bleeding::policy::Conversion;
use crate::rules::bleeding::state::State;
use crate::rules::bleeding::wound::Limb;

pub(super) fn of(case: &Case<'_>, picture: &Picture, all: &mut Vec<Clock>) {
    for (limb, standing) in &picture.limbs {
        let Some(since) = standing.without_blood_since() else {
            continue;
        };
        if is_handed_over(case, picture, *limb) {
            continue;
        }
        let about = ClockAbout::Limb(*limb);
        lines(case, standing, (about, since), all);
        if standing.is_tight() {
            reviews(case, standing, (about, since), all);
            nag(case, standing, about, all);
        }
    }
}

/// Every wound of the limb is closed and at least one of them was handed over. Wounds struck as mistakes
/// alone do not stop a limb's clock.
fn is_handed_over(case: &Case<'_>, picture: &Picture, limb: Limb) -> bool {
    let on_limb = case
        .wounds
        .iter()
        .enumerate()
        .filter(|(index, wound)| wound.limb(*index).unwrap_or(Limb::OfWound(*index)) == limb);
    let states = on_limb
        .map(|(index, _)| &picture.wounds[index])
        .filter(|standing| standing.times.known.is_some())
        .map(|standing| standing.state);
    let states: Vec<State> = states.collect();
    states.iter().all(|state| state.is_closed()) && states.contains(&State::HandedOver)
}

fn lines(
    case: &Case<'_>,
    standing: &LimbStanding,
    from: (ClockAbout, Timestamp),
    all: &mut Vec<Clock>,
) {
    let (about, since) = from;
    let times = &case.policy.tourniquets;
    let two = if standing.is_tight() {
        ClockKind::TwoHours
    } else {
        ClockKind::LimbStarves
    };
    all.push(Clock::new(two, about, since, times.two_hours));
    all.push(Clock::new(
        ClockKind::FourHours,
        about,
        since,
        times.four_hours,
    ));
    all.push(Clock::new(
        ClockKind::SixHours,
        about,
        since,
        times.six_hours,
    ));
    if standing.is_tight() {
        all.push(Clock::new(
            ClockKind::TwoHoursSoon,
            about,
            since,
            times.two_hours_soon,
        ));
        all.push(Clock::new(
            ClockKind::SixHoursSoon,
            about,
            since,
            times.six_hours_soon,
        ));
    }
}

/// The next review that nobody has made. A missed one stays until somebody asks.
fn reviews(
    case: &Case<'_>,
    standing: &LimbStanding,
    from: (ClockAbout, Timestamp),
    all: &mut Vec<Clock>,
) {
    let (about, since) = from;
    let never = case.policy.switches.conversion == Conversion::Never;
    if standing.grip != Grip::Works || standing.stump || never {
        return;
    }
    let open = case.policy.tourniquets.review_at.iter().find(|after| {
        standing
            .reviewed_at
            .is_none_or(|reviewed| !after.passed(since, reviewed))
    });
    if let Some(after) = open {
        all.push(Clock::new(
            ClockKind::TourniquetReview,
            about,
            since,
            *after,
        ));
    }
}

fn nag(case: &Case<'_>, standing: &LimbStanding, about: ClockAbout, all: &mut Vec<Clock>) {
    let Some(unknown) = standing.time_missing() else {
        return;
    };
    let every = case.policy.tourniquets.time_missing_every;
    let zero = crate::rules::bleeding::minutes::Minutes::ZERO;
    let kind = ClockKind::TourniquetTimeMissing;
    all.push(Clock::new(kind, about, unknown.reported_at, zero).repeating(every));
}
