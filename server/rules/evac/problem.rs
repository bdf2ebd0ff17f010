//! Who leaves, on what, to where: the question in plain values.
//!
//! Owns the words of the problem: casualties, transports, destinations, and what people have already decided
//! (trips that have left or are being loaded, pins, holds, the plan on screen). All times are whole minutes
//! after "now"; numbers are the caller's own. Ids of one kind are different from each other; whatever names an
//! id that is not in the problem is left out of account.

use serde::{Deserialize, Serialize};

/// A casualty, by the caller's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CasualtyId(pub u32);

/// A transport, by the caller's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TransportId(pub u32);

/// A destination, by the caller's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct DestinationId(pub u32);

/// Evacuation priority: who goes on the next free place. Not the triage category, though it is suggested from it
/// (see `priority`).
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Priority {
    /// Leaves first.
    First,
    /// Leaves when the first are on their way.
    Second,
    /// Leaves after those.
    Third,
    /// Comfort care here; leaves last, and only when somebody asked for it.
    Last,
}

impl Priority {
    /// All, most urgent first.
    pub const ALL: [Self; 4] = [Self::First, Self::Second, Self::Third, Self::Last];

    /// 0 for the first to 3 for the last.
    pub const fn index(self) -> usize {
        match self {
            Self::First => 0,
            Self::Second => 1,
            Self::Third => 2,
            Self::Last => 3,
        }
    }
}

/// How a casualty can travel.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Posture {
    /// Must lie.
    Lying,
    /// Can sit.
    Sitting,
    /// Can walk out; takes a sitting place in a vehicle.
    Walking,
}

/// What a destination must be able to do.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Ability {
    /// Operate at once.
    Surgery,
    /// Treat large burns.
    Burns,
    /// Treat children.
    Children,
    /// Operate on head and spine.
    Neurosurgery,
}

impl Ability {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::Surgery,
        Self::Burns,
        Self::Children,
        Self::Neurosurgery,
    ];

    /// The word for a sentence: "nearest with …".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Surgery => "surgery",
            Self::Burns => "burns care",
            Self::Children => "care for children",
            Self::Neurosurgery => "neurosurgery",
        }
    }
}

/// What must be on board.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Equipment {
    /// Oxygen for the way.
    Oxygen,
    /// A board or mattress that keeps the spine still.
    Spinal,
}

impl Equipment {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Oxygen, Self::Spinal];

    /// The word for a sentence: "needs … on board".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Oxygen => "oxygen",
            Self::Spinal => "a board or mattress for the spine",
        }
    }
}

/// One way to use the inside of a transport. One layout is used per trip; a sitting person does not take a lying
/// place unless a layout says so.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
pub struct Layout {
    /// Lying places.
    pub lying: u16,
    /// Sitting places.
    pub sitting: u16,
}

impl Layout {
    /// A layout of so many lying and so many sitting places.
    pub const fn new(lying: u16, sitting: u16) -> Self {
        Self { lying, sitting }
    }
}

/// Somebody who waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Casualty {
    /// Who.
    pub id: CasualtyId,
    /// How soon.
    pub priority: Priority,
    /// How they travel.
    pub posture: Posture,
    /// Earliest minute at the loading point; before now counts as now.
    pub ready: i32,
    /// Late means arrival after this minute.
    pub deadline: Option<i32>,
    /// What the destination must be able to do, all of it.
    pub needs: Vec<Ability>,
    /// What must be on board, all of it.
    pub aboard: Vec<Equipment>,
    /// Attendants this person ties up on the way.
    pub escort: u16,
    /// The same number means the same trip, all or none.
    pub group: Option<u32>,
}

/// Something that takes people away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Transport {
    /// Which.
    pub id: TransportId,
    /// The ways its inside can be used.
    pub layouts: Vec<Layout>,
    /// Its sitting places are steps on foot: only somebody who can walk takes one.
    pub on_foot: bool,
    /// Attendants on each trip.
    pub attendants: u16,
    /// What it has on board.
    pub equipment: Vec<Equipment>,
    /// Minute from which it stands at the loading point; before now counts as now.
    pub available: i32,
    /// Minutes to load, per trip.
    pub load: i32,
    /// Minutes to unload, per trip.
    pub unload: i32,
    /// It does not leave after this minute.
    pub last_departure: Option<i32>,
    /// How many more trips it makes, one that is being loaded included.
    pub trips: u32,
    /// Minutes one way; a destination that is not here cannot be reached. The way back takes the same.
    pub travel: Vec<(DestinationId, i32)>,
}

