//! A triage category: its word, its shape and who said so.

use askama::Template;

use crate::incident::Casualty;
use crate::rules::triage::Category;

/// A category as drawn: never colour alone.
#[derive(Clone, Debug, PartialEq, Eq, Template)]
#[template(path = "parts/category.html")]
pub(crate) struct CategoryView {
    /// Stored code; `none` when not sorted yet.
    pub(crate) code: &'static str,
    /// The word beside the shape.
    pub(crate) word: &'static str,
    /// Every answer that stands, when people disagree: "IMMEDIATE Teo 14:03".
    pub(crate) answers: Vec<String>,
}

impl CategoryView {
    /// For a category, or for none.
    pub(crate) fn of(category: Option<Category>) -> Self {
        Self {
            code: category.map_or("none", Category::code),
            word: category.map_or("NOT SORTED", Category::word),
            answers: Vec::new(),
        }
    }

    /// For a casualty: the more urgent of several answers, and all of them in words.
    pub(crate) fn of_casualty(casualty: &Casualty) -> Self {
        let mut view = Self::of(casualty.urgent_category());
        if casualty.category.is_disputed() {
            view.answers = casualty
                .category
                .all()
                .iter()
                .map(|given| {
                    format!(
                        "{} {} {}",
                        given.value.word(),
                        given.by,
                        super::hour(given.at)
                    )
                })
                .collect();
        }
        view
    }
}
