//! Reads the timed sequences: a set-up, then lines of time, event and expectations.

use std::collections::BTreeMap;

use holdfast::rules::bleeding::act::{Application, Level};
use holdfast::rules::bleeding::conversion::Criteria;
use holdfast::rules::bleeding::observation::{Beyond, HoldSeen, Pulse, Stain};
use holdfast::rules::bleeding::terms::Measure;
use holdfast::rules::bleeding::wound::{Amputation, Depth};
use holdfast::rules::bleeding::{
    About, Act, Casualty, Dated, Findings, Flow, Look, Minutes, Region, Role, Side, Wound,
};
use jiff::Timestamp;

use super::names;

pub(crate) struct Sequence {
    pub(crate) id: String,
    pub(crate) casualty: Casualty,
    pub(crate) wounds: Vec<Wound>,
    pub(crate) lines: Vec<Line>,
}

pub(crate) struct Line {
    pub(crate) text: String,
    pub(crate) wound: usize,
    pub(crate) recorded_at: Timestamp,
    pub(crate) act: Option<Dated>,
    pub(crate) expected: Vec<String>,
}

pub(crate) fn zero() -> Timestamp {
    "2026-06-01T08:00:00Z".parse().expect("a timestamp")
}

/// `h:mm` after zero.
pub(crate) fn time(text: &str) -> Timestamp {
    let (hours, minutes) = text.split_once(':').expect("h:mm");
    let hours: u32 = hours.parse().expect("hours");
    let minutes: u32 = minutes.parse().expect("minutes");
    Minutes(hours * 60 + minutes).after(zero())
}

type Keys<'a> = BTreeMap<&'a str, &'a str>;

fn keys(text: &str) -> Keys<'_> {
    text.split_whitespace()
        .filter_map(|word| word.split_once('='))
        .collect()
}

fn code<T: serde::de::DeserializeOwned>(text: &str) -> T {
    serde_json::from_value(serde_json::Value::String(text.to_owned())).expect(text)
}

pub(crate) fn read(text: &str) -> Vec<Sequence> {
    let mut all: Vec<Sequence> = Vec::new();
    let mut tourniquet_place = None;
    for line in text.lines().map(str::trim) {
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(head) = line.strip_prefix('[') {
            let (id, rest) = head.split_once(']').expect("id");
            let (_, set_up) = rest.split_once('|').expect("set-up");
            let (sequence, place) = begin(id, set_up);
            tourniquet_place = place;
            all.push(sequence);
        } else {
            let sequence = all.last_mut().expect("a head first");
            let order = sequence.lines.len() as u64;
            sequence.lines.push(event(line, order, tourniquet_place));
        }
    }
    all
}

fn begin(id: &str, set_up: &str) -> (Sequence, Option<u8>) {
    let mut casualty = Casualty {
        injured_at: Some(zero()),
        ..Casualty::default()
    };
    let mut wounds = Vec::new();
    let mut place = None;
    for part in set_up.split(';') {
        let keys = keys(part);
        let position = keys.get("pos").map(|text| text.parse().expect("pos"));
        if let Some(region) = keys.get("region") {
            let mut wound = Wound::at(code::<Region>(region), Side::Left);
            wound.depth = keys.get("depth").map_or(Depth::Deep, |text| code(text));
            wound.amputation = keys
                .get("amputation")
                .map_or(Amputation::None, |text| code(text));
            wound.down_the_limb = position;
            wounds.push(wound);
        } else {
            place = position;
        }
        if keys.get("anticoagulant") == Some(&"yes") {
            casualty.anticoagulant = Some(true);
        }
        if let Some(eta) = keys.get("handover_eta") {
            casualty.hospital_at = Some(time(eta));
        }
    }
    (
        Sequence {
            id: id.to_owned(),
            casualty,
            wounds,
            lines: Vec::new(),
        },
        place,
    )
}

fn event(line: &str, order: u64, place: Option<u8>) -> Line {
    let (event, expected) = line.split_once("=>").expect("=>");
    let event = event.trim().strip_prefix('@').expect("@");
    let mut words = event.split_whitespace();
    let at = time(words.next().expect("time"));
    let name = words.next().expect("event");
    let keys = keys(event);
    let wound = keys
        .get("w")
        .map_or(0, |text| text.parse::<usize>().expect("w") - 1);
    let word = words.find(|word| !word.contains('=')).unwrap_or("");
    let act = act(name, word, &keys, place).map(|act| Dated {
        at,
        order,
        about: About::Wound(wound),
        by: keys.get("who").map(|who| (*who).to_owned()),
        role: match keys.get("role") {
            Some(&"lead") => Role::TrainedLead,
            Some(&"medic") => Role::Medic,
            _ => Role::FirstAider,
        },
        confirmed: keys.get("confirmed") == Some(&"yes"),
        act,
    });
    let expected = expected
        .split(';')
        .map(|token| token.trim().to_owned())
        .collect();
    let recorded_at = keys.get("rec").map_or(at, |text| time(text));
    Line {
        text: line.to_owned(),
        wound,
        recorded_at,
        act,
        expected,
    }
}

