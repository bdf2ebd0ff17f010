//! A moment as it is said: four figures and the letter of the zone.

/// Seconds since 1970-01-01 UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Moment(pub i64);

const MONTHS: [&str; 12] = [
    "JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC",
];

impl Moment {
    /// `1358Z`.
    pub fn clock(self) -> String {
        let minutes = self.0.div_euclid(60).rem_euclid(24 * 60);
        format!("{:02}{:02}Z", minutes / 60, minutes % 60)
    }

    /// `1358Z`; with its day where that is not the day of `now`: `14/1358Z`.
    pub fn clock_on(self, now: Self) -> String {
        let day = |at: Self| at.0.div_euclid(86_400);
        if day(self) == day(now) {
            return self.clock();
        }
        let (_, _, of_month) = civil(day(self));
        format!("{of_month:02}/{}", self.clock())
    }

    /// `141430Z JUN 25`: the date-time group in UTC (Federal Standard 1037C, citing ACP 121).
    pub fn group(self) -> String {
        let (year, month, day) = civil(self.0.div_euclid(86_400));
        let month = MONTHS[usize::try_from(month - 1).unwrap_or(0).min(11)];
        format!(
            "{day:02}{} {month} {:02}",
            self.clock(),
            year.rem_euclid(100)
        )
    }

    /// Whole minutes from here to a later moment, the rest cut off; never negative.
    pub const fn minutes_to(self, later: Self) -> i64 {
        let minutes = (later.0 - self.0).div_euclid(60);
        if minutes < 0 { 0 } else { minutes }
    }
}

/// Year, month and day of a day number (days from civil, proleptic Gregorian; H. Hinnant, from memory).
fn civil(days: i64) -> (i64, i64, i64) {
    let shifted = days + 719_468;
    let era = shifted.div_euclid(146_097);
    let of_era = shifted.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let day_of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * shifted_month + 2) / 5 + 1;
    let month = if shifted_month < 10 {
        shifted_month + 3
    } else {
        shifted_month - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    (year, month, day)
}
