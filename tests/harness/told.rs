//! An invented incident with everything that copies for other systems must carry: vital signs of every kind, a tourniquet
//! that is on and one that was let go, struck reports, a wish to leave, a trip from loading to handing over, positions,
//! and texts that break careless files.

use holdfast::exchange::standards::AsOf;
use holdfast::incident::{Entry, Incident, Seq};
use serde_json::{Value, json};

/// Awkward for a table: a formula, quotes, a comma and a line break.
pub(crate) const FORMULA: &str = "=1+1";
pub(crate) const AWKWARD: &str = "said \"leave me, please\"\nthen slept; <b>&amp; 'quoted'</b>";

pub(crate) const WOMAN: &str = "019aa000-0000-7000-8000-0000000000c1";
pub(crate) const CHILD: &str = "019aa000-0000-7000-8000-0000000000c2";
pub(crate) const MISTAKE: &str = "019aa000-0000-7000-8000-0000000000c3";
const THIGH: &str = "019aa000-0000-7000-8000-0000000000a1";
const FOREARM: &str = "019aa000-0000-7000-8000-0000000000a2";
const AMBULANCE: &str = "019aa000-0000-7000-8000-000000000071";
const HOSPITAL: &str = "019aa000-0000-7000-8000-000000000081";

/// Puts one entry after the other.
struct Teller {
    entries: Vec<Value>,
}

impl Teller {
    /// A report at this minute after 14:00; gives its id.
    fn says(&mut self, minute: u32, by: &str, about: &Value, fact: &Value) -> String {
        let seq = self.entries.len() + 1;
        let id = format!("019aa000-0000-7000-8000-00000000{seq:04x}");
        let at = format!("2025-06-14T14:{minute:02}:00Z");
        let (device, role) = match by {
            "Ina" => ("d1", json!("lead")),
            "Teo" => ("d2", json!("helper")),
            "Eva" => ("d3", json!("evac")),
            _ => ("b0", Value::Null),
        };
        let mut entry = json!({
            "seq": seq, "id": id, "about": about, "happened_at": at, "recorded_at": at, "based_on": seq - 1,
            "by": by, "device": format!("019aa000-0000-7000-8000-0000000000{device}"), "fact": fact,
        });
        if !role.is_null() {
            entry["role"] = role;
            entry["skill"] = json!("medic");
        }
        self.entries.push(entry);
        id
    }
}

/// The incident.
pub(crate) fn incident(practice: bool) -> Incident {
    let mut teller = Teller {
        entries: Vec::new(),
    };
    let (woman, child) = (json!({ "casualty": WOMAN }), json!({ "casualty": CHILD }));
    opens(&mut teller, practice);
    meets(&mut teller, &woman, &child);
    treats(&mut teller, &woman);
    measures(&mut teller, &woman, &child);
    leaves(&mut teller, &woman);
    let entries: Vec<Entry> = teller
        .entries
        .into_iter()
        .map(|entry| {
            serde_json::from_value(entry.clone()).unwrap_or_else(|error| panic!("{error}: {entry}"))
        })
        .collect();
    Incident::replay(entries)
}

/// As of its end.
pub(crate) fn as_of(incident: &Incident) -> AsOf {
    AsOf {
        seq: incident.head(),
        check: "7K3F-Q2".to_owned(),
        at: "2025-06-14T14:59:30Z".parse().unwrap(),
    }
}

/// The position of the report with this id.
pub(crate) fn position(incident: &Incident, kind: &str, nth: usize) -> Seq {
    let of_kind = incident
        .entries()
        .iter()
        .filter(|entry| entry.fact.kind() == kind);
    of_kind.map(|entry| entry.seq).nth(nth).unwrap()
}

