//! How far a limb is along, in words.
//!
//! Owns the bands of time without blood. Bands manage risk; they are not borders of physiology. What makes it
//! better or worse (higher up, leg, warm: worse) is said, not computed (Drew et al., J Spec Oper Med 2015).

use jiff::Timestamp;

use super::limb::LimbStanding;
use super::minutes::hours_and_minutes;
use super::policy::TourniquetTimes;

/// A band of time without blood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Under two hours. Source: TCCC Guidelines; JTS curriculum; Drew et al. 2015.
    UnderTwoHours,
    /// Two to four hours: a medic, with caution. Source: proposed TCCC change 25-2 (relayed).
    FromTwoHours,
    /// Four to six: serious complications possible. Source: J Spec Oper Med, spring 2024.
    FromFourHours,
    /// Six and more: not in the field. Source: TCCC Guidelines 2024; Drew et al. 2015.
    FromSixHours,
}

impl Band {
    /// The line shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnderTwoHours => "under two hours",
            Self::FromTwoHours => "two hours passed, the risk to the limb grows",
            Self::FromFourHours => "four hours passed, serious harm to the limb possible",
            Self::FromSixHours => "six hours passed, it stays on until the hospital",
        }
    }
}

/// The band a limb is in.
pub fn band(times: &TourniquetTimes, since: Timestamp, now: Timestamp) -> Band {
    if times.six_hours.passed(since, now) {
        Band::FromSixHours
    } else if times.four_hours.passed(since, now) {
        Band::FromFourHours
    } else if times.two_hours.passed(since, now) {
        Band::FromTwoHours
    } else {
        Band::UnderTwoHours
    }
}

/// What a handover must say about a limb: since when, how long, whether that time is an estimate. Elapsed
/// time alone is not enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimbTime {
    /// The start.
    pub since: Timestamp,
    /// Elapsed, `h:mm`.
    pub elapsed: String,
    /// Nobody knows the exact time.
    pub estimated: bool,
    /// Since it was tightened again, `h:mm`, if it was.
    pub since_retightened: Option<String>,
}

/// The limb's time at `now`, if it is without blood.
pub fn limb_time(limb: &LimbStanding, now: Timestamp) -> Option<LimbTime> {
    let since = limb.without_blood_since()?;
    let again = limb.retightened_at.filter(|_| limb.is_tight());
    Some(LimbTime {
        since,
        elapsed: hours_and_minutes(since, now),
        estimated: limb.time_missing().is_some(),
        since_retightened: again.map(|at| hours_and_minutes(at, now)),
    })
}
