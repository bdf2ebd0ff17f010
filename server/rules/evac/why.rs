//! Why somebody goes on this trip, or on none.
//!
//! Owns the reasons, read off the plan and off what else would have been possible for each casualty once everybody
//! else is placed. Promises: a reason names only what is true of the plan shown; words are plain.

use super::checker::Checked;
use super::model::Model;
use super::problem::{Ability, CasualtyId, DestinationId, Equipment, TransportId};
use super::state::{Place, State};

/// A reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Has left.
    Left,
    /// Is being loaded.
    Loading,
    /// The coordinator fixed it.
    Pinned,
    /// Arrives soonest this way; the next best transport arrives so many minutes later.
    Earliest(Option<(i32, TransportId)>),
    /// Every other way is after the deadline, at this minute.
    Deadline(i32),
    /// No other free place.
    OnlyPlace,
    /// The nearest destination with a free place that can do what is needed.
    Capability(Ability),
    /// A nearer destination has no place left for this priority.
    BedFull(DestinationId),
    /// The trip waits until this casualty is ready, at this minute.
    WaitsFor(CasualtyId, i32),
    /// Goes with the group.
    Together(CasualtyId),
    /// An earlier trip has no attendant free.
    Attendant,
    /// This transport does not leave after this minute.
    LastLight(i32),
    /// Others go before, or gain by it.
    AfterOthers,
    /// Not planned: no destination that will do has a place left for this priority.
    NoBed,
    /// Not planned: nothing here can take them: no transport, or none with the place, attendant or board they need.
    NoTransport,
    /// Not planned: nothing on board that is needed.
    NotEquipped(Equipment),
    /// Not planned: no destination here can do this.
    NobodyCan(Ability),
    /// Not planned: no transport goes to a destination that will do.
    NoRoute,
    /// Not planned: ready too late for what is left of the time.
    NotReady(i32),
    /// Not planned: no transport gets there within the time that is planned for.
    NotInTime,
    /// Not planned: it cannot be done as the coordinator fixed it.
    PinImpossible,
    /// Not planned: after the last departure.
    AfterLastLight,
    /// Not planned: the coordinator keeps them here.
    Held,
    /// Not planned: every turn is taken by somebody more urgent, or taking them would cost somebody more urgent time.
    CostsOthers,
}

/// What there is to say about a casualty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Where in the plan's list their trip is.
    pub trip: Option<usize>,
    /// The reasons, the weightiest first.
    pub why: Vec<Why>,
}

/// What the caller calls people and things, and how a minute is said.
pub trait Names {
    /// "casualty 4".
    fn casualty(&self, id: CasualtyId) -> String;
    /// "ambulance 1".
    fn transport(&self, id: TransportId) -> String;
    /// "North hospital".
    fn destination(&self, id: DestinationId) -> String;
    /// "14:40", for a minute after now.
    fn time(&self, minute: i32) -> String;
}

impl Why {
    /// Is somebody not planned because of this?
    pub const fn is_not_planned(self) -> bool {
        matches!(
            self,
            Self::NoBed
                | Self::NoTransport
                | Self::NotEquipped(_)
                | Self::NobodyCan(_)
                | Self::NoRoute
                | Self::NotReady(_)
                | Self::NotInTime
                | Self::PinImpossible
                | Self::AfterLastLight
                | Self::Held
                | Self::CostsOthers
        )
    }

    /// The reason in plain words.
    pub fn words(self, names: &dyn Names) -> String {
        match self {
            Self::Left => "on the way".to_owned(),
            Self::Loading => "being loaded".to_owned(),
            Self::Pinned => "fixed by the coordinator".to_owned(),
            Self::Earliest(None) => "soonest there".to_owned(),
            Self::Earliest(Some((minutes, transport))) => {
                format!(
                    "soonest there; {} would be {minutes} min later",
                    names.transport(transport)
                )
            }
            Self::Deadline(by) => format!("the only way to be there by {}", names.time(by)),
            Self::OnlyPlace => "no other place is free".to_owned(),
            Self::Capability(need) => format!("nearest with {} and a free place", need.words()),
            Self::BedFull(nearer) => format!("{} has no place left", names.destination(nearer)),
            Self::WaitsFor(who, minute) => {
                format!(
                    "waits for {}, ready {}",
                    names.casualty(who),
                    names.time(minute)
                )
            }
            Self::Together(who) => format!("together with {}", names.casualty(who)),
            Self::Attendant => "no attendant free on an earlier trip".to_owned(),
            Self::LastLight(minute) => {
                format!("leaves before {}, its last departure", names.time(minute))
            }
            Self::AfterOthers => "more urgent people go before".to_owned(),
            Self::NoBed => "no place left where they could go".to_owned(),
            Self::NoTransport => "no transport here can take them".to_owned(),
            Self::NotEquipped(need) => format!("no transport has {} on board", need.words()),
            Self::NobodyCan(need) => format!("no destination has {}", need.words()),
            Self::NoRoute => "no transport goes where they could go".to_owned(),
            Self::NotReady(minute) => format!("ready too late, at {}", names.time(minute)),
            Self::NotInTime => "no transport gets there in time".to_owned(),
            Self::PinImpossible => "cannot go as the coordinator fixed it".to_owned(),
            Self::AfterLastLight => "after the last departure".to_owned(),
            Self::Held => "kept here by the coordinator".to_owned(),
            Self::CostsOthers => "would cost somebody more urgent time".to_owned(),
        }
    }
}

impl Line {
    /// The reasons as one line.
    pub fn words(&self, names: &dyn Names) -> String {
        let words: Vec<String> = self.why.iter().map(|why| why.words(names)).collect();
        words.join("; ")
    }
}

/// A line for every casualty.
pub(super) fn lines(
    model: &Model<'_>,
    state: &State,
    checked: &Checked,
) -> Vec<(CasualtyId, Line)> {
    let problem = model.problem;
    let mut lines: Vec<(CasualtyId, Line)> = problem
        .casualties
        .iter()
        .map(|casualty| {
            let trip = checked
                .trips
                .iter()
                .position(|t| t.trip.casualties.contains(&casualty.id));
            let mut why = Vec::new();
            if problem.has_left(casualty.id) {
                why.push(Why::Left);
            } else if problem.is_aboard(casualty.id) {
                why.push(Why::Loading);
            } else if problem.is_held(casualty) {
                why.push(Why::Held);
            }
            (casualty.id, Line { trip, why })
        })
        .collect();
    for block in 0..model.free {
        let first = model.blocks[block].members[0].casualty;
        let why = match lines[first].1.trip {
            Some(trip) => super::reasons::planned(model, state, checked, block, trip),
            None => super::reasons::not_planned(model, state, block),
        };
        for member in &model.blocks[block].members {
            let mut own = why.clone();
            if let Some(other) = model.blocks[block]
                .members
                .iter()
                .find(|m| m.casualty != member.casualty)
            {
                own.push(Why::Together(problem.casualties[other.casualty].id));
            }
            lines[member.casualty].1.why = own;
        }
    }
    lines
}

/// When a block would arrive at each place it could have.
pub(super) fn arrival(
    model: &Model<'_>,
    state: &State,
    block: usize,
    van: usize,
    place: Place,
) -> Option<i32> {
    let mut at = None;
    state.drive(model, van, Some((block, place)), |_, _, who, arrives| {
        if who == block {
            at = Some(arrives);
        }
    })?;
    at
}
