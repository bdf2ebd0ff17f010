//! Supplies: what is in the bag and what a step usually takes from it.

pub mod item;

pub use item::Item;
