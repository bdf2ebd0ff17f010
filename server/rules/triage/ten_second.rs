//! Ten Second Triage, for any responder and all ages, without counting anything.
//!
//! Owns the answer sheet and the table. Sources: Vassallo, Cowburn, Smith et al., Trauma 2023 (abstract);
//! NHS England, EPRR clinical guidelines for major incidents; National Fire Chiefs Council, "Carry out
//! triage"; the flow from two secondary texts. Promises: it never declares death; severe bleeding is
//! immediate even once it is stopped; walking outranks everything, bleeding included.
//!
//! Open: the list of body areas that count as central is from memory.

use super::answer::Input;
use super::answer_sheet::answer_sheet;
use super::assess::{Assessment, assess};
use super::category::Category::{Delayed, Immediate, Minor, NotBreathing};
use super::table::Edge::{Category, Step as To};
use super::table::{Question, Step, Table};

answer_sheet! {
    /// The answers to Ten Second Triage's questions; anything may be missing.
    pub struct TenSecondAnswers {
        answers {
            /// Walks.
            walks: Walks,
            /// Bled severely when first seen.
            severe_bleeding: SevereBleeding,
            /// Talks; for a child too young to talk, cries or babbles as it should. Groans are a no.
            talking: Talking,
            /// A penetrating injury of the trunk, neck, armpit or groin, front or back.
            penetrating_injury: PenetratingInjury,
            /// Breathes, once the airway was opened.
            breathing: Breathing,
        }
        numbers {}
        levels {}
    }
}

impl TenSecondAnswers {
    /// The questions.
    pub const fn table() -> &'static Table {
        &TEN_SECOND
    }

    /// What these answers amount to.
    pub fn assess(&self) -> Assessment {
        assess(&TEN_SECOND, self)
    }
}

const FLOW: &str = "Ten Second Triage (Vassallo et al. 2023); flow from secondary texts";

const WALKS: Step = Question {
    id: "X1",
    input: Input::Walks,
    question: "Walking?",
    help: "Whatever the injuries. Treat heavy bleeding all the same.",
    source: FLOW,
}
.leads(Category(Minor), To("X2"));

const BLEEDING: Step = Question {
    id: "X2",
    input: Input::SevereBleeding,
    question: "Severe bleeding?",
    help: "Press, tourniquet or pack now. Stopped meanwhile is still a yes.",
    source: FLOW,
}
.leads(Category(Immediate), To("X3"));

const TALKING: Step = Question {
    id: "X3",
    input: Input::Talking,
    question: "Talking?",
    help: "Groans are a no. A small child: cries or babbles as usual.",
    source: "Ten Second Triage; groans and small children: common practice",
}
.leads(To("X4"), To("X5"));

const PENETRATING: Step = Question {
    id: "X4",
    input: Input::PenetratingInjury,
    question: "Penetrating injury, front or back?",
    help: "Neck, chest, armpit, belly, back, groin. Arms and legs do not count.",
    source: "Ten Second Triage; list of areas from memory",
}
.leads(Category(Immediate), Category(Delayed));

const BREATHING: Step = Question {
    id: "X5",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Open the airway if you can. Breathing: turn on the side. Not: CPR if hands are free.",
    source: FLOW,
}
.leads(Category(Immediate), Category(NotBreathing));

static TEN_SECOND: Table = Table {
    algorithm: "ten_second",
    variant: "standard",
    steps: &[WALKS, BLEEDING, TALKING, PENETRATING, BREATHING],
};
