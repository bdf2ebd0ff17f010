//! What an entry about sorting or vital signs says, in words.
//!
//! Owns the wording of those facts. Promises: a category is told in the words of the service the incident works
//! with, always with its sign; a count is told as it was counted.

use super::fact::{
    AssessmentAnswered, CallAnswered, CasualtyTold, Fact, LifesavingDone, SignsMeasured,
    TriageChosen,
};
use super::sentence::{because, list};
use super::state::Incident;
use crate::rules::scores::news2::OxygenScale;
use crate::rules::scores::readings::Counted;
use crate::rules::triage::{Answer, Category, Input};

/// Words for a fact of this file; none for any other.
pub(super) fn triage_words(fact: &Fact, incident: &Incident) -> Option<String> {
    Some(match fact {
        Fact::TriageChosen(chosen) => chosen_words(chosen),
        Fact::CallAnswered(call) => call_words(*call),
        Fact::AssessmentAnswered(answered) => answered_words(answered),
        Fact::CategoryAssigned(assigned) => {
            let how = assigned.assessment.as_ref().map(|_| "START");
            let because = because(assigned.reason.as_ref());
            category_words(assigned.category, how, incident) + because.as_str()
        }
        Fact::CategoryDecided(decided) => {
            let how = decided.sheet.as_ref().map(|sheet| sheet.algorithm().name());
            let short = decided
                .short_of
                .as_ref()
                .map(|short| format!(" (short of {short})"))
                .unwrap_or_default();
            category_words(decided.category, how, incident)
                + because(decided.reason.as_ref()).as_str()
                + short.as_str()
        }
        Fact::LifesavingDone(done) => lifesaving_words(*done),
        Fact::CasualtyTold(told) => told_words(*told),
        fact => vitals_words(&fact.signs()?),
    })
}

fn category_words(category: Category, how: Option<&str>, incident: &Incident) -> String {
    let how = how.map(|how| format!(" by {how}")).unwrap_or_default();
    format!("category {}{how}", incident.profile().shown(category))
}

fn chosen_words(chosen: &TriageChosen) -> String {
    list([
        Some(format!("sorting: adults by {}", chosen.adult.name())),
        Some(format!("children by {}", chosen.child.name())),
        chosen
            .words
            .map(|words| format!("words of {}", words.name())),
        chosen
            .trauma_score
            .then(|| "with the trauma score".to_owned()),
    ])
}

fn call_words(call: CallAnswered) -> String {
    let threat = if call.life_threat {
        ", life in danger to be seen"
    } else {
        ""
    };
    format!("{}{threat}", call.response.words())
}

fn answered_words(answered: &AssessmentAnswered) -> String {
    let table = answered.system.table();
    let asked = table
        .steps
        .iter()
        .find(|step| step.input == answered.input)
        .map(|step| step.question.to_owned());
    let number = answered.number.map(|number| {
        let counted = counted_words(answered.counted);
        format!("{} {number}{counted}", measure_words(answered.input))
    });
    let given = answered.answer.map(|answer| match answer {
        Answer::Yes => "yes",
        Answer::No => "no",
        Answer::CannotTell => "can't tell",
    });
    let said = match (given, asked) {
        (Some(given), Some(asked)) => Some(format!("{asked} {given}")),
        (given, _) => given.map(str::to_owned),
    };
    let level = answered.level.map(|level| level.words().to_owned());
    format!(
        "{}: {}",
        answered.system.name(),
        list([said, number, level])
    )
}

/// The name of a measured input, with its unit.
pub(super) const fn measure_words(input: Input) -> &'static str {
    match input {
        Input::BreathsPerMinute => "breaths a minute",
        Input::PulsePerMinute => "pulse a minute",
        Input::RefillTenths => "refill in tenths of a second",
        Input::AgeYears => "age in years",
        _ => "measured",
    }
}

fn counted_words(counted: Option<Counted>) -> String {
    counted
        .map(|one| format!(" ({} in {} s)", one.count, one.seconds))
        .unwrap_or_default()
}

fn lifesaving_words(done: LifesavingDone) -> String {
    list([
        Some(done.intervention.done().to_owned()),
        done.rescue_breaths
            .map(|breaths| format!("{breaths} rescue breaths")),
    ])
}

/// Age and health, as told.
pub fn told_words(told: CasualtyTold) -> String {
    list([
        told.years.map(|years| format!("{years} years old")),
        told.pregnant
            .map(|is| if is { "pregnant" } else { "not pregnant" }.to_owned()),
        told.oxygen_scale.map(|scale| match scale {
            OxygenScale::One => "usual oxygen target".to_owned(),
            OxygenScale::Two => "oxygen target 88 to 92 %".to_owned(),
        }),
        told.pulse_misleads.map(|is| {
            if is {
                "beta blocker or pacemaker: pulse misleads"
            } else {
                "no beta blocker, no pacemaker"
            }
            .to_owned()
        }),
    ])
}

/// Vital signs in one line.
pub fn vitals_words(vitals: &SignsMeasured) -> String {
    let tenths = |value: u16| format!("{}.{}", value / 10, value % 10);
    let felt = |place: &str, answer: Option<Answer>| {
        answer.map(|answer| match answer {
            Answer::Yes => format!("pulse at the {place}"),
            Answer::No => format!("no pulse at the {place}"),
            Answer::CannotTell => format!("pulse at the {place} cannot be told"),
        })
    };
    let rates = [
        vitals
            .breaths()
            .map(|value| format!("breathing {value}{}", counted_words(vitals.breaths_counted))),
        vitals
            .pulse()
            .map(|value| format!("pulse {value}{}", counted_words(vitals.pulse_counted))),
        felt("wrist", vitals.radial_pulse),
        felt("neck", vitals.carotid_pulse),
        vitals
            .systolic_mmhg
            .map(|value| format!("pressure {value}")),
        vitals
            .systolic_unrecordable
            .then(|| "pressure not to be had".to_owned()),
        vitals
            .oxygen_saturation_percent
            .map(|value| format!("oxygen {value} %")),
        vitals
            .on_oxygen
            .map(|on| if on { "on oxygen" } else { "on air" }.to_owned()),
    ];
    let others = [
        vitals
            .refill_tenths
            .map(|value| format!("refill {} s", tenths(value))),
        vitals
            .temperature_tenths_c
            .map(|value| format!("{} °C", tenths(value))),
        vitals.consciousness.map(|value| value.words().to_owned()),
        vitals.gcs.map(|gcs| {
            let total = gcs.exact_total();
            let total = total.map(|total| format!(" = {total}")).unwrap_or_default();
            format!("coma scale {}{total}", gcs.components())
        }),
        vitals.pain.map(|pain| format!("pain {pain} of 10")),
    ];
    let skin = vitals
        .skin
        .iter()
        .map(|skin| Some(format!("skin {}", skin.words())));
    list(rates.into_iter().chain(others).chain(skin))
}
