//! Triage: the published algorithms as tables, and what an answer, a gap or a "can't tell" does to them.
//!
//! Owns the categories, one file per algorithm, the words of each service and the re-triage intervals.
//! Promises: dead and expectant never come from gaps; a provisional answer is never less urgent than the final
//! one; a suggestion is shown beside what a person assigns and never applied by itself. Not a medical device,
//! not validated: whether suggesting a category makes it one where it is used is an open question.

pub mod algorithm;
pub mod answer;
mod answer_sheet;
pub mod assess;
pub mod category;
pub mod chosen;
pub mod jump_start;
pub mod mitt;
pub mod notes;
pub mod retriage;
pub mod salt;
pub mod salt_sort;
pub mod sheet;
pub mod start;
pub mod table;
pub mod ten_second;
pub mod wording;

pub use algorithm::{Algorithm, ApparentAge, Fit};
pub use answer::{Answer, Answers, Choice, Input, Limit, Measure, Record};
pub use assess::{Assessment, Outcome, assess};
pub use category::Category;
pub use chosen::Systems;
pub use jump_start::{JumpStartAnswers, JumpStartVariant};
pub use mitt::MittAnswers;
pub use salt::SaltAnswers;
pub use sheet::{Filled, OnlyVariant, Sheet};
pub use start::{StartAnswers, StartVariant};
pub use table::{Edge, Question, Step, StepId, Table};
pub use ten_second::TenSecondAnswers;
