//! What a handover's code says, piece by piece, each with how soon it is left out.
//!
//! Owns the short words of each: times in UTC, vital signs as crews write them. What is left out in the end is the
//! shortening rule's business (`text`).

use jiff::Timestamp;

use super::Sheet;
use crate::incident::fact::SignsMeasured;
use crate::rules::scores::Consciousness;
use crate::rules::triage::Answer;

/// Left out only to stay within the most: what matters to life.
pub(super) const VITAL: u8 = 90;

pub(super) struct Piece {
    /// The line it stands on.
    pub(super) line: usize,
    pub(super) text: String,
    /// Left out in this order; 0 never.
    pub(super) rank: u8,
    /// In words, for the sheet.
    pub(super) what: &'static str,
}

pub(super) const fn fixed(line: usize, text: String) -> Piece {
    Piece {
        line,
        text,
        rank: 0,
        what: "",
    }
}

/// Everything there is to say; the first and the last line are the caller's.
pub(super) fn pieces(sheet: &Sheet, position: &str, as_of: Timestamp) -> Vec<Piece> {
    let piece = |line, text: String, rank, what| Piece {
        line,
        text: one_line(&text),
        rank,
        what,
    };
    let answer = |what: &str| {
        let said = sheet.told.iter().find(|(asked, _)| *asked == what);
        said.and_then(|(_, said)| said.clone())
    };
    let mut all = vec![fixed(1, sheet.person.clone())];
    if !sheet.tag.is_empty() {
        all.push(piece(1, format!("tag {}", sheet.tag), 0, "tag"));
    }
    let hurt = sheet.injured_at.map_or_else(
        || "inj time not known".to_owned(),
        |at| format!("inj {}", zulu(at, as_of)),
    );
    all.push(fixed(2, hurt));
    let how = answer("How it happened").unwrap_or_else(|| "not known".to_owned());
    all.push(piece(3, how, 60, "how it happened"));
    for (index, (place, state)) in sheet.wounds.iter().enumerate() {
        let rank = if index < 3 { 0 } else { VITAL };
        all.push(piece(4, format!("{place}: {state}"), rank, "some wounds"));
    }
    if let Some(complaints) = answer("Complains of") {
        all.push(piece(4, complaints, 30, "complaints"));
    }
    for (index, (at, vitals)) in sheet.vitals.iter().rev().enumerate() {
        // The second newest goes last of the older ones: it shows the trend.
        let rank = match index {
            0 => 0,
            older => 10 - u8::try_from(older).unwrap_or(9).min(9),
        };
        let text = format!("{} {}", zulu(*at, as_of), signs(vitals));
        all.push(piece(5, text, rank, "older vital signs"));
    }
    all.extend(treatment(sheet, as_of));
    all.extend(wants(sheet, &answer));
    let where_to = [
        ("", position, 0),
        ("place in words", sheet.place.as_str(), 50),
    ];
    for (what, said, rank) in where_to {
        if !said.is_empty() {
            all.push(piece(9, said.to_owned(), rank, what));
        }
    }
    all
}

fn treatment(sheet: &Sheet, as_of: Timestamp) -> Vec<Piece> {
    let vital = sheet.vital.iter().map(|(at, words)| Piece {
        line: 6,
        text: at.map_or_else(
            || words.clone(),
            |at| format!("{words} {}", zulu(at, as_of)),
        ),
        rank: 0,
        what: "",
    });
    let tourniquets = sheet.tourniquets.iter().enumerate().map(|(index, tied)| {
        let about = if tied.time_known { "" } else { "abt " };
        let text = match tied.ended {
            None => format!(
                "TQ {} {about}{} ON {}",
                tied.place,
                zulu(tied.since, as_of),
                elapsed(tied.since, as_of)
            ),
            Some(end) => format!(
                "TQ {} {about}{} ended {}",
                tied.place,
                zulu(tied.since, as_of),
                zulu(end, as_of)
            ),
        };
        let rank = if index < 3 { 0 } else { VITAL + 1 };
        Piece {
            line: 6,
            text,
            rank,
            what: "some tourniquets",
        }
    });
    let steps = sheet.steps.iter().filter_map(|step| {
        let words = step.short.filter(|words| !words.contains("tourniquet"))?;
        Some(Piece {
            line: 6,
            text: format!("{words} {}", zulu(step.at, as_of)),
            rank: 40,
            what: "some steps",
        })
    });
    vital.chain(tourniquets).chain(steps).collect()
}

