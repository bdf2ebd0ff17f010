//! Supplies: what there is, what each step uses, what can stand in for what, how long it lasts.
//!
//! Owns the item catalogue and the arithmetic of stock. No published figure for gauze per wound or dressings
//! per casualty was found: all quantities are defaults of this board, set beside published kit lists, to be
//! corrected from real use.

pub mod asked;
pub mod consumption;
pub mod item;
pub mod planning;
pub mod stock;
pub mod substitution;

pub use consumption::{Use, used_by};
pub use item::Item;
pub use planning::{Need, needed};
pub use stock::{Stock, StockStatus};
pub use substitution::{Function, Substitute, substitutes};
