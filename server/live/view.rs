//! What a page shows, by name: what a stream can be asked for.

use std::fmt;
use std::str::FromStr;

use crate::incident::CasualtyId;

/// One page's worth of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum View {
    /// The lead's board.
    Board,
    /// A helper's next thing to do.
    Next,
    /// One casualty.
    Casualty(CasualtyId),
    /// The evacuation summary.
    Summary,
    /// The evacuation coordinator's page.
    Evac,
    /// Words to say of one casualty.
    Words(CasualtyId),
    /// Every entry.
    Log,
    /// What the incident works with.
    Settings,
    /// Supplies.
    Kits,
    /// What only the lead is told.
    Lead,
    /// What who takes command must know.
    Command,
    /// The reference cards: no part of their own, for what they show changes only with the systems in use, and
    /// then the page is made anew.
    Cards,
    /// What everybody is known by.
    Known,
    /// Nothing but that the board lives: for pages that stand still.
    Pulse,
}

/// Views asked for together: one stream serves every tab of a browser. Sorted, each once.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Views(Vec<View>);

/// Not a view.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ViewError {
    /// No such view.
    #[error(
        "there is no live view `{0}`; known are board, next, summary, evac, log, settings, kits, lead, command, cards, known, pulse, casualty:ID and words:ID"
    )]
    Unknown(String),
    /// More than one stream may serve.
    #[error("at most {0} views fit on one stream")]
    TooMany(usize),
}

/// How many views one stream serves.
const MOST: usize = 12;

impl Views {
    /// The views.
    pub fn iter(&self) -> impl Iterator<Item = View> + '_ {
        self.0.iter().copied()
    }
}

impl fmt::Display for View {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Board => f.write_str("board"),
            Self::Next => f.write_str("next"),
            Self::Casualty(id) => write!(f, "casualty:{id}"),
            Self::Summary => f.write_str("summary"),
            Self::Evac => f.write_str("evac"),
            Self::Words(id) => write!(f, "words:{id}"),
            Self::Log => f.write_str("log"),
            Self::Settings => f.write_str("settings"),
            Self::Kits => f.write_str("kits"),
            Self::Lead => f.write_str("lead"),
            Self::Command => f.write_str("command"),
            Self::Cards => f.write_str("cards"),
            Self::Known => f.write_str("known"),
            Self::Pulse => f.write_str("pulse"),
        }
    }
}

impl FromStr for View {
    type Err = ViewError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let unknown = || ViewError::Unknown(text.chars().take(60).collect());
        match text {
            "board" => Ok(Self::Board),
            "next" => Ok(Self::Next),
            "summary" => Ok(Self::Summary),
            "evac" => Ok(Self::Evac),
            "log" => Ok(Self::Log),
            "settings" => Ok(Self::Settings),
            "kits" => Ok(Self::Kits),
            "lead" => Ok(Self::Lead),
            "command" => Ok(Self::Command),
            "cards" => Ok(Self::Cards),
            "known" => Ok(Self::Known),
            "pulse" => Ok(Self::Pulse),
            other => {
                let (what, id) = other.split_once(':').ok_or_else(unknown)?;
                let id = id.parse().map_err(|_| unknown())?;
                match what {
                    "casualty" => Ok(Self::Casualty(id)),
                    "words" => Ok(Self::Words(id)),
                    _ => Err(unknown()),
                }
            }
        }
    }
}

impl FromStr for Views {
    type Err = ViewError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let mut views = text
            .split(',')
            .map(str::parse)
            .collect::<Result<Vec<View>, _>>()?;
        views.sort();
        views.dedup();
        if views.len() > MOST {
            return Err(ViewError::TooMany(MOST));
        }
        Ok(Self(views))
    }
}
