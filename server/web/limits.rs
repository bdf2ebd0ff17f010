//! How much one device, one address and all together may ask of the board.
//!
//! Owns the numbers and the bucket that meters a device. What is over a limit is refused with a clear problem and a
//! time after which to try again; nothing is dropped silently (OWASP ASVS 5.0, 2.4.1).

use std::sync::Mutex;
use std::time::Instant;

/// The limits. The defaults are *common practice*, chosen for five hundred phones on one hotspot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Connections one address may hold. This machine's own 127.0.0.1 and `::1` are not counted.
    pub connections_per_address: usize,
    /// Connections in all.
    pub connections: usize,
    /// Live streams in all.
    pub streams: usize,
    /// Live streams of one session; one more ends its oldest, so that a phone whose link died is never locked out.
    pub streams_per_session: usize,
    /// Reports a second that one device may send for long.
    pub reports_per_second: f64,
    /// Reports one device may send at once.
    pub burst: f64,
    /// Devices that may join from one address in a minute.
    pub joins_per_minute: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            connections_per_address: 16,
            connections: 3000,
            streams: 1500,
            streams_per_session: 4,
            reports_per_second: 20.0,
            burst: 60.0,
            joins_per_minute: 30,
        }
    }
}

impl Limits {
    /// As good as none: for measuring.
    pub const fn none() -> Self {
        Self {
            connections_per_address: 100_000,
            connections: 100_000,
            streams: 100_000,
            streams_per_session: 100_000,
            reports_per_second: 1e9,
            burst: 1e9,
            joins_per_minute: u32::MAX,
        }
    }
}

/// What a device has left of its burst.
#[derive(Debug)]
pub(super) struct Meter(Mutex<(f64, Instant)>);

impl Meter {
    /// A full one.
    pub(super) fn new(limits: &Limits, now: Instant) -> Self {
        Self(Mutex::new((limits.burst, now)))
    }

    /// Takes so many reports out.
    ///
    /// # Errors
    /// With the whole seconds after which there is room for them; nothing was taken then.
    pub(super) fn take(&self, reports: usize, limits: &Limits, now: Instant) -> Result<(), u32> {
        let wanted = f64::from(u32::try_from(reports).unwrap_or(u32::MAX)).min(limits.burst);
        let mut meter = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        let passed = now.saturating_duration_since(meter.1).as_secs_f64();
        let left = (meter.0 + passed * limits.reports_per_second).min(limits.burst);
        if left >= wanted {
            *meter = (left - wanted, now);
            return Ok(());
        }
        *meter = (left, now);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few seconds, above nought"
        )]
        Err((((wanted - left) / limits.reports_per_second).ceil() as u32).max(1))
    }

    /// Puts back what [`Self::take`] took: it came to nothing.
    pub(super) fn give_back(&self, reports: usize, limits: &Limits) {
        let taken = f64::from(u32::try_from(reports).unwrap_or(u32::MAX)).min(limits.burst);
        let mut meter = self
            .0
            .lock()
            .expect("OK because nothing panics while holding it");
        meter.0 = (meter.0 + taken).min(limits.burst);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_burst_goes_through_and_more_waits_as_long_as_it_says() {
        let limits = Limits::default();
        let start = Instant::now();
        let meter = Meter::new(&limits, start);
        assert_eq!(meter.take(50, &limits, start), Ok(()));
        assert_eq!(meter.take(50, &limits, start), Err(2));
        let later = start + Duration::from_secs(2);
        assert_eq!(meter.take(50, &limits, later), Ok(()));
        assert_eq!(meter.take(1, &limits, later), Err(1));
    }

    #[test]
    fn what_came_to_nothing_is_given_back() {
        let limits = Limits::default();
        let start = Instant::now();
        let meter = Meter::new(&limits, start);
        assert_eq!(meter.take(50, &limits, start), Ok(()));
        meter.give_back(50, &limits);
        assert_eq!(meter.take(60, &limits, start), Ok(()));
        assert_eq!(meter.take(1, &limits, start), Err(1));
    }

    #[test]
    fn a_batch_larger_than_the_burst_is_not_refused_for_ever() {
        let limits = Limits {
            burst: 5.0,
            ..Limits::default()
        };
        let start = Instant::now();
        let meter = Meter::new(&limits, start);
        assert_eq!(meter.take(50, &limits, start), Ok(()));
    }
}
