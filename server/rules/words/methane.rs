//! M/ETHANE: the report of an incident.
//!
//! Owns the letters and their order (JESIP, *Briefing (IIMARCH)* and *M/ETHANE*): major incident declared, exact
//! location, type, hazards, access, number of casualties, emergency services. Without a declared major incident it is
//! ETHANE and there is no M. The board never declares; it records that a named person did.

use super::moment::Moment;
use super::report::{Line, Report};
use crate::rules::place::Position;

/// A declared major incident.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Major {
    /// Who declared it.
    pub by: String,
    /// When.
    pub at: Moment,
}

/// How many, by category.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Immediate.
    pub immediate: u32,
    /// Delayed.
    pub delayed: u32,
    /// Minor.
    pub minor: u32,
    /// Expectant; said apart, never folded into another.
    pub expectant: u32,
    /// Dead.
    pub dead: u32,
    /// Not breathing, and nobody has pronounced them dead.
    pub not_breathing: u32,
    /// Uninjured.
    pub uninjured: Option<u32>,
    /// Not triaged yet.
    pub not_triaged: u32,
}

/// What is known of the incident; `None` is what nobody has said, an empty list that there are none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Incident {
    /// Its name, and the number of this report.
    pub name: String,
    /// 1, 2, 3 …
    pub version: u32,
    /// Declared?
    pub major: Option<Major>,
    /// The place in words.
    pub location: Option<String>,
    /// The place in figures.
    pub position: Option<Position>,
    /// What happened.
    pub kind: Option<String>,
    /// Hazards that are there.
    pub hazards: Option<Vec<String>>,
    /// Hazards that may come.
    pub potential: Option<Vec<String>>,
    /// The way in.
    pub access: Option<String>,
    /// The way out.
    pub egress: Option<String>,
    /// Where to meet.
    pub rendezvous: Option<String>,
    /// What to keep away from.
    pub avoid: Option<String>,
    /// How many; `None` before anybody has counted.
    pub counts: Option<Counts>,
    /// What the lead thinks there are, where the board does not know all of them yet.
    pub estimate: Option<String>,
    /// Services that are here.
    pub present: Option<Vec<String>>,
    /// Services that are needed.
    pub required: Option<Vec<String>>,
}

/// The report.
pub fn methane(incident: &Incident, now: Moment, from: &str) -> Report {
    let mut lines = Vec::new();
    if let Some(major) = &incident.major {
        let text = format!("declared {} by {}", major.at.clock(), major.by);
        lines.push(Line::new("M", "Major incident", Some(text)));
    }
    lines.push(Line::new("E", "Exact location", location(incident)));
    lines.push(Line::new("T", "Type", incident.kind.clone()));
    lines.push(hazards(incident));
    lines.push(Line::new("A", "Access", access(incident)));
    lines.push(Line::new("N", "Number of casualties", numbers(incident)));
    lines.push(services(incident));
    let name = if incident.major.is_some() {
        "METHANE"
    } else {
        "ETHANE"
    };
    Report {
        title: format!(
            "{name} no. {}  {}  {}  from {from}",
            incident.version,
            incident.name,
            now.group()
        ),
        lines,
    }
}

fn location(incident: &Incident) -> Option<String> {
    let figures = incident.position.map(|position| {
        let (latitude, longitude) = (position.latitude(), position.longitude());
        let north = if latitude < 0.0 { 'S' } else { 'N' };
        let east = if longitude < 0.0 { 'W' } else { 'E' };
        let degrees = format!(
            "{:.4} {north} {:.4} {east}",
            latitude.abs(),
            longitude.abs()
        );
        match position.mgrs() {
            Ok(grid) => format!("{degrees}. {grid}"),
            Err(_) => degrees,
        }
    });
    let parts: Vec<String> = incident
        .location
        .clone()
        .into_iter()
        .chain(figures)
        .collect();
    (!parts.is_empty()).then(|| parts.join(". "))
}

fn list(items: &[String]) -> String {
    if items.is_empty() {
        "none".to_owned()
    } else {
        items.join(", ")
    }
}

fn hazards(incident: &Incident) -> Line {
    let (present, potential) = (incident.hazards.as_deref(), incident.potential.as_deref());
    let text = match (present, potential) {
        (None, None) => None,
        (Some([]), Some([])) => Some("none seen".to_owned()),
        _ => {
            let part = |word, list_of: Option<&[String]>| {
                format!(
                    "{word}: {}",
                    list_of.map_or_else(|| "not known".to_owned(), list)
                )
            };
            Some(format!(
                "{}. {}",
                part("present", present),
                part("potential", potential)
            ))
        }
    };
    Line {
        // One half that nobody has answered is still to be asked for.
        missing: present.is_none() || potential.is_none(),
        ..Line::new("H", "Hazards", text)
    }
}

fn access(incident: &Incident) -> Option<String> {
    let out = incident.egress.as_deref().unwrap_or("not known");
    let mut parts = vec![incident.access.clone()?, format!("Out: {out}")];
    parts.extend(
        incident
            .rendezvous
            .as_ref()
            .map(|meet| format!("Meet at {meet}")),
    );
    parts.extend(
        incident
            .avoid
            .as_ref()
            .map(|avoid| format!("Avoid {avoid}")),
    );
    Some(parts.join(". "))
}

/// The lead's estimate first, then what the board has.
fn numbers(incident: &Incident) -> Option<String> {
    let estimate = incident
        .estimate
        .as_ref()
        .map(|estimate| format!("{estimate} (estimate by lead)"));
    let counted = incident.counts.map(counted);
    match (estimate, counted) {
        (Some(estimate), Some(counted)) => Some(format!("{estimate}. On the board: {counted}")),
        (estimate, counted) => estimate.or(counted),
    }
}

fn counted(counts: Counts) -> String {
    let hurt = counts.immediate
        + counts.delayed
        + counts.minor
        + counts.expectant
        + counts.not_breathing
        + counts.not_triaged;
    let uninjured = counts.uninjured.map_or_else(
        || "uninjured not known".to_owned(),
        |number| format!("{number} uninjured"),
    );
    let some = |number: u32, words: &str| {
        if number > 0 {
            format!(", {number} {words}")
        } else {
            String::new()
        }
    };
    format!(
        "{hurt} casualties: {} immediate, {} delayed, {} minor{}{}, {} not triaged. {} dead. {uninjured}",
        counts.immediate,
        counts.delayed,
        counts.minor,
        some(counts.expectant, "expectant"),
        some(counts.not_breathing, "not breathing"),
        counts.not_triaged,
        counts.dead
    )
}

/// Who is here and who is needed: two lists, never one.
fn services(incident: &Incident) -> Line {
    let missing = incident.present.is_none() || incident.required.is_none();
    let part = |list_of: &Option<Vec<String>>| {
        list_of
            .as_deref()
            .map_or_else(|| "not known".to_owned(), list)
    };
    Line {
        letter: "E",
        label: "Emergency services",
        text: format!(
            "present: {}. Required: {}",
            part(&incident.present),
            part(&incident.required)
        ),
        missing,
    }
}
