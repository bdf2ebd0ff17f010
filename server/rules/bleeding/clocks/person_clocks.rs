//! Clocks that follow from the person as a whole: vital signs, warmth, tranexamic acid.
//!
//! Owns when they start and stop.

use super::{Clock, ClockAbout, ClockKind};
use crate::rules::bleeding::ladder::{Case, Picture};
use crate::rules::bleeding::minutes::Minutes;
use crate::rules::bleeding::policy::MedicPanel;

pub(super) fn of(case: &Case<'_>, picture: &Picture, all: &mut Vec<Clock>) {
    observations(case, picture, all);
    warmth(case, picture, all);
    tranexamic_acid(case, picture, all);
}

fn observations(case: &Case<'_>, picture: &Picture, all: &mut Vec<Clock>) {
    let lengths = &case.policy.care;
    let person = &picture.person;
    let (kind, since, every) = match (person.shock_since, person.danger_controlled_at) {
        (Some(shock), _) => (ClockKind::ObserveShock, shock, lengths.observe_shock),
        (None, Some(control)) => (ClockKind::ObserveStable, control, lengths.observe_stable),
        (None, None) => return,
    };
    let since = person.observed_at.map_or(since, |seen| seen.max(since));
    all.push(Clock::new(kind, ClockAbout::Casualty, since, every).repeating(every));
}

/// After the first control, or after the person was met, whichever is sooner (our default).
fn warmth(case: &Case<'_>, picture: &Picture, all: &mut Vec<Clock>) {
    let lengths = &case.policy.care;
    if picture.person.warmed_at.is_some() {
        return;
    }
    let after = |at: Option<jiff::Timestamp>, wait: Minutes| {
        at.map(|at| Clock::new(ClockKind::Warmth, ClockAbout::Casualty, at, wait))
    };
    let control = after(picture.person.controlled_at, lengths.warm_after_control);
    let met = after(case.casualty.met_at, lengths.warm_after_meeting);
    all.extend(
        [control, met]
            .into_iter()
            .flatten()
            .min_by_key(|clock| clock.due_at),
    );
}

fn tranexamic_acid(case: &Case<'_>, picture: &Picture, all: &mut Vec<Clock>) {
    let lengths = &case.policy.care;
    let shown = case.policy.switches.tranexamic_acid == MedicPanel::MedicOnly;
    let bleeds = picture
        .wounds
        .iter()
        .any(|standing| standing.risk.dangerous);
    if !shown || picture.person.tranexamic_settled_at.is_some() {
        return;
    }
    if let Some(injured) = case.casualty.injured_at
        && (bleeds || picture.person.shock_since.is_some())
    {
        let kind = ClockKind::TranexamicAcid;
        let clock = Clock::new(
            kind,
            ClockAbout::Casualty,
            injured,
            lengths.tranexamic_window,
        );
        all.push(clock.warning_at(lengths.tranexamic_warning.after(injured)));
    }
}
