//! Evacuation: who leaves next, on what, to where, why; and the rules of thumb around it.
//!
//! Owns the problem in plain values, the checker, the planner and its reasons, presets of transports, times on
//! foot, the suggestion of a priority, and daylight. It proposes; people decide.

mod assignment;
mod blocks;
mod checker;
pub mod daylight;
mod fault;
pub mod kinds;
mod local;
mod matching;
mod means;
mod model;
pub mod on_foot;
mod places;
mod planner;
pub mod priority;
mod problem;
mod proof;
mod reasons;
mod shake;
mod state;
mod turns;
mod vector;
mod why;

pub use checker::{Checked, TimedTrip, check};
pub use fault::Fault;
pub use means::{TransportKind, Way};
pub use places::DestinationKind;
pub use planner::{Effort, Plan, plan, plan_with};
pub use problem::{
    Ability, Casualty, CasualtyId, Destination, DestinationId, Equipment, Layout, LeftTrip,
    LoadingTrip, Pin, Posture, Priority, Problem, Transport, TransportId, Trip,
};
pub use vector::{ClassCount, Vector};
pub use why::{Line, Names, Why};
