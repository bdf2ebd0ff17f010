//! How each service calls and colours a category.
//!
//! Owns the words, codes, colours and marks by locale profile. Promises: nothing is keyed on a colour or on
//! the word "Delayed", which is yellow in the US and NATO and green in the UK; expectant and dead stay two
//! categories where a service paints them alike; each category has a sign and a shape of its own, so that
//! colour is never needed (WCAG 1.4.1).

use serde::{Deserialize, Serialize};

use super::category::Category;

/// Whose words are shown.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Profile {
    /// START and `JumpSTART` in the US (US HHS CHEMM).
    #[default]
    UsStart,
    /// SALT and the Model Uniform Core Criteria in the US.
    UsSalt,
    /// UK civil services (RCEM Learning; secondary).
    UkNhs,
    /// NATO and military use (University of Piemonte Orientale teaching page; secondary).
    Nato,
    /// German *Sichtungskategorien*, from memory.
    DeSk,
}

/// The colour a service gives a category. Never shown without the word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "colours")]
pub enum Colour {
    Red,
    Yellow,
    Green,
    Grey,
    Blue,
    Black,
    White,
}

/// What is shown for a category.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Short code, if the service has one ("P1", "T2", "SK I").
    pub code: Option<&'static str>,
    /// The word.
    pub word: &'static str,
    /// The colour the service uses.
    pub colour: Colour,
}

impl Profile {
    /// All profiles.
    pub const ALL: [Self; 5] = [
        Self::UsStart,
        Self::UsSalt,
        Self::UkNhs,
        Self::Nato,
        Self::DeSk,
    ];

    /// What is shown beside the shape, in capitals: the service's code where it has one, else the sign that
    /// stands for the category in every service, then the word ("P3 DELAYED", "2 DELAYED").
    pub fn shown(self, category: Category) -> String {
        let (code, word) = self.words(category);
        let sign = code.map_or_else(|| mark(category).0.to_string(), str::to_owned);
        format!("{sign} {}", word.to_uppercase())
    }

    /// The name of the service whose words these are.
    pub const fn name(self) -> &'static str {
        match self {
            Self::UsStart => "US, START",
            Self::UsSalt => "US, SALT",
            Self::UkNhs => "UK, civil",
            Self::Nato => "NATO",
            Self::DeSk => "Germany",
        }
    }

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::UsStart => "us-start",
            Self::UsSalt => "us-salt",
            Self::UkNhs => "uk-nhs",
            Self::Nato => "nato",
            Self::DeSk => "de-sk",
        }
    }

    /// What this profile shows for `category`.
    pub const fn label(self, category: Category) -> Label {
        let (code, word) = self.words(category);
        Label {
            code,
            word,
            colour: self.colour(category),
        }
    }

    const fn words(self, category: Category) -> (Option<&'static str>, &'static str) {
        use Category::{Dead, Delayed, Expectant, Immediate, Minor, NotBreathing};
        match (self, category) {
            (_, NotBreathing) => (None, "Not breathing"),
            (Self::UsStart | Self::UsSalt, Immediate) => (None, "Immediate"),
            (Self::UsStart | Self::UsSalt, Delayed) => (None, "Delayed"),
            (Self::UsStart, Minor) => (None, "Minor"),
            (Self::UsSalt, Minor) => (None, "Minimal"),
            (Self::UsStart | Self::UsSalt, Expectant) => (None, "Expectant"),
            (Self::UsStart, Dead) => (None, "Deceased"),
            (Self::UkNhs, Immediate) => (Some("P1"), "Immediate"),
            (Self::UkNhs, Delayed) => (Some("P2"), "Urgent"),
            (Self::UkNhs, Minor) => (Some("P3"), "Delayed"),
            (Self::UkNhs, Expectant) => (Some("P4"), "Expectant"),
            (Self::Nato, Immediate) => (Some("T1"), "Immediate"),
            (Self::Nato, Delayed) => (Some("T2"), "Delayed"),
            (Self::Nato, Minor) => (Some("T3"), "Minimal"),
            (Self::Nato, Expectant) => (Some("T4"), "Expectant"),
            (Self::UsSalt | Self::UkNhs | Self::Nato, Dead) => (None, "Dead"),
            (Self::DeSk, Immediate) => (Some("SK I"), "akut vital bedroht"),
            (Self::DeSk, Delayed) => (Some("SK II"), "schwer verletzt"),
            (Self::DeSk, Minor) => (Some("SK III"), "leicht verletzt"),
            (Self::DeSk, Expectant) => (Some("SK IV"), "ohne Überlebenschance"),
            (Self::DeSk, Dead) => (None, "Tot"),
        }
    }

    const fn colour(self, category: Category) -> Colour {
        match (self, category) {
            (_, Category::Immediate) => Colour::Red,
            (_, Category::Delayed) => Colour::Yellow,
            (_, Category::Minor) => Colour::Green,
            // START paints expectant as it paints dead.
            (Self::UsStart, Category::Expectant) | (_, Category::Dead) => Colour::Black,
            (Self::UsSalt, Category::Expectant) => Colour::Grey,
            // Blue: UK from a secondary text; NATO and Germany from memory.
            (Self::UkNhs | Self::Nato | Self::DeSk, Category::Expectant) => Colour::Blue,
            // The slap-band of Ten Second Triage, from memory; which colour is open.
            (_, Category::NotBreathing) => Colour::White,
        }
    }
}

/// The sign and the shape of a category, the same in every profile (*common practice*). The page draws the
/// same shapes.
pub const fn mark(category: Category) -> (char, char) {
    match category {
        Category::Immediate => ('1', '■'),
        Category::Delayed => ('2', '▲'),
        Category::Minor => ('3', '●'),
        Category::Expectant => ('4', '◆'),
        Category::NotBreathing => ('N', '◇'),
        Category::Dead => ('0', '✕'),
    }
}
