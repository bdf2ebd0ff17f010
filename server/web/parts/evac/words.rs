//! Words to say: the incident report and the handover of those who leave next, line by line, with what was said.

use askama::Template;
use jiff::Timestamp;
use serde_json::json;

use super::super::super::view::Moment;
use super::super::{Shown, Stage, draw};
use super::report;
use crate::exchange::handover::Sheet;
use crate::incident::evac::Situation;
use crate::incident::fact::{Major, Message};
use crate::incident::{Casualty, CasualtyId, Note};
use crate::rules::place;
use crate::rules::triage::Category;
use crate::rules::words::{
    self, Answer, Counts, Handover, Injury, Order, Signs, Structure, Treatment, TreatmentTime,
};

/// How many handovers are ready to read: those who leave next.
const NEXT: usize = 3;

/// A line as drawn.
struct LineView {
    letter: &'static str,
    label: &'static str,
    text: String,
    missing: bool,
    /// As read aloud: figures and letters as words.
    aloud: String,
    /// When this very text was last said.
    said: Option<Moment>,
    /// Another text was said before.
    changed: bool,
    report: String,
}

/// A message as drawn.
struct MessageView {
    title: String,
    /// Where the form is for what is missing.
    number: u32,
    casualty: String,
    words: String,
    lines: Vec<LineView>,
    missing: usize,
    to_say: usize,
    read_back: Option<Moment>,
    read_back_report: String,
}

#[derive(Template)]
#[template(path = "parts/evac_words.html")]
struct WordsPart {
    methane: MessageView,
    positions: Vec<(&'static str, String)>,
    unreadable: String,
    next: Vec<MessageView>,
}

fn injuries(casualty: &Casualty) -> Vec<Injury> {
    casualty
        .wounds
        .iter()
        .map(|wound| Injury {
            order: Order::Bleeding,
            at: said_at(wound.found_at),
            words: format!("{}, {}", wound.place(), wound.standing.state.words()),
        })
        .collect()
}

fn signs(casualty: &Casualty) -> Vec<Signs> {
    casualty
        .vitals
        .iter()
        .map(|(at, vitals)| Signs {
            at: said_at(*at),
            breaths: vitals.breaths(),
            pulse: vitals.pulse(),
            pressure: vitals.systolic_mmhg.map(|systolic| (systolic, None)),
            saturation: vitals.oxygen_saturation_percent,
            level: vitals.consciousness.map(|level| level.words().to_owned()),
            refill: vitals.refill_tenths.map(|tenths| tenths.div_ceil(10)),
        })
        .collect()
}

fn said_at(at: Timestamp) -> words::Moment {
    words::Moment(at.as_second())
}

fn text<T: ToString>(said: Option<&T>) -> Option<String> {
    said.map(ToString::to_string)
}

/// "rain, dark" as a list; "none" is an empty one.
fn items(said: Option<&Note>) -> Option<Vec<String>> {
    let said = said?.to_string();
    let none = ["none", "none seen", "no", "-"].contains(&said.trim().to_lowercase().as_str());
    let list = said.split(',').map(|item| item.trim().to_owned());
    Some(if none {
        Vec::new()
    } else {
        list.filter(|item| !item.is_empty()).collect()
    })
}

impl Stage<'_> {
    /// What to read out.
    pub(in crate::web) fn evac_words(&self) -> Shown {
        self.evac_part("evac-words", || draw(&self.words_part()))
    }

