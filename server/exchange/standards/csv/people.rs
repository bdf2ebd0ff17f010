//! Casualties as they stand, and every reading of their vital signs.
//!
//! Owns both tables. Where people gave two answers in ignorance of each other, both stand: "immediate or delayed".

use super::super::source::{Source, code};
use super::super::theme::{Theme, theme};
use super::table::{Cell, Column, Table, in_tenths, number, tenths, text, time, truth};
use crate::incident::evac::{Whereabouts, in_words};
use crate::incident::{Answers, Casualty};
use crate::rules::triage::Answer;

/// Of the board's categories, several where people disagree.
const CATEGORIES: &str = "(immediate|delayed|minor|expectant|not_breathing|dead)( or (immediate|delayed|minor|expectant|not_breathing|dead))*";

const CASUALTIES: &[Column] = &[
    number("casualty", "The short number on the board").always(),
    text("id", "The casualty's own id").always(),
    text(
        "also",
        "Other numbers under which the same person was entered",
    ),
    text("age", "Apparent age")
        .like("(adult|child|infant|unknown)( or (adult|child|infant|unknown))*"),
    number("years", "Age in completed years, as told"),
    text("sex", "Female or male, as seen or asked").like("(female|male)( or (female|male))*"),
    text("known_by", "Words to know them by"),
    text("tag", "Number of a paper tag"),
    text("place", "Where they are, in words"),
    text(
        "category",
        "Triage category a person assigned; empty: not triaged",
    )
    .like(CATEGORIES),
    time("met_at", "When they were first met").always(),
    time("injured_at", "When they were hurt, as told"),
    text("bleeding", "How urgently their worst wound needs somebody").always(),
    text("mechanism", "How they were hurt"),
    text("complaints", "What they complain of"),
    text("allergies", "Allergies as told; empty: not asked"),
    text("medicines", "Medicines they take"),
    text("background", "Illnesses they have or had"),
    text("other", "Anything else they told"),
    truth("blood_thinners", "Takes blood thinners"),
    text(
        "wish",
        "How soon they are to leave, where that was asked for",
    )
    .like("first|soon|can_wait"),
    text("posture", "How they travel").like("lying|sitting|walking"),
    text("needs", "What they need on the way or where they are taken"),
    text("whereabouts", "Here, being loaded, gone, or handed over")
        .like("here|loading|gone|handed_over")
        .always(),
    time("whereabouts_since", "Since when; empty while here"),
    text("transport", "On which transport"),
    text("destination", "For where"),
    text("handed_over_to", "Who has them now"),
    number("last_entry", "The last entry that touched them").always(),
];

fn answers<T>(given: &Answers<T>, words: impl Fn(&T) -> String) -> Cell {
    let all: Vec<String> = given.all().iter().map(|one| words(&one.value)).collect();
    all.join(" or ").into()
}

/// Everybody on the board.
pub(super) fn casualties(source: &Source<'_>) -> Table {
    Table {
        name: "casualties",
        means: "Everybody on the board, as they stand",
        columns: CASUALTIES.to_vec(),
        key: &["casualty"],
        rows: source
            .incident
            .casualties()
            .map(|casualty| row(source, casualty))
            .collect(),
    }
}

fn row(source: &Source<'_>, casualty: &Casualty) -> Vec<Cell> {
    let also = source.incident.also_numbers(casualty.id);
    let also: Vec<String> = also.iter().map(ToString::to_string).collect();
    let history = &casualty.history;
    let wish = casualty.evac.as_ref().map(|(_, asked)| asked);
    let who = [
        u64::from(casualty.number).into(),
        casualty.id.to_string().into(),
        also.join(" ").into(),
        answers(&casualty.age, |age| age.code().to_owned()),
        casualty.sorting.told.years.into(),
        answers(&history.sex, |sex| sex.word().to_owned()),
        answers(&casualty.words, ToString::to_string),
        answers(&casualty.tag, ToString::to_string),
        answers(&casualty.place, ToString::to_string),
        answers(&casualty.category, |category| category.code().to_owned()),
        casualty.met_at.into(),
        history.injured_at().into(),
        casualty.bleeding().code().into(),
    ];
    let told = [
        &history.mechanism,
        &history.complaints,
        &history.allergies,
        &history.medicines,
        &history.background,
        &history.other,
    ]
    .map(|told| in_words(told).map_or(Cell::Nothing, Cell::from));
    let leaves = [
        casualty.risks.blood_thinners.into(),
        wish.map_or(Cell::Nothing, |asked| asked.priority.code().into()),
        wish.map_or(Cell::Nothing, |asked| asked.posture.code().into()),
        wish.map_or(Cell::Nothing, |asked| asked.needs_words().into()),
    ];
    who.into_iter()
        .chain(told)
        .chain(leaves)
        .chain(whereabouts(source, casualty))
        .chain([casualty.last_seq.0.into()])
        .collect()
}

