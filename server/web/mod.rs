//! Sessions, pages, the journal endpoint, the live endpoint, problems: the only folder that knows HTTP.
//!
//! Owns what is asked and answered over the network. Promises: nothing but the join page before joining; every
//! write comes from our own pages; every refusal is a clear problem; no third-party request.

mod admitted;
mod app;
mod assets;
mod care_forms;
mod changes;
mod closing;
mod codes;
mod command;
mod connections;
mod copies;
mod daylight;
mod evac;
mod forms;

mod guard;
mod guesses;
mod handover;
mod hosts;
mod join;
mod journal_door;
mod json;
mod kits;
mod limits;
mod live_door;
mod machine_clock;
mod meanings;
mod memories;
mod notices;
mod openapi;
mod outline;
mod paces;
mod page;
mod pages;
mod paper;
mod parts;
mod plans;
mod poster;
mod presence;
mod problem;
mod record;
mod restoration;
mod reversal;
mod routes;
mod seal;
mod secure;
mod serve;
mod session;
mod settings;
mod standing;
mod time_door;
mod token;
mod triage_forms;
mod view;
mod words_list;

pub use app::{App, Parts, Wifi};
pub use assets::Assets;
pub use codes::{Codes, fresh_code, fresh_words, grouped};
pub use command::Offer;
pub use guesses::Guesses;
pub use hosts::Hosts;
pub use limits::Limits;
pub use machine_clock::{MachineClock, watch_machine_clock};
pub use memories::Memories;
pub use notices::Copies;
pub use paces::Paces;
pub use plans::Plans;
pub use poster::join_address;
pub use record::Takings;
pub use routes::router;
pub use serve::{Doors, Tls, bind, serve};
pub use session::Sessions;
pub use standing::{Handed, Standing, WordsHeld, WordsStand};
