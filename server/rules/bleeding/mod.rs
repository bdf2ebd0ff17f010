//! Bleeding control: where a wound is, which measures can work there, and how the ladder is climbed.
//!
//! Owns the region matrix, the first measure, the ladder's fold and its clocks. Promises: a suggestion is
//! never an order; whatever a person reports as done is taken as done and computed from.

pub mod first_measure;
pub mod ladder;
pub mod region;
pub mod terms;

pub use first_measure::first_measure;
pub use ladder::{Act, Clock, Duty, Hold, Standing, StartMeasure, standing};
pub use region::{Allowed, Capability, Class, Region, Side};
pub use terms::{Flow, Look, Measure};
