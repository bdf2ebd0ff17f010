//! Facts and what they add up to.
//!
//! Everything people report is a fact; everything the board shows is worked out from facts. This folder owns
//! the facts' shapes, how they are taken in, and the fold that turns a casualty's entries into what is known
//! about them. Promises: pure (no clock, no I/O, no HTTP, no SQL); the fold never fails; the state depends on
//! the entries alone. Does not store anything: that is the journal's.
//!
//! Reading order: `fact` (what can be said), `entry` (how it is kept), `draft` (taking facts in), `casualty`
//! (the fold), `due` (what is due).

mod about;
mod acts;
mod alarms;
mod alike;
mod answers;
mod appointed;
mod care;
mod care_words;
mod casualty;
mod check;
mod check_care;
mod check_triage;
mod closing;
mod command;
mod description;
mod draft;
mod due;
mod entry;
mod epoch;
pub mod evac;
pub mod fact;
mod general_words;
mod identity;
mod ids;
mod late;
#[cfg(test)]
mod laws;
mod level;
mod needs;
mod people;
mod permit;
mod questions;
mod refers;
mod refusal;
mod risks;
mod role;
mod sames;
mod seen;
mod sentence;
mod sentence_triage;
pub mod setting;
mod settings;
mod short;
mod sorting;
mod spent;
mod state;
mod stock;
mod strike;
mod text;
mod tied;
mod told;
mod watch;
mod worsening;
mod wound;

pub use about::{About, AboutKind};
pub use alarms::{Exposure, Quiet, Silenced};
pub use alike::Alike;
pub use answers::{Answers, Given};
pub use care_words::{contamination_words, level_words, mechanism_words};
pub use casualty::{Bleeding, CareClock, Casualty, Record};
pub use closing::Closed;
pub use command::Handover;
pub use description::Description;
pub use draft::{Author, CasualtyChange, Changes, Draft, Receipt};
pub use due::{Duty, Task, duties_of};
pub use entry::{CLOCK_SLACK, Entry, Report};
pub use epoch::{Epoch, HeadSeen, Memory, goes_on, remembered};
pub use fact::Fact;
pub use ids::{
    AssessmentId, BoardId, CasualtyId, DestinationId, DeviceId, EntryId, EpochId, KitId, Seq,
    TransportId, WoundId,
};
pub use late::Late;
pub use level::Level;
pub use needs::Account;
pub use refusal::Refusal;
pub use risks::Risks;
pub use role::{Deed, Role};
pub use sames::{Proposal, Sames};
pub use seen::{BeyondSeen, Seen};
pub use sentence::{sentence, sign_words};
pub use sentence_triage::{told_words, vitals_words};
pub use setting::Setting;
pub use settings::{Changed, InForce, Settings};
pub use short::StockAlarm;
pub use sorting::{Begun, Decision, Sorting};
pub use spent::Spent;
pub use state::{Incident, Person, Touched};
pub use stock::{Kit, Supplies};
pub use text::{Note, Text, TextError, Words};
pub use tied::Tied;
pub use watch::{Watch, Why};
pub use worsening::{Flag, known_parts, news2, person, signs};
pub use wound::Wound;
