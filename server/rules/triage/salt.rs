//! SALT's category step, for all ages, asked after the lifesaving interventions.
//!
//! Owns the answer sheet and the table; the sorting calls and the interventions are in `salt_sort`. Sources:
//! Lerner et al., DMPHP 2008;2(Suppl 1):S25–34 (text from memory); Lerner's lecture slides, Medical College of
//! Wisconsin; a US EMS agency protocol "SALT Mass Casualty Triage – Procedures" (secondary, whole decision
//! rule). Promises: expectant needs an explicit "no" to survival; respiratory distress is judged by eye, not
//! by a rate.

use super::answer::Input;
use super::answer_sheet::answer_sheet;
use super::assess::{Assessment, assess};
use super::category::Category::{Dead, Delayed, Expectant, Immediate, Minor};
use super::table::Edge::{Category, Step as To};
use super::table::{Question, Step, Table};

answer_sheet! {
    /// The answers to SALT's questions, as things stand after the interventions; anything may be missing.
    pub struct SaltAnswers {
        answers {
            /// Breathes.
            breathing: Breathing,
            /// Follows commands, or moves with purpose.
            obeys_or_moves: ObeysOrMoves,
            /// A pulse can be felt at a limb; one only at the neck or groin is a no.
            pulse_felt: PulseFelt,
            /// Struggles for breath.
            respiratory_distress: RespiratoryDistress,
            /// No major bleeding, or it is stopped.
            bleeding_controlled: BleedingControlled,
            /// All injuries would heal without treatment.
            injuries_minor: InjuriesMinor,
            /// Likely to survive with what is here.
            likely_to_survive: LikelyToSurvive,
        }
        numbers {}
        levels {}
    }
}

impl SaltAnswers {
    /// The questions.
    pub const fn table() -> &'static Table {
        &SALT
    }

    /// What these answers amount to.
    pub fn assess(&self) -> Assessment {
        assess(&SALT, self)
    }
}

const PROTOCOL: &str = "SALT (Lerner et al. 2008, from memory); US EMS agency protocol";

const BREATHING: Step = Question {
    id: "T1",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Open the airway first. A child: consider 2 rescue breaths.",
    source: PROTOCOL,
}
.leads(To("T2a"), Category(Dead));

const OBEYS: Step = Question {
    id: "T2a",
    input: Input::ObeysOrMoves,
    question: "Follows commands, or moves with purpose?",
    help: "A wave or a grip is enough.",
    source: PROTOCOL,
}
.leads(To("T2b"), To("T4"));

const PULSE: Step = Question {
    id: "T2b",
    input: Input::PulseFelt,
    question: "Pulse at wrist or foot?",
    help: "A pulse only at the neck or groin is a no.",
    source: PROTOCOL,
}
.leads(To("T2c"), To("T4"));

const DISTRESS: Step = Question {
    id: "T2c",
    input: Input::RespiratoryDistress,
    question: "Struggling to breathe?",
    help: "Judge by eye; do not count.",
    source: "SALT protocol; by eye: Model Uniform Core Criteria, from memory",
}
.leads(To("T4"), To("T2d"));

const BLEEDING: Step = Question {
    id: "T2d",
    input: Input::BleedingControlled,
    question: "Heavy bleeding: none, or stopped?",
    help: "Stopped by a tourniquet is a yes. Keep its time.",
    source: PROTOCOL,
}
.leads(To("T3"), To("T4"));

const MINOR: Step = Question {
    id: "T3",
    input: Input::InjuriesMinor,
    question: "Only minor injuries?",
    help: "They would heal without treatment, and waiting does no harm.",
    source: PROTOCOL,
}
.leads(Category(Minor), Category(Delayed));

const SURVIVAL: Step = Question {
    id: "T4",
    input: Input::LikelyToSurvive,
    question: "Likely to survive with what is here now?",
    help: "A no needs your name and what is short. Ask again when more arrives.",
    source: PROTOCOL,
}
.leads(Category(Immediate), Category(Expectant));

static SALT: Table = Table {
    algorithm: "salt",
    variant: "standard",
    steps: &[BREATHING, OBEYS, PULSE, DISTRESS, BLEEDING, MINOR, SURVIVAL],
};
