//! Clinical scores: pure sums over what was measured, and what a gap does to them.
//!
//! Owns one file per score, the reference cards and the plain rules for "getting worse". Promises: a missing
//! value is never guessed and never taken for normal; where it matters the result is a range; a score never
//! assigns a category by itself; ratios are compared as whole numbers.

pub mod bounds;
pub mod children;
pub mod consciousness;
pub mod gcs;
pub mod haemorrhage;
pub mod news2;
pub mod readings;
pub mod shock_index;
pub mod trauma_score;
pub mod trend;

pub use bounds::Bounds;
pub use consciousness::Consciousness;
pub use gcs::Gcs;
pub use readings::Pressure;
