//! Every number and every choice of the bleeding rules, in one value.
//!
//! Owns the defaults. A medical adviser may change any of them for one incident, so they travel as a value
//! and no rule carries a number of its own. Each default names where it comes from; *our default* means
//! that the value was chosen for this board, *from memory* that the source was not at hand.

mod care;
mod holds;
mod switches;
mod tourniquet_times;

pub use care::Care;
pub use holds::{Dressings, Holds, Starts};
pub use switches::{
    BleedThrough, ChestCover, Conversion, FirstForLimb, MedicPanel, NeckPacking, OralFluids,
    Switches,
};
pub use tourniquet_times::TourniquetTimes;

use serde::{Deserialize, Serialize};

/// The numbers and choices one incident works with.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Policy {
    /// How soon the first look and each measure must start.
    pub starts: Starts,
    /// How long hands press.
    pub holds: Holds,
    /// How pressure dressings are checked.
    pub dressings: Dressings,
    /// Tourniquet checks, reviews, limits and conversion.
    pub tourniquets: TourniquetTimes,
    /// Everything after and around the bleeding itself.
    pub care: Care,
    /// Choices between schools.
    pub switches: Switches,
}
