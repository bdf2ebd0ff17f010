//! The ladder glyph: the state of a wound at a glance, without colour.

use askama::Template;

use crate::rules::bleeding::{Region, Standing, State};

/// Three rungs (two where no tourniquet can work), filled up to the one the wound stands on; the top filled one
/// solid when it holds, hatched when it does not, with a round mark while a hand must press.
#[derive(Clone, Debug, PartialEq, Eq, Template)]
#[template(path = "parts/ladder.html")]
pub(crate) struct Ladder {
    /// In words, for a screen reader and for print.
    pub(crate) words: String,
    rungs: Vec<Rung>,
    hand_y: Option<u8>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Rung {
    y: u8,
    fill: Fill,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fill {
    Solid,
    Hatched,
    Empty,
}

impl Rung {
    fn is_solid(self) -> bool {
        self.fill == Fill::Solid
    }

    fn is_hatched(self) -> bool {
        self.fill == Fill::Hatched
    }
}

impl Ladder {
    /// For a wound's standing.
    pub(crate) fn of(standing: &Standing, region: Option<Region>) -> Self {
        let has_tourniquet =
            region.is_none_or(|region| region.capability().tourniquet) || standing.rung == 3;
        let presses = standing.hands.pressing;
        let holds = standing.holding || presses || standing.state == State::Covered;
        let rungs = (1..=if has_tourniquet { 3 } else { 2 })
            .map(|rung| {
                let fill = match rung {
                    _ if rung > standing.rung => Fill::Empty,
                    _ if rung == standing.rung && !holds => Fill::Hatched,
                    _ => Fill::Solid,
                };
                Rung { y: y(rung), fill }
            })
            .collect();
        Self {
            words: words(standing),
            rungs,
            hand_y: presses.then(|| y(standing.rung.max(1)) + 4),
        }
    }
}

/// The top edge of a rung in the 30 × 38 drawing.
const fn y(rung: u8) -> u8 {
    match rung {
        1 => 27,
        2 => 15,
        _ => 3,
    }
}

fn words(standing: &Standing) -> String {
    let rung = match standing.rung {
        0 => "no measure yet",
        1 => "first rung",
        2 => "second rung",
        _ => "third rung",
    };
    format!("{rung}: {}", standing.state.words())
}
