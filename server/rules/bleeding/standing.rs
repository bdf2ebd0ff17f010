//! Where a wound stands: the answer of the ladder.
//!
//! Owns the states and the accumulated picture of one wound. Promises: `holding` is only ever true after a
//! person looked; nothing here is set by a timer.

use std::collections::BTreeSet;

use super::measure::{Begin, Path};
use super::minutes::Minutes;
use super::observation::{Beyond, Stain};
use super::rule::Rule;
use super::state::State;
use super::step::Step;
use super::warning::Warning;
use jiff::{SignedDuration, Timestamp};

/// Why a hold has the length it has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it all")]
pub enum HoldKind {
    Pressure,
    Nose,
    Haemostatic,
    Plain,
}

/// Hands pressing against the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hold {
    /// What is being held.
    pub kind: HoldKind,
    /// From when, without lifting.
    pub started_at: Timestamp,
    /// For how long.
    pub lasts: Minutes,
}

impl Hold {
    /// Whether the time is up at `now`, give or take the grace. Being up ends nothing; somebody must look.
    pub fn is_up(&self, now: Timestamp, grace_seconds: u8) -> bool {
        let grace = SignedDuration::from_secs(i64::from(grace_seconds));
        self.lasts.after(self.started_at).duration_since(now) <= grace
    }
}

/// Whose hands are on the wound.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hands {
    /// Whether hands must be on it now.
    pub pressing: bool,
    /// Whose, if known.
    pub whose: Option<String>,
    /// Since when these.
    pub since: Option<Timestamp>,
}

/// What a wound means for limb and life.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Risk {
    /// A danger sign was seen at some time since the injury.
    pub dangerous: bool,
    /// No pulse beyond, not the dressing's fault, or kept on purpose.
    pub limb: bool,
    /// The wound itself makes the casualty leave sooner.
    pub hastens_evacuation: bool,
}

/// An unusual act: kept, and computed from once the person said that it is so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OffProtocol {
    /// The act's position in the journal: the question about it is asked once.
    pub order: u64,
    /// When it happened.
    pub at: Timestamp,
    /// What is unusual.
    pub warning: Warning,
}

/// What was put on, and when it was looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Times {
    /// First act about this wound.
    pub known: Option<Timestamp>,
    /// Gauze went in.
    pub packed: Option<Timestamp>,
    /// Pressure dressing went on.
    pub dressed: Option<Timestamp>,
    /// Last complete check of dressing or tourniquet: the older of its two halves.
    pub checked: Option<Timestamp>,
    /// A move or shock that no check has answered yet.
    pub disturbed: Option<Timestamp>,
    /// A tourniquet above was released; watched closely since.
    pub released: Option<Timestamp>,
    /// Seen stopped, or given a plain dressing since: the watch over it starts here.
    pub stopped: Option<Timestamp>,
    /// Seen dry since.
    pub seen_dry: Option<Timestamp>,
    /// Plain dressing put on or changed.
    pub plain_dressing: Option<Timestamp>,
    /// Rinsed.
    pub cleaned: Option<Timestamp>,
    /// Closed in the field.
    pub closed: Option<Timestamp>,
    /// Looked at for infection.
    pub infection_look: Option<Timestamp>,
    /// Covered, or the cover looked at.
    pub cover: Option<Timestamp>,
    /// Breathing to be watched from.
    pub breathing: Option<Timestamp>,
    /// Breathing found worse, not answered yet.
    pub breathing_worse: Option<Timestamp>,
    /// The dressing was found too tight.
    pub tight: Option<Timestamp>,
}

