//! The course of a casualty's vital signs as a small drawing, with what was done on the same axis of time.
//!
//! Owns the geometry. Promises: the axis runs from the first to the last thing on it and never asks the time; a
//! gap in a sign is a gap in its line only if nothing was measured between.

use jiff::Timestamp;

use super::time::hour;
use crate::incident::fact::SignsMeasured;
use crate::incident::{Casualty, Fact, Incident, sentence};
use crate::rules::scores::Consciousness;

/// Where time begins and ends in the drawing, 360 units wide; the room beside it is for words of 18 units on a phone.
const LEFT: f64 = 60.0;
const RIGHT: f64 = 332.0;
const MOST_STEPS: usize = 14;
/// A line of words.
const ROW: f64 = 20.0;
/// Two numbers closer than this would run into one another.
const APART: f64 = 46.0;

/// A line of one sign.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    /// The class that says how it is drawn.
    pub(crate) class: &'static str,
    /// What it is, with its unit.
    pub(crate) name: &'static str,
    pub(crate) path: String,
    /// Where each value is, with the value.
    pub(crate) dots: Vec<(f64, f64, String)>,
}

/// A band of the drawing with its scale.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lane {
    pub(crate) top: f64,
    pub(crate) bottom: f64,
    /// Height and words of each line of the scale.
    pub(crate) scale: Vec<(f64, &'static str)>,
    pub(crate) lines: Vec<Line>,
}

/// The whole drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plot {
    pub(crate) lanes: Vec<Lane>,
    /// Where in time something was done.
    pub(crate) steps: Vec<f64>,
    /// The numbers of it, and where they stand.
    pub(crate) labels: Vec<(String, f64)>,
    /// What the numbers stand for.
    pub(crate) legend: Vec<(usize, String, String)>,
    /// Place and hour of each mark of time.
    pub(crate) hours: Vec<(f64, String)>,
    pub(crate) height: f64,
    /// Where time begins.
    pub(crate) left: f64,
}

impl Plot {
    /// Draws a casualty; nothing before there are two sets of signs.
    pub(crate) fn of(casualty: &Casualty, incident: &Incident) -> Option<Self> {
        if casualty.vitals.len() < 2 {
            return None;
        }
        let steps: Vec<(Timestamp, String)> = incident
            .timeline(casualty.id)
            .into_iter()
            .filter(|entry| !incident.is_struck(entry.seq) && is_step(&entry.fact))
            .map(|entry| (entry.happened_at, sentence(entry, incident)))
            .collect();
        // The latest are what one asks about; the timeline below has them all.
        let steps = &steps[steps.len().saturating_sub(MOST_STEPS)..];
        let moments = || {
            casualty
                .vitals
                .iter()
                .map(|(at, _)| *at)
                .chain(steps.iter().map(|(at, _)| *at))
        };
        let axis = Axis {
            from: moments().min()?.as_second(),
            to: moments().max()?.as_second(),
        };
        let vitals = casualty.vitals.as_slice();
        let lanes: Vec<Lane> = [
            circulation(&axis, vitals),
            breathing(&axis, vitals),
            awake(&axis, vitals),
        ]
        .into_iter()
        .filter(|lane| !lane.lines.is_empty())
        .collect();
        let (lanes, height) = stacked(lanes);
        let places: Vec<f64> = steps.iter().map(|(at, _)| axis.x(*at)).collect();
        (!lanes.is_empty()).then(|| Self {
            labels: labels(&places),
            steps: places,
            legend: steps
                .iter()
                .enumerate()
                .map(|(index, (at, words))| (index + 1, hour(*at), words.clone()))
                .collect(),
            hours: axis.hours(),
            lanes,
            height: height + 34.0,
            left: LEFT,
        })
    }
}

const fn is_step(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::StepTaken(_) | Fact::StepDone(_) | Fact::LifesavingDone(_) | Fact::CasualtyWarmed(_)
    )
}

/// Numbers where they stand in time; what lies too close together shares a label, "1–3".
fn labels(places: &[f64]) -> Vec<(String, f64)> {
    let mut labels = Vec::new();
    let mut first = 0;
    while first < places.len() {
        let near = places[first..]
            .iter()
            .take_while(|x| **x - places[first] < APART);
        let last = first + near.count().max(1) - 1;
        let words = if first == last {
            (first + 1).to_string()
        } else {
            format!("{}–{}", first + 1, last + 1)
        };
        labels.push((words, f64::midpoint(places[first], places[last])));
        first = last + 1;
    }
    labels
}

struct Axis {
    from: i64,
    to: i64,
}

impl Axis {
    #[expect(
        clippy::cast_precision_loss,
        reason = "seconds of one incident are far below the limit"
    )]
    fn x(&self, at: Timestamp) -> f64 {
        let span = (self.to - self.from).max(1) as f64;
        let share = (at.as_second() - self.from) as f64 / span;
        round(LEFT + share * (RIGHT - LEFT))
    }

    fn hours(&self) -> Vec<(f64, String)> {
        [self.from, i64::midpoint(self.from, self.to), self.to]
            .into_iter()
            .filter_map(|second| Timestamp::from_second(second).ok())
            .map(|at| (self.x(at), hour(at)))
            .collect()
    }
}

