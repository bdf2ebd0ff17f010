//! Until when there is light at the incident's place, where somebody said where that is.

use jiff::Timestamp;

use crate::incident::Incident;
use crate::rules::evac::daylight::{Light, light};
use crate::rules::place;

/// The end of civil twilight after this moment, from the position that was reported: after it ordinary outdoor work gets
/// hard without lamps (Hong Kong Observatory, *What is twilight?*). In the dark it is this very moment. None where the
/// place is not known or it does not get dark.
pub(super) fn dusk(incident: &Incident, as_of: Timestamp) -> Option<Timestamp> {
    let typed = incident.evacuation().situation.told.position.as_ref()?;
    let position = place::read(typed.as_str()).ok()?.position;
    let now = as_of.as_second();
    match light(position.latitude(), position.longitude(), now)? {
        Light::Until(at) => Timestamp::from_second(at).ok(),
        Light::DarkUntil(_) | Light::NoDay => Some(as_of),
        Light::AllDay => None,
    }
}
