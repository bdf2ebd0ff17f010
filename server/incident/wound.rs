//! A wound: where it is and where it stands on the ladder.

use jiff::Timestamp;

use super::ids::WoundId;
use super::seen::Seen;
use crate::rules::bleeding::{self, LimbStanding, Region, Side, Standing, State};

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
    /// As described.
    pub described: bleeding::Wound,
    /// What the tourniquets of its limb do, where one ever was on.
    pub limb: Option<LimbStanding>,
    /// What was seen beside the bleeding.
    pub seen: Seen,
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

    /// The suggested step in one line, as it is meant at this place.
    pub fn next_line(&self) -> &'static str {
        let next = self.standing.next;
        self.region
            .map_or_else(|| next.line(), |region| next.line_at(region))
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
