//! A triage category: its word, its shape and who said so.

use askama::Template;

use crate::incident::{Casualty, Incident};
use crate::rules::triage::Category;
use crate::rules::triage::wording::Profile;

/// A category as drawn: never colour alone.
#[derive(Clone, Debug, PartialEq, Eq, Template)]
#[template(path = "parts/category.html")]
pub(crate) struct CategoryView {
    /// Stored code; `none` when not sorted yet.
    pub(crate) code: &'static str,
    /// The sign and the word beside the shape, as the service says them.
    pub(crate) word: String,
    /// Every answer that stands, when people disagree: "1 IMMEDIATE Teo 14:03".
    pub(crate) answers: Vec<String>,
}

impl CategoryView {
    /// For a category, or for none, in a service's words.
    pub(crate) fn of(category: Option<Category>, words: Profile) -> Self {
        Self {
            code: category.map_or("none", Category::code),
            word: category
                .map_or_else(|| "NOT SORTED".to_owned(), |category| words.shown(category)),
            answers: Vec::new(),
        }
    }

    /// For a casualty: the more urgent of several answers, and all of them in words.
    pub(crate) fn of_casualty(casualty: &Casualty, incident: &Incident) -> Self {
        let words = incident.profile();
        let mut view = Self::of(casualty.urgent_category(), words);
        if casualty.category.is_disputed() {
            view.answers = casualty
                .category
                .all()
                .iter()
                .map(|given| {
                    format!(
                        "{} {} {}",
                        words.shown(given.value),
                        given.by,
                        super::hour(given.at)
                    )
                })
                .collect();
        }
        view
    }
}
