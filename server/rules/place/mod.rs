//! Positions: typed or pasted in any usual form, shown in all of them.
//!
//! Owns reading and writing of decimal degrees, degrees and minutes, degrees, minutes and seconds, UTM and MGRS, all on
//! WGS 84. The projection and the grid come from the `mgrs-convert` crate. A grid reference names a square by its
//! south-west corner: shortening truncates, reading answers with the centre (`GeographicLib`, `GeoConvert`). Above 84° N
//! and below 80° S there is no UTM: that is said, not guessed.

mod grid;
mod read;
mod write;

pub use read::{Form, Reading, Unreadable, read};

/// A place on WGS 84, in degrees; north and east are positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    latitude: f64,
    longitude: f64,
}

/// No grid there: the poles have a grid of their own, which this board does not use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "there is no UTM or MGRS grid above 84 degrees north or below 80 degrees south: use degrees"
)]
pub struct Polar;

/// Mean radius of the earth, in metres (IUGG).
const RADIUS: f64 = 6_371_008.8;

impl Position {
    /// A position, if the numbers are one: latitude −90 to 90, longitude −180 to 180.
    pub fn new(latitude: f64, longitude: f64) -> Option<Self> {
        let inside = (-90.0..=90.0).contains(&latitude) && (-180.0..=180.0).contains(&longitude);
        inside.then_some(Self {
            latitude,
            longitude,
        })
    }

    /// Degrees north.
    pub const fn latitude(self) -> f64 {
        self.latitude
    }

    /// Degrees east.
    pub const fn longitude(self) -> f64 {
        self.longitude
    }

    /// Metres to another place, on a sphere: within 0.5 % of the ellipsoid.
    pub fn metres_to(self, other: Self) -> f64 {
        let (a, b) = (self.latitude.to_radians(), other.latitude.to_radians());
        let north = (b - a) / 2.0;
        let east = (other.longitude - self.longitude).to_radians() / 2.0;
        let h = north.sin().powi(2) + a.cos() * b.cos() * east.sin().powi(2);
        2.0 * RADIUS * h.sqrt().min(1.0).asin()
    }
}
