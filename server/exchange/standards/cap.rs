//! A short message to other systems: an alert of the Common Alerting Protocol 1.2 (OASIS Standard, 1 July 2010).
//!
//! Owns which of the board's state becomes which element. Promises: no name of a casualty and nothing of their health but
//! how many there are of which category; a practice incident says `Exercise`; a later copy is an update of the earlier
//! one. Times are of the form the standard asks for (section 3.3.2): whole seconds, UTC as `-00:00`, never `Z`.

use jiff::Timestamp;

use super::File;
use super::source::Source;
use super::xml::Xml;
use crate::exchange::messages::{self, incident_report, moment};
use crate::incident::{Fact, Seq};
use crate::rules::triage::Category;
use crate::rules::words::{self, Line};

const NAMESPACE: &str = "urn:oasis:names:tc:emergency:cap:1.2";
/// The longest headline that small displays show whole (section 3.2.2).
const HEADLINE: usize = 160;

/// The document.
pub(super) fn file(source: &Source<'_>) -> File {
    let mut xml = Xml::document();
    put(&mut xml, source);
    File {
        name: source.file_name("cap", "xml"),
        kind: "application/cap+xml",
        bytes: xml.into_bytes(),
    }
}

/// The alert, as a document's root or inside an envelope.
pub(super) fn put(xml: &mut Xml, source: &Source<'_>) {
    let earlier = earlier(source, &["cap", "de"]);
    xml.root("alert", NAMESPACE, |xml| {
        xml.text("identifier", &identifier(source, source.as_of.seq));
        xml.text("sender", &sender(source));
        xml.text("sent", &sent(source.as_of.at));
        xml.text("status", status(source));
        xml.text(
            "msgType",
            if earlier.is_some() { "Update" } else { "Alert" },
        );
        xml.text("source", "holdfast");
        xml.text("scope", "Private");
        // The file goes to whoever is given it: nobody else is addressed.
        xml.text("addresses", "holder-of-this-file");
        xml.text("note", &source.as_of_words());
        if let Some((seq, at)) = earlier {
            let (earlier, by) = (identifier(source, seq), sender(source));
            xml.text("references", &format!("{by},{earlier},{}", sent(at)));
        }
        xml.text("incidents", &format!("holdfast-{}", source.board()));
        put_info(xml, source);
    });
}

/// Whether it is real.
pub(super) fn status(source: &Source<'_>) -> &'static str {
    if source.is_exercise() {
        "Exercise"
    } else {
        "Actual"
    }
}

/// Names a copy as of this entry.
pub(super) fn identifier(source: &Source<'_>, seq: Seq) -> String {
    format!("holdfast-{}-{seq}", source.board())
}

/// Unique by the board's id; the name of its machine is nobody's (RFC 6761, `invalid`).
pub(super) fn sender(source: &Source<'_>) -> String {
    format!("holdfast@{}.invalid", source.board())
}

/// A time as the standard writes it.
pub(super) fn sent(at: Timestamp) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S-00:00").to_string()
}

/// The last copy of one of these forms that stands in the record: as of which entry, and when.
pub(super) fn earlier(source: &Source<'_>, forms: &[&str]) -> Option<(Seq, Timestamp)> {
    let entries = source.incident.entries().iter().rev();
    let mut copies = entries.filter_map(|entry| match &entry.fact {
        Fact::RecordCopied(copied) if forms.contains(&copied.form.as_str()) => {
            Some((copied.seq, entry.happened_at))
        }
        _ => None,
    });
    copies.next()
}

/// `54.527,-3.0165 0`: a place and a radius in kilometres, which nobody knows.
pub(super) fn circle(source: &Source<'_>) -> Option<String> {
    let position = messages::position(source.incident)?.ok()?;
    let rounded = super::geojson::rounded;
    let (latitude, longitude) = (rounded(position.latitude()), rounded(position.longitude()));
    Some(format!("{latitude},{longitude} 0"))
}

/// The lines of the incident report.
fn report(source: &Source<'_>) -> Vec<Line> {
    let incident = incident_report(source.incident, 1);
    words::methane(&incident, moment(source.as_of.at), "board").lines
}

