//! The one file that asks for the time or for random bytes.
//!
//! Owns board time: UTC instants with whole milliseconds. Everything else is handed the time as an
//! argument. A board's clock may run faster than the wall (a demo at `--speed N`) or stand still until
//! told (tests); pages learn the rate from the live stream, so their countdowns agree. A running board's time goes on
//! evenly from its start: when somebody sets the machine's clock meanwhile, nothing falls due early or late for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{Duration, Instant};

use jiff::{SignedDuration, Timestamp, TimestampRound, Unit};
use uuid::Uuid;

/// Board time.
#[derive(Clone, Debug)]
pub struct Clock(Arc<Kind>);

#[derive(Debug)]
enum Kind {
    /// From the machine's clock at the start, and evenly on from there, also through the machine's sleep.
    Even {
        from: Timestamp,
        since: Duration,
        /// By how much a test pretends that the machine's clock was put ahead since.
        put_ahead: AtomicI64,
    },
    Scaled {
        from: Timestamp,
        since: Instant,
        rate: f64,
    },
    Told(AtomicI64),
    Ahead(AtomicI64),
}

impl Clock {
    /// The machine's own clock as it stands now, going on evenly.
    pub fn wall() -> Self {
        Self(Arc::new(Kind::Even {
            from: wall_now(),
            since: awake_and_asleep(),
            put_ahead: AtomicI64::new(0),
        }))
    }

    /// A clock that starts at `from` now and runs `rate` board seconds per second.
    pub fn scaled(from: Timestamp, rate: f64) -> Self {
        Self(Arc::new(Kind::Scaled {
            from,
            since: Instant::now(),
            rate,
        }))
    }

    /// A clock that moves only when told.
    pub fn told(at: Timestamp) -> Self {
        Self(Arc::new(Kind::Told(AtomicI64::new(at.as_millisecond()))))
    }

    /// The machine's own clock, to be put ahead by hand: it runs on and can be advanced.
    pub fn ahead() -> Self {
        Self(Arc::new(Kind::Ahead(AtomicI64::new(0))))
    }

    /// The present moment in board time, in whole milliseconds.
    pub fn now(&self) -> Timestamp {
        match &*self.0 {
            Kind::Even { from, since, .. } => {
                let passed = awake_and_asleep().saturating_sub(*since);
                whole_ms(
                    from.saturating_add(passed)
                        .expect("OK because a duration has no calendar units"),
                )
            }
            Kind::Scaled { from, since, rate } => {
                let passed = since.elapsed().mul_f64(*rate);
                whole_ms(
                    from.saturating_add(passed)
                        .expect("OK because a duration has no calendar units"),
                )
            }
            Kind::Ahead(ms) => {
                let ahead = SignedDuration::from_millis(ms.load(Ordering::SeqCst));
                wall_now()
                    .saturating_add(ahead)
                    .expect("OK because a duration has no calendar units")
            }
            Kind::Told(ms) => Timestamp::from_millisecond(ms.load(Ordering::SeqCst))
                .expect("OK because it was made from a timestamp"),
        }
    }

    /// Board seconds per real second.
    pub fn rate(&self) -> f64 {
        match &*self.0 {
            Kind::Even { .. } | Kind::Ahead(_) => 1.0,
            Kind::Scaled { rate, .. } => *rate,
            Kind::Told(_) => 0.0,
        }
    }

    /// How far the machine's clock is ahead of board time now; nothing for a clock that does not go by it.
    pub fn machine_is_ahead(&self) -> Option<SignedDuration> {
        match &*self.0 {
            Kind::Even { put_ahead, .. } => {
                let pretended = SignedDuration::from_millis(put_ahead.load(Ordering::SeqCst));
                Some(wall_now().duration_since(self.now()) + pretended)
            }
            _ => None,
        }
    }

    /// Pretends that somebody set the machine's clock by so many seconds: for tests.
    pub fn pretend_set(&self, seconds: i64) {
        if let Kind::Even { put_ahead, .. } = &*self.0 {
            put_ahead.fetch_add(seconds * 1000, Ordering::SeqCst);
        }
    }

    /// Moves a told clock, or one that is put ahead; others are not moved.
    pub fn advance(&self, seconds: i64) {
        if let Kind::Told(ms) | Kind::Ahead(ms) = &*self.0 {
            ms.fetch_add(seconds * 1000, Ordering::SeqCst);
        }
    }
}

/// Time since some fixed moment, whatever is done to the machine's clock. A laptop that was shut for twenty minutes has
/// a tourniquet that is twenty minutes older: its sleep counts.
#[cfg(target_os = "linux")]
fn awake_and_asleep() -> Duration {
    use rustix::time::{ClockId, clock_gettime};
    let time = clock_gettime(ClockId::Boottime);
    Duration::new(
        u64::try_from(time.tv_sec).unwrap_or(0),
        u32::try_from(time.tv_nsec).unwrap_or(0),
    )
}

/// Time since the program began to count. Whether a machine's sleep counts is the system's choice here.
#[cfg(not(target_os = "linux"))]
fn awake_and_asleep() -> Duration {
    static BEGUN: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    BEGUN.get_or_init(Instant::now).elapsed()
}

/// A moment cut to whole milliseconds, as the journal keeps it.
pub fn whole_ms(at: Timestamp) -> Timestamp {
    Timestamp::from_millisecond(at.as_millisecond()).unwrap_or(at)
}

/// The wall clock, for what is not board time (sessions, file names).
#[expect(clippy::disallowed_methods, reason = "this is the file that asks")]
pub fn wall_now() -> Timestamp {
    let now = Timestamp::now();
    now.round(
        TimestampRound::new()
            .smallest(Unit::Millisecond)
            .mode(jiff::RoundMode::Trunc),
    )
    .unwrap_or(now)
}

/// A fresh time-ordered id.
#[expect(clippy::disallowed_methods, reason = "this is the file that asks")]
pub fn fresh_id() -> Uuid {
    Uuid::now_v7()
}

/// `N` bytes from the operating system's random source.
///
/// # Panics
/// When the operating system has no randomness to give: no session could be trusted then.
pub fn random_bytes<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).expect("OK because every supported system has a random source");
    bytes
}
