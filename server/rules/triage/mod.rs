//! Triage: the published algorithms as tables, and what an answer, a gap or a "can't tell" does to them.
//!
//! Owns the categories and one file per algorithm. Promises: dead and expectant never come from gaps; a
//! provisional answer is never less urgent than the final one.

pub mod category;

pub use category::Category;