fn opens(teller: &mut Teller, practice: bool) {
    let incident = json!("incident");
    let mut opened = json!({ "kind": "incident.opened/1", "board": "019aa000-0000-7000-8000-0000000000b0", "name": "East col" });
    if practice {
        opened["practice"] = json!(true);
    }
    teller.says(0, "board", &incident, &opened);
    for (name, role) in [("Ina", "lead"), ("Teo", "helper"), ("Eva", "evac")] {
        let joined =
            json!({ "kind": "helper.joined/1", "name": name, "skill": "medic", "role": role });
        teller.says(0, name, &incident, &joined);
    }
    let situation = json!({ "kind": "situation.reported/1", "position": "54.527, -3.0165", "location": "below the east col, \"scree\" & snow",
        "what": "rockfall on a walking group", "hazards_present": "loose rock", "access": "track from the hut", "egress": "the same",
        "services_present": "none", "services_required": "mountain rescue, ambulance", "rendezvous": "54.53 N 3.01 W", "radio": "channel 5" });
    teller.says(1, "Ina", &incident, &situation);
}

fn meets(teller: &mut Teller, woman: &Value, child: &Value) {
    let registered = json!({ "kind": "casualty.registered/1", "age": "adult", "words": "woman, \"red\" coat", "place": "by the cairn", "tag": "A-17" });
    teller.says(2, "Teo", woman, &registered);
    let registered = json!({ "kind": "casualty.registered/1", "age": "child", "words": "boy", "place": "54.5271, -3.0160" });
    teller.says(2, "Teo", child, &registered);
    let mistake = json!({ "casualty": MISTAKE });
    let registered = json!({ "kind": "casualty.registered/1", "age": "unknown", "words": "a coat, nobody in it" });
    let nobody = teller.says(2, "Teo", &mistake, &registered);
    teller.says(
        3,
        "Teo",
        &mistake,
        &json!({ "kind": "entry.struck/1", "entry": nobody, "reason": "nobody there" }),
    );
    let history = json!({ "kind": "history.told/1", "sex": "female", "injured_at": "2025-06-14T13:55:00Z", "mechanism": "fell about 6 m",
        "allergies": "penicillin", "medicines": "none" });
    teller.says(3, "Teo", woman, &history);
    teller.says(
        3,
        "Teo",
        woman,
        &json!({ "kind": "casualty.told/1", "years": 30 }),
    );
    for (who, category) in [(woman, "immediate"), (child, "minor")] {
        teller.says(
            4,
            "Ina",
            who,
            &json!({ "kind": "category.assigned/2", "category": category, "reason": "by eye" }),
        );
    }
    for text in [FORMULA, AWKWARD] {
        teller.says(
            4,
            "Teo",
            woman,
            &json!({ "kind": "note.added/1", "text": text }),
        );
    }
}

fn treats(teller: &mut Teller, woman: &Value) {
    let (thigh, forearm) = (json!({ "wound": THIGH }), json!({ "wound": FOREARM }));
    let found = json!({ "kind": "wound.found/2", "casualty": WOMAN, "region": "thigh", "side": "right", "flow": "spurting" });
    teller.says(5, "Teo", &thigh, &found);
    let found = json!({ "kind": "wound.found/2", "casualty": WOMAN, "region": "forearm", "side": "left", "flow": "steady" });
    teller.says(5, "Teo", &forearm, &found);
    let step = |step: &str| json!({ "kind": "step.taken/2", "step": step });
    let packed = json!({ "kind": "step.taken/2", "step": "pack", "used": [{ "item": "packing_gauze", "count": 2 }] });
    teller.says(5, "Teo", &forearm, &packed);
    teller.says(5, "Teo", &forearm, &step("pressure_dressing"));
    let on = json!({ "kind": "step.taken/2", "step": "tourniquet", "used": [{ "item": "tourniquet", "count": 1 }] });
    let checked = json!({ "kind": "tourniquet.checked/1", "bleeding": false, "pulse": "absent" });
    for wound in [&thigh, &forearm] {
        teller.says(6, "Teo", wound, &on);
        teller.says(7, "Teo", wound, &checked);
    }
    teller.says(10, "Teo", &forearm, &step("begin_release"));
    teller.says(12, "Teo", &forearm, &step("release_held"));
    let wrong = teller.says(13, "Teo", &thigh, &step("plain_dressing"));
    teller.says(
        14,
        "Teo",
        &thigh,
        &json!({ "kind": "entry.struck/1", "entry": wrong, "reason": "other leg" }),
    );
    teller.says(
        14,
        "Teo",
        woman,
        &json!({ "kind": "casualty.warmed/1", "used": [{ "item": "blanket", "count": 1 }] }),
    );
    teller.says(
        15,
        "Teo",
        woman,
        &json!({ "kind": "tranexamic.settled/1", "given": true }),
    );
}

