//! What can be wrong with a plan.
//!
//! Owns the faults and their names in reports.

use super::problem::{CasualtyId, DestinationId, TransportId};

/// What is wrong with a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The trip with this place in the list names somebody or something that is not in the problem.
    UnknownId(usize),
    /// The trip with this place in the list carries nobody.
    EmptyTrip(usize),
    /// Planned twice, or planned although they have left.
    Duplicate(CasualtyId),
    /// This transport cannot reach that destination.
    NoRoute(TransportId, DestinationId),
    /// No layout holds those on the trip with this place in the list.
    OverCapacity(usize),
    /// Not enough attendants on the trip with this place in the list.
    Attendant(usize),
    /// The destination cannot do, or the transport has not on board, what this casualty needs.
    MissingCapability(CasualtyId),
    /// More people of this priority (0 first to 3 last) than the destination has places.
    NoBed(DestinationId, usize),
    /// Not everybody of this casualty's group is on the same trip.
    GroupSplit(CasualtyId),
    /// More trips than the transport makes.
    TooManyTrips(TransportId),
    /// The trip with this place in the list leaves after the transport's last departure.
    LastDepart(usize),
    /// The trip with this place in the list arrives after the horizon.
    Horizon(usize),
    /// This casualty would have to walk and cannot.
    CannotWalk(CasualtyId),
    /// Not as the coordinator fixed it.
    PinBroken(CasualtyId),
    /// Planned although the coordinator keeps them here.
    Held(CasualtyId),
    /// What is being loaded on this transport is not its next trip, or somebody aboard is put off.
    LoadingBroken(TransportId),
}

impl Fault {
    /// The name in reports.
    pub const fn code(self) -> &'static str {
        match self {
            Self::UnknownId(_) => "UNKNOWN_ID",
            Self::EmptyTrip(_) => "EMPTY_TRIP",
            Self::Duplicate(_) => "DUPLICATE",
            Self::NoRoute(..) => "NO_ROUTE",
            Self::OverCapacity(_) => "OVER_CAPACITY",
            Self::Attendant(_) => "ATTENDANT",
            Self::MissingCapability(_) => "MISSING_CAPABILITY",
            Self::NoBed(..) => "NO_BED",
            Self::GroupSplit(_) => "GROUP_SPLIT",
            Self::TooManyTrips(_) => "TOO_MANY_TRIPS",
            Self::LastDepart(_) => "LAST_DEPART",
            Self::Horizon(_) => "HORIZON",
            Self::CannotWalk(_) => "CANNOT_WALK",
            Self::PinBroken(_) => "PIN_BROKEN",
            Self::Held(_) => "HELD",
            Self::LoadingBroken(_) => "LOADING_BROKEN",
        }
    }
}
