//! What the trade knows: pure functions over plain values.
//!
//! Owns the clinical and operational rules (triage, the bleeding ladder, clocks, supplies). Every rule
//! names its published source beside it, or says *common practice*, or says that it is from memory.
//! Promises: no I/O, no clock, no randomness; `now` is always an argument; the same input gives the same
//! answer. Knows nothing of facts, journals, HTTP or SQL.

pub mod bleeding;
pub mod evac;
pub mod place;
pub mod scores;
pub mod supplies;
pub mod triage;
pub mod words;
