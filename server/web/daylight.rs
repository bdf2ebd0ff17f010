//! Until when there is light at the incident's place, where somebody said where that is.

use jiff::Timestamp;

use crate::exchange::messages;
use crate::incident::Incident;
use crate::rules::evac::daylight::{Light, light};

/// The light at the position that was reported; none where nobody said where that is.
pub(super) fn light_there(incident: &Incident, as_of: Timestamp) -> Option<Light> {
    let position = messages::position(incident)?.ok()?;
    light(position.latitude(), position.longitude(), as_of.as_second())
}

/// The end of civil twilight after this moment. In the dark it is this very moment. None where the place is not known or
/// it does not get dark.
pub(super) fn dusk(incident: &Incident, as_of: Timestamp) -> Option<Timestamp> {
    match light_there(incident, as_of)? {
        Light::Until(at) => Timestamp::from_second(at).ok(),
        Light::DarkUntil(_) | Light::NoDay => Some(as_of),
        Light::AllDay => None,
    }
}
