//! Who is watching what, and what each has already seen.
//!
//! Owns the doorbell-and-cursor mechanism: the journal rings with its newest position, each stream remembers
//! the last position it sent and asks what changed since. Promises: no queue per stream, so nothing lags,
//! drops or arrives twice; a stream that slept through a thousand changes gets each changed part once, in its
//! latest form; a part is rendered once and shared by every stream. Knows nothing of HTTP or HTML.

mod cursor;
mod shelf;
mod view;

pub use cursor::{Cursor, Wake};
pub use shelf::{Part, Shelf};
pub use view::{View, ViewError, Views};
