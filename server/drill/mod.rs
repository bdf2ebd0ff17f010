//! Practice incidents that play themselves.
//!
//! A drill is a script of facts: who saw or did what, at which minute and second. It reaches the board through
//! the same door as people do (HTTP, a join code, `POST /journal`), never by a second path into the journal.
//! Owns the shape of such a script, the invented story, and the player. Promises: nobody and nowhere in it is
//! real; a script that is told twice to two boards tells both the same.
//!
//! Reading order: `scenario` (what a script is), `verbs` and `sheets` (its words), `ninefold` (the story),
//! `cast` (from the story's names to facts), `device` (one phone), `player` (the whole cast, in time).

mod cast;
mod device;
mod known;
mod ninefold;
mod player;
mod scenario;
mod sheets;
mod verbs;

pub use cast::{Cast, StoryError};
pub use device::{DeviceError, Problem};
pub use ninefold::NINEFOLD_BEND;
pub use player::{Door, Played, play};
pub use scenario::{Actor, Care, Expected, Kit, Line, Moment, Person, Scenario, What};