fn wants(sheet: &Sheet, answer: &impl Fn(&str) -> Option<String>) -> Vec<Piece> {
    let mut all = Vec::new();
    if let Some(asked) = &sheet.request {
        let needs: Vec<&str> = std::iter::once(asked.posture.code())
            .chain(asked.needs.iter().map(|need| need.words()))
            .collect();
        all.push(fixed(7, needs.join(", ")));
        if let Some(note) = &asked.note {
            all.push(Piece {
                line: 7,
                text: one_line(note.as_str()),
                rank: 0,
                what: "the note to the crew",
            });
        }
    }
    let mut put = |line, text: Option<String>, rank, what| {
        if let Some(text) = text {
            all.push(Piece {
                line,
                text: one_line(&text),
                rank,
                what,
            });
        }
    };
    let allergies = answer("Allergies").unwrap_or_else(|| "not asked".to_owned());
    put(8, Some(allergies), 0, "allergies");
    put(
        8,
        answer("Medicines").map(|said| format!("takes {said}")),
        21,
        "medicines",
    );
    put(
        8,
        answer("Background").map(|said| format!("has had {said}")),
        20,
        "background",
    );
    put(8, answer("Other"), 22, "other");
    all
}

/// Vital signs as crews write them; what was not measured is left out.
fn signs(vitals: &SignsMeasured) -> String {
    let tenths = |value: u16| {
        if value.is_multiple_of(10) {
            format!("{}", value / 10)
        } else {
            format!("{}.{}", value / 10, value % 10)
        }
    };
    let letter = |awake: Consciousness| match awake {
        Consciousness::Alert => "A",
        Consciousness::Confused => "C",
        Consciousness::Voice => "V",
        Consciousness::Pain => "P",
        Consciousness::Unresponsive => "U",
    };
    [
        vitals.breaths().map(|n| format!("RR{n}")),
        vitals.pulse().map(|n| format!("HR{n}")),
        vitals.systolic_mmhg.map(|n| format!("BP{n}")),
        vitals.systolic_unrecordable.then(|| "BP none".to_owned()),
        (vitals.radial_pulse == Some(Answer::No)).then(|| "no radial".to_owned()),
        vitals
            .oxygen_saturation_percent
            .map(|n| format!("SpO2 {n}")),
        (vitals.on_oxygen == Some(true)).then(|| "on O2".to_owned()),
        vitals.gcs.map(|gcs| format!("GCS {}", gcs.components())),
        vitals
            .consciousness
            .map(|awake| format!("AVPU {}", letter(awake))),
        vitals.refill_tenths.map(|n| format!("CRT {}s", tenths(n))),
        vitals
            .temperature_tenths_c
            .map(|n| format!("{}C", tenths(n))),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" ")
}

/// `1358Z`; with its day where that is not the day of issue: `14/1358Z`.
fn zulu(at: Timestamp, as_of: Timestamp) -> String {
    let day = |at: Timestamp| at.strftime("%Y-%m-%d").to_string();
    let with = if day(at) == day(as_of) {
        "%H%MZ"
    } else {
        "%d/%H%MZ"
    };
    at.strftime(with).to_string()
}

/// `24h17`: how long it has been at the time of issue.
fn elapsed(since: Timestamp, as_of: Timestamp) -> String {
    let minutes = as_of.duration_since(since).as_mins().max(0);
    format!("{}h{:02}", minutes / 60, minutes % 60)
}

/// A line break would begin a new line of the message.
pub(super) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
