//! Another look at somebody who is sorted: what it is called, why it is due, and what a tap can answer.

use serde_json::json;

use super::choice::Choice;
use super::duty::DutyView;
use crate::incident::Why;
use crate::rules::triage::Category;

/// The duty in a few words.
pub(super) fn look_words(why: Why) -> String {
    match why {
        Why::Interval => "Look again: does the category still fit?".to_owned(),
        Why::Open => "Look again: questions were left open".to_owned(),
        Why::SecondCheck => "A second person checks once".to_owned(),
        Why::Event(event) => format!("Look again: {}", event.words()),
    }
}

/// Why it is due, with the source.
pub(super) const fn look_why(why: Why) -> &'static str {
    match why {
        Why::Interval | Why::Open => {
            "No published system names an interval. These are common practice, after US field teaching (unstable every 5 minutes, stable every 15) and the Canadian Triage and Acuity Scale."
        }
        Why::SecondCheck => {
            "One second check by another person, then none: common practice. Nobody is called dead by one look alone."
        }
        Why::Event(_) => {
            "The published systems ask for triage to be repeated whenever the condition, the place or the hands change (Model Uniform Core Criteria, from memory; UK practice). A flag changes no category."
        }
    }
}

/// The answers a tap can give. Expectant is not one of them: it needs its grounds again.
pub(super) fn look_choices(duty: &DutyView) -> Vec<Choice> {
    let sort = Choice {
        label: "Sort again",
        hint: "answer the questions anew",
        report: String::new(),
        said: String::new(),
        opens: "assess",
    };
    let signs = Choice {
        label: "Vital signs",
        hint: "",
        report: String::new(),
        said: String::new(),
        opens: "vitals",
    };
    let category = Category::ALL
        .into_iter()
        .find(|category| category.code() == duty.category.code);
    let as_before = category
        .filter(|category| *category != Category::Expectant)
        .map(|category| Choice {
            label: "As before",
            hint: "looked, and it still fits",
            report: json!({ "about": { "casualty": duty.casualty },
                "fact": { "kind": "category.assigned/2", "category": category,
                    "reason": "looked again, as before" } })
            .to_string(),
            said: format!("{}: {} as before", duty.number, duty.category.word),
            opens: "",
        });
    as_before.into_iter().chain([sort, signs]).collect()
}
