//! Vital signs in words: the newest look first, then the oldest, so that the trend is seen.

use super::moment::Moment;

/// One look at the vital signs; `None` was not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signs {
    /// When.
    pub at: Moment,
    /// Breaths a minute.
    pub breaths: Option<u16>,
    /// Beats a minute.
    pub pulse: Option<u16>,
    /// Systolic, and diastolic; without it the pressure was felt at the wrist.
    pub pressure: Option<(u16, Option<u16>)>,
    /// The pressure was tried for and could not be had: not the same as not taken.
    pub no_pressure: bool,
    /// Whether there is a pulse at the wrist, where somebody felt for it.
    pub wrist: Option<bool>,
    /// Whether on oxygen.
    pub oxygen: Option<bool>,
    /// Oxygen saturation in per cent.
    pub saturation: Option<u16>,
    /// Alert, voice, pain …: the word.
    pub level: Option<String>,
    /// Capillary refill in seconds.
    pub refill: Option<u16>,
}

/// The newest look with everything, the oldest with what was taken; a single look once. What they say is said also
/// where nothing was measured.
pub(super) fn signs(all: &[Signs], symptoms: &[String], now: Moment) -> Option<String> {
    let newest = all.iter().max_by_key(|signs| signs.at);
    let oldest = all.iter().min_by_key(|signs| signs.at);
    let oldest = oldest.filter(|oldest| newest.is_some_and(|newest| newest.at != oldest.at));
    let mut parts: Vec<String> = newest
        .map(|newest| look(newest, true, now))
        .into_iter()
        .chain(oldest.map(|oldest| look(oldest, false, now)))
        .collect();
    if !symptoms.is_empty() {
        if parts.is_empty() {
            parts.push("none measured".to_owned());
        }
        parts.push(format!("Says: {}", symptoms.join(", ")));
    }
    (!parts.is_empty()).then(|| parts.join(". "))
}

fn look(signs: &Signs, whole: bool, now: Moment) -> String {
    let number = |name: &str, value: Option<u16>| match value {
        Some(value) => Some(format!("{name} {value}")),
        None => whole.then(|| format!("{name} –")),
    };
    let pressure = match signs.pressure {
        Some((high, Some(low))) => Some(format!("BP {high}/{low}")),
        Some((high, None)) => Some(format!("BP {high} by palpation")),
        None if signs.no_pressure => Some("BP could not be had".to_owned()),
        None => whole.then(|| "BP –".to_owned()),
    };
    let parts = [
        number("RR", signs.breaths),
        number("HR", signs.pulse),
        signs.wrist.map(|there| {
            if there {
                "pulse at the wrist"
            } else {
                "no pulse at the wrist"
            }
            .to_owned()
        }),
        pressure,
        number("SpO2", signs.saturation),
        signs
            .oxygen
            .map(|on| if on { "on oxygen" } else { "on air" }.to_owned()),
        signs
            .level
            .clone()
            .or_else(|| whole.then(|| "level –".to_owned())),
        signs
            .refill
            .map(|seconds| format!("cap refill {seconds} s")),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    format!("{}: {}", signs.at.clock_on(now), parts.join(", "))
}
