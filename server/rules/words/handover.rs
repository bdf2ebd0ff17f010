//! Handover of a casualty: MIST, ATMIST in both published readings, IMIST-AMBO, SBAR.
//!
//! Owns the orders. MIST: US Department of Defense, *Instructions: DD Form 1380*. ATMIST: `RCEMLearning` (health service: age and sex, time of
//! incident, estimated arrival under E) and UK National Operational Guidance, *Structured handover* (fire service:
//! adult or child, time of the incident and time expected at hospital under the first T). IMIST-AMBO: Iedema et al.,
//! BMJ Qual Saf 2012;21:627. SBAR: NHS Institute. Anything still running is said with start and elapsed minutes; a
//! missing sign is a dash, never 0; "not asked" is not "none known".

use super::moment::Moment;
use super::report::{Line, Report};
use super::signs::{Signs, signs};

/// The order in which injuries and treatments are said (UK National Operational Guidance, *Structured handover*).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Order {
    /// Catastrophic bleeding.
    Bleeding,
    /// Airway and neck.
    Airway,
    /// Breathing.
    Breathing,
    /// Circulation.
    Circulation,
    /// Disability.
    Disability,
    /// Exposure.
    Exposure,
}

/// An injury.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Injury {
    /// Where in the order.
    pub order: Order,
    /// When it was found.
    pub at: Moment,
    /// What.
    pub words: String,
}

/// When something was done, and whether it runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TreatmentTime {
    /// Done then.
    Done(Moment),
    /// On since then, and still.
    Running(Moment),
    /// On from the first, off at the second.
    Ended(Moment, Moment),
}

/// Something done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Treatment {
    /// Where in the order.
    pub order: Order,
    /// What.
    pub words: String,
    /// When.
    pub time: TreatmentTime,
}

/// What somebody answered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Answer {
    /// Nobody asked.
    #[default]
    NotAsked,
    /// Asked; none known.
    NoneKnown,
    /// Asked; this.
    Known(String),
}

/// What there is to say about a casualty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Handover {
    /// The number.
    pub number: u32,
    /// "Adult", "Child": never guessed.
    pub age: Option<String>,
    /// In years, about.
    pub about: Option<u16>,
    /// "woman", "man": never guessed from a name.
    pub sex: Option<String>,
    /// The category a person assigned; a suggestion is never said.
    pub category: Option<String>,
    /// When they were hurt.
    pub injured_at: Option<Moment>,
    /// How.
    pub mechanism: Option<String>,
    /// What is hurt.
    pub injuries: Vec<Injury>,
    /// Every look, in any order.
    pub signs: Vec<Signs>,
    /// What they tell.
    pub symptoms: Vec<String>,
    /// What was done.
    pub treatments: Vec<Treatment>,
    /// Allergies.
    pub allergies: Answer,
    /// Medicines.
    pub medicines: Answer,
    /// Background.
    pub background: Answer,
    /// Anything else.
    pub other: Vec<String>,
    /// When they leave, and on what.
    pub leaves: Option<(Moment, String)>,
    /// When they should arrive.
    pub arrives: Option<Moment>,
    /// What is needed there.
    pub requirements: Vec<String>,
    /// What is asked of the listener.
    pub request: Option<String>,
    /// Who speaks, and from where.
    pub speaker: Option<String>,
}

/// Which order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Structure {
    /// Mechanism, injuries, signs, treatment.
    Mist,
    /// With age, sex and time before, arrival and requirements after; the health service's reading.
    Atmist,
    /// The fire service's reading.
    AtmistFire,
    /// Two parts with pauses for questions.
    ImistAmbo,
    /// Situation, background, assessment, recommendation.
    Sbar,
}

