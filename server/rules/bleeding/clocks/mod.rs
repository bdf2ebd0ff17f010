//! Timed duties: what is due, since when, how bad if late.
//!
//! Owns the list of clocks as a pure function of the standings and `now`. Promises: no clock is stored; a
//! late report can make a clock that is already overdue; a clock that is due is never done by that alone.

mod kind;
mod limb_clocks;
mod order;
mod person_clocks;
mod silence;
mod wound_clocks;

pub use kind::{Audience, ClockKind, Severity};
pub use order::{came_due_between, in_order, next_up};
pub use silence::{Acknowledged, phone_clock_is_off, silent_until, sounds};

use jiff::Timestamp;

use super::ladder::{Case, Picture};
use super::minutes::Minutes;
use super::wound::Limb;

/// What a clock is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ClockAbout {
    /// A wound, by index.
    Wound(usize),
    /// A limb.
    Limb(Limb),
    /// The person.
    Casualty,
    /// A helper (exposure to blood).
    Helper,
    /// An item of the kit.
    Kit,
}

/// One timed duty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clock {
    /// Which duty.
    pub kind: ClockKind,
    /// What it is about.
    pub about: ClockAbout,
    /// From when it counts.
    pub started_at: Timestamp,
    /// When it is due.
    pub due_at: Timestamp,
    /// When to warn ahead, if at all.
    pub warn_at: Option<Timestamp>,
    /// The distance of repeats once done or, for a nag, until done.
    pub repeats: Option<Minutes>,
    /// How bad when late.
    pub severity: Severity,
    /// When it becomes worse, and how bad then.
    pub escalates: Option<(Timestamp, Severity)>,
    /// How urgent its wound is among the casualty's wounds, 0 first.
    pub urgency: u8,
    /// The casualty is dead or expectant: hidden, not deleted.
    pub hidden: bool,
}

impl Clock {
    /// A clock that counts from `started_at`.
    pub fn new(kind: ClockKind, about: ClockAbout, started_at: Timestamp, after: Minutes) -> Self {
        Self {
            kind,
            about,
            started_at,
            due_at: after.after(started_at),
            warn_at: None,
            repeats: None,
            severity: kind.severity(),
            escalates: None,
            urgency: 6,
            hidden: false,
        }
    }

    /// It repeats at this distance.
    #[must_use]
    pub fn repeating(mut self, every: Minutes) -> Self {
        self.repeats = Some(every);
        self
    }

    /// It warns ahead at this time.
    #[must_use]
    pub fn warning_at(mut self, at: Timestamp) -> Self {
        self.warn_at = Some(at);
        self
    }

    /// It gets worse this long after it was due.
    #[must_use]
    pub fn worse_after(mut self, more: Minutes, severity: Severity) -> Self {
        self.escalates = Some((more.after(self.due_at), severity));
        self
    }

    /// Due, or past it.
    pub fn is_due(&self, now: Timestamp) -> bool {
        self.due_at <= now
    }

    /// How bad it is at `now`, counting escalation.
    pub fn severity_at(&self, now: Timestamp) -> Severity {
        match self.escalates {
            Some((at, worse)) if at <= now => worse.max(self.severity),
            _ => self.severity,
        }
    }
}

/// Every clock of one casualty.
pub fn clocks(case: &Case<'_>, picture: &Picture, now: Timestamp) -> Vec<Clock> {
    let mut all = Vec::new();
    if picture.person.handed_over_at.is_some() {
        return all;
    }
    for index in 0..case.wounds.len() {
        wound_clocks::of(case, picture, index, &mut all);
    }
    limb_clocks::of(case, picture, &mut all);
    person_clocks::of(case, picture, &mut all);
    for clock in &mut all {
        clock.hidden = case.casualty.clocks_hidden;
    }
    order::rank(picture, &mut all, now);
    all
}
