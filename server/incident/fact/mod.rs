//! Everything people can report, one variant per stored shape.
//!
//! Owns the stored names, written by hand with a version (`wound.found/1`). A name once stored is kept for
//! ever: a new shape gets a new number and the old one is still read. Each shape has a fixture under
//! `tests/fixtures/facts`. Unknown fields are refused, because a field nobody reads is a report lost.

mod bleeding;
mod care;
mod casualty;
mod incident;
mod supply;

use serde::{Deserialize, Serialize};

pub use bleeding::{
    BreathingChecked, CasualtyWarmed, Deed, DressingChecked, ReportConfirmed, ShockJudged,
    StepDone, TourniquetChecked, TourniquetOn, TourniquetTimed, WoundAssessed, WoundFoundWithSigns,
};
pub use care::{
    Circulation, Compared, Consciousness, DistalChecked, StepTaken, Used, VitalsMeasured,
    WoundFound, WoundLooked,
};
pub use casualty::{
    ApparentAge, Assessment, CasualtyDescribed, CasualtyMoved, CasualtyRegistered, CasualtyTaken,
    CategoryAssigned, EvacCancelled, EvacPriority, EvacRequested, Posture,
};
pub use incident::{
    EntryStruck, HelperJoined, IncidentDescribed, IncidentOpened, NoteAdded, Skill,
};
pub use supply::StockCounted;

use super::about::AboutKind;
use super::ids::CasualtyId;

/// Something a person saw or did.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(tag = "kind")]
pub enum Fact {
    /// The board was opened. Written by the board as its first entry.
    #[serde(rename = "incident.opened/1")]
    IncidentOpened(IncidentOpened),
    /// What and where the incident is.
    #[serde(rename = "incident.described/1")]
    IncidentDescribed(IncidentDescribed),
    /// A device joined. Written by the board.
    #[serde(rename = "helper.joined/1")]
    HelperJoined(HelperJoined),
    /// A casualty was met for the first time.
    #[serde(rename = "casualty.registered/1")]
    CasualtyRegistered(CasualtyRegistered),
    /// What to know a casualty by.
    #[serde(rename = "casualty.described/1")]
    CasualtyDescribed(CasualtyDescribed),
    /// A helper took a casualty on, or nobody has them any more.
    #[serde(rename = "casualty.taken/1")]
    CasualtyTaken(CasualtyTaken),
    /// A casualty is now at another place.
    #[serde(rename = "casualty.moved/1")]
    CasualtyMoved(CasualtyMoved),
    /// A triage category was assigned.
    #[serde(rename = "category.assigned/1")]
    CategoryAssigned(CategoryAssigned),
    /// A wound was found.
    #[serde(rename = "wound.found/1")]
    WoundFound(WoundFound),
    /// A measure was taken on a wound.
    #[serde(rename = "step.taken/1")]
    StepTaken(StepTaken),
    /// A wound was looked at again.
    #[serde(rename = "wound.looked/1")]
    WoundLooked(WoundLooked),
    /// Circulation, movement and feeling beyond a dressing were checked.
    #[serde(rename = "distal.checked/1")]
    DistalChecked(DistalChecked),
    /// A wound was found, with signs.
    #[serde(rename = "wound.found/2")]
    WoundFoundWithSigns(WoundFoundWithSigns),
    /// A wound was looked at: how it bleeds.
    #[serde(rename = "wound.assessed/1")]
    WoundAssessed(WoundAssessed),
    /// Any step of the ladder was taken.
    #[serde(rename = "step.taken/2")]
    StepDone(StepDone),
    /// A pressure dressing was checked.
    #[serde(rename = "dressing.checked/1")]
    DressingChecked(DressingChecked),
    /// A tourniquet was checked.
    #[serde(rename = "tourniquet.checked/1")]
    TourniquetChecked(TourniquetChecked),
    /// The time a tourniquet went on was told.
    #[serde(rename = "tourniquet.timed/1")]
    TourniquetTimed(TourniquetTimed),
    /// Breathing was looked at.
    #[serde(rename = "breathing.checked/1")]
    BreathingChecked(BreathingChecked),
    /// The casualty was insulated and covered.
    #[serde(rename = "casualty.warmed/1")]
    CasualtyWarmed(CasualtyWarmed),
    /// A person judged whether the casualty is in shock.
    #[serde(rename = "shock.judged/1")]
    ShockJudged(ShockJudged),
    /// An unusual report was confirmed.
    #[serde(rename = "report.confirmed/1")]
    ReportConfirmed(ReportConfirmed),
    /// Vital signs were measured.
    #[serde(rename = "vitals.measured/1")]
    VitalsMeasured(VitalsMeasured),
    /// A remark.
    #[serde(rename = "note.added/1")]
    NoteAdded(NoteAdded),
    /// Evacuation was requested.
    #[serde(rename = "evac.requested/1")]
    EvacRequested(EvacRequested),
    /// The request was taken back.
    #[serde(rename = "evac.cancelled/1")]
    EvacCancelled(EvacCancelled),
    /// Supplies were counted.
    #[serde(rename = "stock.counted/1")]
    StockCounted(StockCounted),
    /// An earlier entry was a mistake.
    #[serde(rename = "entry.struck/1")]
    EntryStruck(EntryStruck),
}