/// The report at the moment of speaking.
pub fn handover(who: &Handover, structure: Structure, now: Moment) -> Report {
    let name = match structure {
        Structure::Mist => "MIST",
        Structure::Atmist | Structure::AtmistFire => "ATMIST",
        Structure::ImistAmbo => "IMIST-AMBO",
        Structure::Sbar => "SBAR",
    };
    let lines = match structure {
        Structure::Mist => mist(who, now).into(),
        Structure::Atmist => atmist(who, now, false),
        Structure::AtmistFire => atmist(who, now, true),
        Structure::ImistAmbo => imist_ambo(who, now),
        Structure::Sbar => sbar(who, now),
    };
    let category = who
        .category
        .as_ref()
        .map(|c| format!(", {c}"))
        .unwrap_or_default();
    Report {
        title: format!("{name} casualty {}{category}", who.number),
        lines,
    }
}

fn mist(who: &Handover, now: Moment) -> [Line; 4] {
    [
        Line::new("M", "Mechanism", who.mechanism.clone()),
        Line::new("I", "Injuries", injuries(who)),
        Line::new("S", "Signs", signs(&who.signs, &who.symptoms, now)),
        Line::new("T", "Treatment", treatments(who, now)),
    ]
}

fn atmist(who: &Handover, now: Moment, fire: bool) -> Vec<Line> {
    let age = if fire {
        who.age.clone()
    } else {
        Some(person(who))
    };
    let injured = who
        .injured_at
        .map(|at| format!("injured {}", at.clock_on(now)));
    let arrives = who
        .arrives
        .map(|at| format!("expected {}", at.clock_on(now)));
    // The arrival stands under the first T in both readings, and under E as well in the health service's.
    let unknown = || {
        arrives
            .is_some()
            .then(|| "injury time not known".to_owned())
    };
    let times: Vec<String> = injured
        .or_else(unknown)
        .into_iter()
        .chain(arrives.clone())
        .collect();
    let time = (!times.is_empty()).then(|| times.join(", "));
    let mut lines = vec![
        Line {
            missing: if fire {
                who.age.is_none()
            } else {
                who.age.is_none() || who.sex.is_none()
            },
            ..Line::new(
                "A",
                if fire {
                    "Adult or child"
                } else {
                    "Age and sex"
                },
                age,
            )
        },
        Line {
            missing: who.injured_at.is_none(),
            ..Line::new("T", "Time", time)
        },
    ];
    lines.extend(mist(who, now));
    if !fire {
        let leaves = who
            .leaves
            .as_ref()
            .map(|(at, on)| format!("leaves {} by {on}", at.clock_on(now)));
        let arrives = who.arrives.map(|at| format!("ETA {}", at.clock_on(now)));
        let parts: Vec<String> = leaves.into_iter().chain(arrives).collect();
        lines.push(Line::new(
            "E",
            "Estimated arrival",
            (!parts.is_empty()).then(|| parts.join(", ")),
        ));
        lines.push(Line::new("R", "Requirements", Some(requirements(who))));
    }
    lines
}

fn imist_ambo(who: &Handover, now: Moment) -> Vec<Line> {
    let injured = who
        .injured_at
        .map(|at| format!(", injured {}", at.clock_on(now)))
        .unwrap_or_default();
    let identification = format!("casualty {}, {}{injured}", who.number, person(who));
    let pause = || Line {
        letter: "",
        label: "Pause",
        text: "questions".to_owned(),
        missing: false,
    };
    let mut lines = vec![Line {
        missing: who.age.is_none() || who.sex.is_none(),
        ..Line::new("I", "Identification", Some(identification))
    }];
    lines.extend(mist(who, now));
    lines.push(pause());
    lines.push(answer("A", "Allergies", &who.allergies));
    lines.push(answer("M", "Medicines", &who.medicines));
    lines.push(answer("B", "Background", &who.background));
    let other = if who.other.is_empty() {
        "none".to_owned()
    } else {
        who.other.join(", ")
    };
    lines.push(Line::new("O", "Other", Some(other)));
    lines.push(pause());
    lines
}

