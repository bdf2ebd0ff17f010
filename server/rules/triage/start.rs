//! START, the adult algorithm, with the perfusion variants in circulation.
//!
//! Owns the answer sheet and the tables. Sources: START protocols, Hoag Memorial Hospital / Newport Beach Fire
//! Department, 1983 (taught from the 1993/1997 text); US HHS CHEMM, "START Adult Triage Algorithm"; the pulse
//! variant after Benson, Koenig, Schultz, Prehosp Disaster Med 1996;11:117–24 (paper from memory, its change
//! confirmed in secondary texts). Promises: "over 30" and "over 2 s" are strict (charts leave the boundary
//! itself open: *common practice* here, to be confirmed by a clinician); there is no lower limit of the
//! breathing rate; gasps count as breathing; nobody is called dead without an airway attempt on record.

use serde::{Deserialize, Serialize};

use super::answer::{Input, Limit};
use super::answer_sheet::answer_sheet;
use super::assess::{Assessment, assess};
use super::category::Category::{Dead, Delayed, Immediate, Minor};
use super::table::Edge::{Category, Step as To};
use super::table::{Question, Step, Table};

/// What counts as poor perfusion.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum StartVariant {
    /// No radial pulse; refill over 2 s only where the pulse could not be assessed. The default: refill is
    /// slow in cold or elderly people (Schriger & Baraff, Ann Emerg Med 1988;17:932–5) and should not be the
    /// only sign (Model Uniform Core Criteria, from memory).
    #[default]
    RadialThenCrt,
    /// No radial pulse (modified START, 1996).
    Radial,
    /// Refill over 2 s (original, 1983).
    Crt,
    /// No radial pulse, or refill over 2 s (wording of the CHEMM chart).
    Either,
}

impl StartVariant {
    /// All variants, the default first.
    pub const ALL: [Self; 4] = [Self::RadialThenCrt, Self::Radial, Self::Crt, Self::Either];

    /// The questions of this variant.
    pub const fn table(self) -> &'static Table {
        match self {
            Self::RadialThenCrt => &RADIAL_THEN_CRT,
            Self::Radial => &RADIAL,
            Self::Crt => &CRT,
            Self::Either => &EITHER,
        }
    }
}

answer_sheet! {
    /// The answers to START's questions; anything may be missing. A number decides its question.
    pub struct StartAnswers {
        answers {
            /// Walks, on the general call or when asked.
            walks: Walks,
            /// Breathes by itself.
            breathing: Breathing,
            /// Breathes once the airway was opened.
            breathing_after_airway: BreathingAfterAirway,
            /// More than 30 breaths a minute.
            breathing_over_30: BreathingOver30,
            /// A pulse can be felt at a wrist, either side.
            radial_pulse: RadialPulse,
            /// Capillary refill takes more than 2 s.
            refill_over_2s: RefillOver2s,
            /// Follows simple commands; a gesture may be the command.
            obeys: Obeys,
        }
        numbers {
            /// Breaths per minute, counted.
            breaths_per_minute: BreathsPerMinute,
            /// Capillary refill in tenths of a second.
            refill_tenths: RefillTenths,
        }
        levels {}
    }
}

impl StartAnswers {
    /// What these answers amount to under `variant`.
    pub fn assess(&self, variant: StartVariant) -> Assessment {
        assess(variant.table(), self)
    }
}

const CHART: &str = "START 1983; US HHS CHEMM, START Adult Triage Algorithm";

const WALKS: Step = Question {
    id: "S1",
    input: Input::Walks,
    question: "Walking?",
    help: "On the call to everybody, or when asked. Being carried is not walking.",
    source: CHART,
}
.leads(Category(Minor), To("S2"));

const BREATHING: Step = Question {
    id: "S2",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Look, listen, feel. Gasps count as breathing.",
    source: CHART,
}
.leads(To("S3"), To("S2a"));

const AIRWAY: Step = Question {
    id: "S2a",
    input: Input::BreathingAfterAirway,
    question: "Airway opened: breathing now?",
    help: "Tilt the head, lift the chin, look again.",
    source: CHART,
}
.leads(Category(Immediate), Category(Dead));

const RATE: Step = Question {
    id: "S3",
    input: Input::BreathingOver30,
    question: "More than 30 breaths a minute?",
    help: "Count 15 seconds: 8 or more is over 30, 7 is not. Exactly 30 is a no.",
    source: CHART,
}
.leads(Category(Immediate), To("S4"))
.measured(Input::BreathsPerMinute, Limit::Above(30));

const PULSE: Step = Question {
    id: "S4",
    input: Input::RadialPulse,
    question: "Pulse at the wrist?",
    help: "Try both wrists. Stop heavy bleeding now.",
    source: "modified START, Benson, Koenig, Schultz 1996; US HHS CHEMM chart",
}
.leads(To("S5"), Category(Immediate));

const REFILL: Step = Question {
    id: "S4b",
    input: Input::RefillOver2s,
    question: "Colour back only after more than 2 seconds?",
    help: "Press a nail and let go. Unreliable with cold hands or in old age. Stop heavy bleeding now.",
    source: CHART,
}
.leads(Category(Immediate), To("S5"))
.measured(Input::RefillTenths, Limit::Above(20));

const OBEYS: Step = Question {
    id: "S5",
    input: Input::Obeys,
    question: "Follows simple commands?",
    help: "\"Squeeze my hand.\" Show it too: they may be deaf or not speak your language. Unclear is a no.",
    source: CHART,
}
.leads(Category(Delayed), Category(Immediate));

static RADIAL_THEN_CRT: Table = Table {
    algorithm: "start",
    variant: "radial_then_crt",
    steps: &[
        WALKS,
        BREATHING,
        AIRWAY,
        RATE,
        PULSE.stood_in_for_by("S4b"),
        REFILL,
        OBEYS,
    ],
};

static RADIAL: Table = Table {
    algorithm: "start",
    variant: "radial",
    steps: &[WALKS, BREATHING, AIRWAY, RATE, PULSE, OBEYS],
};

static CRT: Table = Table {
    algorithm: "start",
    variant: "crt",
    steps: &[
        WALKS,
        BREATHING,
        AIRWAY,
        RATE,
        Step { id: "S4", ..REFILL },
        OBEYS,
    ],
};

static EITHER: Table = Table {
    algorithm: "start",
    variant: "either",
    steps: &[
        WALKS,
        BREATHING,
        AIRWAY,
        RATE,
        Step {
            yes: To("S4b"),
            ..PULSE
        },
        REFILL,
        OBEYS,
    ],
};