impl Fact {
    /// The stored name. A test holds it equal to what serde writes.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::IncidentOpened(_) => "incident.opened/1",
            Self::IncidentDescribed(_) => "incident.described/1",
            Self::HelperJoined(_) => "helper.joined/1",
            Self::CasualtyRegistered(_) => "casualty.registered/1",
            Self::CasualtyDescribed(_) => "casualty.described/1",
            Self::CasualtyTaken(_) => "casualty.taken/1",
            Self::CasualtyMoved(_) => "casualty.moved/1",
            Self::CategoryAssigned(_) => "category.assigned/1",
            Self::WoundFound(_) => "wound.found/1",
            Self::StepTaken(_) => "step.taken/1",
            Self::WoundLooked(_) => "wound.looked/1",
            Self::DistalChecked(_) => "distal.checked/1",
            Self::WoundFoundWithSigns(_) => "wound.found/2",
            Self::WoundAssessed(_) => "wound.assessed/1",
            Self::StepDone(_) => "step.taken/2",
            Self::DressingChecked(_) => "dressing.checked/1",
            Self::TourniquetChecked(_) => "tourniquet.checked/1",
            Self::TourniquetTimed(_) => "tourniquet.timed/1",
            Self::BreathingChecked(_) => "breathing.checked/1",
            Self::CasualtyWarmed(_) => "casualty.warmed/1",
            Self::ShockJudged(_) => "shock.judged/1",
            Self::ReportConfirmed(_) => "report.confirmed/1",
            Self::VitalsMeasured(_) => "vitals.measured/1",
            Self::NoteAdded(_) => "note.added/1",
            Self::EvacRequested(_) => "evac.requested/1",
            Self::EvacCancelled(_) => "evac.cancelled/1",
            Self::StockCounted(_) => "stock.counted/1",
            Self::EntryStruck(_) => "entry.struck/1",
        }
    }

    /// Whether this fact can be about such a thing.
    pub const fn fits(&self, about: AboutKind) -> bool {
        match self {
            Self::IncidentOpened(_) | Self::IncidentDescribed(_) | Self::HelperJoined(_) => {
                matches!(about, AboutKind::Incident)
            }
            Self::CasualtyRegistered(_)
            | Self::CasualtyDescribed(_)
            | Self::CasualtyTaken(_)
            | Self::CasualtyMoved(_)
            | Self::CategoryAssigned(_)
            | Self::VitalsMeasured(_)
            | Self::EvacRequested(_)
            | Self::EvacCancelled(_)
            | Self::CasualtyWarmed(_)
            | Self::ShockJudged(_) => matches!(about, AboutKind::Casualty),
            Self::WoundFound(_)
            | Self::StepTaken(_)
            | Self::WoundLooked(_)
            | Self::DistalChecked(_)
            | Self::WoundFoundWithSigns(_)
            | Self::WoundAssessed(_)
            | Self::StepDone(_)
            | Self::DressingChecked(_)
            | Self::TourniquetChecked(_)
            | Self::TourniquetTimed(_) => {
                matches!(about, AboutKind::Wound)
            }
            Self::StockCounted(_) => matches!(about, AboutKind::Kit),
            Self::BreathingChecked(_) => matches!(about, AboutKind::Wound | AboutKind::Casualty),
            Self::NoteAdded(_) | Self::EntryStruck(_) | Self::ReportConfirmed(_) => true,
        }
    }

    /// Whose wound this report founds, if it founds one.
    pub const fn founds_wound_of(&self) -> Option<CasualtyId> {
        match self {
            Self::WoundFound(found) => Some(found.casualty),
            Self::WoundFoundWithSigns(found) => Some(found.casualty),
            _ => None,
        }
    }

    /// What this report says was used.
    pub fn used(&self) -> &[Used] {
        match self {
            Self::StepTaken(step) => &step.used,
            Self::StepDone(step) => &step.used,
            Self::CasualtyWarmed(warmed) => &warmed.used,
            _ => &[],
        }
    }
}
