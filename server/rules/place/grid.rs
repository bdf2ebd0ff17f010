//! UTM and MGRS, by the crate that knows the grid.

use mgrs_convert::{LatLon, Mgrs, Precision, UtmUps};

use super::{Polar, Position};

/// A UTM position, in whole metres towards the south-west corner.
pub(super) struct Utm {
    pub(super) zone: u8,
    pub(super) north: bool,
    pub(super) easting: f64,
    pub(super) northing: f64,
}

pub(super) fn utm(position: Position) -> Result<Utm, Polar> {
    let there = LatLon::new(position.latitude, position.longitude)
        .map_err(|_| Polar)?
        .to_utmups();
    if there.zone() == 0 {
        return Err(Polar);
    }
    Ok(Utm {
        zone: there.zone(),
        north: there.is_north(),
        easting: there.easting(),
        northing: there.northing(),
    })
}

pub(super) fn from_utm(zone: u8, north: bool, easting: f64, northing: f64) -> Option<Position> {
    let there = UtmUps::utm(zone, north, easting, northing)
        .ok()?
        .to_latlon();
    Position::new(there.lat(), there.lon())
}

/// The reference of the square of a metre and coarser: 5 pairs of digits to none.
pub(super) fn mgrs(position: Position, pairs: u8) -> Result<String, Polar> {
    utm(position)?;
    let there = LatLon::new(position.latitude, position.longitude).map_err(|_| Polar)?;
    let precision = Precision::new(pairs).map_err(|_| Polar)?;
    Ok(there.to_mgrs(precision).to_string())
}

/// The centre of a square, and its side in metres.
pub(super) fn from_mgrs(reference: &str) -> Option<(Position, f64)> {
    let square: Mgrs = reference.parse().ok()?;
    let side = 100_000.0 / 10_f64.powi(i32::from(square.precision().get()));
    let centre = square.to_latlon();
    Some((Position::new(centre.lat(), centre.lon())?, side))
}
