//! Bleeding control: where a wound is, which measures can work there, and how the ladder is climbed.
//!
//! Owns the rules of the ladder from the first look to the care of a stopped wound. Start at [`ladder`]: it
//! folds what people reported into where each wound and limb stands; [`mod@clocks`] reads the timed duties off
//! that. Three promises stand above every rule: no report is refused; no timer ends an obligation, only a
//! person's look does; a limb's time without blood is never started, shortened or reset by guess.

pub mod act;
pub mod after_care;
pub mod bands;
pub mod clocks;
pub mod conversion;
pub mod distal;
pub mod exposure;
pub mod infection;
pub mod information;
pub mod ladder;
pub mod limb;
pub mod measure;
pub mod minutes;
pub mod observation;
pub mod place_rules;
pub mod policy;
pub mod region;
pub mod rule;
pub mod shock;
pub mod standing;
pub mod state;
pub mod step;
pub mod terms;
pub mod warning;
pub mod wound;

pub use act::{About, Act, Application, Dated, Level, Role};
pub use clocks::{Clock, ClockAbout, ClockKind, Severity, clocks};
pub use ladder::{Case, Picture, stand, stand_under};
pub use limb::{LimbStanding, Tourniquet};
pub use minutes::Minutes;
pub use observation::{Findings, Sign};
pub use policy::Policy;
pub use region::{Allowed, Capability, Class, Region, Side};
pub use rule::{Evidence, Rule};
pub use standing::Standing;
pub use state::State;
pub use step::Step;
pub use terms::{Flow, Look, Measure};
pub use warning::Warning;
pub use wound::{Casualty, Limb, Wound};
