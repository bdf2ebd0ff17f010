//! Moments as pages show them: the instant for the page's script, the hour for print and for pages without it.

use jiff::Timestamp;
use jiff::tz::TimeZone;

/// A moment: RFC 3339 and the hour at this machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Moment {
    /// RFC 3339, UTC.
    pub(crate) iso: String,
    /// "14:03".
    pub(crate) hour: String,
}

impl From<Timestamp> for Moment {
    fn from(at: Timestamp) -> Self {
        Self {
            iso: at.to_string(),
            hour: hour(at),
        }
    }
}

/// "14:03" at this machine.
pub(crate) fn hour(at: Timestamp) -> String {
    TimeZone::system()
        .to_datetime(at)
        .strftime("%H:%M")
        .to_string()
}

/// "14:03"; "24 Nov 14:03" where that is not the day of `now`.
pub(crate) fn hour_on(at: Timestamp, now: Timestamp) -> String {
    if day(at) == day(now) {
        return hour(at);
    }
    TimeZone::system()
        .to_datetime(at)
        .strftime("%-d %b %H:%M")
        .to_string()
}

/// "25 Nov 2026" at this machine.
pub(crate) fn day(at: Timestamp) -> String {
    TimeZone::system()
        .to_datetime(at)
        .strftime("%-d %b %Y")
        .to_string()
}

/// "UTC+01:00": what "14:03" on a page of this machine means.
pub(crate) fn zone(at: Timestamp) -> String {
    let offset = TimeZone::system().to_offset(at).seconds();
    if offset == 0 {
        return "UTC".to_owned();
    }
    let sign = if offset < 0 { '-' } else { '+' };
    let minutes = offset.unsigned_abs() / 60;
    format!("UTC{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}
