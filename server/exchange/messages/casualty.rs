//! What is said of one casualty.

use jiff::{SignedDuration, Timestamp};

use super::{moment, text};
use crate::exchange::handover::Sheet;
use crate::incident::evac::{NONE_KNOWN, in_words};
use crate::incident::fact::{EvacAsked, EvacPriority};
use crate::incident::{Answers, Casualty, Incident, Note};
use crate::rules::bleeding::State;
use crate::rules::evac::Priority;
use crate::rules::evac::priority::deadline;
use crate::rules::triage::Answer as Answered;
use crate::rules::words::{Answer, Handover, Injury, Order, Signs, Treatment, TreatmentTime};

/// With what they leave, and when, as planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leaves {
    /// On what.
    pub on: String,
    /// When it leaves.
    pub at: Timestamp,
    /// When it is there.
    pub arrives: Timestamp,
}

/// Everything there is to say of a casualty; `leaves` is what is planned for them.
pub fn casualty(incident: &Incident, casualty: &Casualty, leaves: Option<Leaves>) -> Handover {
    let sheet = Sheet::of(incident, casualty);
    let history = &casualty.history;
    let asked = sheet.request.as_ref();
    Handover {
        number: casualty.number,
        age: casualty.age.value().map(|age| age.code().to_owned()),
        about: casualty.sorting.told.years,
        sex: history.sex().map(|sex| sex.word().to_owned()),
        category: casualty
            .urgent_category()
            .map(|category| category.word().to_lowercase()),
        injured_at: history.injured_at().map(moment),
        mechanism: in_words(&history.mechanism),
        injuries: injuries(casualty),
        signs: signs(casualty),
        symptoms: in_words(&history.complaints).into_iter().collect(),
        treatments: treatments(&sheet),
        allergies: answer(&history.allergies),
        medicines: medicines(casualty),
        background: answer(&history.background),
        other: in_words(&history.other).into_iter().collect(),
        arrives: leaves.as_ref().map(|leaves| moment(leaves.arrives)),
        leaves: leaves.map(|leaves| (moment(leaves.at), leaves.on)),
        requirements: asked.map(requirements).unwrap_or_default(),
        request: asked.map(|asked| request(casualty, asked, as_of(incident))),
        speaker: text(incident.description().place.as_ref()),
    }
}

fn injuries(casualty: &Casualty) -> Vec<Injury> {
    casualty
        .wounds
        .iter()
        .filter(|wound| wound.standing.state != State::Void)
        .map(|wound| Injury {
            order: Order::Bleeding,
            at: moment(wound.found_at),
            words: format!("{}, {}", wound.place(), wound.standing.state.words()),
        })
        .collect()
}

fn signs(casualty: &Casualty) -> Vec<Signs> {
    casualty
        .vitals
        .iter()
        .map(|(at, vitals)| Signs {
            at: moment(*at),
            breaths: vitals.breaths(),
            pulse: vitals.pulse(),
            pressure: vitals.systolic_mmhg.map(|systolic| (systolic, None)),
            no_pressure: vitals.systolic_unrecordable,
            wrist: vitals.radial_pulse.and_then(|answer| match answer {
                Answered::Yes => Some(true),
                Answered::No => Some(false),
                Answered::CannotTell => None,
            }),
            oxygen: vitals.on_oxygen,
            saturation: vitals.oxygen_saturation_percent,
            level: vitals.consciousness.map(|level| level.words().to_owned()),
            refill: vitals.refill_tenths.map(|tenths| tenths.div_ceil(10)),
        })
        .collect()
}

fn answer(told: &Answers<Note>) -> Answer {
    match in_words(told) {
        None => Answer::NotAsked,
        Some(said) if said == NONE_KNOWN => Answer::NoneKnown,
        Some(said) => Answer::Known(said),
    }
}

/// What they take; that it thins the blood must never be left out.
fn medicines(casualty: &Casualty) -> Answer {
    let told = answer(&casualty.history.medicines);
    if casualty.risks.blood_thinners != Some(true) {
        return told;
    }
    Answer::Known(match told {
        Answer::Known(others) => format!("blood thinners; {others}"),
        _ => "blood thinners".to_owned(),
    })
}

/// What is said is as of the last report: nothing in it depends on the present moment.
fn as_of(incident: &Incident) -> Timestamp {
    let last = incident.entries().last();
    last.map_or(Timestamp::UNIX_EPOCH, |entry| entry.recorded_at)
}

fn treatments(sheet: &Sheet) -> Vec<Treatment> {
    let tourniquets = sheet.tourniquets.iter().map(|tied| Treatment {
        order: Order::Bleeding,
        words: format!("tourniquet {}", tied.place),
        time: match tied.ended {
            None => TreatmentTime::Running(moment(tied.since)),
            Some(end) => TreatmentTime::Ended(moment(tied.since), moment(end)),
        },
    });
    let steps = sheet.steps.iter().filter_map(|step| {
        let words = step.short.filter(|words| !words.contains("tourniquet"))?;
        Some(Treatment {
            order: if words == "kept warm" {
                Order::Exposure
            } else {
                Order::Circulation
            },
            words: words.to_owned(),
            time: TreatmentTime::Done(moment(step.at)),
        })
    });
    // What must never be left out and was given at a time.
    let vital = sheet.vital.iter().filter_map(|(at, words)| {
        Some(Treatment {
            order: Order::Circulation,
            words: words.clone(),
            time: TreatmentTime::Done(moment((*at)?)),
        })
    });
    tourniquets.chain(vital).chain(steps).collect()
}

fn requirements(asked: &EvacAsked) -> Vec<String> {
    let needs = asked.needs.iter().map(|need| need.words().to_owned());
    std::iter::once(asked.posture.code().to_owned())
        .chain(needs)
        .collect()
}

/// What is asked of the listener: how soon, how, with what, and by when they should be there.
fn request(casualty: &Casualty, asked: &EvacAsked, now: Timestamp) -> String {
    let soon = match asked.priority {
        EvacPriority::First => "on the first free place",
        EvacPriority::Soon => "soon",
        EvacPriority::CanWait => "when there is room",
    };
    let needs = asked.needs_words();
    let needs = if needs.is_empty() {
        String::new()
    } else {
        format!(", with {needs}")
    };
    let by = there_by(casualty, asked.priority)
        .filter(|at| *at > now)
        .map(|at| format!(", there by {}", moment(at).clock_on(moment(now))))
        .unwrap_or_default();
    format!("To leave {soon}, {}{needs}{by}", asked.posture.code())
}

/// The time after which arrival is late; none where nobody said when they were hurt: an hour made of a guess would be
/// heard as an order.
fn there_by(casualty: &Casualty, priority: EvacPriority) -> Option<Timestamp> {
    let class = match priority {
        EvacPriority::First => Priority::First,
        EvacPriority::Soon => Priority::Second,
        EvacPriority::CanWait => Priority::Third,
    };
    let injured = casualty.history.injured_at()?;
    let minutes =
        |at: Timestamp| i32::try_from(at.duration_since(injured).as_mins()).unwrap_or(i32::MAX / 2);
    let limit = deadline(class, Some(0), casualty.tourniquet_since().map(minutes))?;
    Some(injured + SignedDuration::from_mins(limit.into()))
}