    fn words_part(&self) -> WordsPart {
        let now = self
            .incident
            .entries()
            .last()
            .map_or(Timestamp::UNIX_EPOCH, |entry| entry.recorded_at);
        let situation = &self.incident.evacuation().situation;
        let read = situation
            .told
            .position
            .as_ref()
            .map(|typed| place::read(typed.as_str()));
        let position = read.and_then(Result::ok).map(|read| read.position);
        let methane = words::methane(&self.for_methane(situation, position), said_at(now), "lead");
        let standing = self.app.plans.standing(self.incident);
        let mut trips: Vec<_> = standing.plan.trips.iter().collect();
        trips.sort_by_key(|trip| trip.departs);
        let next: Vec<MessageView> = trips
            .iter()
            .flat_map(|trip| trip.casualties.iter().map(move |id| (*id, *trip)))
            .filter_map(|(id, trip)| Some((self.incident.casualty(id)?, trip)))
            .take(NEXT)
            .map(|(casualty, trip)| {
                let name = self.incident.evacuation().transports.get(&trip.transport);
                let name = name
                    .map(|one| one.details.name.to_string())
                    .unwrap_or_default();
                let mut who = self.for_handover(casualty);
                who.leaves = Some((said_at(trip.departs), name));
                who.arrives = Some(said_at(trip.arrives));
                let report = words::handover(&who, Structure::Atmist, said_at(now));
                self.message(&report, Message::Atmist, Some(casualty))
            })
            .collect();
        WordsPart {
            methane: self.message(&methane, Message::Methane, None),
            positions: position.map(positions).unwrap_or_default(),
            unreadable: match read {
                Some(Err(why)) => why.to_string(),
                _ => String::new(),
            },
            next,
        }
    }

    fn for_methane(
        &self,
        situation: &Situation,
        position: Option<place::Position>,
    ) -> words::Incident {
        let told = &situation.told;
        let description = self.incident.description();
        let totals = self.incident.totals();
        let count = |category| {
            u32::try_from(totals.get(&category).copied().unwrap_or(0)).unwrap_or(u32::MAX)
        };
        let any = totals.values().sum::<usize>() > 0;
        let declared = told.major == Some(Major::Declared);
        words::Incident {
            name: text(description.name.as_ref()).unwrap_or_default(),
            version: 1,
            major: situation
                .major_by
                .as_ref()
                .filter(|_| declared)
                .map(|(at, by)| words::Major {
                    by: by.to_string(),
                    at: said_at(*at),
                }),
            location: text(told.location.as_ref()).or_else(|| text(description.place.as_ref())),
            position,
            kind: text(told.what.as_ref()).or_else(|| text(description.note.as_ref())),
            hazards: items(told.hazards_present.as_ref()),
            potential: items(told.hazards_potential.as_ref()),
            access: text(told.access.as_ref()),
            egress: text(told.egress.as_ref()),
            rendezvous: text(told.rendezvous.as_ref()),
            avoid: text(told.avoid.as_ref()),
            counts: any.then(|| Counts {
                immediate: count(Some(Category::Immediate)),
                delayed: count(Some(Category::Delayed)),
                minor: count(Some(Category::Minor)),
                expectant: count(Some(Category::Expectant)),
                dead: count(Some(Category::Dead)) + count(Some(Category::NotBreathing)),
                uninjured: told.uninjured.map(u32::from),
                not_triaged: count(None),
                estimate: false,
            }),
            present: items(told.services_present.as_ref()),
            required: items(told.services_required.as_ref()),
        }
    }

    fn for_handover(&self, casualty: &Casualty) -> Handover {
        let sheet = Sheet::of(self.incident, casualty);
        let history = &casualty.history;
        let answer = |said: Option<&Note>| match said {
            None => Answer::NotAsked,
            Some(said) if said.as_str() == "none known" => Answer::NoneKnown,
            Some(said) => Answer::Known(said.to_string()),
        };
        let tourniquets = sheet.tourniquets.iter().map(|tied| Treatment {
            order: Order::Bleeding,
            words: format!("tourniquet {}", tied.place),
            time: match tied.ended {
                None => TreatmentTime::Running(said_at(tied.since)),
                Some(end) => TreatmentTime::Ended(said_at(tied.since), said_at(end)),
            },
        });
        let steps = sheet.steps.iter().filter_map(|step| {
            let words = step.short.filter(|words| !words.contains("tourniquet"))?;
            Some(Treatment {
                order: Order::Circulation,
                words: words.to_owned(),
                time: TreatmentTime::Done(said_at(step.at)),
            })
        });
        let asked = sheet.request.as_ref();
        Handover {
            number: casualty.number,
            age: casualty.age.value().map(|age| age.code().to_owned()),
            about: history.about_years,
            sex: history.sex.map(|sex| sex.word().to_owned()),
            category: casualty
                .urgent_category()
                .map(|category| category.word().to_lowercase()),
            injured_at: history.injured_at.map(said_at),
            mechanism: text(history.mechanism.as_ref()),
            injuries: injuries(casualty),
            signs: signs(casualty),
            symptoms: text(history.complaints.as_ref()).into_iter().collect(),
            treatments: tourniquets.chain(steps).collect(),
            allergies: answer(history.allergies.as_ref()),
            medicines: answer(history.medicines.as_ref()),
            background: answer(history.background.as_ref()),
            other: text(history.other.as_ref()).into_iter().collect(),
            requirements: asked
                .map(|asked| {
                    let needs = asked.needs.iter().map(|need| need.words().to_owned());
                    std::iter::once(asked.posture.code().to_owned())
                        .chain(needs)
                        .collect()
                })
                .unwrap_or_default(),
            ..Handover::default()
        }
    }

