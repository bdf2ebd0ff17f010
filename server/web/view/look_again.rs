//! Another look at somebody who is sorted: what it is called, why it is due, and what a tap can answer.

use serde_json::json;

use super::choice::{Choice, Target, opens};
use crate::incident::{Casualty, Why};
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
pub(super) fn look_choices(casualty: &Casualty) -> Vec<Choice> {
    let sort = opens("Sort again", "assess").hint("answer the questions anew");
    let as_before = casualty
        .urgent_category()
        .filter(|category| *category != Category::Expectant)
        .map(|category| {
            let fact = json!({ "kind": "category.assigned/2", "category": category,
                "reason": "looked again, as before" });
            let choice = Target::person(casualty)
                .reports("As before", &fact)
                .hint("looked, and it still fits");
            Choice {
                said: format!("{}: {} as before", casualty.number, category.word()),
                ..choice
            }
        });
    as_before
        .into_iter()
        .chain([sort, opens("Vital signs", "vitals")])
        .collect()
}
