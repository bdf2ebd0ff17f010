//! Everything people can report, one variant per stored shape.
//!
//! Owns the stored names, written by hand with a version (`wound.found/1`). A name once stored is kept for
//! ever: a new shape gets a new number and the old one is still read. Each shape has a fixture under
//! `tests/fixtures/facts`. Unknown fields are refused, because a field nobody reads is a report lost.

mod alarm;
mod bleeding;
mod care;
mod casualty;
mod destination;
mod evac;
mod incident;
mod message;
mod settings;
mod supply;
mod transport;
mod triage;
mod wound_care;

use serde::{Deserialize, Serialize};

pub use alarm::{AlarmSeen, ExposureReported, ExposureSeen};
pub use bleeding::{
    BreathingChecked, CasualtyWarmed, Deed, DressingChecked, ReportConfirmed, ShockJudged,
    StepDone, TourniquetChecked, TourniquetOn, TourniquetTimed, WoundAssessed, WoundFoundWithSigns,
};
pub use care::{
    Circulation, Compared, Consciousness, DistalChecked, StepTaken, Used, VitalsMeasured,
    WoundFound, WoundLooked,
};
pub use casualty::{
    ApparentAge, Assessment, CasualtyDescribed, CasualtyDifferent, CasualtyMoved, CasualtyPlaced,
    CasualtyRegistered, CasualtySame, CasualtyTaken, CategoryAssigned, EvacCancelled, EvacPriority,
    EvacRequested, LateSeen, Posture,
};
pub use destination::{
    Ability, DestinationAdded, DestinationChanged, DestinationKind, Minutes, Places, TravelTold,
    WayOnFootTold,
};
pub use evac::{
    CasualtyHandedOver, CasualtyLoaded, CasualtyUnloaded, EvacAsked, EvacFreed, EvacHeld,
    EvacPinned, Need, PlanAsked,
};
pub use incident::{
    BoardContinued, Circumstance, CircumstancesChanged, ContinuedFrom, EntryStruck, HelperJoined,
    IncidentClosed, IncidentDescribed, IncidentOpened, NoteAdded, RecordCopied, RecordKept,
    RecordTaken, Skill, Taken,
};
pub use message::{
    CommandHandedOver, HistoryTold, LineSaid, Major, Message, MessageReadBack, PickUpTold, Sex,
    SituationReported, Wording,
};
pub use settings::{
    DeputyNamed, HelperNamed, HelperTrained, NamedAs, PolicyChanged, WitnessChosen,
};
pub use supply::{ItemCount, ItemMoved, KitCounted, KitDescribed, StockCounted, StockMoved};
pub use transport::{
    Carried, Layout, TransportAdded, TransportArrived, TransportChanged, TransportKind,
    TransportLeft, TransportSaid, TransportStands,
};
pub use triage::{
    AssessmentAnswered, CallAnswered, CasualtyTold, CategoryDecided, LifesavingDone, SignsMeasured,
    Skin, TriageChosen,
};
pub use wound_care::{
    BeyondChecked, BloodSeen, InfectionLooked, ReleaseBegun, RisksTold, ShockSignsSeen,
    TourniquetDescribed, TranexamicSettled, WoundClosed, WoundDescribed, WoundRinsed, WoundVoided,
};

use super::about::AboutKind;
use super::ids::{CasualtyId, DeviceId};
use super::role::Deed as Power;
use crate::rules::triage::Category;