    fn message(
        &self,
        report_of: &words::Report,
        message: Message,
        about: Option<&Casualty>,
    ) -> MessageView {
        let id: Option<CasualtyId> = about.map(|one| one.id);
        let said = &self.incident.evacuation().said;
        let (what, whose) = id.map_or(("", String::new()), |id| ("casualty", id.to_string()));
        let lines: Vec<LineView> = report_of
            .lines
            .iter()
            .filter(|line| !line.letter.is_empty())
            .map(|line| {
                let key = format!("{} {}", line.letter, line.label);
                let last = said.line(id, message, &key);
                let stable = without_minutes(&line.text);
                let same = last.filter(|last| last.text == stable);
                let fact = json!({ "kind": "line.said/1", "message": message.code(), "line": key, "text": stable });
                LineView {
                    letter: line.letter,
                    label: line.label,
                    text: line.text.clone(),
                    missing: line.missing,
                    aloud: words::spoken(&line.text),
                    said: same.map(|last| last.at.into()),
                    changed: last.is_some() && same.is_none(),
                    report: report(what, &whose, fact),
                }
            })
            .collect();
        let back = json!({ "kind": "message.read_back/1", "message": message.code() });
        MessageView {
            title: report_of.title.clone(),
            number: about.map_or(0, |one| one.number),
            casualty: whose.clone(),
            words: about
                .map(|one| super::super::super::view::CasualtyView::of(one, self.incident).words)
                .unwrap_or_default(),
            missing: lines.iter().filter(|line| line.missing).count(),
            to_say: lines.iter().filter(|line| line.said.is_none()).count(),
            read_back: said.read_back(id, message).map(Moment::from),
            read_back_report: report(what, &whose, back),
            lines,
        }
    }
}

/// What a line says apart from running minutes: those change by themselves and are no news.
fn without_minutes(line: &str) -> String {
    let mut stable = String::new();
    let mut rest = line;
    while let Some(at) = rest.find(" (") {
        let inside = &rest[at + 2..];
        let end = inside.find(')').unwrap_or(inside.len());
        let number = inside[..end].strip_suffix(" min").unwrap_or("x");
        stable.push_str(&rest[..at]);
        if number.is_empty() || !number.chars().all(|c| c.is_ascii_digit()) {
            stable.push_str(&rest[at..(at + 2 + end + 1).min(rest.len())]);
        }
        rest = &rest[(at + 2 + end + 1).min(rest.len())..];
    }
    let whole = stable + rest;
    // A line holds 600 characters; a longer one is compared by its beginning.
    whole.chars().take(600).collect()
}

/// A position in every form.
fn positions(position: place::Position) -> Vec<(&'static str, String)> {
    let or_why =
        |written: Result<String, place::Polar>| written.unwrap_or_else(|why| why.to_string());
    vec![
        ("degrees", position.decimal()),
        ("minutes", position.minutes()),
        ("seconds", position.seconds()),
        ("UTM", or_why(position.utm())),
        ("MGRS", or_why(position.mgrs())),
    ]
}

#[cfg(test)]
mod tests {
    use super::without_minutes;

    #[test]
    fn running_minutes_are_no_news_and_other_brackets_stay() {
        assert_eq!(
            without_minutes("tourniquet ON since 1358Z (32 min); splint (left leg)"),
            "tourniquet ON since 1358Z; splint (left leg)"
        );
        assert_eq!(without_minutes("open (bracket"), "open (bracket");
    }
}
