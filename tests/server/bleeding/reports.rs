//! The lines of the sequence file as reports: a set-up, then events, each as the fact a phone would send.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::names::material;

/// A sequence of the file.
pub(super) struct Sequence {
    pub(super) id: String,
    /// Keys of the set-up, one map per wound (or per remark about the person).
    pub(super) set_up: Vec<BTreeMap<String, String>>,
    pub(super) lines: Vec<Line>,
}

/// One event with what must stand afterwards.
pub(super) struct Line {
    pub(super) text: String,
    /// Minutes from the beginning at which it happened, and at which it was typed in.
    pub(super) at: i64,
    pub(super) recorded: i64,
    pub(super) event: String,
    /// A word after the event that is no key.
    pub(super) word: String,
    pub(super) keys: BTreeMap<String, String>,
    pub(super) expected: Vec<String>,
}

impl Line {
    pub(super) fn key(&self, name: &str) -> &str {
        self.keys.get(name).map_or("", String::as_str)
    }

    pub(super) fn wound(&self) -> usize {
        self.keys
            .get("w")
            .map_or(0, |w| w.parse::<usize>().unwrap() - 1)
    }
}

impl Sequence {
    /// The set-ups that place a wound.
    pub(super) fn wounds(&self) -> Vec<&BTreeMap<String, String>> {
        let places = |keys: &&BTreeMap<String, String>| keys.contains_key("region");
        self.set_up.iter().filter(places).collect()
    }

    pub(super) fn about_the_person(&self, key: &str) -> Option<&str> {
        self.set_up
            .iter()
            .find_map(|keys| keys.get(key))
            .map(String::as_str)
    }
}

/// `h:mm` in minutes.
pub(super) fn minutes(text: &str) -> i64 {
    let (hours, minutes) = text.split_once(':').expect("h:mm");
    hours.parse::<i64>().unwrap() * 60 + minutes.parse::<i64>().unwrap()
}

fn keys(text: &str) -> BTreeMap<String, String> {
    text.split_whitespace()
        .filter_map(|word| word.split_once('='))
        .map(|(key, value)| (key.to_owned(), value.to_owned()))
        .collect()
}

pub(super) fn read(text: &str) -> Vec<Sequence> {
    let mut all: Vec<Sequence> = Vec::new();
    for line in text.lines().map(str::trim) {
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(head) = line.strip_prefix('[') {
            let (id, rest) = head.split_once(']').unwrap();
            let (_, set_up) = rest.split_once('|').unwrap();
            all.push(Sequence {
                id: id.to_owned(),
                set_up: set_up.split(';').map(keys).collect(),
                lines: Vec::new(),
            });
        } else {
            all.last_mut().unwrap().lines.push(event(line));
        }
    }
    all
}

fn event(line: &str) -> Line {
    let (event, expected) = line.split_once("=>").unwrap();
    let mut words = event.trim().strip_prefix('@').unwrap().split_whitespace();
    let at = minutes(words.next().unwrap());
    let name = words.next().unwrap().to_owned();
    let keys = keys(event);
    let word = words.find(|word| !word.contains('=')).unwrap_or("");
    Line {
        text: line.to_owned(),
        at,
        recorded: keys.get("rec").map_or(at, |text| minutes(text)),
        event: name,
        word: word.to_owned(),
        keys,
        expected: expected
            .split(';')
            .map(|token| token.trim().to_owned())
            .collect(),
    }
}

/// What a fact is about.
pub(super) enum About {
    Wound,
    Person,
}

/// The fact a phone would send for an event; nothing for a line that only looks. `time` gives board time for `h:mm`.
pub(super) fn fact(line: &Line, time: &dyn Fn(&str) -> String) -> Option<(About, Value)> {
    let key = |name: &str| line.key(name);
    let step = |step: &str| json!({ "kind": "step.taken/2", "step": step });
    let on_wound = |fact: Value| Some((About::Wound, fact));
    match line.event.as_str() {
        "NOTE" => None,
        "PRESSURE_START" => on_wound(step("press")),
        "PRESSURE_LAPSE" if key("resumed") == "no" => on_wound(step("hands_off")),
        "PRESSURE_LAPSE" => on_wound(step("pressure_lifted")),
        "HOLD_RESULT" => on_wound(looked(key("bleed"))),
        "PACKED" => {
            let mut fact = step("pack");
            fact["used"] = json!([{ "item": gauze(key("material")), "count": 1 }]);
            if key("expired") == "yes" {
                fact["expired"] = json!(true);
            }
            on_wound(fact)
        }
        "PD_APPLIED" => {
            let mut fact = step("pressure_dressing");
            fact["used"] = json!([{ "item": bandage(key("kind")), "count": 1 }]);
            on_wound(fact)
        }
        "PD_CHECK" => on_wound(dressing(key("bleed"), key("distal"))),
        "PD_REINFORCED" => on_wound(step("reinforce")),
        "PD_LOOSENED" => on_wound(step("loosen")),
        "PD_KEPT_TIGHT" => on_wound(step("keep_tight")),
        "TQ_APPLIED" => on_wound(tourniquet(line, "tourniquet")),
        "TQ_SECOND" => on_wound(tourniquet(line, "second_tourniquet")),
        "TQ_REPOSITIONED" => on_wound(tourniquet(line, "move_tourniquet")),
        "TQ_TIGHTENED" | "TQ_RETIGHTENED" => on_wound(step("tighten")),
        "TQ_CHECK" => {
            let pulse = if key("pulse") == "na" {
                "not_applicable"
            } else {
                key("pulse")
            };
            on_wound(
                json!({ "kind": "tourniquet.checked/1", "bleeding": key("bleeding") == "yes", "pulse": pulse }),
            )
        }
        "TQ_TIME" => {
            on_wound(json!({ "kind": "tourniquet.timed/1", "applied_at": time(key("at")) }))
        }
        "REVIEW" => on_wound(step("leave_tourniquet")),
        "CONV_START" => on_wound(
            json!({ "kind": "release.begun/1", "watched_by": "Sol", "ticked":
            ["no_shock", "no_amputation", "worked_until_now", "in_time", "no_failed_try", "material_ready", "watched"] }),
        ),
        "CONV_RESULT" if key("result") == "success" => on_wound(step("release_held")),
        "CONV_RESULT" => on_wound(step("release_failed")),
        _ => Some(later(line)),
    }
}

