//! The classes of blood loss, as a card to read, in two editions.
//!
//! Owns the card. Sources: ATLS through the 9th edition as reprinted in the European bleeding guideline, Crit
//! Care 2010 and 2016, Table 2 (70 kg man); ATLS 10th edition (2018) as printed in the guideline of 2019, Table
//! 3, after Mutschler et al. Promises: a card and nothing more. The columns share their boundaries and overlap
//! (30–40 against over 35 breaths), one patient usually fits several, so nothing here classifies anybody.

use serde::Serialize;

/// One line of the card: a sign and how it looks in classes I to IV.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The sign, with its unit.
    pub sign: &'static str,
    /// Classes I, II, III, IV.
    pub classes: [&'static str; 4],
}

/// One edition of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Card {
    /// Which edition.
    pub title: &'static str,
    /// Where it is printed.
    pub source: &'static str,
    /// The lines.
    pub lines: &'static [Line],
}

const fn line(sign: &'static str, classes: [&'static str; 4]) -> Line {
    Line { sign, classes }
}

/// The edition of 2018: directions instead of numbers.
pub static TENTH_EDITION: Card = Card {
    title: "ATLS 10th edition",
    source: "European bleeding guideline, Crit Care 2019, Table 3",
    lines: &[
        line(
            "blood lost, % of volume",
            ["under 15", "15–30", "31–40", "over 40"],
        ),
        line("heart rate", ["same", "same or up", "up", "up or far up"]),
        line("blood pressure", ["same", "same", "same or down", "down"]),
        line("pulse pressure", ["same", "down", "down", "down"]),
        line("breathing rate", ["same", "same", "same or up", "up"]),
        line("urine", ["same", "same", "down", "far down"]),
        line("coma scale", ["same", "same", "down", "down"]),
        line(
            "base deficit, mEq/L",
            ["0 to −2", "−2 to −6", "−6 to −10", "−10 or worse"],
        ),
        line(
            "blood products",
            ["watch", "perhaps", "yes", "massive transfusion"],
        ),
    ],
};

/// The classic numbers, for a man of 70 kg.
pub static CLASSIC: Card = Card {
    title: "ATLS through the 9th edition",
    source: "European bleeding guideline, Crit Care 2010 and 2016, Table 2",
    lines: &[
        line(
            "blood lost, mL",
            ["up to 750", "750–1500", "1500–2000", "over 2000"],
        ),
        line(
            "blood lost, % of volume",
            ["up to 15", "15–30", "30–40", "over 40"],
        ),
        line(
            "heart rate, /min",
            ["under 100", "100–120", "120–140", "over 140"],
        ),
        line("blood pressure", ["normal", "normal", "low", "low"]),
        line("pulse pressure", ["normal or up", "low", "low", "low"]),
        line("breathing, /min", ["14–20", "20–30", "30–40", "over 35"]),
        line("urine, mL/h", ["over 30", "20–30", "5–15", "next to none"]),
        line(
            "mind",
            [
                "a little anxious",
                "anxious",
                "anxious, confused",
                "confused, drowsy",
            ],
        ),
        line(
            "fluid",
            [
                "crystalloid",
                "crystalloid",
                "crystalloid and blood",
                "crystalloid and blood",
            ],
        ),
    ],
};
