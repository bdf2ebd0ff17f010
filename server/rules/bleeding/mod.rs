//! Bleeding control: where a wound is, which measures can work there, and how the ladder is climbed.

pub mod region;

pub use region::{Capability, Class, Region, Side};