fn later(line: &Line) -> (About, Value) {
    let key = |name: &str| line.key(name);
    let step = |step: &str| {
        (
            About::Wound,
            json!({ "kind": "step.taken/2", "step": step }),
        )
    };
    match line.event.as_str() {
        "MANUAL_HOLD" => step("hold_by_hand"),
        "COVERED" => {
            let (about, mut fact) = step("cover");
            let item = if key("kind") == "eye_shield" {
                "eye_shield"
            } else {
                "large_pad"
            };
            fact["used"] = json!([{ "item": item, "count": 1 }]);
            (about, fact)
        }
        "COVER_CHECK" => step("check_cover"),
        "BREATHING_CHECK" => (
            About::Wound,
            json!({ "kind": "breathing.checked/1", "worse": key("result") == "worse" }),
        ),
        "SIMPLE_DRESS" => step("plain_dressing"),
        "BLEED_CHECK" if key("bleed") == "dry" => (About::Wound, looked("stopped")),
        "BLEED_CHECK" => (About::Wound, looked("continues")),
        "CLEANED" => (About::Wound, json!({ "kind": "wound.rinsed/1", "ml": 500 })),
        "CLOSED" => (
            About::Wound,
            json!({ "kind": "wound.closed/1", "with": "strips" }),
        ),
        "DRESSING_CHANGED" => (
            About::Wound,
            json!({ "kind": "infection.looked/1", "dressing_changed": true }),
        ),
        "MOVED" => (
            About::Person,
            json!({ "kind": "casualty.moved/1", "place": "at the road" }),
        ),
        "SHOCK" => (
            About::Person,
            json!({ "kind": "shock.judged/1", "shock": key("on") == "yes" }),
        ),
        "HANDOVER" => (
            About::Person,
            json!({ "kind": "casualty.handed_over/1", "to": key("to") }),
        ),
        "VOID" => (
            About::Wound,
            json!({ "kind": "wound.voided/1", "reason": key("reason") }),
        ),
        "DID" => (
            About::Wound,
            json!({ "kind": "step.taken/1", "step": line.word }),
        ),
        "LOOK" => {
            let seen = if key("bleed") == "still" {
                "continues"
            } else {
                key("bleed")
            };
            (About::Wound, looked(seen))
        }
        "BEYOND" => {
            let said = if key("result") == "fail" {
                "worse"
            } else {
                "as_before"
            };
            let flow = match key("flow") {
                "" => "cannot_tell",
                flow => flow,
            };
            let fact = json!({ "kind": "distal.checked/1", "circulation": flow, "movement": said, "feeling": said });
            (About::Wound, fact)
        }
        other => panic!("no event {other}"),
    }
}

fn looked(seen: &str) -> Value {
    let bleeding = match seen {
        "stopped" => "stopped",
        "ooze" | "slowed" => "slowed",
        _ => "still_bleeding",
    };
    json!({ "kind": "wound.looked/1", "bleeding": bleeding })
}

fn dressing(stain: &str, beyond: &str) -> Value {
    let mut fact = json!({ "kind": "beyond.checked/1", "stain": stain });
    let (circulation, rest) = match beyond {
        "pass" => ("present", "as_before"),
        "fail" | "none_before" => ("absent", "as_before"),
        _ => return fact,
    };
    fact["circulation"] = json!(circulation);
    fact["movement"] = json!(rest);
    fact["feeling"] = json!(rest);
    fact
}

fn tourniquet(line: &Line, step: &str) -> Value {
    let mut on = json!({});
    match line.key("distance_cm") {
        "hat" => on["level"] = json!("high_and_tight"),
        "" => {}
        cm => on["level"] = json!({ "above_wound": cm.parse::<u16>().unwrap() * 10 }),
    }
    if line.key("time") == "unknown" {
        on["time_unknown"] = json!(true);
    }
    json!({ "kind": "step.taken/2", "step": step, "tourniquet": on, "used": [{ "item": "tourniquet", "count": 1 }] })
}

fn gauze(id: &str) -> &'static str {
    if id.is_empty() {
        "packing_gauze"
    } else {
        material(id).code()
    }
}

fn bandage(id: &str) -> &'static str {
    match id {
        "ELASTIC" => "elastic_bandage",
        "PB" => "pressure_bandage",
        "COTTON" => "cloth",
        _ => "bar_bandage",
    }
}
