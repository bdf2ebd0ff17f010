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
/// Set forward by so much, a clock was not corrected: it had never been set. Our choice.
const NEVER_SET: SignedDuration = SignedDuration::from_hours(24);

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
    let started_behind = check_start(&app);
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
            was_set(&app, step, ahead, started_behind).await;
        }
    }
}

/// A machine without a clock of its own starts in the past; whether it did.
fn check_start(app: &App) -> bool {
    let now = app.journal.now();
    let last = app
        .journal
        .read(|incident| incident.entries().last().map(|entry| entry.recorded_at));
    let behind = last.filter(|last| last.duration_since(now) > BEHIND);
    if let Some(last) = behind {
        app.machine_clock
            .tell("clock-behind", behind_words(now, last));
    }
    behind.is_some()
}

fn behind_words(now: Timestamp, last: Timestamp) -> String {
    let day = |at: Timestamp| at.strftime("%e %b %Y %H:%M UTC").to_string();
    format!(
        "THE BOARD'S MACHINE SAYS {}, its last entry is of {}. Set the machine's clock and start the board again; until then times are wrong.",
        day(now).trim(),
        day(last).trim()
    )
}

/// Board time was wrong from its start: the machine had no clock and was set far forward since.
fn was_wrong(ahead: SignedDuration, started_behind: bool) -> bool {
    ahead >= if started_behind { STEP } else { NEVER_SET }
}

fn wrong_words(ahead: SignedDuration) -> String {
    format!(
        "THE BOARD'S TIMES ARE WRONG by {}: its machine had no clock when it was started, and was set since. Start the board again; times from then on are right. Nothing reported is lost.",
        length(ahead)
    )
}

async fn was_set(app: &App, step: SignedDuration, ahead: SignedDuration, started_behind: bool) {
    if was_wrong(ahead, started_behind) {
        let words = wrong_words(ahead);
        if !app.journal.is_following() {
            note_of_the_board(app, &words).await;
        }
        app.machine_clock.tell("clock-behind", words);
        return;
    }
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
    fn a_clock_that_had_never_been_set_makes_the_times_wrong_a_corrected_one_does_not() {
        let hours = SignedDuration::from_hours;
        assert!(was_wrong(hours(24 * 300), false));
        assert!(!was_wrong(hours(1), false));
        assert!(was_wrong(hours(1), true));
        assert!(!was_wrong(hours(-30), true));
    }

    #[test]
    fn a_step_is_told_in_a_unit_that_people_use() {
        assert_eq!(length(SignedDuration::from_secs(-61 * 60)), "61 min");
        assert_eq!(length(SignedDuration::from_secs(5)), "5 s");
        assert_eq!(length(SignedDuration::from_hours(24 * 365)), "365 days");
    }
}