fn sbar(who: &Handover, now: Moment) -> Vec<Line> {
    let speaker = who
        .speaker
        .as_ref()
        .map(|s| format!("{s}, "))
        .unwrap_or_default();
    let category = who
        .category
        .as_ref()
        .map(|c| format!(", {c}"))
        .unwrap_or_default();
    let running: Vec<String> = ordered(who)
        .filter(|t| matches!(t.time, TreatmentTime::Running(_)))
        .map(|t| treatment(t, now))
        .collect();
    let running = if running.is_empty() {
        String::new()
    } else {
        format!(". {}", running.join(". "))
    };
    let situation = format!("{speaker}casualty {}{category}{running}", who.number);
    let mut background = vec![person(who)];
    background.extend(who.mechanism.clone());
    background.extend(
        who.injured_at
            .map(|at| format!("injured {}", at.clock_on(now))),
    );
    background.extend(injuries(who));
    let done: Vec<String> = ordered(who)
        .filter(|t| !matches!(t.time, TreatmentTime::Running(_)))
        .map(|t| treatment(t, now))
        .collect();
    background.extend((!done.is_empty()).then(|| done.join(". ")));
    let request = who
        .request
        .as_ref()
        .map(|request| format!("{request}. Please read back"));
    vec![
        Line::new("S", "Situation", Some(situation)),
        Line {
            missing: who.mechanism.is_none(),
            ..Line::new("B", "Background", Some(background.join(". ")))
        },
        Line::new("A", "Assessment", signs(&who.signs, &who.symptoms, now)),
        Line::new("R", "Recommendation", request),
    ]
}

/// "Adult woman, about 30"; what is not known is said.
fn person(who: &Handover) -> String {
    let age = who.age.as_deref().unwrap_or("age not known");
    let about = who
        .about
        .map(|years| format!(", about {years}"))
        .unwrap_or_default();
    match &who.sex {
        Some(sex) => format!("{age} {sex}{about}"),
        None => format!("{age}{about}, sex not known"),
    }
}

fn injuries(who: &Handover) -> Option<String> {
    let mut injuries: Vec<&Injury> = who.injuries.iter().collect();
    injuries.sort_by_key(|injury| (injury.order, injury.at));
    let words: Vec<&str> = injuries
        .iter()
        .map(|injury| injury.words.as_str())
        .collect();
    (!words.is_empty()).then(|| words.join(". "))
}

fn ordered(who: &Handover) -> impl Iterator<Item = &Treatment> {
    let mut treatments: Vec<&Treatment> = who.treatments.iter().collect();
    treatments.sort_by_key(|treatment| {
        let (TreatmentTime::Done(at) | TreatmentTime::Running(at) | TreatmentTime::Ended(at, _)) =
            treatment.time;
        (treatment.order, at)
    });
    treatments.into_iter()
}

fn treatments(who: &Handover, now: Moment) -> Option<String> {
    let words: Vec<String> = ordered(who).map(|one| treatment(one, now)).collect();
    (!words.is_empty()).then(|| words.join(". "))
}

fn treatment(treatment: &Treatment, now: Moment) -> String {
    let words = &treatment.words;
    match treatment.time {
        TreatmentTime::Done(at) => format!("{words} {}", at.clock_on(now)),
        TreatmentTime::Running(at) => {
            format!(
                "{words} ON since {} ({} min)",
                at.clock_on(now),
                at.minutes_to(now)
            )
        }
        TreatmentTime::Ended(on, off) => {
            format!("{words} {} to {}", on.clock_on(now), off.clock_on(now))
        }
    }
}

fn answer(letter: &'static str, label: &'static str, answer: &Answer) -> Line {
    let (text, missing) = match answer {
        Answer::NotAsked => ("not asked".to_owned(), true),
        Answer::NoneKnown => ("none known".to_owned(), false),
        Answer::Known(what) => (what.clone(), false),
    };
    Line {
        letter,
        label,
        text,
        missing,
    }
}

fn requirements(who: &Handover) -> String {
    let mut parts = who.requirements.clone();
    match &who.allergies {
        Answer::Known(what) => parts.push(format!("allergy: {what}")),
        Answer::NoneKnown => parts.push("no known allergies".to_owned()),
        Answer::NotAsked => parts.push("allergies not asked".to_owned()),
    }
    parts.join(". ")
}
