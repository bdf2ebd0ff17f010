//! Until when there is light at the incident's place, where somebody said where that is.

use jiff::Timestamp;

use crate::incident::Incident;

/// The end of civil twilight on the day of this moment, from the position that was reported.
pub(super) const fn dusk(_incident: &Incident, _as_of: Timestamp) -> Option<Timestamp> {
    None
}
