//! Vital signs over time as a small drawing: one row per sign, one time axis for all.

use jiff::Timestamp;

use super::time::hour;
use crate::incident::fact::SignsMeasured;

/// Width of the drawing, and the room for names on its left and the last value on its right.
const WIDTH: i64 = 640;
const LEFT: i64 = 96;
const RIGHT: i64 = 56;
/// Height of a row, and what of it is drawn on.
const ROW: i64 = 52;
const DRAWN: i64 = 26;

/// The drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Trend {
    pub(crate) width: i64,
    pub(crate) height: i64,
    pub(crate) rows: Vec<Row>,
    /// Where times stand below the rows.
    pub(crate) times: Vec<(i64, String)>,
}

/// One sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) name: &'static str,
    pub(crate) middle: i64,
    /// Corners of the line.
    pub(crate) line: String,
    pub(crate) dots: Vec<Dot>,
}

/// One reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Dot {
    pub(crate) x: i64,
    pub(crate) y: i64,
    /// Where its number stands.
    pub(crate) label_y: i64,
    pub(crate) value: u16,
}

type Pick = fn(&SignsMeasured) -> Option<u16>;
const SIGNS: [(&str, Pick); 4] = [
    ("breathing", SignsMeasured::breaths),
    ("pulse", SignsMeasured::pulse),
    ("pressure", |vitals| vitals.systolic_mmhg),
    ("oxygen %", |vitals| vitals.oxygen_saturation_percent),
];

impl Trend {
    /// Draws readings given oldest first; nothing where fewer than two were taken: there is no trend then.
    pub(crate) fn of(vitals: &[(Timestamp, SignsMeasured)]) -> Option<Self> {
        let (first, last) = (vitals.first()?.0, vitals.last()?.0);
        let span = last.as_second() - first.as_second();
        if span <= 0 {
            return None;
        }
        let x = |at: Timestamp| {
            LEFT + (at.as_second() - first.as_second()) * (WIDTH - LEFT - RIGHT) / span
        };
        let mut rows = Vec::new();
        for (name, pick) in SIGNS {
            let readings: Vec<(i64, u16)> = vitals
                .iter()
                .filter_map(|(at, vitals)| Some((x(*at), pick(vitals)?)))
                .collect();
            let top = i64::try_from(rows.len()).unwrap_or(0) * ROW;
            rows.extend(Row::of(name, top, &readings));
        }
        let height = i64::try_from(rows.len()).unwrap_or(0) * ROW + 22;
        let mut times: Vec<(i64, String)> = Vec::new();
        for (at, _) in vitals {
            // Hours that would stand on each other are left out; every row of the table has its own.
            let here = x(*at);
            if times.last().is_none_or(|(before, _)| here - before >= 52) {
                times.push((here, hour(*at)));
            }
        }
        (!rows.is_empty()).then_some(Self {
            width: WIDTH,
            height,
            rows,
            times,
        })
    }
}

impl Row {
    fn of(name: &'static str, top: i64, readings: &[(i64, u16)]) -> Option<Self> {
        let least = readings.iter().map(|(_, value)| *value).min()?;
        let most = readings.iter().map(|(_, value)| *value).max()?;
        let range = i64::from(most - least).max(1);
        let dots: Vec<Dot> = readings
            .iter()
            .map(|(x, value)| {
                let y = top + 20 + i64::from(most - value) * (DRAWN - 4) / range;
                Dot {
                    x: *x,
                    y,
                    label_y: y - 6,
                    value: *value,
                }
            })
            .collect();
        let line = dots
            .iter()
            .map(|dot| format!("{},{}", dot.x, dot.y))
            .collect::<Vec<_>>()
            .join(" ");
        Some(Self {
            name,
            middle: top + 32,
            line,
            dots,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulse(minute: i64, value: u16) -> (Timestamp, SignsMeasured) {
        let at = Timestamp::from_second(minute * 60).unwrap();
        let vitals = SignsMeasured {
            pulse_per_minute: Some(value),
            ..SignsMeasured::default()
        };
        (at, vitals)
    }

    #[test]
    fn higher_stands_higher_and_later_stands_further_right() {
        let trend = Trend::of(&[pulse(0, 130), pulse(12, 118)]).unwrap();
        let dots = &trend.rows[0].dots;
        assert!(dots[0].y < dots[1].y && dots[0].x < dots[1].x);
        assert_eq!(trend.rows.len(), 1, "what was not measured has no row");
    }

    #[test]
    fn one_reading_is_no_trend() {
        assert_eq!(Trend::of(&[pulse(0, 130)]), None);
    }
}
