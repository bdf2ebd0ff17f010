//! The body as a figure of buttons: the same choice as the list of regions, made with one tap for place and side.
//!
//! Owns which button stands where, front and back. The list stays the source of truth: a button only ticks it.

use crate::rules::bleeding::Region::{
    self, Abdomen, Axilla, Back, Buttock, ChestOpen, ChestWall, Digit, Ear, Elbow, Face, Foot,
    Forearm, Groin, Hand, Knee, LowerLeg, Neck, NeckBase, Scalp, Shoulder, Thigh, UpperArm,
};
use crate::rules::bleeding::Side::{self, Left, Middle, Right};

/// One button of the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place {
    /// Row and column of the figure, from 1.
    pub(super) row: u8,
    pub(super) column: u8,
    /// Columns it spans.
    pub(super) span: u8,
    pub(super) region: Region,
    pub(super) side: Side,
}

impl Place {
    /// The region's words, with places where a narrow button may break them.
    pub(super) fn label(self) -> String {
        let words = self.region.words().to_owned();
        BREAKS
            .iter()
            .fold(words, |words, (whole, broken)| words.replace(whole, broken))
    }
}

/// Words that are wider than the narrowest button at 18 px, and where they break (U+00AD, a soft hyphen).
const BREAKS: [(&str, &str); 6] = [
    ("shoulder", "shoul\u{ad}der"),
    ("forearm", "fore\u{ad}arm"),
    ("armpit", "arm\u{ad}pit"),
    ("buttock", "but\u{ad}tock"),
    ("through", "thro\u{ad}ugh"),
    ("abdomen", "abdo\u{ad}men"),
];

const fn at(row: u8, column: u8, span: u8, region: Region, side: Side) -> Place {
    Place {
        row,
        column,
        span,
        region,
        side,
    }
}

/// Seen from the front: the casualty's right is on the left.
pub(super) const FRONT: [Place; 32] = [
    at(1, 3, 2, Scalp, Middle),
    at(2, 2, 1, Ear, Right),
    at(2, 3, 2, Face, Middle),
    at(2, 5, 1, Ear, Left),
    at(3, 3, 2, Neck, Middle),
    at(4, 1, 1, Shoulder, Right),
    at(4, 2, 1, Axilla, Right),
    at(4, 3, 2, ChestOpen, Middle),
    at(4, 5, 1, Axilla, Left),
    at(4, 6, 1, Shoulder, Left),
    at(5, 1, 1, UpperArm, Right),
    at(5, 2, 4, ChestWall, Middle),
    at(5, 6, 1, UpperArm, Left),
    at(6, 1, 1, Elbow, Right),
    at(6, 2, 4, Abdomen, Middle),
    at(6, 6, 1, Elbow, Left),
    at(7, 1, 1, Forearm, Right),
    at(7, 2, 2, Groin, Right),
    at(7, 4, 2, Groin, Left),
    at(7, 6, 1, Forearm, Left),
    at(8, 1, 1, Hand, Right),
    at(8, 2, 2, Thigh, Right),
    at(8, 4, 2, Thigh, Left),
    at(8, 6, 1, Hand, Left),
    at(9, 1, 1, Digit, Right),
    at(9, 2, 2, Knee, Right),
    at(9, 4, 2, Knee, Left),
    at(9, 6, 1, Digit, Left),
    at(10, 2, 2, LowerLeg, Right),
    at(10, 4, 2, LowerLeg, Left),
    at(11, 2, 2, Foot, Right),
    at(11, 4, 2, Foot, Left),
];

/// Seen from behind: the casualty's left is on the left.
pub(super) const BACK: [Place; 21] = [
    at(1, 3, 2, Scalp, Middle),
    at(2, 3, 2, NeckBase, Middle),
    at(3, 1, 1, Shoulder, Left),
    at(3, 2, 4, Back, Middle),
    at(3, 6, 1, Shoulder, Right),
    at(4, 1, 1, UpperArm, Left),
    at(4, 6, 1, UpperArm, Right),
    at(5, 1, 1, Forearm, Left),
    at(5, 2, 2, Buttock, Left),
    at(5, 4, 2, Buttock, Right),
    at(5, 6, 1, Forearm, Right),
    at(6, 1, 1, Hand, Left),
    at(6, 2, 2, Thigh, Left),
    at(6, 4, 2, Thigh, Right),
    at(6, 6, 1, Hand, Right),
    at(7, 2, 2, Knee, Left),
    at(7, 4, 2, Knee, Right),
    at(8, 2, 2, LowerLeg, Left),
    at(8, 4, 2, LowerLeg, Right),
    at(9, 2, 2, Foot, Left),
    at(9, 4, 2, Foot, Right),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_places_of_a_figure_overlap() {
        for figure in [&FRONT[..], &BACK[..]] {
            let mut taken = std::collections::BTreeSet::new();
            for place in figure {
                for column in place.column..place.column + place.span {
                    assert!(
                        column <= 6 && taken.insert((place.row, column)),
                        "{place:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_casualtys_right_is_on_the_left_from_the_front_and_on_the_right_from_behind() {
        let on_left = |figure: &[Place]| {
            figure
                .iter()
                .find(|place| place.region == Hand && place.column == 1)
                .unwrap()
                .side
        };
        assert_eq!(on_left(&FRONT), Right);
        assert_eq!(on_left(&BACK), Left);
    }
}
