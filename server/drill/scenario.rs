//! What a script of facts is made of: actors, moments, lines.
//!
//! Owns the types only. Everything is plain data known at compile time; a story names casualties by the number
//! the board will give them, wounds and lines by a word of its own. Promises: a line knows when it happened,
//! when it is told, and how much of the board its teller had seen, because those three differ for a phone
//! that is out of range.

use crate::incident::Role;
use crate::incident::fact::{
    ApparentAge, DistalChecked, EvacPriority, Posture, Skill, Used, VitalsMeasured,
};
use crate::rules::bleeding::{Flow, Look, Measure, Region, Side};
use crate::rules::supplies::Item;
use crate::rules::triage::{Category, StartAnswers};

/// Whole seconds of board time since the accident.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(u32);

impl Moment {
    /// So many minutes and seconds after the accident.
    pub const fn at(minute: u32, second: u32) -> Self {
        Self(minute * 60 + second)
    }

    /// Seconds since the accident.
    pub const fn seconds(self) -> u32 {
        self.0
    }
}

/// Somebody with a phone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Actor {
    /// An invented first name; no two actors of a story share one.
    pub name: &'static str,
    /// In which role they join.
    pub role: Role,
    /// What they have learnt.
    pub skill: Skill,
}

/// A whole script.
#[derive(Clone, Copy, Debug)]
pub struct Scenario {
    /// The incident's name.
    pub name: &'static str,
    /// Everybody who joins, in the order they do.
    pub actors: &'static [Actor],
    /// How far the story is when the board is opened: all that is told before arrives at once, late.
    pub opens_at: Moment,
    /// The lines, in chapters; within a chapter in any order.
    pub chapters: &'static [&'static [Line]],
    /// What it adds up to when all is told.
    pub expected: Expected,
}

/// What a story adds up to when all is told, written beside it by hand.
#[derive(Clone, Copy, Debug)]
pub struct Expected {
    /// How many stand in each category; disputed ones count as the more urgent.
    pub categories: &'static [(Category, usize)],
    /// Casualties with a running tourniquet.
    pub tourniquets: &'static [u32],
    /// Casualties with two categories given in ignorance of each other.
    pub disputed: &'static [u32],
    /// How many entries are struck.
    pub struck: usize,
}

/// One report: who, when, what.
#[derive(Clone, Debug)]
pub struct Line {
    /// When it happened.
    pub at: Moment,
    /// When it reaches the board.
    pub told: Moment,
    /// Up to when its teller had seen the board.
    pub seen: Moment,
    /// Who tells it.
    pub by: Actor,
    /// What a later line calls it by.
    pub name: Option<&'static str>,
    /// What happened.
    pub what: What,
}

impl Actor {
    /// This actor tells it as it happens, seeing the board, so many minutes and seconds after the accident.
    pub const fn at(self, minute: u32, second: u32, what: What) -> Line {
        let at = Moment::at(minute, second);
        Line {
            at,
            told: at,
            seen: at,
            by: self,
            name: None,
            what,
        }
    }
}

impl Line {
    /// Its teller had no network from one moment to another: based on what the first showed, told at the second.
    #[must_use]
    pub const fn out_of_range(self, from: Moment, to: Moment) -> Self {
        Self {
            told: to,
            seen: from,
            ..self
        }
    }

    /// Gives it a name that a later line can strike it by.
    #[must_use]
    pub const fn named(self, name: &'static str) -> Self {
        Self {
            name: Some(name),
            ..self
        }
    }
}

impl Scenario {
    /// Every line in the order the board hears it.
    pub fn lines(&self) -> Vec<&'static Line> {
        let mut lines: Vec<&Line> = self
            .chapters
            .iter()
            .flat_map(|chapter| chapter.iter())
            .collect();
        // Told in one go after a silence, things come in the order they happened.
        lines.sort_by_key(|line| (line.told, line.at));
        lines
    }
}

/// What happened, in the story's own names. Each becomes one fact.
#[derive(Clone, Debug)]
pub enum What {
    /// Where it is and what is known of it.
    Describe {
        /// Where.
        place: &'static str,
        /// What happened.
        note: &'static str,
    },
    /// A remark about the incident as a whole.
    Note(&'static str),
    /// About the casualty with this number.
    Casualty(u32, Person),
    /// About the wound of this name.
    Wound(&'static str, Care),
    /// Somebody counted what is there.
    Count(Kit, Item, u32),
    /// The line of this name was a mistake, and why.
    Strike(&'static str, &'static str),
}

/// Something that holds supplies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kit {
    /// The common bag that every board starts with.
    Bag,
    /// A box fetched later.
    Box,
}

/// What is told about a casualty.
#[derive(Clone, Debug)]
#[expect(missing_docs, reason = "the fields are those of the fact each becomes")]
pub enum Person {
    /// Met for the first time.
    Meet {
        age: ApparentAge,
        words: &'static str,
        place: &'static str,
    },
    /// The teller has them from now on.
    Take,
    /// The lead gives them to somebody.
    Hand(Actor),
    /// They are now at this place.
    Move(&'static str),
    /// By START with these raw answers; category and step are what the algorithm must come to.
    Sort {
        answers: StartAnswers,
        category: Category,
        step: &'static str,
    },
    /// A category by a person, without an algorithm.
    Judge {
        category: Category,
        reason: &'static str,
    },
    /// Looked at again: the category still fits.
    AsBefore(Category),
    /// Vital signs.
    Measure(VitalsMeasured),
    /// Evacuation is asked for; no needs are empty words.
    AskEvac {
        priority: EvacPriority,
        posture: Posture,
        needs: &'static str,
    },
    /// The request is taken back.
    CancelEvac(&'static str),
    /// A remark.
    Note(&'static str),
}

/// What is told about a wound.
#[derive(Clone, Debug)]
#[expect(missing_docs, reason = "the fields are those of the fact each becomes")]
pub enum Care {
    /// Found on this casualty.
    Find {
        casualty: u32,
        region: Region,
        side: Side,
        flow: Flow,
    },
    /// A measure taken, and what it used.
    Do(Measure, &'static [Used]),
    /// Looked at again.
    Look(Look),
    /// Felt for blood flow, movement and feeling beyond it.
    Feel(DistalChecked),
    /// A remark.
    Note(&'static str),
}