fn measures(teller: &mut Teller, woman: &Value, child: &Value) {
    let all = json!({ "kind": "vitals.measured/2", "breaths_per_minute": 28, "pulse_per_minute": 130, "radial_pulse": "yes",
        "carotid_pulse": "yes", "systolic_mmhg": 98, "oxygen_saturation_percent": 96, "on_oxygen": false, "consciousness": "voice",
        "gcs": { "eye": "to_sound", "verbal": "confused", "motor": "obeys" }, "refill_tenths": 35, "temperature_tenths_c": 358,
        "pain": 7, "skin": ["pale", "cold"] });
    teller.says(16, "Teo", woman, &all);
    let other = json!({ "kind": "vitals.measured/2", "systolic_unrecordable": true, "consciousness": "confused",
        "gcs": { "eye": "spontaneous", "verbal": "not_testable", "motor": "obeys" } });
    teller.says(17, "Teo", woman, &other);
    let wrong =
        json!({ "kind": "vitals.measured/2", "pulse_per_minute": 230, "breaths_per_minute": 4 });
    let wrong = teller.says(18, "Teo", child, &wrong);
    teller.says(
        18,
        "Teo",
        child,
        &json!({ "kind": "entry.struck/1", "entry": wrong, "reason": "of somebody else" }),
    );
    teller.says(18, "Teo", child, &json!({ "kind": "vitals.measured/1", "consciousness": "alert", "temperature_tenths_c": 370 }));
}

fn leaves(teller: &mut Teller, woman: &Value) {
    let (incident, ambulance, hospital) = (
        json!("incident"),
        json!({ "transport": AMBULANCE }),
        json!({ "destination": HOSPITAL }),
    );
    let asked = json!({ "kind": "evac.requested/2", "priority": "first", "posture": "lying", "needs": ["surgery", "escort"], "note": "keep warm" });
    teller.says(20, "Ina", woman, &asked);
    let added = json!({ "kind": "transport.added/1", "name": "Ambulance 1", "means": "ambulance", "layouts": [{ "lying": 1, "sitting": 1 }],
        "attendants": 1, "load_minutes": 5, "unload_minutes": 10 });
    teller.says(21, "Eva", &ambulance, &added);
    let added = json!({ "kind": "destination.added/1", "name": "District hospital", "place": "local_hospital", "places": { "immediate": 2 },
        "abilities": ["surgery"], "minutes": { "road": 25 } });
    teller.says(21, "Eva", &hospital, &added);
    teller.says(
        22,
        "Eva",
        woman,
        &json!({ "kind": "casualty.loaded/1", "transport": AMBULANCE }),
    );
    teller.says(
        24,
        "Eva",
        &ambulance,
        &json!({ "kind": "transport.left/1", "destination": HOSPITAL }),
    );
    let said = json!({ "kind": "line.said/1", "message": "atmist", "line": "M", "text": "fell about 6 m,\nonto \"rock\"", "to": "District hospital" });
    teller.says(25, "Eva", woman, &said);
    teller.says(
        26,
        "Eva",
        woman,
        &json!({ "kind": "message.read_back/1", "message": "atmist", "by": "nurse" }),
    );
    teller.says(
        50,
        "Eva",
        &ambulance,
        &json!({ "kind": "transport.arrived/1" }),
    );
    teller.says(
        55,
        "Eva",
        woman,
        &json!({ "kind": "casualty.handed_over/1", "to": "trauma team", "destination": HOSPITAL }),
    );
    teller.says(
        56,
        "Teo",
        &incident,
        &json!({ "kind": "exposure.reported/1", "route": "stick" }),
    );
}
