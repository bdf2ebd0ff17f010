//! Single answers given in ignorance of each other, as drawn: each with who said it, and the report that it holds.

use serde_json::{Value, json};

use super::hour;
use crate::incident::evac::{History, contradict, is_none, something};
use crate::incident::fact::{ApparentAge, EvacPriority, Posture};
use crate::incident::{Answers, Casualty, CasualtyId, Given, Note};

/// A question with two answers or more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Dispute {
    /// "place".
    pub(crate) what: &'static str,
    pub(crate) answers: Vec<DisputedAnswer>,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DisputedAnswer {
    pub(crate) words: String,
    pub(crate) by: String,
    pub(crate) hour: String,
    /// The report that this one holds.
    pub(crate) settle: String,
}

/// Every disputed single answer but the category, which is drawn with its own reasons. Where one answer is more
/// urgent it stands first; else the latest does.
pub(super) fn disputes(casualty: &Casualty) -> Vec<Dispute> {
    let id = casualty.id;
    let text = |kind: &'static str, field: &'static str| move |value: &str| json!({ "kind": kind, field: value });
    let mut all = vec![
        of("leaves", &urgent_first(casualty), |given| {
            let fact = given.value.as_ref().map_or_else(
                || json!({ "kind": "evac.cancelled/1" }),
                |asked| {
                    let mut fact = json!(asked);
                    fact["kind"] = json!("evac.requested/2");
                    fact
                },
            );
            let words = given.value.as_ref().map_or_else(
                || "stays: request taken back".to_owned(),
                |asked| {
                    format!(
                        "{}, {}",
                        EvacPriority::words(asked.priority),
                        Posture::code(asked.posture)
                    )
                },
            );
            (words, fact)
        }),
        of("place", &listed(&casualty.place), |given| {
            let said = text("casualty.placed/1", "place");
            (given.value.to_string(), said(given.value.as_str()))
        }),
        of("looks like", &listed(&casualty.age), |given| {
            let age: ApparentAge = given.value;
            (
                age.code().to_owned(),
                json!({ "kind": "casualty.described/1", "age": age }),
            )
        }),
        of("known by", &listed(&casualty.words), |given| {
            let said = text("casualty.described/1", "words");
            (given.value.to_string(), said(given.value.as_str()))
        }),
        of("tag", &listed(&casualty.tag), |given| {
            let said = text("casualty.described/1", "tag");
            (given.value.to_string(), said(given.value.as_str()))
        }),
    ];
    all.extend(told(&casualty.history));
    for dispute in &mut all {
        for answer in &mut dispute.answers {
            answer.settle = about(id, &answer.settle);
        }
    }
    all.retain(|dispute| dispute.answers.len() > 1);
    all
}

/// What was told differently. Most of what is told adds up; only what cannot be true at once is asked about.
fn told(history: &History) -> [Dispute; 4] {
    let notes = |what, field: &'static str, answers: &Answers<Note>| {
        // What several were told holds together, or none of it does. Where it is too long for one report nothing is
        // asked: the card says all of it, and a report can be struck.
        let all = something(answers).and_then(|all| Note::new(&all).ok());
        let mut given = Vec::new();
        if let Some(all) = all.filter(|_| contradict(answers)) {
            let each = answers.all().iter();
            let (none, some): (Vec<_>, Vec<_>) = each.partition(|given| is_none(&given.value));
            given.extend(some.first().map(|first| (*first, all)));
            given.extend(none.first().map(|first| (*first, first.value.clone())));
        }
        let words = given
            .iter()
            .map(|(_, words)| words.clone())
            .collect::<Vec<_>>();
        let given: Vec<&Given<Note>> = given.iter().map(|(given, _)| *given).collect();
        let mut words = words.into_iter();
        of(what, &given, |_| {
            let words = words
                .next()
                .map(|words| words.to_string())
                .unwrap_or_default();
            let fact = json!({ "kind": "history.told/1", field: words, "instead": true });
            (words, fact)
        })
    };
    [
        notes("allergies", "allergies", &history.allergies),
        notes("medicines", "medicines", &history.medicines),
        of("sex", &listed(&history.sex), |given| {
            let fact = json!({ "kind": "history.told/1", "sex": given.value });
            (given.value.word().to_owned(), fact)
        }),
        of("hurt at", &listed(&history.injured_at), |given| {
            let fact = json!({ "kind": "history.told/1", "injured_at": given.value });
            (hour(given.value), fact)
        }),
    ]
}

fn listed<T>(answers: &Answers<T>) -> Vec<&Given<T>> {
    answers.all().iter().collect()
}

fn urgent_first(casualty: &Casualty) -> Vec<&Given<Option<crate::incident::fact::EvacAsked>>> {
    let mut asked = listed(&casualty.asked);
    asked.sort_by_key(|given| {
        let priority = given.value.as_ref().map(|asked| asked.priority);
        (priority.is_none(), priority)
    });
    asked
}

fn of<T>(
    what: &'static str,
    given: &[&Given<T>],
    mut draw: impl FnMut(&Given<T>) -> (String, Value),
) -> Dispute {
    let answers = given.iter().map(|given| {
        let (words, fact) = draw(given);
        DisputedAnswer {
            words,
            by: given.by.to_string(),
            hour: hour(given.at),
            settle: fact.to_string(),
        }
    });
    Dispute {
        what,
        answers: answers.collect(),
    }
}

fn about(id: CasualtyId, fact: &str) -> String {
    format!("{{\"about\":{{\"casualty\":\"{id}\"}},\"fact\":{fact}}}")
}
