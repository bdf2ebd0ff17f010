//! The nine-line evacuation request, for an aircraft that asks for it.
//!
//! Owns the lines (US Army GTA 08-01-004) with peacetime wording unless wartime is asked for. A letter is never said
//! without its word: the letters B and C of line 3 mean different things in two readings that are both in use.

use serde::{Deserialize, Serialize};

use super::report::{Line, Report};
use crate::rules::place::Position;

/// What line 4 can ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Special {
    /// Nothing.
    None,
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

/// Which wording lines 6 and 9 have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Wording {
    /// Wounds, and the ground.
    Peacetime,
    /// Security, and contamination.
    Wartime,
}

/// Line 6 in wartime.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Security {
    /// No enemy troops.
    NoEnemy,
    /// Possibly enemy troops.
    PossiblyEnemy,
    /// Enemy troops.
    Enemy,
    /// Enemy troops, and an escort is needed.
    EnemyEscort,
}

/// Line 9 in wartime.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SiteContamination {
    /// Nuclear.
    Nuclear,
    /// Biological.
    Biological,
    /// Chemical.
    Chemical,
    /// Radiological (newer forms, from memory).
    Radiological,
}

/// What wartime wording needs on top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wartime {
    /// Line 6; `None` is what nobody has said.
    pub security: Option<Security>,
    /// Line 9, only when there is some.
    pub contamination: Vec<SiteContamination>,
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

impl Marking {
    /// What somebody wrote, with the letter of the table where it has one; anything else is "other".
    pub fn read(written: &str) -> Self {
        let written = written.trim();
        match written.to_lowercase().as_str() {
            "panel" | "panels" => Self::Panels,
            "flare" | "flares" | "pyrotechnic" | "pyrotechnic signal" => Self::Pyrotechnic,
            "smoke" => Self::Smoke,
            "none" | "no" | "not marked" => Self::Unmarked,
            _ => Self::Other(written.to_owned()),
        }
    }
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
        Some(war) => lines.push(Line::new(
            "Line 6",
            "Security",
            war.security.map(|security| security.said().to_owned()),
        )),
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
            if !war.contamination.is_empty() {
                let said: Vec<&str> = war.contamination.iter().map(|one| one.said()).collect();
                lines.push(Line::new("Line 9", "Contamination", Some(said.join(". "))));
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
    let said: Vec<&str> = special
        .iter()
        .filter(|one| **one != Special::None)
        .map(|one| one.said())
        .collect();
    if said.is_empty() {
        Special::None.said().to_owned()
    } else {
        said.join(". ")
    }
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

impl Special {
    /// All.
    pub const ALL: [Self; 4] = [Self::None, Self::Hoist, Self::Extraction, Self::Ventilator];

    /// The letter with its word.
    const fn said(self) -> &'static str {
        match self {
            Self::None => "Alfa, none",
            Self::Hoist => "Bravo, hoist",
            Self::Extraction => "Charlie, extraction equipment",
            Self::Ventilator => "Delta, ventilator",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Hoist => "hoist",
            Self::Extraction => "extraction equipment",
            Self::Ventilator => "ventilator",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Hoist => "hoist",
            Self::Extraction => "extraction",
            Self::Ventilator => "ventilator",
        }
    }
}

impl Wording {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Peacetime => "peacetime wording",
            Self::Wartime => "wartime wording",
        }
    }
}

impl Security {
    /// All, the safest first.
    pub const ALL: [Self; 4] = [
        Self::NoEnemy,
        Self::PossiblyEnemy,
        Self::Enemy,
        Self::EnemyEscort,
    ];

    /// The letter with its word.
    const fn said(self) -> &'static str {
        match self {
            Self::NoEnemy => "November, no enemy troops",
            Self::PossiblyEnemy => "Papa, possibly enemy troops, caution",
            Self::Enemy => "Echo, enemy troops, caution",
            Self::EnemyEscort => "X-ray, enemy troops, armed escort required",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoEnemy => "no enemy troops",
            Self::PossiblyEnemy => "possibly enemy troops",
            Self::Enemy => "enemy troops",
            Self::EnemyEscort => "enemy troops, armed escort required",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoEnemy => "no_enemy",
            Self::PossiblyEnemy => "possibly_enemy",
            Self::Enemy => "enemy",
            Self::EnemyEscort => "enemy_escort",
        }
    }
}

impl SiteContamination {
    /// All.
    pub const ALL: [Self; 4] = [
        Self::Nuclear,
        Self::Biological,
        Self::Chemical,
        Self::Radiological,
    ];

    /// The letter with its word.
    const fn said(self) -> &'static str {
        match self {
            Self::Nuclear => "November, nuclear",
            Self::Biological => "Bravo, biological",
            Self::Chemical => "Charlie, chemical",
            Self::Radiological => "Romeo, radiological",
        }
    }

    /// The words shown to people, and the stored code.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Nuclear => "nuclear",
            Self::Biological => "biological",
            Self::Chemical => "chemical",
            Self::Radiological => "radiological",
        }
    }
}
