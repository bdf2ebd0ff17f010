//! In which order clocks are shown.
//!
//! Owns the order of the next-up list: what is overdue first, the worst of it on top; then what comes next.
//! Of a limb's lines at two, four and six hours only the newest that is due is kept in that list; none of
//! them is lost.

use std::cmp::Reverse;

use jiff::Timestamp;

use super::{Clock, ClockAbout};
use crate::rules::bleeding::ladder::{Picture, urgency};

/// Gives each clock the urgency of what it is about.
pub(super) fn rank(picture: &Picture, clocks: &mut [Clock], now: Timestamp) {
    for index in 0..picture.wounds.len() {
        let own = |clock: &&mut Clock| clock.about == ClockAbout::Wound(index);
        let overdue = clocks.iter_mut().filter(own).any(|clock| clock.is_due(now));
        let rank = urgency(&picture.wounds[index], overdue);
        for clock in clocks.iter_mut().filter(own) {
            clock.urgency = rank;
        }
    }
}

/// Sorts: overdue first, by severity, then by the wound's urgency, then by time; the rest by time.
pub fn in_order(clocks: &mut [Clock], now: Timestamp) {
    clocks.sort_by_key(|clock| {
        let due = clock.is_due(now);
        let severity = if due {
            clock.severity_at(now)
        } else {
            super::Severity::Low
        };
        let urgency = if due { clock.urgency } else { 0 };
        (
            !due,
            Reverse(severity),
            urgency,
            clock.due_at,
            clock.urgency,
            clock.kind,
        )
    });
}

/// The next-up list: shown clocks in order, with a limb's older lines folded into the newest that is due.
pub fn next_up(mut clocks: Vec<Clock>, now: Timestamp) -> Vec<Clock> {
    clocks.retain(|clock| !clock.hidden);
    let due_lines: Vec<(ClockAbout, Timestamp)> = clocks
        .iter()
        .filter(|clock| clock.kind.is_limb_line() && clock.is_due(now))
        .map(|clock| (clock.about, clock.due_at))
        .collect();
    clocks.retain(|clock| {
        !clock.kind.is_limb_line()
            || !due_lines
                .iter()
                .any(|(about, due)| *about == clock.about && *due > clock.due_at)
    });
    in_order(&mut clocks, now);
    clocks
}

/// What came due while nobody could see it (a restart, a flat battery): shown as missed, with its time.
pub fn came_due_between(clocks: &[Clock], from: Timestamp, to: Timestamp) -> Vec<&Clock> {
    clocks
        .iter()
        .filter(|clock| clock.due_at > from && clock.due_at <= to)
        .collect()
}
