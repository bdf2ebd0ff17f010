//! What sorting needs in the page: the tables that the page's script walks, the words of each category, the
//! reasons to choose from.
//!
//! Promises: the tables are the very ones that the program runs; every system is in the page, so that a phone
//! out of range can go on with another one.

use serde_json::{Map, Value, json};

use super::view::{Cards, CategoryView};
use crate::incident::Incident;
use crate::incident::fact::Skin;
use crate::rules::triage::notes::RULES;
use crate::rules::triage::salt_sort::LifesavingIntervention;
use crate::rules::triage::wording::Profile;
use crate::rules::triage::{Algorithm, Category, JumpStartVariant, Systems};

/// Why somebody assigns another category than the suggested one.
const REASONS: [&str; 7] = [
    "bleeds heavily",
    "breathing worries me",
    "burnt airway, or stab wound",
    "getting worse",
    "better than it looks",
    "not enough here for them",
    "my judgement",
];
/// What an incident runs short of.
const SHORT_OF: [&str; 5] = [
    "hands",
    "transport",
    "blood or surgery",
    "oxygen or equipment",
    "time: others can be saved",
];

/// The choices.
#[derive(Debug)]
pub(super) struct TriageForms {
    /// Tables, names and words for the page's script.
    pub(super) systems: String,
    pub(super) reasons: &'static [&'static str],
    pub(super) short_of: &'static [&'static str],
    pub(super) categories: Vec<CategoryView>,
    pub(super) interventions: [LifesavingIntervention; 4],
    pub(super) skins: [Skin; 6],
    /// Code, name, and whether it is the one in use.
    pub(super) adults: Vec<(String, String, bool)>,
    pub(super) children: Vec<(String, String, bool)>,
    pub(super) profiles: Vec<(&'static str, &'static str)>,
    pub(super) trauma_score: bool,
    pub(super) cards: Cards,
}

impl TriageForms {
    pub(super) fn new(incident: &Incident) -> Self {
        let systems = incident.systems();
        let words = incident.profile();
        let offered = |all: &[Algorithm], chosen| {
            all.iter()
                .map(|one| (one.code(), variant_name(*one), *one == chosen))
                .collect()
        };
        Self {
            systems: script(systems, words),
            reasons: &REASONS,
            short_of: &SHORT_OF,
            categories: Category::ALL
                .into_iter()
                .map(|category| CategoryView::of(Some(category), words))
                .collect(),
            interventions: LifesavingIntervention::ALL,
            skins: Skin::ALL,
            adults: offered(&Systems::FOR_ADULTS, systems.adult),
            children: offered(&Systems::FOR_CHILDREN, systems.child),
            profiles: Profile::ALL
                .into_iter()
                .map(|profile| (profile.code(), profile.name()))
                .collect(),
            trauma_score: incident.shows_trauma_score(),
            cards: Cards::of(systems, words),
        }
    }
}

/// The name of a system, with its variant where the charts in circulation differ.
pub(super) fn variant_name(algorithm: Algorithm) -> String {
    use crate::rules::triage::StartVariant::{Crt, Either, Radial, RadialThenCrt};
    let detail = match algorithm {
        Algorithm::Start(RadialThenCrt) => "pulse, refill if it cannot be felt",
        Algorithm::Start(Radial) => "pulse only",
        Algorithm::Start(Crt) => "refill only",
        Algorithm::Start(Either) => "pulse and refill",
        Algorithm::JumpStart(_) => "for children",
        Algorithm::Salt => "all ages, lifesaving first",
        Algorithm::TenSecond => "anybody, nothing counted",
        Algorithm::Mitt => "for clinicians",
    };
    format!("{}: {detail}", algorithm.name())
}

/// When to mind what, as the page's script walks it.
fn notes() -> Vec<Value> {
    let written = RULES.iter().map(|rule| {
        let mut written = serde_json::to_value(rule).unwrap_or_default();
        written["words"] = json!(rule.note.words());
        written
    });
    written.collect()
}

/// Everything the page's script walks, as JSON inside a script element.
fn script(systems: Systems, words: Profile) -> String {
    let never_walked = Algorithm::JumpStart(JumpStartVariant::NeverWalked);
    let mut offered = vec![systems.adult, systems.child, never_walked];
    for other in Systems::FOR_ADULTS.into_iter().chain(Systems::FOR_CHILDREN) {
        // Of one system the variant in use, else its first one.
        if !offered.iter().any(|one| one.name() == other.name()) {
            offered.push(other);
        }
    }
    let mut tables: Vec<String> = Vec::new();
    for (index, one) in offered.iter().enumerate() {
        if offered[..index].contains(one) {
            continue;
        }
        let table = serde_json::to_string(one.table()).unwrap_or_default();
        tables.push(format!("{}:{table}", Value::from(one.code())));
    }
    let names: Map<String, Value> = offered
        .iter()
        .map(|one| (one.code(), Value::from(one.name())))
        .collect();
    let shown: Map<String, Value> = Category::ALL
        .into_iter()
        .map(|one| (one.code().to_owned(), Value::from(words.shown(one))))
        .collect();
    let rest = json!({ "adult": systems.adult.code(), "child": systems.child.code(),
        "never_walked": never_walked.code(), "names": names, "words": shown, "notes": notes() })
    .to_string();
    // The tables are written by hand into the rest: their steps must keep their order.
    let text = format!("{{\"tables\":{{{}}},{}", tables.join(","), &rest[1..]);
    // Inside a script element only this could end it early.
    text.replace("</", "<\\/")
}