fn round(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

type Vitals<'a> = &'a [(Timestamp, SignsMeasured)];

fn lane(height: f64, scale: Vec<(f64, &'static str)>, lines: Vec<Option<Line>>) -> Lane {
    Lane {
        top: 0.0,
        bottom: height,
        scale,
        lines: lines.into_iter().flatten().collect(),
    }
}

fn circulation(axis: &Axis, vitals: Vitals<'_>) -> Lane {
    let y = |value: u16| 120.0 - f64::from(value.min(200)) * 120.0 / 200.0;
    lane(
        120.0,
        vec![(y(50), "50"), (y(100), "100"), (y(150), "150")],
        vec![
            line(
                "plot__pulse",
                "pulse a minute",
                &points(axis, vitals, &SignsMeasured::pulse),
                &y,
            ),
            line(
                "plot__pressure",
                "pressure, mmHg",
                &points(axis, vitals, &|one| one.systolic_mmhg),
                &y,
            ),
        ],
    )
}

fn breathing(axis: &Axis, vitals: Vitals<'_>) -> Lane {
    let y = |value: u16| 60.0 - f64::from(value.min(50)) * 60.0 / 50.0;
    lane(
        60.0,
        vec![(y(10), "10"), (y(30), "30")],
        vec![line(
            "plot__breaths",
            "breaths a minute",
            &points(axis, vitals, &SignsMeasured::breaths),
            &y,
        )],
    )
}

fn awake(axis: &Axis, vitals: Vitals<'_>) -> Lane {
    let y = |level: u16| f64::from(level) * 15.0;
    let level = |one: &SignsMeasured| {
        one.consciousness.map(|level| match level {
            Consciousness::Alert => 0,
            Consciousness::Confused => 1,
            Consciousness::Voice => 2,
            Consciousness::Pain => 3,
            Consciousness::Unresponsive => 4,
        })
    };
    let mut drawn = line(
        "plot__awake",
        "how awake",
        &points(axis, vitals, &level),
        &y,
    );
    for (_, _, value) in drawn.iter_mut().flat_map(|line| line.dots.iter_mut()) {
        *value = ["A", "C", "V", "P", "U"]
            .get(value.parse::<usize>().unwrap_or(0))
            .map_or_else(String::new, |letter| (*letter).to_owned());
    }
    lane(
        60.0,
        vec![(y(0), "alert"), (y(2), "voice"), (y(4), "none")],
        vec![drawn],
    )
}

/// Where in time a sign was measured, with its value.
fn points(
    axis: &Axis,
    vitals: Vitals<'_>,
    read: &dyn Fn(&SignsMeasured) -> Option<u16>,
) -> Vec<(f64, u16)> {
    vitals
        .iter()
        .filter_map(|(at, one)| Some((axis.x(*at), read(one)?)))
        .collect()
}

fn line(
    class: &'static str,
    name: &'static str,
    points: &[(f64, u16)],
    y: &dyn Fn(u16) -> f64,
) -> Option<Line> {
    let dots: Vec<(f64, f64, String)> = points
        .iter()
        .map(|(x, value)| (*x, round(y(*value)), value.to_string()))
        .collect();
    let path: Vec<String> = dots.iter().map(|(x, y, _)| format!("{x} {y}")).collect();
    (!dots.is_empty()).then(|| Line {
        class,
        name,
        path: format!("M{}", path.join("L")),
        dots,
    })
}

/// Puts the lanes under one another and below the numbers, each with a row for the name of each line; gives
/// the height they take.
fn stacked(lanes: Vec<Lane>) -> (Vec<Lane>, f64) {
    let mut above = ROW;
    let moved = lanes
        .into_iter()
        .map(|lane| {
            let names = u32::try_from(lane.lines.len()).map_or(0.0, f64::from);
            let top = above + names * ROW + 8.0;
            let placed = Lane {
                top,
                bottom: top + lane.bottom,
                ..lane
            };
            above = placed.bottom + 10.0;
            placed
        })
        .collect();
    (moved, above - 10.0)
}

#[cfg(test)]
mod tests {
    use super::labels;

    #[test]
    fn numbers_that_would_run_into_one_another_share_a_label() {
        let words = |places: &[f64]| {
            let labels = labels(places).into_iter();
            labels.map(|(words, _)| words).collect::<Vec<_>>()
        };
        assert_eq!(words(&[60.0, 60.0, 62.0, 200.0]), ["1–3", "4"]);
        assert_eq!(words(&[60.0, 110.0, 160.0]), ["1", "2", "3"]);
        assert!(words(&[]).is_empty());
    }
}
