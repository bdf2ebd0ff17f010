//! A wound as drawn.

use super::ladder::{Ladder, hold_words};
use super::time::Moment;
use crate::incident::Wound;
use crate::rules::bleeding::Hold;

/// A wound in a row or on its casualty's page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WoundView {
    /// Its id.
    pub(crate) id: String,
    /// "forearm, left".
    pub(crate) place: String,
    /// "hands pressing".
    pub(crate) hold: &'static str,
    /// Its ladder.
    pub(crate) ladder: Ladder,
    /// Since when a running time is shown, if one is.
    pub(crate) since: Option<Moment>,
    /// Since when the tourniquet is on.
    pub(crate) tourniquet_since: Option<Moment>,
    /// Bleeds, or needs a hand.
    pub(crate) is_urgent: bool,
    /// Stored codes for the forms.
    pub(crate) region: &'static str,
    pub(crate) side: &'static str,
}

impl From<&Wound> for WoundView {
    fn from(wound: &Wound) -> Self {
        let standing = &wound.standing;
        let runs = matches!(standing.hold, Hold::HandPressing | Hold::Bleeding)
            && standing.tourniquet_since.is_none();
        Self {
            id: wound.id.to_string(),
            place: wound.place(),
            hold: hold_words(standing.hold),
            ladder: Ladder::of(standing, wound.region),
            since: runs.then(|| standing.since.into()),
            tourniquet_since: standing.tourniquet_since.map(Moment::from),
            is_urgent: wound.needs_hands(),
            region: wound
                .region
                .map_or("", crate::rules::bleeding::Region::code),
            side: wound.side.code(),
        }
    }
}