/// From one row per stored shape: the variant, its stored name, and what it can be about (`_` is anything).
// `tt` and not `literal`: the schema derive does not see through the group that a literal comes in.
macro_rules! facts {
    ($($(#[$doc:meta])* $variant:ident($shape:ident) = $name:tt, about $($kind:tt)|+;)+) => {
        /// Something a person saw or did.
        #[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(tag = "kind")]
        pub enum Fact {
            $($(#[$doc])* #[serde(rename = $name)] $variant($shape),)+
        }

        impl Fact {
            /// The stored name. A test holds it equal to what serde writes.
            pub const fn kind(&self) -> &'static str {
                match self { $(Self::$variant(_) => $name,)+ }
            }

            /// Whether this fact can be about such a thing.
            pub const fn fits(&self, about: AboutKind) -> bool {
                match self { $(Self::$variant(_) => matches!(about, $(kind!($kind))|+),)+ }
            }
        }
    };
}

macro_rules! kind {
    (_) => {
        _
    };
    ($kind:ident) => {
        AboutKind::$kind
    };
}

facts! {
    /// The board was opened. Written by the board as its first entry.
    IncidentOpened(IncidentOpened) = "incident.opened/1", about Incident;
    /// The board goes on from a copy of its record. Written by the board.
    BoardContinued(BoardContinued) = "board.continued/1", about Incident;
    /// The incident was closed. Written by the board.
    IncidentClosed(IncidentClosed) = "incident.closed/1", about Incident;
    /// What and where the incident is.
    IncidentDescribed(IncidentDescribed) = "incident.described/1", about Incident;
    /// A device joined. Written by the board.
    HelperJoined(HelperJoined) = "helper.joined/1", about Incident;
    /// A casualty was met for the first time.
    CasualtyRegistered(CasualtyRegistered) = "casualty.registered/1", about Casualty;
    /// What to know a casualty by.
    CasualtyDescribed(CasualtyDescribed) = "casualty.described/1", about Casualty;
    /// A helper took a casualty on, or nobody has them any more.
    CasualtyTaken(CasualtyTaken) = "casualty.taken/1", about Casualty;
    /// A casualty is now at another place.
    CasualtyMoved(CasualtyMoved) = "casualty.moved/1", about Casualty;
    /// Which of the places that were said is right; nobody moved them.
    CasualtyPlaced(CasualtyPlaced) = "casualty.placed/1", about Casualty;
    /// Two records are of one person.
    CasualtySame(CasualtySame) = "casualty.same/1", about Casualty;
    /// Two records are of two people.
    CasualtyDifferent(CasualtyDifferent) = "casualty.different/1", about Casualty;
    /// What came late was seen.
    LateSeen(LateSeen) = "late.seen/1", about Casualty;
    /// A triage category was assigned.
    CategoryAssigned(CategoryAssigned) = "category.assigned/1", about Casualty;
    /// A wound was found.
    WoundFound(WoundFound) = "wound.found/1", about Wound;
    /// A measure was taken on a wound.
    StepTaken(StepTaken) = "step.taken/1", about Wound;
    /// A wound was looked at again.
    WoundLooked(WoundLooked) = "wound.looked/1", about Wound;
    /// Circulation, movement and feeling beyond a dressing were checked.
    DistalChecked(DistalChecked) = "distal.checked/1", about Wound;
    /// A wound was found, with signs.
    WoundFoundWithSigns(WoundFoundWithSigns) = "wound.found/2", about Wound;
    /// A wound was looked at: how it bleeds.
    WoundAssessed(WoundAssessed) = "wound.assessed/1", about Wound;
    /// Any step of the ladder was taken.
    StepDone(StepDone) = "step.taken/2", about Wound;
    /// A pressure dressing was checked.
    DressingChecked(DressingChecked) = "dressing.checked/1", about Wound;
    /// A tourniquet was checked.
    TourniquetChecked(TourniquetChecked) = "tourniquet.checked/1", about Wound;
    /// The time a tourniquet went on was told.
    TourniquetTimed(TourniquetTimed) = "tourniquet.timed/1", about Wound;
    /// Breathing was looked at.
    BreathingChecked(BreathingChecked) = "breathing.checked/1", about Wound | Casualty;
    /// The casualty was insulated and covered.
    CasualtyWarmed(CasualtyWarmed) = "casualty.warmed/1", about Casualty;
    /// A person judged whether the casualty is in shock.
    ShockJudged(ShockJudged) = "shock.judged/1", about Casualty;
    /// An unusual report was confirmed.
    ReportConfirmed(ReportConfirmed) = "report.confirmed/1", about _;
    /// Vital signs were measured.
    VitalsMeasured(VitalsMeasured) = "vitals.measured/1", about Casualty;
    /// A remark.
    NoteAdded(NoteAdded) = "note.added/1", about _;
    /// Evacuation was requested.
    EvacRequested(EvacRequested) = "evac.requested/1", about Casualty;
    /// The request was taken back.
    EvacCancelled(EvacCancelled) = "evac.cancelled/1", about Casualty;
    /// Evacuation was asked for, in full.
    EvacAsked(EvacAsked) = "evac.requested/2", about Casualty;
    /// A casualty is wanted on a transport.
    EvacPinned(EvacPinned) = "evac.pinned/1", about Casualty;
    /// A casualty stays for now.
    EvacHeld(EvacHeld) = "evac.held/1", about Casualty;
    /// Neither pinned nor held.
    EvacFreed(EvacFreed) = "evac.freed/1", about Casualty;
    /// A casualty is on a transport.
    CasualtyLoaded(CasualtyLoaded) = "casualty.loaded/1", about Casualty;
    /// A casualty was taken off again.
    CasualtyUnloaded(CasualtyUnloaded) = "casualty.unloaded/1", about Casualty;
    /// Somebody else has the casualty.
    CasualtyHandedOver(CasualtyHandedOver) = "casualty.handed_over/1", about Casualty;
    /// What a casualty told.
    HistoryTold(HistoryTold) = "history.told/1", about Casualty;
    /// A transport is coming or here.
    TransportAdded(TransportAdded) = "transport.added/1", about Transport;
    /// Better knowledge of a transport.
    TransportChanged(TransportChanged) = "transport.changed/1", about Transport;
    /// A transport came, came back or dropped out.
    TransportStands(TransportStands) = "transport.stands/1", about Transport;
    /// A transport left.
    TransportLeft(TransportLeft) = "transport.left/1", about Transport;
    /// A transport arrived.
    TransportArrived(TransportArrived) = "transport.arrived/1", about Transport;
    /// A place that takes people in.
    DestinationAdded(DestinationAdded) = "destination.added/1", about Destination;
    /// Better knowledge of a destination.
    DestinationChanged(DestinationChanged) = "destination.changed/1", about Destination;
    /// How long a transport takes to a destination.
    TravelTold(TravelTold) = "travel.told/1", about Destination;
    /// The way on foot to a destination was told.
    WayOnFootTold(WayOnFootTold) = "travel.told/2", about Destination;
    /// The plan was asked for anew.
    PlanAsked(PlanAsked) = "plan.asked/1", about Incident;
    /// What the incident report needs.
    SituationReported(SituationReported) = "situation.reported/1", about Incident;
    /// What an aircraft asks of the pick-up was told.
    PickUpTold(PickUpTold) = "pickup.told/1", about Incident;
    /// A line of a message was read out.
    LineSaid(LineSaid) = "line.said/1", about Incident | Casualty;
    /// A message was read back.
    MessageReadBack(MessageReadBack) = "message.read_back/1", about Incident | Casualty;
    /// Command went over. Written by the board.
    CommandHandedOver(CommandHandedOver) = "command.handed_over/1", about Incident;
    /// Supplies were counted.
    StockCounted(StockCounted) = "stock.counted/1", about Kit;
    /// A kit was gone through.
    KitCounted(KitCounted) = "stock.counted/2", about Kit;
    /// Things went from one kit into another.
    StockMoved(StockMoved) = "stock.moved/1", about Kit;
    /// What a kit is called and where it is.
    KitDescribed(KitDescribed) = "kit.described/1", about Kit;
    /// An overdue duty was seen: quiet for a while.
    AlarmSeen(AlarmSeen) = "alarm.seen/1", about Wound | Casualty | Kit | Incident;
    /// A helper got blood on them.
    ExposureReported(ExposureReported) = "exposure.reported/1", about Incident;
    /// A doctor saw them.
    ExposureSeen(ExposureSeen) = "exposure.seen/1", about Incident;
    /// A setting of the incident was changed.
    PolicyChanged(PolicyChanged) = "policy.changed/1", about Incident;
    /// Somebody was named as trained.
    HelperTrained(HelperTrained) = "helper.trained/1", about Incident;
    /// The lead named what somebody counts as.
    HelperNamed(HelperNamed) = "helper.trained/2", about Incident;
    /// Something changed for everybody at once.
    CircumstancesChanged(CircumstancesChanged) = "circumstances.changed/1", about Incident;
    /// The triage systems were chosen.
    TriageChosen(TriageChosen) = "triage.chosen/1", about Incident;
    /// A casualty did or did not answer the call to everybody.
    CallAnswered(CallAnswered) = "call.answered/1", about Casualty;
    /// One question of an assessment was answered.
    AssessmentAnswered(AssessmentAnswered) = "assessment.answered/1", about Casualty;
    /// A triage category was assigned, with the answers of any system.
    CategoryDecided(CategoryDecided) = "category.assigned/2", about Casualty;
    /// A lifesaving intervention was done while sorting.
    LifesavingDone(LifesavingDone) = "lifesaving.done/1", about Casualty;
    /// Age and health, as told.
    CasualtyTold(CasualtyTold) = "casualty.told/1", about Casualty;
    /// Vital signs were measured, with all their parts.
    SignsMeasured(SignsMeasured) = "vitals.measured/2", about Casualty;
    /// What changes the care of a person's bleeding was told.
    RisksTold(RisksTold) = "risks.told/1", about Casualty;
    /// More about a wound.
    WoundDescribed(WoundDescribed) = "wound.described/1", about Wound;
    /// The part beyond was looked at, before a dressing or after.
    BeyondChecked(BeyondChecked) = "beyond.checked/1", about Wound;
    /// How a tourniquet sits.
    TourniquetDescribed(TourniquetDescribed) = "tourniquet.described/1", about Wound;
    /// Taking a tourniquet off began.
    ReleaseBegun(ReleaseBegun) = "release.begun/1", about Wound;
    /// A wound was rinsed.
    WoundRinsed(WoundRinsed) = "wound.rinsed/1", about Wound;
    /// A quiet wound was looked at for infection.
    InfectionLooked(InfectionLooked) = "infection.looked/1", about Wound;
    /// Signs of shock were looked for.
    ShockSignsSeen(ShockSignsSeen) = "shock.signs_seen/1", about Casualty;
    /// Spilt blood was seen.
    BloodSeen(BloodSeen) = "blood.seen/1", about Casualty;
    /// Tranexamic acid was given or decided against.
    TranexamicSettled(TranexamicSettled) = "tranexamic.settled/1", about Casualty;
    /// A wound was closed in the field.
    WoundClosed(WoundClosed) = "wound.closed/1", about Wound;
    /// A wound was entered by mistake.
    WoundVoided(WoundVoided) = "wound.voided/1", about Wound;
    /// A deputy was named.
    DeputyNamed(DeputyNamed) = "deputy.named/1", about Incident;
    /// A device was chosen to keep the record.
    WitnessChosen(WitnessChosen) = "witness.chosen/1", about Incident;
    /// How long the record is kept was said.
    RecordKept(RecordKept) = "record.kept/1", about Incident;
    /// The record was taken out. Written by the board.
    RecordTaken(RecordTaken) = "record.taken/1", about Incident;
    /// A copy in an open standard was taken out. Written by the board.
    RecordCopied(RecordCopied) = "record.copied/1", about Incident;
    /// An earlier entry was a mistake.
    EntryStruck(EntryStruck) = "entry.struck/1", about _;
}

impl Fact {
    /// Whose wound this report founds, if it founds one.
    pub const fn founds_wound_of(&self) -> Option<CasualtyId> {
        match self {
            Self::WoundFound(found) => Some(found.casualty),
            Self::WoundFoundWithSigns(found) => Some(found.casualty),
            _ => None,
        }
    }

    /// Whom this report names besides its author.
    pub const fn names_device(&self) -> Option<DeviceId> {
        match self {
            Self::CasualtyTaken(taken) => taken.helper,
            Self::HelperTrained(named) => Some(named.helper),
            Self::HelperNamed(named) => Some(named.helper),
            Self::DeputyNamed(named) => Some(named.helper),
            Self::WitnessChosen(chosen) => Some(chosen.helper),
            Self::KitDescribed(said) => said.carrier,
            _ => None,
        }
    }

    /// Whether only the lead is told who said this and what.
    pub const fn is_private(&self) -> bool {
        matches!(self, Self::ExposureReported(_) | Self::ExposureSeen(_))
    }

    /// Whether this report is a setting of the whole incident, or changes something for everybody.
    pub const fn sets(&self) -> bool {
        matches!(
            self,
            Self::PolicyChanged(_)
                | Self::HelperTrained(_)
                | Self::HelperNamed(_)
                | Self::TriageChosen(_)
                | Self::CircumstancesChanged(_)
                | Self::DeputyNamed(_)
                | Self::WitnessChosen(_)
        )
    }

    /// Whether this is the board's own word about itself: nobody reports it and nobody strikes it.
    pub const fn is_of_the_board(&self) -> bool {
        matches!(
            self,
            Self::IncidentOpened(_)
                | Self::BoardContinued(_)
                | Self::HelperJoined(_)
                | Self::CommandHandedOver(_)
                | Self::IncidentClosed(_)
                | Self::RecordTaken(_)
                | Self::RecordCopied(_)
        )
    }

    /// What only the lead may say or strike, where this is such a thing: who runs the incident, and its end.
    pub const fn reserved(&self) -> Option<Power> {
        match self {
            Self::DeputyNamed(_) | Self::WitnessChosen(_) => Some(Power::Appoint),
            Self::RecordKept(_) => Some(Power::KeepRecord),
            _ => None,
        }
    }

    /// The category this report assigns, if it assigns one.
    pub const fn category(&self) -> Option<Category> {
        match self {
            Self::CategoryAssigned(assigned) => Some(assigned.category),
            Self::CategoryDecided(decided) => Some(decided.category),
            _ => None,
        }
    }

    /// The vital signs this report tells, in the shape that has room for all.
    pub fn signs(&self) -> Option<SignsMeasured> {
        match self {
            Self::VitalsMeasured(first) => Some(first.into()),
            Self::SignsMeasured(signs) => Some(signs.clone()),
            _ => None,
        }
    }

    /// What this report says was used.
    pub fn used(&self) -> &[Used] {
        match self {
            Self::StepTaken(step) => &step.used,
            Self::StepDone(step) => &step.used,
            Self::CasualtyWarmed(warmed) => &warmed.used,
            Self::WoundRinsed(rinsed) => &rinsed.used,
            Self::InfectionLooked(looked) => &looked.used,
            _ => &[],
        }
    }
}