fn application(keys: &Keys<'_>, place: Option<u8>) -> Application {
    Application {
        level: match keys.get("distance_cm") {
            Some(&"hat") => Level::HighAndTight,
            Some(text) => Level::AboveWound(text.parse::<u16>().expect("cm") * 10),
            None => Level::NotSaid,
        },
        down_the_limb: place,
        time_unknown: keys.get("time") == Some(&"unknown"),
        ..Application::default()
    }
}

#[expect(clippy::too_many_lines, reason = "one table of all events")]
fn act(name: &str, word: &str, keys: &Keys<'_>, place: Option<u8>) -> Option<Act> {
    let bleed = keys.get("bleed").copied();
    let is = |key: &str, value: &str| keys.get(key) == Some(&value);
    Some(match name {
        "NOTE" => return None,
        "WOUND" => Act::Found,
        "ASSESS" | "DID_FOUND" => Act::Assessed(Findings::flow(code::<Flow>(keys["rate"]))),
        "PRESSURE_START" => Act::PressureStarted,
        "PRESSURE_LAPSE" => Act::PressureLapsed {
            resumed: !is("resumed", "no"),
        },
        "HOLD_RESULT" => Act::HoldEnded(code::<HoldSeen>(bleed.expect("bleed"))),
        "PACKED" => Act::Packed {
            material: keys.get("material").map(|id| names::material(id)),
            expired: is("expired", "yes"),
        },
        "PD_APPLIED" => Act::DressingApplied,
        "PD_CHECK" => Act::DressingChecked {
            stain: bleed.map(code::<Stain>),
            beyond: keys.get("distal").map(|id| beyond(id)),
        },
        "PD_REINFORCED" => Act::DressingReinforced,
        "PD_LOOSENED" => Act::DressingLoosened,
        "PD_KEPT_TIGHT" => Act::DressingKeptTight,
        "TQ_APPLIED" => Act::TourniquetApplied(application(keys, place)),
        "TQ_CHECK" => Act::TourniquetChecked {
            bleeding: Some(is("bleeding", "yes")),
            pulse: keys.get("pulse").map(|id| pulse(id)),
        },
        "TQ_TIGHTENED" => Act::TourniquetTightened,
        "TQ_SECOND" => Act::SecondTourniquet(application(keys, place)),
        "TQ_REPOSITIONED" => Act::TourniquetMoved(application(keys, place)),
        "TQ_RETIGHTENED" => Act::Retightened,
        "TQ_TIME" => Act::TourniquetTimeTold(time(keys["at"])),
        "REVIEW" => Act::TourniquetReviewed,
        "CONV_START" => Act::ConversionStarted(Criteria::all()),
        "CONV_RESULT" => Act::ConversionEnded {
            held: is("result", "success"),
        },
        "MANUAL_HOLD" => Act::ManualHold,
        "COVERED" => Act::Covered,
        "COVER_CHECK" => Act::CoverChecked,
        "BREATHING_CHECK" => Act::BreathingChecked {
            worse: is("result", "worse"),
        },
        "SIMPLE_DRESS" => Act::SimplyDressed,
        "BLEED_CHECK" => Act::BleedChecked {
            dry: bleed == Some("dry"),
        },
        "CLEANED" => Act::Cleaned,
        "CLOSED" => Act::Closed,
        "DRESSING_CHANGED" => Act::DressingChanged,
        "MOVED" => Act::Moved,
        "SHOCK" => Act::Shock {
            on: is("on", "yes"),
        },
        "HANDOVER" => Act::HandedOver,
        "VOID" => Act::Void,
        "DID" => Act::Did {
            measure: code::<Measure>(word),
            material: None,
            expired: false,
        },
        "LOOK" => Act::Looked(match bleed {
            Some("stopped") => Look::Stopped,
            Some("slowed") => Look::Slowed,
            _ => Look::StillBleeding,
        }),
        "BEYOND" => Act::BeyondLooked {
            flow: keys.get("flow").map(|id| pulse(id)),
            result: keys.get("result").map(|id| beyond(id)),
        },
        other => panic!("no event {other}"),
    })
}

fn beyond(id: &str) -> Beyond {
    match id {
        "na" => Beyond::NotApplicable,
        other => code(other),
    }
}

fn pulse(id: &str) -> Pulse {
    match id {
        "na" => Pulse::NotApplicable,
        other => code(other),
    }
}