/// Where one wound stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The state.
    pub state: State,
    /// Which way up the ladder.
    pub path: Option<Path>,
    /// The rung it stands on: 0 none, 1 hands or cover, 2 pack or dressing, 3 tourniquet.
    pub rung: u8,
    /// Seen to hold by a person.
    pub holding: bool,
    /// What it means for the person.
    pub risk: Risk,
    /// The suggested step.
    pub next: Step,
    /// Since when it is suggested.
    pub next_since: Option<Timestamp>,
    /// Why.
    pub rule: Rule,
    /// Other steps that make sense here.
    pub others: Vec<Step>,
    /// What must begin, and within how long of `next_since`.
    pub begin: Option<(Begin, Minutes)>,
    /// Whose hands.
    pub hands: Hands,
    /// The running hold.
    pub hold: Option<Hold>,
    /// Layers of dressing.
    pub layers: u8,
    /// How often it was repacked.
    pub repacks: u8,
    /// Holds that ended oozing, or nose pinches that failed.
    pub repeats: u8,
    /// Half of a dressing check: the stain.
    pub stain: Option<(Timestamp, Stain)>,
    /// The other half: beyond the dressing.
    pub beyond: Option<(Timestamp, Beyond)>,
    /// When things happened.
    pub times: Times,
    /// To be shown now.
    pub warnings: BTreeSet<Warning>,
    /// To be asked once.
    pub questions: Vec<OffProtocol>,
    /// Asked and confirmed.
    pub off_protocol: Vec<OffProtocol>,
    /// Every rule that moved this wound, in order.
    pub trail: Vec<(Timestamp, Rule)>,
}

impl Standing {
    /// A wound nothing was reported about.
    pub fn unknown() -> Self {
        Self {
            state: State::Unseen,
            path: None,
            rung: 0,
            holding: false,
            risk: Risk::default(),
            next: Step::Look,
            next_since: None,
            rule: Rule::FoundUnseen,
            others: Vec::new(),
            begin: None,
            hands: Hands::default(),
            hold: None,
            layers: 0,
            repacks: 0,
            repeats: 0,
            stain: None,
            beyond: None,
            times: Times::default(),
            warnings: BTreeSet::new(),
            questions: Vec::new(),
            off_protocol: Vec::new(),
            trail: Vec::new(),
        }
    }

    /// Moves to `state` because of `rule`, with `next` as the suggestion from `at` on.
    pub(super) fn go(&mut self, at: Timestamp, state: State, next: Step, rule: Rule) {
        if state != self.state {
            self.times.disturbed = None;
            self.stain = None;
            self.beyond = None;
        }
        self.state = state;
        self.begin = None;
        self.next = next;
        self.next_since = Some(at);
        self.note(at, rule);
        self.holding = matches!(
            state,
            State::DressingHolds | State::TourniquetHolds | State::Stopped | State::Cleaned
        );
        self.rung = match state {
            State::Pressing | State::HandsStay | State::Covered => 1,
            State::PackPressing => 2,
            State::TourniquetUnchecked
            | State::TourniquetHolds
            | State::TourniquetFails
            | State::Converting => 3,
            _ if state.is_dressed() => 2,
            _ => self.rung,
        };
        if !matches!(
            state,
            State::Pressing | State::PackPressing | State::HandsStay
        ) {
            self.hold = None;
            self.hands = Hands::default();
        }
        if next.hastens_evacuation() {
            self.risk.hastens_evacuation = true;
        }
    }

    /// A measure failed or the wound was found bleeding: `next` must begin in time.
    pub(super) fn bleed(&mut self, at: Timestamp, next: Step, begin: (Begin, Minutes), rule: Rule) {
        self.go(at, State::Bleeding, next, rule);
        self.begin = Some(begin);
    }

    /// Records why, without moving.
    /// What was only kept does not hide why the wound stands where it stands.
    pub(super) fn note(&mut self, at: Timestamp, rule: Rule) {
        if rule != Rule::KeptAsReported {
            self.rule = rule;
        }
        self.trail.push((at, rule));
    }

    /// Hands of `who` are on it since `at`.
    pub(super) fn press(&mut self, at: Timestamp, who: Option<String>) {
        self.hands = Hands {
            pressing: true,
            whose: who,
            since: Some(at),
        };
    }
}
