//! A position in words and figures.

use super::{Polar, Position, grid};

impl Position {
    /// `54.52700 N 3.01650 W`: five decimals, about a metre.
    pub fn decimal(self) -> String {
        let (north, east) = self.letters();
        format!(
            "{:.5} {north} {:.5} {east}",
            self.latitude().abs(),
            self.longitude().abs()
        )
    }

    /// `54.52700, -3.01650`: for a map.
    pub fn plain(self) -> String {
        format!("{:.5}, {:.5}", self.latitude(), self.longitude())
    }

    /// `54° 31.620′ N 3° 00.990′ W`: three decimals of a minute, about two metres.
    pub fn minutes(self) -> String {
        let (north, east) = self.letters();
        let part = |degrees: f64| {
            let thousandths = whole(degrees.abs() * 60_000.0);
            let (degrees, rest) = (thousandths / 60_000, thousandths % 60_000);
            format!("{degrees}° {:02}.{:03}′", rest / 1000, rest % 1000)
        };
        format!(
            "{} {north} {} {east}",
            part(self.latitude()),
            part(self.longitude())
        )
    }

    /// `54° 31′ 37.2″ N 3° 00′ 59.4″ W`: a tenth of a second, about three metres.
    pub fn seconds(self) -> String {
        let (north, east) = self.letters();
        let part = |degrees: f64| {
            let tenths = whole(degrees.abs() * 36_000.0);
            let (degrees, rest) = (tenths / 36_000, tenths % 36_000);
            format!(
                "{degrees}° {:02}′ {:02}.{}″",
                rest / 600,
                rest % 600 / 10,
                rest % 10
            )
        };
        format!(
            "{} {north} {} {east}",
            part(self.latitude()),
            part(self.longitude())
        )
    }

    /// `zone 30 north hemisphere 498932 E 6042158 N`: with the word, for a letter alone may be read as a band.
    ///
    /// # Errors
    /// Near the poles there is no UTM.
    pub fn utm(self) -> Result<String, Polar> {
        let utm = grid::utm(self)?;
        let half = if utm.north { "north" } else { "south" };
        Ok(format!(
            "zone {} {half} hemisphere {:.0} E {:.0} N",
            utm.zone,
            utm.easting.floor(),
            utm.northing.floor()
        ))
    }

    /// `30U VF 98932 42158`: the square of a metre; the spaces are for people.
    ///
    /// # Errors
    /// Near the poles there is no MGRS of this kind.
    pub fn mgrs(self) -> Result<String, Polar> {
        self.mgrs_of(5)
    }

    /// The same with so many digits for each direction: 5 for a metre, 4 for ten, … 0 for 100 km. Shortened by
    /// truncation, never by rounding.
    ///
    /// # Errors
    /// Near the poles there is no MGRS of this kind.
    pub fn mgrs_of(self, digits: u8) -> Result<String, Polar> {
        let packed = grid::mgrs(self, digits.min(5))?;
        let zone = packed.bytes().take_while(u8::is_ascii_digit).count();
        let (zone, rest) = packed.split_at((zone + 1).min(packed.len()));
        let zone = zone.trim_start_matches('0');
        let (square, figures) = rest.split_at(rest.len().min(2));
        let (east, north) = figures.split_at(figures.len() / 2);
        let parts = [zone, square, east, north];
        let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        Ok(parts.join(" "))
    }

    fn letters(self) -> (char, char) {
        let north = if self.latitude() < 0.0 { 'S' } else { 'N' };
        let east = if self.longitude() < 0.0 { 'W' } else { 'E' };
        (north, east)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most 180 degrees, never negative"
)]
fn whole(value: f64) -> u64 {
    value.round() as u64
}
