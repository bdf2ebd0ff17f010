//! The nine-line evacuation request, for an aircraft that asks for it.
//!
//! Owns the lines (US Army GTA 08-01-004) with peacetime wording unless wartime is asked for. A letter is never said
//! without its word: the letters B and C of line 3 mean different things in two readings that are both in use.

use super::report::{Line, Report};
use crate::rules::place::Position;

/// What line 4 can ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Special {
    /// A hoist.
    Hoist,
    /// Extraction equipment.
    Extraction,
    /// A ventilator.
    Ventilator,
}

/// How the site is marked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Marking {
    /// Panels.
    Panels,
    /// A pyrotechnic signal.
    Pyrotechnic,
    /// Smoke.
    Smoke,
    /// Not at all.
    Unmarked,
    /// Something else.
    Other(String),
}

/// What wartime wording needs on top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wartime {
    /// Line 6: "no enemy troops" and so on, with its letter's word.
    pub security: String,
    /// Line 9, only when there is some.
    pub contamination: Option<String>,
}

/// What the request says; `None` is what nobody has said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NineLine {
    /// Where to pick up.
    pub position: Option<Position>,
    /// Frequency or channel at the site, and call sign.
    pub radio: Option<String>,
    /// Immediate and in need of surgery.
    pub urgent_surgical: u32,
    /// Immediate, and those not triaged yet.
    pub urgent: u32,
    /// Delayed.
    pub priority: u32,
    /// Minor.
    pub routine: u32,
    /// Line 4; `None` not asked, empty for none.
    pub special: Option<Vec<Special>>,
    /// Who must lie.
    pub lying: u32,
    /// Who can sit or walk.
    pub sitting: u32,
    /// Number and kind of wounds.
    pub wounds: Option<String>,
    /// Marking.
    pub marking: Option<Marking>,
    /// Who they are.
    pub status: Option<String>,
    /// The ground.
    pub terrain: Option<String>,
    /// Wartime wording.
    pub wartime: Option<Wartime>,
}

/// The request.
///
/// # Errors
/// When the patients of line 3 and of line 5 are not the same number.
pub fn nine_line(request: &NineLine) -> Result<Report, SumsDiffer> {
    let by_precedence =
        request.urgent_surgical + request.urgent + request.priority + request.routine;
    let by_type = request.lying + request.sitting;
    if by_precedence != by_type {
        return Err(SumsDiffer(by_precedence, by_type));
    }
    let mut lines = vec![
        Line::new(
            "Line 1",
            "Pick-up site",
            request
                .position
                .map(|p| p.mgrs().unwrap_or_else(|_| p.decimal())),
        ),
        Line::new("Line 2", "Radio and call sign", request.radio.clone()),
        Line::new(
            "Line 3",
            "Patients by precedence",
            Some(precedence(request)),
        ),
        Line::new(
            "Line 4",
            "Special equipment",
            request.special.as_deref().map(special),
        ),
        Line::new("Line 5", "Patients by type", Some(types(request))),
    ];
    match &request.wartime {
        Some(war) => lines.push(Line::new("Line 6", "Security", Some(war.security.clone()))),
        None => lines.push(Line::new("Line 6", "Wounds", request.wounds.clone())),
    }
    lines.push(Line::new(
        "Line 7",
        "Marking",
        request.marking.as_ref().map(marking),
    ));
    lines.push(Line::new(
        "Line 8",
        "Nationality and status",
        request.status.clone(),
    ));
    match &request.wartime {
        Some(war) => {
            if let Some(contamination) = &war.contamination {
                lines.push(Line::new(
                    "Line 9",
                    "Contamination",
                    Some(contamination.clone()),
                ));
            }
        }
        None => lines.push(Line::new("Line 9", "Terrain", request.terrain.clone())),
    }
    Ok(Report {
        title: "Evacuation request, nine lines".to_owned(),
        lines,
    })
}

/// Line 3 counts so many, line 5 so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "line 3 has {0} patients and line 5 has {1}: say for everybody how soon and whether they lie"
)]
pub struct SumsDiffer(pub u32, pub u32);

/// The number, the letter, and always the word; "break" between.
fn precedence(request: &NineLine) -> String {
    let parts = [
        (request.urgent_surgical, "Bravo, urgent surgical"),
        (request.urgent, "Alfa, urgent"),
        (request.priority, "Charlie, priority"),
        (request.routine, "Delta, routine"),
    ];
    joined(&parts)
}

fn types(request: &NineLine) -> String {
    joined(&[
        (request.lying, "Lima, lying"),
        (request.sitting, "Alfa, sitting"),
    ])
}

fn joined(parts: &[(u32, &str)]) -> String {
    let said: Vec<String> = parts
        .iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, words)| format!("{number} {words}"))
        .collect();
    if said.is_empty() {
        "none".to_owned()
    } else {
        said.join(". Break. ")
    }
}

fn special(special: &[Special]) -> String {
    if special.is_empty() {
        return "Alfa, none".to_owned();
    }
    let words: Vec<&str> = special
        .iter()
        .map(|one| match one {
            Special::Hoist => "Bravo, hoist",
            Special::Extraction => "Charlie, extraction equipment",
            Special::Ventilator => "Delta, ventilator",
        })
        .collect();
    words.join(". ")
}

fn marking(marking: &Marking) -> String {
    match marking {
        Marking::Panels => "Alfa, panels".to_owned(),
        Marking::Pyrotechnic => "Bravo, pyrotechnic signal".to_owned(),
        Marking::Smoke => "Charlie, smoke".to_owned(),
        Marking::Unmarked => "Delta, none".to_owned(),
        Marking::Other(what) => format!("Echo, other: {what}"),
    }
}