/// Where people are taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Destination {
    /// Which.
    pub id: DestinationId,
    /// Places left for each priority, first to last; those on their way are still to be taken off.
    pub places: [u32; 4],
    /// What it can do.
    pub abilities: Vec<Ability>,
}

/// A trip that has left: nobody changes it any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftTrip {
    /// On what.
    pub transport: TransportId,
    /// To where.
    pub destination: DestinationId,
    /// Who is on it.
    pub casualties: Vec<CasualtyId>,
    /// Minute of arrival, expected or real.
    pub arrives: i32,
    /// Minutes one way, for the way back.
    pub travel: i32,
}

/// A trip that is being loaded: those aboard stay aboard and the destination stands; others may still join.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadingTrip {
    /// On what.
    pub transport: TransportId,
    /// To where.
    pub destination: DestinationId,
    /// Who is on it already.
    pub aboard: Vec<CasualtyId>,
    /// Minute at which it can leave.
    pub departs: i32,
    /// Minutes one way.
    pub travel: i32,
}

/// The coordinator says on what somebody goes: a hard limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Who.
    pub casualty: CasualtyId,
    /// On what.
    pub transport: TransportId,
    /// To where, if that is said too.
    pub destination: Option<DestinationId>,
    /// On its next trip from here, and no later one.
    pub next_trip: bool,
}

/// A trip as planned. The trips of one transport stand in the order in which it makes them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trip {
    /// On what.
    pub transport: TransportId,
    /// To where.
    pub destination: DestinationId,
    /// Who.
    pub casualties: Vec<CasualtyId>,
}

/// The whole question.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problem {
    /// No arrival later than this minute.
    pub horizon: i32,
    /// Everybody who is to leave, those on left or loading trips included.
    pub casualties: Vec<Casualty>,
    /// Everything that can take them.
    pub transports: Vec<Transport>,
    /// Every place that takes them in.
    pub destinations: Vec<Destination>,
    /// Trips that have left.
    pub left: Vec<LeftTrip>,
    /// Trips that are being loaded, one for a transport at most.
    pub loading: Vec<LoadingTrip>,
    /// What the coordinator has fixed.
    pub pins: Vec<Pin>,
    /// Whom the coordinator keeps here.
    pub holds: Vec<CasualtyId>,
    /// The plan on screen, which is kept among equals. Trips that have left may still be in it.
    pub shown: Vec<Trip>,
}

impl Problem {
    /// The casualty of this number.
    pub fn casualty(&self, id: CasualtyId) -> Option<&Casualty> {
        self.casualties.iter().find(|c| c.id == id)
    }

    /// The transport of this number.
    pub fn transport(&self, id: TransportId) -> Option<&Transport> {
        self.transports.iter().find(|t| t.id == id)
    }

    /// The destination of this number.
    pub fn destination(&self, id: DestinationId) -> Option<&Destination> {
        self.destinations.iter().find(|d| d.id == id)
    }

    /// The trip of this transport that is being loaded.
    pub fn loading_on(&self, id: TransportId) -> Option<&LoadingTrip> {
        self.loading.iter().find(|trip| trip.transport == id)
    }

    /// Is this casualty on a trip that has left?
    pub fn has_left(&self, id: CasualtyId) -> bool {
        self.left.iter().any(|trip| trip.casualties.contains(&id))
    }

    /// Is this casualty aboard something that is being loaded?
    pub fn is_aboard(&self, id: CasualtyId) -> bool {
        self.loading.iter().any(|trip| trip.aboard.contains(&id))
    }

    /// Is this casualty kept here, in person or because somebody of the group is?
    pub fn is_held(&self, casualty: &Casualty) -> bool {
        self.holds.contains(&casualty.id)
            || casualty.group.is_some_and(|group| {
                self.casualties
                    .iter()
                    .any(|other| other.group == Some(group) && self.holds.contains(&other.id))
            })
    }
}

impl Transport {
    /// Minutes one way.
    pub fn minutes_to(&self, destination: DestinationId) -> Option<i32> {
        self.travel
            .iter()
            .find(|(to, _)| *to == destination)
            .map(|(_, minutes)| *minutes)
    }

    /// Does some layout hold so many?
    pub fn fits(&self, lying: u16, sitting: u16) -> bool {
        self.layouts
            .iter()
            .any(|layout| lying <= layout.lying && sitting <= layout.sitting)
    }
}
