//! `JumpSTART`, the companion of START for those who look like a child.
//!
//! Owns the answer sheet and the two tables. Sources: Romig, JEMS 2002;27(7):52–63 (2001 revision; paper from
//! memory); US HHS CHEMM chart, Family Practice Notebook and Illinois EMS for Children course 2016 for the
//! steps (secondary texts); the rule for children who could not walk before is Romig's, from memory, and its
//! list of injuries awaits confirmation. Promises: 15 and 45 breaths a minute are normal; five rescue breaths
//! only where there is a pulse, or where nobody can be sure of one (*common practice*); breaths nobody gave
//! never make anyone dead.
//!
//! "Irregular" breathing counts as abnormal in one published text only: answer yes to the rate question
//! instead of giving a count, because a count decides.

use serde::{Deserialize, Serialize};

use super::answer::{Input, Limit};
use super::answer_sheet::answer_sheet;
use super::assess::{Assessment, assess};
use super::category::Category::{Dead, Delayed, Immediate, Minor};
use super::table::Edge::{Category, Step as To};
use super::table::{Question, Step, Table};
use crate::rules::scores::Consciousness::{Alert, Confused, Pain, Unresponsive, Voice};

/// Whether the child could walk before today.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum JumpStartVariant {
    /// Walked before today: not walking now says something.
    #[default]
    Standard,
    /// Infants, and children whom age, development or disability keeps from walking: the walking question is
    /// left out, and a last one asks for outside injuries.
    NeverWalked,
}

impl JumpStartVariant {
    /// Both variants, the default first.
    pub const ALL: [Self; 2] = [Self::Standard, Self::NeverWalked];

    /// The questions of this variant.
    pub const fn table(self) -> &'static Table {
        match self {
            Self::Standard => &STANDARD,
            Self::NeverWalked => &NEVER_WALKED,
        }
    }
}

answer_sheet! {
    /// The answers to `JumpSTART`'s questions; anything may be missing. A number or a level decides its
    /// question.
    pub struct JumpStartAnswers {
        answers {
            /// Walks.
            walks: Walks,
            /// Breathes by itself.
            breathing: Breathing,
            /// Breathes once the airway was opened.
            breathing_after_airway: BreathingAfterAirway,
            /// A pulse can be felt.
            pulse_felt: PulseFelt,
            /// Breathes after five rescue breaths.
            breathing_after_rescue_breaths: BreathingAfterRescueBreaths,
            /// Fewer than 15 or more than 45 breaths a minute, or irregular.
            breathing_outside_15_to_45: BreathingOutside15To45,
            /// Awake, or answers to a voice.
            responds_to_voice: RespondsToVoice,
            /// Withdraws from pain, reaches for it or cries; posturing or a mere sound is a no.
            responds_aptly_to_pain: RespondsAptlyToPain,
            /// A significant injury to be seen from outside.
            external_injury: ExternalInjury,
        }
        numbers {
            /// Breaths per minute, counted.
            breaths_per_minute: BreathsPerMinute,
        }
        levels {
            /// The level of consciousness, where it was recorded as such.
            consciousness: Consciousness,
        }
    }
}

impl JumpStartAnswers {
    /// What these answers amount to under `variant`.
    pub fn assess(&self, variant: JumpStartVariant) -> Assessment {
        assess(variant.table(), self)
    }
}

const CHART: &str = "JumpSTART 2001 (Romig, from memory); secondary texts of the CHEMM chart";

const WALKS: Step = Question {
    id: "J1",
    input: Input::Walks,
    question: "Walking?",
    help: "Being carried is not walking.",
    source: CHART,
}
.leads(Category(Minor), To("J2"));

const BREATHING: Step = Question {
    id: "J2",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Look, listen, feel.",
    source: CHART,
}
.leads(To("J3"), To("J2a"));

const AIRWAY: Step = Question {
    id: "J2a",
    input: Input::BreathingAfterAirway,
    question: "Airway opened: breathing now?",
    help: "Lift the chin, head level; do not overstretch a small neck.",
    source: CHART,
}
.leads(Category(Immediate), To("J2b"));

const PULSE_WITHOUT_BREATH: Step = Question {
    id: "J2b",
    input: Input::PulseFelt,
    question: "Can you feel a pulse?",
    help: "Ten seconds at most. Not sure: say so, and give 5 breaths.",
    source: CHART,
}
.leads(To("J2c"), Category(Dead))
.stood_in_for_by("J2c");

const RESCUE_BREATHS: Step = Question {
    id: "J2c",
    input: Input::BreathingAfterRescueBreaths,
    question: "5 rescue breaths given: breathing now?",
    help: "Breaths not given: leave this open, it is not a no.",
    source: CHART,
}
.leads(Category(Immediate), Category(Dead));

const RATE: Step = Question {
    id: "J3",
    input: Input::BreathingOutside15To45,
    question: "Fewer than 15 or more than 45 breaths a minute?",
    help: "Count 15 seconds: 4 to 11 is normal. Irregular breathing is a yes.",
    source: CHART,
}
.leads(Category(Immediate), To("J4"))
.measured(Input::BreathsPerMinute, Limit::Outside(15, 45));

const PULSE: Step = Question {
    id: "J4",
    input: Input::PulseFelt,
    question: "Can you feel a pulse at a limb?",
    help: "Use the limb that is least hurt.",
    source: CHART,
}
.leads(To("J5"), Category(Immediate));

const VOICE: Step = Question {
    id: "J5",
    input: Input::RespondsToVoice,
    question: "Awake, or reacts to your voice?",
    help: "For a baby: looks at you, or cries and settles.",
    source: CHART,
}
.leads(Category(Delayed), To("J5b"))
.chosen(&[Alert, Confused, Voice], &[Pain, Unresponsive]);

const PAIN: Step = Question {
    id: "J5b",
    input: Input::RespondsAptlyToPain,
    question: "Pinched: pulls away, reaches for it or cries?",
    help: "Stiffening, or only a sound, is a no.",
    source: "JumpSTART 2001; what counts as apt is from memory",
}
.leads(Category(Delayed), Category(Immediate))
.chosen(&[], &[Unresponsive]);

const INJURY: Step = Question {
    id: "J6",
    input: Input::ExternalInjury,
    question: "A serious injury to be seen?",
    help: "Deep wound, heavy bleeding, bad burn, lost limb, hard swollen belly.",
    source: "Romig's rule for children who do not walk, from memory",
}
.leads(Category(Delayed), Category(Minor));

static STANDARD: Table = Table {
    algorithm: "jumpstart",
    variant: "standard",
    steps: &[
        WALKS,
        BREATHING,
        AIRWAY,
        PULSE_WITHOUT_BREATH,
        RESCUE_BREATHS,
        RATE,
        PULSE,
        VOICE,
        PAIN,
    ],
};

static NEVER_WALKED: Table = Table {
    algorithm: "jumpstart",
    variant: "never_walked",
    steps: &[
        BREATHING,
        AIRWAY,
        PULSE_WITHOUT_BREATH,
        RESCUE_BREATHS,
        RATE,
        PULSE,
        Step {
            yes: To("J6"),
            ..VOICE
        },
        Step {
            yes: To("J6"),
            ..PAIN
        },
        INJURY,
    ],
};
