//! Triage: the published algorithms as tables, and what an answer, a gap or a "can't tell" does to them.
//!
//! Owns the categories and one file per algorithm. Promises: dead and expectant never come from gaps; a
//! provisional answer is never less urgent than the final one.

pub mod answer;
pub mod assess;
pub mod category;
pub mod start;
pub mod table;

pub use answer::{Answer, Answers, Input};
pub use assess::{Assessment, Outcome, assess};
pub use category::Category;
pub use start::{StartAnswers, StartVariant};
pub use table::{Edge, Step, StepId, Table};
