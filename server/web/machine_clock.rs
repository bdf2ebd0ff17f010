//! The machine's clock against board time: noticed when somebody sets it while the board runs.
//!
//! Owns the notice and the look that finds it. Promises: board time goes on evenly (see `clock.rs`), so nothing falls due
//! early or late; every screen is told by how much the machine's clock was changed and at which entry; the log keeps it.

use std::sync::Mutex;
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};

use super::app::App;
use super::memories::note_of_the_board;
use super::notices::Notice;

/// How often it is looked at.
const LOOK: Duration = Duration::from_millis(500);
/// A smaller step between two looks is the clock being kept right by itself.
const STEP: SignedDuration = SignedDuration::from_secs(2);
/// A machine's clock this far behind the last entry was never set.
const BEHIND: SignedDuration = SignedDuration::from_secs(60);

/// What every screen must be told about the machine's clock.
#[derive(Debug, Default)]
pub struct MachineClock(Mutex<Option<Notice>>);

impl MachineClock {
    pub(super) fn notice(&self) -> Option<Notice> {
        self.0
            .lock()
            .expect("OK because nothing panics while holding it")
            .clone()
    }

    fn tell(&self, code: &'static str, words: String) {
        *self
            .0
            .lock()
            .expect("OK because nothing panics while holding it") = Some(Notice {
            code,
            words,
            page: None,
        });
    }
}

/// Looks at the machine's clock until the program stops.
pub async fn watch_machine_clock(app: App) {
    check_start(&app);
    let mut known = app.journal.clock().machine_is_ahead().unwrap_or_default();
    loop {
        tokio::select! {
            () = app.stopping.cancelled() => return,
            () = tokio::time::sleep(LOOK) => {}
        }
        let Some(ahead) = app.journal.clock().machine_is_ahead() else {
            return;
        };
        let step = ahead - known;
        known = ahead;
        if step.abs() >= STEP {
            was_set(&app, step, ahead).await;
        }
    }
}

/// A machine without a clock of its own starts in the past.
fn check_start(app: &App) {
    let now = app.journal.now();
    let last = app
        .journal
        .read(|incident| incident.entries().last().map(|entry| entry.recorded_at));
    if let Some(last) = last.filter(|last| last.duration_since(now) > BEHIND) {
        app.machine_clock
            .tell("clock-behind", behind_words(now, last));
    }
}

fn behind_words(now: Timestamp, last: Timestamp) -> String {
    let day = |at: Timestamp| at.strftime("%e %b %Y %H:%M UTC").to_string();
    format!(
        "THE BOARD'S MACHINE SAYS {}, its last entry is of {}. Set the machine's clock and start the board again; until then times are wrong.",
        day(now).trim(),
        day(last).trim()
    )
}

async fn was_set(app: &App, step: SignedDuration, ahead: SignedDuration) {
    let seq = app.journal.head().seq;
    let words = format!(
        "The board's machine had its clock put {} by {} at entry {seq}. The board's times go on as before, nothing falls due early or late for it. {}",
        if step.is_negative() {
            "back"
        } else {
            "forward"
        },
        length(step),
        if ahead.abs() < STEP {
            "It agrees with the board again.".to_owned()
        } else {
            format!(
                "It is {} {} the board now.",
                length(ahead),
                if ahead.is_negative() {
                    "behind"
                } else {
                    "ahead of"
                }
            )
        }
    );
    tracing::warn!(seconds = step.as_secs(), "the machine's clock was set");
    if !app.journal.is_following() {
        note_of_the_board(app, &words).await;
    }
    app.machine_clock.tell("clock-set", words);
}

fn length(time: SignedDuration) -> String {
    let seconds = time.abs().as_secs();
    match seconds {
        0..120 => format!("{seconds} s"),
        120..172_800 => format!("{} min", (seconds + 30) / 60),
        _ => format!("{} days", (seconds + 43_200) / 86_400),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_told_in_a_unit_that_people_use() {
        assert_eq!(length(SignedDuration::from_secs(-61 * 60)), "61 min");
        assert_eq!(length(SignedDuration::from_secs(5)), "5 s");
        assert_eq!(length(SignedDuration::from_hours(24 * 365)), "365 days");
    }
}
