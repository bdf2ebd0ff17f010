//! What goes along with one casualty: everything the crew must know, on one sheet and in one code.
//!
//! Owns what is on the sheet and in which order. Promises: it says what was reported and nothing else; what nobody
//! asked reads "not asked"; struck reports are not on it.

mod pieces;
mod text;

use jiff::Timestamp;

use crate::incident::evac::in_words;
use crate::incident::fact::{EvacAsked, Fact, SignsMeasured};
use crate::incident::{Casualty, Entry, Incident, WoundId, sentence};
use crate::rules::bleeding::State;

pub use text::{AIM, Code, MOST, code};

/// A handover.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The short number.
    pub number: u32,
    /// The category in words; with every answer where people disagree.
    pub category: String,
    /// "adult, female, about 30".
    pub person: String,
    /// To know them by.
    pub words: String,
    /// Paper tag.
    pub tag: String,
    /// Where they are.
    pub place: String,
    /// When they were hurt.
    pub injured_at: Option<Timestamp>,
    /// What was asked, and the answer; none where nobody asked.
    pub told: Vec<(&'static str, Option<String>)>,
    /// Where it bled, and how that stands.
    pub wounds: Vec<(String, &'static str)>,
    /// Tourniquets, also those let go.
    pub tourniquets: Vec<Tourniquet>,
    /// Every step, in order.
    pub steps: Vec<Step>,
    /// What changes the care there and must never be left out: blood thinners, tranexamic acid; with its time.
    pub vital: Vec<(Option<Timestamp>, String)>,
    /// Vital signs, oldest first.
    pub vitals: Vec<(Timestamp, SignsMeasured)>,
    /// The evacuation request that stands.
    pub request: Option<EvacAsked>,
    /// Who reported anything of them, in order of their first report.
    pub people: Vec<String>,
}

/// A tourniquet with its times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tourniquet {
    /// Where.
    pub place: String,
    /// On since.
    pub since: Timestamp,
    /// Whether that time was told.
    pub time_known: bool,
    /// Let go at; none while it is on.
    pub ended: Option<Timestamp>,
}

/// Something that was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// When.
    pub at: Timestamp,
    /// What, with its place.
    pub words: String,
    /// What, in as few words as there are; none for looks and checks.
    pub short: Option<&'static str>,
    /// By whom.
    pub by: String,
    /// Its place in the log.
    pub seq: u64,
}

impl Sheet {
    /// The handover of a casualty as the board knows them.
    pub fn of(incident: &Incident, casualty: &Casualty) -> Self {
        let text = |words: Option<&crate::incident::Words>| {
            words.map(ToString::to_string).unwrap_or_default()
        };
        let standing: Vec<&Entry> = incident
            .timeline(casualty.id)
            .into_iter()
            .filter(|entry| !incident.is_struck(entry.seq))
            .filter(|entry| !matches!(entry.fact, Fact::EntryStruck(_)))
            .collect();
        let place_of = |id: WoundId| {
            let wound = casualty.wounds.iter().find(|wound| wound.id == id);
            wound.map_or_else(
                || "place not known".to_owned(),
                crate::incident::Wound::place,
            )
        };
        let mut people: Vec<String> = Vec::new();
        for entry in &standing {
            if !people.iter().any(|known| known == entry.by.as_str()) {
                people.push(entry.by.to_string());
            }
        }
        Self {
            number: casualty.number,
            category: category(casualty),
            person: person(casualty),
            words: text(casualty.words.value()),
            tag: text(casualty.tag.value()),
            place: text(casualty.place.value()),
            injured_at: casualty.history.injured_at(),
            told: told(casualty),
            wounds: casualty
                .wounds
                .iter()
                .filter(|wound| wound.standing.state != State::Void)
                .map(|wound| (wound.place(), wound.standing.state.words()))
                .collect(),
            tourniquets: casualty
                .tourniquets
                .iter()
                .map(|tied| Tourniquet {
                    place: place_of(tied.wound),
                    since: tied.since,
                    time_known: tied.time_known,
                    ended: tied.ended,
                })
                .collect(),
            steps: standing
                .iter()
                .filter(|entry| is_care(&entry.fact))
                .map(|entry| Step::of(entry, incident))
                .collect(),
            vital: vital(casualty, &standing),
            vitals: casualty.vitals.clone(),
            request: casualty.evac.as_ref().map(|(_, asked)| asked.clone()),
            people,
        }
    }
}

impl Step {
    fn of(entry: &Entry, incident: &Incident) -> Self {
        Self {
            at: entry.happened_at,
            words: sentence(entry, incident),
            short: short(&entry.fact),
            by: entry.by.to_string(),
            seq: entry.seq.0,
        }
    }
}

fn category(casualty: &Casualty) -> String {
    let all = casualty.category.all();
    if all.is_empty() {
        return "NOT SORTED".to_owned();
    }
    all.iter()
        .map(|given| given.value.word())
        .collect::<Vec<_>>()
        .join(" or ")
}

fn person(casualty: &Casualty) -> String {
    let history = &casualty.history;
    let age = casualty
        .age
        .value()
        .map_or("age not known", |age| age.code());
    let sex = history.sex().map_or("sex not known", |sex| sex.word());
    let years = casualty.sorting.told.years;
    let years = years.map(|years| format!(", about {years}"));
    format!("{age}, {sex}{}", years.unwrap_or_default())
}

