//! A stream's place in the journal.

use std::time::Duration;

use tokio::sync::watch;
use tokio::time::{Instant, Interval, MissedTickBehavior, interval, sleep_until};

use crate::incident::Seq;
use crate::journal::Head;

/// The least time between two sends on one stream: on Wi-Fi the air is the limit, and what comes together
/// goes together.
const COALESCE: Duration = Duration::from_millis(100);
/// How often a stream without news says that it lives.
const HEARTBEAT: Duration = Duration::from_secs(5);

/// Why a cursor woke.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wake {
    /// The journal is past what this stream has seen.
    News(Head),
    /// Nothing new; say that the board lives.
    Heartbeat(Head),
    /// The journal has stopped.
    Ended,
}

/// Remembers what one stream has seen.
#[derive(Debug)]
pub struct Cursor {
    bell: watch::Receiver<Head>,
    seen: Seq,
    not_before: Instant,
    heartbeat: Interval,
}

impl Cursor {
    /// A cursor that has seen everything up to `since`. A position from the future counts as having seen
    /// nothing: it belongs to another history.
    pub fn new(bell: watch::Receiver<Head>, since: Seq) -> Self {
        let head = bell.borrow().seq;
        let seen = if since > head { Seq::START } else { since };
        let mut heartbeat = interval(HEARTBEAT);
        heartbeat.set_missed_tick_behavior(MissedTickBehavior::Delay);
        heartbeat.reset();
        Self {
            bell,
            seen,
            not_before: Instant::now(),
            heartbeat,
        }
    }

    /// The position up to which this stream has sent everything.
    pub const fn seen(&self) -> Seq {
        self.seen
    }

    /// Marks everything up to a position as sent.
    pub fn sent(&mut self, seq: Seq) {
        self.seen = self.seen.max(seq);
        self.not_before = Instant::now() + COALESCE;
    }

    /// Waits for news or the next heartbeat. Safe to drop and call again.
    pub async fn wake(&mut self) -> Wake {
        loop {
            let head = self.bell.borrow_and_update().clone();
            if head.seq > self.seen {
                if Instant::now() >= self.not_before {
                    return Wake::News(head);
                }
                sleep_until(self.not_before).await;
                continue;
            }
            tokio::select! {
                rung = self.bell.changed() => if rung.is_err() { return Wake::Ended },
                _ = self.heartbeat.tick() => return Wake::Heartbeat(head),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::{Chain, check_words};

    fn head(seq: u64) -> Head {
        Head {
            seq: Seq(seq),
            chain: Chain::START,
            check: check_words(Chain::START),
        }
    }

    #[tokio::test(start_paused = true)]
    async fn a_stream_that_slept_wakes_once_with_the_newest_position() {
        let (ring, bell) = watch::channel(head(3));
        let mut cursor = Cursor::new(bell, Seq(3));
        for seq in 4..1000 {
            ring.send_replace(head(seq));
        }
        assert_eq!(cursor.wake().await, Wake::News(head(999)));
        cursor.sent(Seq(999));
        assert_eq!(cursor.wake().await, Wake::Heartbeat(head(999)));
    }

    #[tokio::test(start_paused = true)]
    async fn changes_close_together_go_together() {
        let (ring, bell) = watch::channel(head(1));
        let mut cursor = Cursor::new(bell, Seq(0));
        assert_eq!(cursor.wake().await, Wake::News(head(1)));
        cursor.sent(Seq(1));
        ring.send_replace(head(2));
        let late = tokio::spawn(async move {
            tokio::time::advance(COALESCE / 2).await;
            ring.send_replace(head(3));
            ring
        });
        assert_eq!(cursor.wake().await, Wake::News(head(3)));
        drop(late.await);
    }

    #[tokio::test(start_paused = true)]
    async fn a_position_from_another_history_is_answered_with_everything() {
        let (_ring, bell) = watch::channel(head(5));
        assert_eq!(Cursor::new(bell, Seq(900)).seen(), Seq::START);
    }

    #[tokio::test(start_paused = true)]
    async fn a_stopped_journal_ends_the_stream() {
        let (ring, bell) = watch::channel(head(5));
        let mut cursor = Cursor::new(bell, Seq(5));
        drop(ring);
        assert_eq!(cursor.wake().await, Wake::Ended);
    }
}
