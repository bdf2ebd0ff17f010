//! Daylight: until when a helicopter that does not fly by night can leave.
//!
//! Owns the answer for a place and a moment. The limit is the end of civil twilight: the sun's centre 6° under the
//! horizon, from where on work outside needs lamps (Hong Kong Observatory, *What is twilight?*).
//! The sun's place comes from the `solar-positioning` crate (SPA; Reda & Andreas 2003). Needs no network and no clock:
//! moments are seconds since 1970-01-01 UTC. That it never gets dark, or never light, is an answer and no error.

use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarEvents, SolarPositions, delta_t};

/// Seconds in a day.
const DAY: i64 = 86_400;
/// The same for sums with fractions of a day.
const DAY_LENGTH: f64 = 86_400.0;
/// Julian date of 1970-01-01 00:00 UTC.
const EPOCH: f64 = 2_440_587.5;
/// Degrees of the sun's centre at the limit of civil twilight.
const CIVIL: f64 = -6.0;

/// Until when there is light to work by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// It is light; the end of evening civil twilight is at this moment.
    Until(i64),
    /// It is light, and does not get dark within a day.
    AllDay,
    /// It is dark; morning civil twilight begins at this moment.
    DarkUntil(i64),
    /// It is dark, and does not get light within a day.
    NoDay,
}

/// When the sun passes the limits within a day; what does not happen is `None`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SunTimes {
    /// Civil twilight begins.
    pub dawn: Option<i64>,
    /// The sun rises.
    pub sunrise: Option<i64>,
    /// The sun sets.
    pub sunset: Option<i64>,
    /// Civil twilight ends.
    pub dusk: Option<i64>,
}

/// The light at a place (degrees, WGS 84) and moment; `None` when the place or the moment is none.
pub fn light(latitude: f64, longitude: f64, now: i64) -> Option<Light> {
    let place = Location {
        latitude,
        longitude,
    };
    let events = SolarEvents::new();
    let (start, end) = (julian(now), julian(now + DAY));
    let delta = delta(now);
    let moment = JulianDate::new(start, delta).ok()?;
    let height = SolarPositions::new()
        .at_from_julian(moment, place, 0.0, None)
        .ok()?
        .elevation_angle();
    if height > CIVIL {
        let set = events
            .next_set_from_julian(start, end, place, delta, Horizon::CivilTwilight)
            .ok()?;
        Some(set.map_or(Light::AllDay, |at| Light::Until(unix(at))))
    } else {
        let rise = events
            .next_rise_from_julian(start, end, place, delta, Horizon::CivilTwilight)
            .ok()?;
        Some(rise.map_or(Light::NoDay, |at| Light::DarkUntil(unix(at))))
    }
}

/// The sun's times within the day after `start`; `None` when the place or the moment is none.
pub fn sun_times(latitude: f64, longitude: f64, start: i64) -> Option<SunTimes> {
    let place = Location {
        latitude,
        longitude,
    };
    let events = SolarEvents::new();
    let (from, to) = (julian(start), julian(start + DAY));
    let delta = delta(start);
    let rise = |horizon| events.next_rise_from_julian(from, to, place, delta, horizon);
    let set = |horizon| events.next_set_from_julian(from, to, place, delta, horizon);
    Some(SunTimes {
        dawn: rise(Horizon::CivilTwilight).ok()?.map(unix),
        sunrise: rise(Horizon::SunriseSunset).ok()?.map(unix),
        sunset: set(Horizon::SunriseSunset).ok()?.map(unix),
        dusk: set(Horizon::CivilTwilight).ok()?.map(unix),
    })
}

#[expect(
    clippy::cast_precision_loss,
    reason = "whole seconds of some centuries fit"
)]
fn julian(unix: i64) -> f64 {
    EPOCH + unix as f64 / DAY_LENGTH
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a moment of some centuries"
)]
fn unix(julian: f64) -> i64 {
    ((julian - EPOCH) * DAY_LENGTH).round() as i64
}

/// Earth's clock against the even one, in seconds; 70 where no estimate is published.
#[expect(clippy::cast_precision_loss, reason = "a year")]
fn delta(unix: i64) -> f64 {
    let year = 1970.0 + unix as f64 / (365.2425 * DAY_LENGTH);
    delta_t::estimate(year).unwrap_or(70.0)
}