fn told(casualty: &Casualty) -> Vec<(&'static str, Option<String>)> {
    let history = &casualty.history;
    [
        ("How it happened", &history.mechanism),
        ("Complains of", &history.complaints),
        ("Allergies", &history.allergies),
        ("Medicines", &history.medicines),
        ("Background", &history.background),
        ("Other", &history.other),
    ]
    .into_iter()
    .map(|(what, told)| (what, in_words(told)))
    .collect()
}

fn vital(casualty: &Casualty, standing: &[&Entry]) -> Vec<(Option<Timestamp>, String)> {
    let thinners = (casualty.risks.blood_thinners == Some(true))
        .then(|| (None, "takes blood thinners".to_owned()));
    let acid = standing
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::TranexamicSettled(settled) => Some((entry.happened_at, settled.given)),
            _ => None,
        })
        .next_back()
        .filter(|(_, given)| *given)
        .map(|(at, _)| (Some(at), "TXA".to_owned()));
    thinners.into_iter().chain(acid).collect()
}

/// What was seen and done: the rest (who has them, who asked for what) is not care. No wildcard: a new shape is decided
/// about here.
#[expect(clippy::too_many_lines, reason = "a line for each shape there is")]
const fn is_care(fact: &Fact) -> bool {
    match fact {
        Fact::WoundFound(_)
        | Fact::WoundFoundWithSigns(_)
        | Fact::WoundAssessed(_)
        | Fact::WoundLooked(_)
        | Fact::WoundDescribed(_)
        | Fact::WoundRinsed(_)
        | Fact::WoundClosed(_)
        | Fact::WoundVoided(_)
        | Fact::StepTaken(_)
        | Fact::StepDone(_)
        | Fact::DistalChecked(_)
        | Fact::BeyondChecked(_)
        | Fact::DressingChecked(_)
        | Fact::TourniquetChecked(_)
        | Fact::TourniquetTimed(_)
        | Fact::TourniquetDescribed(_)
        | Fact::ReleaseBegun(_)
        | Fact::BreathingChecked(_)
        | Fact::CasualtyWarmed(_)
        | Fact::ShockJudged(_)
        | Fact::ShockSignsSeen(_)
        | Fact::BloodSeen(_)
        | Fact::TranexamicSettled(_)
        | Fact::RisksTold(_)
        | Fact::InfectionLooked(_)
        | Fact::CategoryAssigned(_)
        | Fact::CategoryDecided(_)
        | Fact::LifesavingDone(_)
        | Fact::CasualtyTold(_)
        | Fact::NoteAdded(_) => true,
        // Vital signs stand in a place of their own; the rest says who, where, how they leave, or is about the board.
        Fact::IncidentOpened(_)
        | Fact::BoardContinued(_)
        | Fact::IncidentClosed(_)
        | Fact::RecordKept(_)
        | Fact::RecordTaken(_)
        | Fact::RecordCopied(_)
        | Fact::DeputyNamed(_)
        | Fact::WitnessChosen(_)
        | Fact::IncidentDescribed(_)
        | Fact::HelperJoined(_)
        | Fact::CasualtyRegistered(_)
        | Fact::CasualtyDescribed(_)
        | Fact::CasualtyTaken(_)
        | Fact::CasualtyMoved(_)
        | Fact::CasualtyPlaced(_)
        | Fact::ReportConfirmed(_)
        | Fact::VitalsMeasured(_)
        | Fact::EvacRequested(_)
        | Fact::EvacCancelled(_)
        | Fact::EvacAsked(_)
        | Fact::EvacPinned(_)
        | Fact::EvacHeld(_)
        | Fact::EvacFreed(_)
        | Fact::CasualtyLoaded(_)
        | Fact::CasualtyUnloaded(_)
        | Fact::CasualtyHandedOver(_)
        | Fact::HistoryTold(_)
        | Fact::TransportAdded(_)
        | Fact::TransportChanged(_)
        | Fact::TransportStands(_)
        | Fact::TransportLeft(_)
        | Fact::TransportArrived(_)
        | Fact::DestinationAdded(_)
        | Fact::DestinationChanged(_)
        | Fact::TravelTold(_)
        | Fact::WayOnFootTold(_)
        | Fact::PlanAsked(_)
        | Fact::SituationReported(_)
        | Fact::PickUpTold(_)
        | Fact::LineSaid(_)
        | Fact::MessageReadBack(_)
        | Fact::CommandHandedOver(_)
        | Fact::StockCounted(_)
        | Fact::KitCounted(_)
        | Fact::StockMoved(_)
        | Fact::KitDescribed(_)
        | Fact::AlarmSeen(_)
        | Fact::ExposureReported(_)
        | Fact::ExposureSeen(_)
        | Fact::PolicyChanged(_)
        | Fact::HelperTrained(_)
        | Fact::HelperNamed(_)
        | Fact::TriageChosen(_)
        | Fact::CallAnswered(_)
        | Fact::AssessmentAnswered(_)
        | Fact::SignsMeasured(_)
        | Fact::CasualtySame(_)
        | Fact::CasualtyDifferent(_)
        | Fact::LateSeen(_)
        | Fact::CircumstancesChanged(_)
        | Fact::EntryStruck(_) => false,
    }
}

const fn short(fact: &Fact) -> Option<&'static str> {
    match fact {
        Fact::StepTaken(step) => Some(step.step.words()),
        Fact::StepDone(step) => Some(step.step.words()),
        Fact::CasualtyWarmed(_) => Some("kept warm"),
        _ => None,
    }
}
