//! The Major Incident Triage Tool of the NHS in England, for clinicians, after Ten Second Triage.
//!
//! Owns the answer sheet and the table. Sources: Vassallo, Moran, Cowburn, Smith, "New NHS Prehospital Major
//! Incident Triage Tool: from MIMMS to MITT", Emerg Med J 2022 (abstract); thresholds from a medical-algorithm
//! compendium page; the order of the boxes is from memory. Promises: catastrophic bleeding outranks walking
//! and stays immediate once stopped; 12 and 23 breaths a minute are normal, a pulse of 100 is not; a slow
//! pulse is no criterion.
//!
//! Open: whether the age rule reads "under 2" or "2 and under" (here: under 2; `notes` warns at exactly 2),
//! and the number of rescue breaths (here: 5, from memory).

use super::answer::{Input, Limit};
use super::answer_sheet::answer_sheet;
use super::assess::{Assessment, assess};
use super::category::Category::{Dead, Delayed, Immediate, Minor};
use super::table::Edge::{Category, Step as To};
use super::table::{Question, Step, Table};
use crate::rules::scores::Consciousness::{Alert, Confused, Pain, Unresponsive, Voice};

answer_sheet! {
    /// The answers to the Major Incident Triage Tool's questions; anything may be missing. A number or a
    /// level decides its question.
    pub struct MittAnswers {
        answers {
            /// Bled catastrophically when first seen.
            catastrophic_bleeding: CatastrophicBleeding,
            /// Walks.
            walks: Walks,
            /// Breathes by itself.
            breathing: Breathing,
            /// Breathes once the airway was opened.
            breathing_after_airway: BreathingAfterAirway,
            /// Younger than 12 years.
            under_12: Under12,
            /// Drowned or smothered: under water, or in smoke.
            hypoxic_cause: HypoxicCause,
            /// Breathes after rescue breaths.
            breathing_after_rescue_breaths: BreathingAfterRescueBreaths,
            /// Younger than 2 years.
            under_2: Under2,
            /// Reacts to a voice.
            responds_to_voice: RespondsToVoice,
            /// Fewer than 12 or more than 23 breaths a minute.
            breathing_outside_12_to_23: BreathingOutside12To23,
            /// A pulse of 100 a minute or more.
            pulse_100_or_more: Pulse100OrMore,
        }
        numbers {
            /// Age in completed years.
            age_years: AgeYears,
            /// Breaths per minute, counted.
            breaths_per_minute: BreathsPerMinute,
            /// Heart beats per minute.
            pulse_per_minute: PulsePerMinute,
        }
        levels {
            /// The level of consciousness, where it was recorded as such.
            consciousness: Consciousness,
        }
    }
}

impl MittAnswers {
    /// The questions.
    pub const fn table() -> &'static Table {
        &MITT
    }

    /// What these answers amount to.
    pub fn assess(&self) -> Assessment {
        assess(&MITT, self)
    }
}

const TOOL: &str = "MITT (Vassallo et al. 2022); compendium page, order of boxes from memory";

const BLEEDING: Step = Question {
    id: "I1",
    input: Input::CatastrophicBleeding,
    question: "Catastrophic bleeding?",
    help: "Try to stop it now. Stopped meanwhile is still a yes.",
    source: TOOL,
}
.leads(Category(Immediate), To("I2"));

const WALKS: Step = Question {
    id: "I2",
    input: Input::Walks,
    question: "Walking?",
    help: "Being carried is not walking.",
    source: TOOL,
}
.leads(Category(Minor), To("I3"));

const BREATHING: Step = Question {
    id: "I3",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Look, listen, feel.",
    source: TOOL,
}
.leads(To("I4"), To("I3a"));

const AIRWAY: Step = Question {
    id: "I3a",
    input: Input::BreathingAfterAirway,
    question: "Airway opened: breathing now?",
    help: "Tilt the head, lift the chin, look again.",
    source: "MITT; the yes branch from memory",
}
.leads(Category(Immediate), To("I3b"));

const UNDER_12: Step = Question {
    id: "I3b",
    input: Input::Under12,
    question: "Younger than 12?",
    help: "Go by looks if nobody knows.",
    source: TOOL,
}
.leads(To("I3c"), Category(Dead))
.measured(Input::AgeYears, Limit::Below(12));

const HYPOXIC: Step = Question {
    id: "I3c",
    input: Input::HypoxicCause,
    question: "Was under water, or in smoke?",
    help: "Drowning, or suffocation by smoke.",
    source: TOOL,
}
.leads(To("I3d"), Category(Dead));

const RESCUE_BREATHS: Step = Question {
    id: "I3d",
    input: Input::BreathingAfterRescueBreaths,
    question: "5 rescue breaths given: breathing now?",
    help: "Breaths not given: leave this open, it is not a no.",
    source: "MITT; number of breaths from memory",
}
.leads(Category(Immediate), Category(Dead));

const UNDER_2: Step = Question {
    id: "I4",
    input: Input::Under2,
    question: "Younger than 2?",
    help: "Copies of the chart differ for exactly 2; here 2 is a no.",
    source: TOOL,
}
.leads(Category(Immediate), To("I5"))
.measured(Input::AgeYears, Limit::Below(2));

const VOICE: Step = Question {
    id: "I5",
    input: Input::RespondsToVoice,
    question: "Reacts to your voice?",
    help: "If not: turn on the side.",
    source: TOOL,
}
.leads(To("I6"), Category(Immediate))
.chosen(&[Alert, Confused, Voice], &[Pain, Unresponsive]);

const RATE: Step = Question {
    id: "I6",
    input: Input::BreathingOutside12To23,
    question: "Fewer than 12 or more than 23 breaths a minute?",
    help: "Count 15 seconds: 3 to 5 is normal.",
    source: TOOL,
}
.leads(Category(Immediate), To("I7"))
.measured(Input::BreathsPerMinute, Limit::Outside(12, 23));

const PULSE: Step = Question {
    id: "I7",
    input: Input::Pulse100OrMore,
    question: "Pulse of 100 a minute or more?",
    help: "Count 15 seconds: 25 or more is a yes.",
    source: TOOL,
}
.leads(Category(Immediate), Category(Delayed))
.measured(Input::PulsePerMinute, Limit::AtLeast(100));

static MITT: Table = Table {
    algorithm: "mitt",
    variant: "standard",
    steps: &[
        BLEEDING,
        WALKS,
        BREATHING,
        AIRWAY,
        UNDER_12,
        HYPOXIC,
        RESCUE_BREATHS,
        UNDER_2,
        VOICE,
        RATE,
        PULSE,
    ],
};
