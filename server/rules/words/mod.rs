//! Words to say: reports for radio, telephone and paper.
//!
//! Owns the fixed orders of the trade (M/ETHANE, MIST, ATMIST, IMIST-AMBO, SBAR, the 9-line request) over plain values,
//! and how figures and letters are read aloud. Promises: what nobody said is asked for and shown as not known, never
//! made up; nothing is left out because it is empty.

mod handover;
mod methane;
mod moment;
mod nine_line;
mod report;
mod signs;
mod spoken;

pub use handover::{
    Answer, Handover, Injury, Order, Structure, Treatment, TreatmentTime, handover,
};
pub use methane::{Counts, Incident, Major, methane};
pub use moment::Moment;
pub use nine_line::{
    Marking, NineLine, Security, SiteContamination, Special, SumsDiffer, Wartime, Wording,
    nine_line,
};
pub use report::{Line, Report};
pub use signs::Signs;
pub use spoken::{aloud, script, spoken};
