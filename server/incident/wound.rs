//! A wound: where it is and where it stands on the ladder.

use jiff::Timestamp;

use super::ids::WoundId;
use crate::rules::bleeding::{Region, Side, Standing, State};

/// A wound and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wound {
    /// Its id.
    pub id: WoundId,
    /// Where; none when the report that said so was struck while others about the wound stand.
    pub region: Option<Region>,
    /// Which side of the casualty.
    pub side: Side,
    /// When it was first heard of.
    pub found_at: Timestamp,
    /// Where it stands on the ladder.
    pub standing: Standing,
    /// When the first tourniquet that covers it went on, while one is tight.
    pub tourniquet_since: Option<Timestamp>,
}

impl Wound {
    /// Whether the bleed needs somebody's hands now or keeps them busy.
    pub const fn needs_hands(&self) -> bool {
        matches!(
            self.standing.state,
            State::Bleeding
                | State::Pressing
                | State::PackPressing
                | State::HandsStay
                | State::TourniquetFails
        )
    }

    /// "forearm, left".
    pub fn place(&self) -> String {
        place_words(self.region, self.side)
    }
}

/// Where a wound is, in words: "forearm, left".
pub(super) fn place_words(region: Option<Region>, side: Side) -> String {
    let region = region.map_or("place not known", Region::words);
    match side {
        Side::Left | Side::Right => format!("{region}, {}", side.code()),
        Side::Middle | Side::Unspecified => region.to_owned(),
    }
}
