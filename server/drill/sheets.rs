//! START answer sheets as people fill them in.
//!
//! Owns the raw answers a person gives on the way to the deciding step, and no more: a phone stops asking
//! there. Does not know what they lead to; that is the algorithm's, and a test holds the story to it.

use crate::rules::triage::{Answer, StartAnswers};

/// Nothing answered.
const BLANK: StartAnswers = StartAnswers {
    walks: None,
    breathing: None,
    breathing_after_airway: None,
    breathing_over_30: None,
    radial_pulse: None,
    refill_over_2s: None,
    obeys: None,
    breaths_per_minute: None,
    refill_tenths: None,
};

/// Walks.
pub(super) const WALKS: StartAnswers = StartAnswers {
    walks: Some(Answer::Yes),
    ..BLANK
};

/// Does not breathe, nor with the airway opened.
pub(super) const NO_BREATH: StartAnswers = StartAnswers {
    walks: Some(Answer::No),
    breathing: Some(Answer::No),
    breathing_after_airway: Some(Answer::No),
    ..BLANK
};

/// Lies or sits and breathes so often a minute.
pub(super) const fn breathes(per_minute: u16) -> StartAnswers {
    StartAnswers {
        walks: Some(Answer::No),
        breathing: Some(Answer::Yes),
        breaths_per_minute: Some(per_minute),
        ..BLANK
    }
}

/// Breathes, no pulse at the wrist.
pub(super) const fn no_pulse(per_minute: u16) -> StartAnswers {
    StartAnswers {
        radial_pulse: Some(Answer::No),
        ..breathes(per_minute)
    }
}

/// Breathes, hands too cold to tell a pulse, colour back after so many tenths of a second.
pub(super) const fn refill_only(per_minute: u16, tenths: u16) -> StartAnswers {
    StartAnswers {
        radial_pulse: Some(Answer::CannotTell),
        refill_tenths: Some(tenths),
        ..breathes(per_minute)
    }
}

/// Breathes, pulse at the wrist, follows commands or not.
pub(super) const fn commanded(per_minute: u16, obeys: bool) -> StartAnswers {
    StartAnswers {
        radial_pulse: Some(Answer::Yes),
        obeys: Some(if obeys { Answer::Yes } else { Answer::No }),
        ..breathes(per_minute)
    }
}
