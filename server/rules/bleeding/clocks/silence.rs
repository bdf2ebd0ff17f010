//! Acknowledging a clock: quiet for a while, never done.
//!
//! Owns how long quiet lasts (our default) and when a phone's own clock is pointed out.

use jiff::{SignedDuration, Timestamp};

use super::{Clock, Severity};
use crate::rules::bleeding::policy::Policy;

/// "Seen": somebody acknowledged a clock at this time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Acknowledged(pub Timestamp);

/// Until when an acknowledged clock stays quiet; `None`: it makes no sound anyway.
pub fn silent_until(policy: &Policy, seen: Acknowledged, severity: Severity) -> Option<Timestamp> {
    let lengths = &policy.care;
    let quiet = match severity {
        Severity::Critical => lengths.silence_critical,
        Severity::High => lengths.silence_high,
        Severity::Medium => lengths.silence_medium,
        Severity::Low => return None,
    };
    Some(quiet.after(seen.0))
}

/// Whether a clock calls at `now`. An acknowledgement given before it was due silences nothing.
pub fn sounds(policy: &Policy, clock: &Clock, seen: Option<Acknowledged>, now: Timestamp) -> bool {
    let severity = clock.severity_at(now);
    if clock.hidden || !clock.is_due(now) || severity == Severity::Low {
        return false;
    }
    match seen {
        Some(seen) if seen.0 >= clock.due_at => {
            silent_until(policy, seen, severity).is_none_or(|until| until <= now)
        }
        _ => true,
    }
}

/// Whether a phone's clock is so far from the board's that the person is told.
pub fn phone_clock_is_off(policy: &Policy, phone: Timestamp, board: Timestamp) -> bool {
    let limit = SignedDuration::from_secs(i64::from(policy.care.skew_warning_seconds));
    phone.duration_since(board).abs() > limit
}
