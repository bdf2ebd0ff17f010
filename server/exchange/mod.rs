//! What leaves the board: on paper, as a code to scan, as a file.
//!
//! Owns the forms in which things leave. Stands on `incident`; knows nothing of HTTP.

pub mod handover;
pub mod messages;
pub mod qr;
pub mod standards;
