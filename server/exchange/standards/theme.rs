//! What a report is about, as tables and resources sort it.
//!
//! Owns the choice of table. The journal's table has every report, whatever it is; so a kind that is not sorted here is
//! still told.

use crate::incident::Fact;

/// The table a report belongs into besides the journal's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Theme {
    /// A wound was found.
    Found,
    /// Somebody looked.
    Check,
    /// Something was done.
    Treatment,
    /// Vital signs.
    Signs,
    /// A message was read out or read back.
    Message,
    /// Anything else: in the journal.
    Other,
}

/// Where a report belongs.
pub(super) const fn theme(fact: &Fact) -> Theme {
    match fact {
        Fact::WoundFound(_) | Fact::WoundFoundWithSigns(_) => Theme::Found,
        Fact::WoundAssessed(_)
        | Fact::WoundLooked(_)
        | Fact::DistalChecked(_)
        | Fact::BeyondChecked(_)
        | Fact::DressingChecked(_)
        | Fact::TourniquetChecked(_)
        | Fact::BreathingChecked(_)
        | Fact::InfectionLooked(_)
        | Fact::ShockSignsSeen(_)
        | Fact::ShockJudged(_)
        | Fact::BloodSeen(_) => Theme::Check,
        Fact::StepTaken(_)
        | Fact::StepDone(_)
        | Fact::ReleaseBegun(_)
        | Fact::WoundRinsed(_)
        | Fact::WoundClosed(_)
        | Fact::CasualtyWarmed(_)
        | Fact::LifesavingDone(_)
        | Fact::TranexamicSettled(_) => Theme::Treatment,
        Fact::VitalsMeasured(_) | Fact::SignsMeasured(_) => Theme::Signs,
        Fact::LineSaid(_) | Fact::MessageReadBack(_) => Theme::Message,
        _ => Theme::Other,
    }
}
