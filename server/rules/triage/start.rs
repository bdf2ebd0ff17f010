//! START, the adult algorithm, with the perfusion variants in circulation.
//!
//! Owns the answer sheet and the tables. Sources: START protocols, Hoag Memorial Hospital / Newport Beach Fire
//! Department, 1983 (taught from the 1993/1997 text); US HHS CHEMM, "START Adult Triage Algorithm"; the pulse
//! variant after Benson, Koenig, Schultz, Prehosp Disaster Med 1996;11:117–24 (paper from memory, its change
//! confirmed in secondary texts). Promises: "over 30" and "over 2 s" are strict (charts leave the boundary
//! itself open; *common practice* here); there is no lower limit of the breathing rate; gasps count as
//! breathing; nobody is called dead without an airway attempt on record.

use serde::{Deserialize, Serialize};

use super::answer::{Answer, Answers, Input, Limit, Measure};
use super::assess::{Assessment, assess};
use super::category::Category::{Dead, Delayed, Immediate, Minor};
use super::table::Edge::{Category, Step as To};
use super::table::{Step, Table};

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

/// The answers to START's questions; anything may be missing. A number decides its question.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(deny_unknown_fields)]
pub struct StartAnswers {
    /// Walks, on the general call or when asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub walks: Option<Answer>,
    /// Breathes by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breathing: Option<Answer>,
    /// Breathes once the airway was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breathing_after_airway: Option<Answer>,
    /// More than 30 breaths a minute.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breathing_over_30: Option<Answer>,
    /// A pulse can be felt at a wrist, either side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radial_pulse: Option<Answer>,
    /// Capillary refill takes more than 2 s.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refill_over_2s: Option<Answer>,
    /// Follows simple commands; a gesture may be the command.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub obeys: Option<Answer>,
    /// Breaths per minute, counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaths_per_minute: Option<u16>,
    /// Capillary refill in tenths of a second.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refill_tenths: Option<u16>,
}

impl StartAnswers {
    /// What these answers amount to under `variant`.
    pub fn assess(&self, variant: StartVariant) -> Assessment {
        assess(variant.table(), self)
    }
}

impl Answers for StartAnswers {
    fn answer(&self, input: Input) -> Option<Answer> {
        match input {
            Input::Walks => self.walks,
            Input::Breathing => self.breathing,
            Input::BreathingAfterAirway => self.breathing_after_airway,
            Input::BreathingOver30 => self.breathing_over_30,
            Input::RadialPulse => self.radial_pulse,
            Input::RefillOver2s => self.refill_over_2s,
            Input::Obeys => self.obeys,
            _ => None,
        }
    }

    fn number(&self, input: Input) -> Option<u16> {
        match input {
            Input::BreathsPerMinute => self.breaths_per_minute,
            Input::RefillTenths => self.refill_tenths,
            _ => None,
        }
    }
}

const CHART: &str = "START 1983; US HHS CHEMM, START Adult Triage Algorithm";

const WALKS: Step = Step {
    id: "S1",
    input: Input::Walks,
    question: "Walking?",
    help: "On the call to everybody, or when asked. Being carried is not walking.",
    measure: None,
    yes: Category(Minor),
    no: To("S2"),
    unknown: None,
    source: CHART,
};

const BREATHING: Step = Step {
    id: "S2",
    input: Input::Breathing,
    question: "Breathing?",
    help: "Look, listen, feel. Gasps count as breathing.",
    measure: None,
    yes: To("S3"),
    no: To("S2a"),
    unknown: None,
    source: CHART,
};

const AIRWAY: Step = Step {
    id: "S2a",
    input: Input::BreathingAfterAirway,
    question: "Airway opened: breathing now?",
    help: "Tilt the head, lift the chin, look again.",
    measure: None,
    yes: Category(Immediate),
    no: Category(Dead),
    unknown: None,
    source: CHART,
};

const RATE: Step = Step {
    id: "S3",
    input: Input::BreathingOver30,
    question: "More than 30 breaths a minute?",
    help: "Count 15 seconds: 8 or more is over 30, 7 is not. Exactly 30 is a no.",
    measure: Some(Measure {
        input: Input::BreathsPerMinute,
        yes_when: Limit::Above(30),
    }),
    yes: Category(Immediate),
    no: To("S4"),
    unknown: None,
    source: CHART,
};

const PULSE: Step = Step {
    id: "S4",
    input: Input::RadialPulse,
    question: "Pulse at the wrist?",
    help: "Try both wrists. Stop heavy bleeding now.",
    measure: None,
    yes: To("S5"),
    no: Category(Immediate),
    unknown: None,
    source: "modified START, Benson, Koenig, Schultz 1996; US HHS CHEMM chart",
};

const REFILL: Step = Step {
    id: "S4b",
    input: Input::RefillOver2s,
    question: "Colour back only after more than 2 seconds?",
    help: "Press a nail and let go. Unreliable with cold hands or in old age. Stop heavy bleeding now.",
    measure: Some(Measure {
        input: Input::RefillTenths,
        yes_when: Limit::Above(20),
    }),
    yes: Category(Immediate),
    no: To("S5"),
    unknown: None,
    source: CHART,
};

const OBEYS: Step = Step {
    id: "S5",
    input: Input::Obeys,
    question: "Follows simple commands?",
    help: "\"Squeeze my hand.\" Show it too: they may be deaf or not speak your language. Unclear is a no.",
    measure: None,
    yes: Category(Delayed),
    no: Category(Immediate),
    unknown: None,
    source: CHART,
};

static RADIAL_THEN_CRT: Table = Table {
    algorithm: "start",
    variant: "radial_then_crt",
    steps: &[
        WALKS,
        BREATHING,
        AIRWAY,
        RATE,
        Step {
            unknown: Some(To("S4b")),
            ..PULSE
        },
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