fn put_info(xml: &mut Xml, source: &Source<'_>) {
    let told = &source.incident.evacuation().situation.told;
    let waiting = Waiting::of(source);
    let said = |words: Option<&crate::incident::Note>| words.map(ToString::to_string);
    xml.within("info", |xml| {
        xml.text("language", "en");
        xml.text("category", "Rescue");
        xml.text("category", "Health");
        xml.text(
            "event",
            &said(told.what.as_ref()).unwrap_or_else(|| "group accident".to_owned()),
        );
        xml.text("urgency", waiting.urgency());
        xml.text("severity", severity(source));
        xml.text("certainty", "Observed");
        let lead = source
            .incident
            .in_command()
            .map(|lead| format!("{}, lead", lead.name));
        xml.text_if("senderName", lead.as_deref());
        xml.text("headline", &headline(source));
        let lines: Vec<String> = report(source)
            .iter()
            .map(|line| format!("{} {}: {}", line.letter, line.label, line.text))
            .collect();
        xml.text("description", &lines.join("\n"));
        let required = said(told.services_required.as_ref());
        let required = required.map(|services| format!("Still needed: {services}"));
        xml.text_if("instruction", required.as_deref());
        xml.text_if(
            "contact",
            told.radio.as_ref().map(crate::incident::Words::as_str),
        );
        for (name, value) in parameters(source, &waiting) {
            xml.within("parameter", |xml| {
                xml.text("valueName", name);
                xml.text("value", &value);
            });
        }
        xml.within("area", |xml| {
            let place = said(told.location.as_ref());
            let place = place.or_else(|| {
                let place = source.incident.description().place.as_ref();
                place.map(ToString::to_string)
            });
            xml.text(
                "areaDesc",
                &place.unwrap_or_else(|| "place not known".to_owned()),
            );
            xml.text_if("circle", circle(source).as_deref());
        });
    });
}

fn headline(source: &Source<'_>) -> String {
    let exercise = if source.is_exercise() {
        "EXERCISE: "
    } else {
        ""
    };
    let many = source.incident.casualties().count();
    let immediate = count(source, Some(Category::Immediate));
    let whole = format!(
        "{exercise}{}: {many} casualties, {immediate} immediate",
        source.name()
    );
    whole.chars().take(HEADLINE).collect()
}

fn count(source: &Source<'_>, category: Option<Category>) -> usize {
    source
        .incident
        .totals()
        .get(&category)
        .copied()
        .unwrap_or(0)
}

/// How many of whom, and as of when; expectant is told apart, never folded into another.
fn parameters(source: &Source<'_>, waiting: &Waiting) -> Vec<(&'static str, String)> {
    let counts = [
        ("casualties-immediate", Some(Category::Immediate)),
        ("casualties-delayed", Some(Category::Delayed)),
        ("casualties-minor", Some(Category::Minor)),
        ("casualties-expectant", Some(Category::Expectant)),
        ("casualties-not-breathing", Some(Category::NotBreathing)),
        ("casualties-dead", Some(Category::Dead)),
        ("casualties-not-triaged", None),
    ];
    let counts = counts.map(|(name, category)| (name, count(source, category).to_string()));
    counts
        .into_iter()
        .chain([
            ("casualties-still-here", waiting.here.to_string()),
            ("as-of-entry", source.as_of.seq.to_string()),
            ("check", source.as_of.check.clone()),
        ])
        .collect()
}

/// Who has not left, as far as that says how soon others must act.
struct Waiting {
    /// Everybody, those who left too.
    all: usize,
    here: usize,
    is_urgent: bool,
}

impl Waiting {
    fn of(source: &Source<'_>) -> Self {
        let incident = source.incident;
        let here: Vec<Option<Category>> = incident
            .casualties()
            .filter(|one| !incident.has_left(one.id))
            .map(crate::incident::Casualty::urgent_category)
            .filter(|category| *category != Some(Category::Dead))
            .collect();
        Self {
            all: incident.casualties().count(),
            is_urgent: here
                .iter()
                .any(|category| matches!(category, None | Some(Category::Immediate))),
            here: here.len(),
        }
    }

    /// Our mapping: somebody immediate, or not looked at, waits: act now; somebody waits: soon; nobody any
    /// more: past.
    const fn urgency(&self) -> &'static str {
        match (self.is_urgent, self.here, self.all) {
            (true, ..) => "Immediate",
            (false, 0, 0) => "Unknown",
            (false, 0, _) => "Past",
            (false, ..) => "Expected",
        }
    }
}

/// Our mapping, by the worst there is.
fn severity(source: &Source<'_>) -> &'static str {
    let worst = source
        .incident
        .casualties()
        .filter_map(crate::incident::Casualty::urgent_category)
        .map(|category| match category {
            Category::Delayed => 1,
            Category::Minor => 0,
            _ => 2,
        })
        .max();
    match worst {
        None => "Unknown",
        Some(0) => "Minor",
        Some(1) => "Moderate",
        Some(_) => "Severe",
    }
}