fn whereabouts(source: &Source<'_>, casualty: &Casualty) -> [Cell; 5] {
    let evacuation = source.incident.evacuation();
    let on = |id| {
        let transport = evacuation.transports.get(id);
        Cell::from(transport.map(|one| &one.details.name))
    };
    let to = |id: &Option<_>| {
        let place = id.and_then(|id| evacuation.destinations.get(&id));
        Cell::from(place.map(|one| &one.details.name))
    };
    let nothing = || Cell::Nothing;
    match evacuation.whereabouts(casualty.id) {
        None => ["here".into(), nothing(), nothing(), nothing(), nothing()],
        Some(Whereabouts::Loading { transport, at }) => [
            "loading".into(),
            (*at).into(),
            on(transport),
            nothing(),
            nothing(),
        ],
        Some(Whereabouts::Gone {
            transport,
            destination,
            left_at,
            ..
        }) => [
            "gone".into(),
            (*left_at).into(),
            on(transport),
            to(destination),
            nothing(),
        ],
        Some(Whereabouts::HandedOver {
            to: whom,
            destination,
            at,
        }) => [
            "handed_over".into(),
            (*at).into(),
            nothing(),
            to(destination),
            Cell::from(Some(whom)),
        ],
    }
}

const VITALS: &[Column] = &[
    number("entry", "Its place in the journal").always(),
    number("casualty", "The casualty's number"),
    time("at", "When it was measured").always(),
    truth("time_unsure", "The time is about").always(),
    number("breaths", "Breaths a minute"),
    number("pulse", "Heart beats a minute"),
    text("wrist_pulse", "A pulse at the wrist").like("yes|no|cannot_tell"),
    text("neck_pulse", "A pulse at the neck").like("yes|no|cannot_tell"),
    number("systolic", "Systolic blood pressure, mmHg"),
    truth("systolic_not_to_be_had", "Tried, and no pressure to be had").always(),
    number("oxygen_saturation", "Oxygen saturation, %"),
    truth("on_oxygen", "On supplementary oxygen"),
    text("consciousness", "How awake").like("alert|confused|voice|pain|unresponsive"),
    text(
        "coma_scale",
        "Glasgow Coma Scale by its components; NT cannot be tested, ? not recorded",
    ),
    number("coma_scale_total", "Their sum, where all three are known"),
    tenths("refill", "Capillary refill, seconds"),
    tenths("temperature", "Body temperature, degrees Celsius"),
    number("pain", "Pain as they say it, 0 to 10"),
    text("skin", "How the skin looks and feels"),
    text("by", "Who reported it").always(),
    truth("struck", "A later entry says that this was a mistake").always(),
];

/// Every reading of vital signs.
pub(super) fn vitals(source: &Source<'_>) -> Table {
    let mut rows = Vec::new();
    for told in source.entries() {
        let Some(signs) = told.entry.fact.signs() else {
            continue;
        };
        debug_assert!(theme(&told.entry.fact) == Theme::Signs, "sorted alike");
        let felt = |answer: Option<Answer>| {
            answer.map_or(Cell::Nothing, |answer| {
                match answer {
                    Answer::Yes => "yes",
                    Answer::No => "no",
                    Answer::CannotTell => "cannot_tell",
                }
                .into()
            })
        };
        let total = signs.gcs.and_then(crate::rules::scores::Gcs::exact_total);
        let skin: Vec<&str> = signs.skin.iter().map(|skin| skin.words()).collect();
        rows.push(vec![
            told.entry.seq.0.into(),
            told.number.into(),
            told.at().into(),
            told.entry.time_unsure.into(),
            signs.breaths().into(),
            signs.pulse().into(),
            felt(signs.radial_pulse),
            felt(signs.carotid_pulse),
            signs.systolic_mmhg.into(),
            signs.systolic_unrecordable.into(),
            signs.oxygen_saturation_percent.into(),
            signs.on_oxygen.into(),
            signs
                .consciousness
                .map_or(Cell::Nothing, |awake| code(awake).into()),
            signs
                .gcs
                .map_or(Cell::Nothing, |gcs| gcs.components().into()),
            total.map(u32::from).into(),
            in_tenths(signs.refill_tenths),
            in_tenths(signs.temperature_tenths_c),
            signs.pain.into(),
            skin.join(", ").into(),
            told.by.as_str().into(),
            told.is_struck.into(),
        ]);
    }
    Table {
        name: "vitals",
        means: "Every reading of vital signs, struck ones included",
        columns: VITALS.to_vec(),
        key: &["entry"],
        rows,
    }
}
