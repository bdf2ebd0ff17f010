//! Evacuation: the planner against solved instances and an independent exact program, and the rules of thumb
//! around it.

mod around;
pub(crate) mod instances;
mod problems;
mod random;
mod solved;
mod subsets;
