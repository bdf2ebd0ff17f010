//! The laws of the fold, tried on many random stories.
//!
//! Owns what must hold whatever people report: order of presentation and of arrival do not matter, a struck
//! report leaves no trace, replay equals live, taking in never fails hard. Stories are drawn from the stored
//! fixtures too, so that a new kind of fact is under these laws as soon as it has a fixture.

use std::path::Path;
use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use serde_json::{Value, json};
use uuid::Uuid;

use super::*;

/// Devices, casualties and wounds of a story; wound `n` is casualty `n % 3`'s.
const DEVICES: u64 = 4;
const CASUALTIES: u64 = 3;
const WOUNDS: u64 = 6;
/// Well-known ids of the fixtures, by the last two letters.
const FIXTURE_ID: &str = "019aa000-0000-7000-8000-0000000000";

/// One report of a story, without its id and time.
#[derive(Clone, Debug)]
struct Deed {
    device: u64,
    /// Which casualty, wound and kit.
    thing: u64,
    /// Whether the person had seen everything or nothing.
    informed: bool,
    fact: Value,
    about: &'static str,
}

fn id(group: u64, number: u64) -> Uuid {
    Uuid::from_u128((u128::from(group) << 64) | u128::from(number))
}

fn device(number: u64) -> DeviceId {
    DeviceId::new(id(1, number % DEVICES))
}

fn casualty_id(number: u64) -> Uuid {
    id(2, number % CASUALTIES)
}

fn wound_id(number: u64) -> Uuid {
    id(3, number % WOUNDS)
}

fn noon() -> Timestamp {
    "2026-11-25T12:00:00Z".parse().unwrap()
}

fn author(number: u64) -> Author {
    let names = ["Ina", "Teodor", "Jo", "Margarete"];
    Author {
        device: device(number),
        name: Words::new(names[usize::try_from(number % DEVICES).unwrap()]).unwrap(),
        role: Some(Role::Lead),
        skill: None,
    }
}

/// Every fact of the fixtures with the kind of thing it is about; the board's own left out.
fn fixtures() -> Vec<(Value, &'static str)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/facts");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .collect();
    names.sort();
    let read = |path| {
        let entry: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let about = ["casualty", "wound", "kit", "transport", "destination"]
            .into_iter()
            .find(|key| entry["about"].get(key).is_some())
            .unwrap_or("incident");
        (entry["fact"].clone(), about)
    };
    names
        .into_iter()
        .map(read)
        .filter(|(fact, _)| {
            ![
                "incident.opened/1",
                "helper.joined/1",
                "board.continued/1",
                "command.handed_over/1",
                "incident.closed/1",
                "record.taken/1",
                "record.copied/1",
            ]
            .iter()
            .any(|own| fact["kind"] == *own)
        })
        .collect()
}

/// A fact with the fixtures' well-known ids put onto the things of a story.
fn placed(fact: &Value, thing: u64) -> Value {
    let text = fact
        .to_string()
        .replace(&format!("{FIXTURE_ID}c1"), &casualty_id(thing).to_string())
        .replace(
            &format!("{FIXTURE_ID}c2"),
            &casualty_id(thing + 1).to_string(),
        )
        .replace(&format!("{FIXTURE_ID}a1"), &wound_id(thing).to_string())
        .replace(&format!("{FIXTURE_ID}b1"), &id(4, thing % 2).to_string())
        .replace(&format!("{FIXTURE_ID}71"), &id(10, thing % 2).to_string())
        .replace(&format!("{FIXTURE_ID}81"), &id(11, thing % 2).to_string())
        .replace(&format!("{FIXTURE_ID}d1"), &device(thing).to_string())
        .replace(&format!("{FIXTURE_ID}e1"), &id(9, thing).to_string());
    serde_json::from_str(&text).unwrap()
}

fn one_of(choices: &'static [&'static str]) -> impl Strategy<Value = &'static str> {
    prop::sample::select(choices)
}

/// Values with more variety than the fixtures have, where the rules look closely.
fn varied() -> impl Strategy<Value = (Value, &'static str)> {
    let category =
        one_of(&["immediate", "delayed", "minor", "expectant", "dead"]).prop_map(|one| {
            (
                json!({"kind": "category.assigned/1", "category": one}),
                "casualty",
            )
        });
    let place = one_of(&["road", "slope above", "in the hut", "bus"]).prop_map(|one| {
        (
            json!({"kind": "casualty.moved/1", "place": one}),
            "casualty",
        )
    });
    let found = (
        one_of(&["thigh", "forearm", "scalp", "neck", "groin", "abdomen", "chest_wall"]),
        one_of(&["none", "ooze", "steady", "high", "spurting"]),
        any::<bool>(),
    )
        .prop_map(|(region, flow, amputation)| {
            let casualty = format!("{FIXTURE_ID}c1");
            (
                json!({"kind": "wound.found/1", "casualty": casualty, "region": region, "side": "left",
                    "flow": flow, "amputation": amputation}),
                "wound",
            )
        });
    let step = (
        one_of(&[
            "direct_pressure",
            "packing",
            "pressure_dressing",
            "tourniquet",
        ]),
        one_of(&["haemostatic_gauze", "packing_gauze", "tourniquet", "gloves"]),
        1..50_u32,
    )
        .prop_map(|(step, item, count)| {
            let used = json!([{ "item": item, "count": count }]);
            (
                json!({"kind": "step.taken/1", "step": step, "used": used}),
                "wound",
            )
        });
    prop_oneof![3 => prop_oneof![category, place, found, step], 4 => varied_further()]
}

fn varied_further() -> impl Strategy<Value = (Value, &'static str)> {
    let look = one_of(&["stopped", "slowed", "still_bleeding"])
        .prop_map(|one| (json!({"kind": "wound.looked/1", "bleeding": one}), "wound"));
    let distal = one_of(&["present", "absent", "weaker", "cannot_tell"]).prop_map(|one| {
        let fact = json!({"kind": "distal.checked/1", "circulation": one, "movement": "as_before", "feeling": "as_before"});
        (fact, "wound")
    });
    let met = (3..7_u64).prop_map(|one| {
        let fact = json!({"kind": "casualty.registered/1", "age": "child", "tag": one.to_string()});
        (fact, "newcomer")
    });
    let count = (
        one_of(&["haemostatic_gauze", "packing_gauze", "tourniquet"]),
        0..99_u32,
    )
        .prop_map(|(item, count)| {
            (
                json!({"kind": "stock.counted/1", "item": item, "count": count}),
                "kit",
            )
        });
    prop_oneof![look, distal, count, met, setting()]
}

fn setting() -> impl Strategy<Value = (Value, &'static str)> {
    let changed = |setting: &str, value: Value| json!({"kind": "policy.changed/1", "setting": setting, "value": value, "decided_by": "Dr. Okoro"});
    let numbers = (
        one_of(&[
            "hold_pressure",
            "hold_plain",
            "dressing_recheck",
            "sort_within",
        ]),
        5..30_u32,
    )
        .prop_map(move |(setting, value)| (changed(setting, json!(value)), "incident"));
    let first = one_of(&["tourniquet", "pressure_then_tourniquet"])
        .prop_map(move |value| (changed("first_for_limb", json!(value)), "incident"));
    prop_oneof![numbers, first]
}

fn deed() -> impl Strategy<Value = Deed> {
    let fact = prop_oneof![2 => prop::sample::select(fixtures()), 3 => varied()];
    (0..DEVICES, 0..WOUNDS, any::<bool>(), fact).prop_map(
        |(device, thing, informed, (fact, about))| Deed {
            device,
            thing,
            informed,
            fact: placed(&fact, thing),
            about,
        },
    )
}

fn story() -> impl Strategy<Value = Vec<Deed>> {
    prop::collection::vec(deed(), 1..25)
}

/// A story with the times at which its reports happened: distinct, in any order.
fn timed_story() -> impl Strategy<Value = Vec<(Report, Author)>> {
    story()
        .prop_flat_map(|deeds| {
            let minutes: Vec<i64> = (0..i64::try_from(deeds.len()).unwrap()).collect();
            (Just(deeds), Just(minutes).prop_shuffle())
        })
        .prop_map(|(deeds, minutes)| {
            let numbered = (0..).zip(deeds.into_iter().zip(minutes));
            numbered
                .map(|(number, (deed, minute))| told(number, &deed, minute))
                .collect()
        })
}

fn told(number: u64, deed: &Deed, minute: i64) -> (Report, Author) {
    let about = match deed.about {
        "casualty" => About::Casualty(CasualtyId::new(casualty_id(deed.thing))),
        "wound" => About::Wound(WoundId::new(wound_id(deed.thing))),
        "newcomer" => About::Casualty(CasualtyId::new(id(6, deed.thing))),
        "kit" => About::Kit(KitId::new(id(4, deed.thing % 2))),
        "transport" => About::Transport(TransportId::new(id(10, deed.thing % 2))),
        "destination" => About::Destination(DestinationId::new(id(11, deed.thing % 2))),
        _ => About::Incident,
    };
    let report = Report {
        id: EntryId::new(id(9, number)),
        about,
        happened_at: noon() + SignedDuration::from_mins(minute),
        based_on: Seq(if deed.informed { u64::MAX } else { 0 }),
        time_unsure: false,
        epoch: None,
        fact: serde_json::from_value(deed.fact.clone()).unwrap(),
    };
    (report, author(deed.device))
}

fn now() -> Timestamp {
    noon() + SignedDuration::from_hours(2)
}

/// What every story begins with: the board, its people, its casualties and their wounds.
fn beginning() -> Incident {
    let mut incident = Incident::default();
    let mut draft = incident.draft();
    let by_board = |number| Author {
        role: None,
        ..author(number)
    };
    let mut number = 0;
    let mut begin = |about, fact: Value, device| {
        let report = Report {
            id: EntryId::new(id(8, number)),
            about,
            happened_at: noon() - SignedDuration::from_mins(60)
                + SignedDuration::from_secs(number.cast_signed()),
            based_on: Seq::START,
            time_unsure: false,
            epoch: None,
            fact: serde_json::from_value(fact).unwrap(),
        };
        number += 1;
        draft.admit(report, &by_board(device), now()).unwrap();
    };
    let opened = json!({"kind": "incident.opened/1", "board": id(7, 0), "name": "Bus"});
    begin(About::Incident, opened, 0);
    for one in 0..DEVICES {
        let joined =
            json!({"kind": "helper.joined/1", "name": "Teo", "skill": "medic", "role": "lead"});
        begin(About::Incident, joined, one);
    }
    for one in 0..CASUALTIES {
        let registered = json!({"kind": "casualty.registered/1", "age": "adult"});
        begin(
            About::Casualty(CasualtyId::new(casualty_id(one))),
            registered,
            0,
        );
    }
    for one in 0..WOUNDS {
        // Every part of the body that has its own ladder, and its own share in what is due.
        let region = ["thigh", "forearm", "groin", "neck", "chest_wall", "scalp"]
            [usize::try_from(one).unwrap()];
        let found = json!({"kind": "wound.found/1", "casualty": casualty_id(one), "region": region, "side": "left", "flow": "steady"});
        begin(About::Wound(WoundId::new(wound_id(one))), found, 0);
    }
    for one in 0..2 {
        let added = json!({"kind": "transport.added/1", "name": "Ambulance", "means": "ambulance",
            "layouts": [{"lying": 1, "sitting": 2}], "attendants": 1, "load_minutes": 5, "unload_minutes": 5});
        begin(About::Transport(TransportId::new(id(10, one))), added, 0);
        let added = json!({"kind": "destination.added/1", "name": "Hut", "place": "meeting_point"});
        begin(
            About::Destination(DestinationId::new(id(11, one))),
            added,
            0,
        );
    }
    let changes = draft.finish();
    incident.adopt(changes);
    incident
}

/// Takes reports in, so many to a commit; returns the incident and what became of each.
fn lived(reports: &[(Report, Author)], group: usize) -> (Incident, Vec<Result<EntryId, Refusal>>) {
    let mut incident = beginning();
    let mut outcomes = Vec::new();
    for some in reports.chunks(group.max(1)) {
        let mut draft = incident.draft();
        for (report, author) in some {
            let outcome = draft.admit(report.clone(), author, now());
            outcomes.push(outcome.map(|receipt| receipt.id));
        }
        let changes = draft.finish();
        let announced: Vec<_> = changes
            .casualties
            .iter()
            .map(|change| (change.id, change.number, change.after.clone()))
            .collect();
        incident.adopt(changes);
        for (id, number, after) in announced {
            // The journal writes its tables from what a draft announces, before it is adopted.
            assert_eq!(incident.own_number(id), Some(number));
            let here = incident.casualty(id).filter(|one| one.id == id);
            assert!(here == after.as_ref());
        }
    }
    (incident, outcomes)
}

/// Text without the numbers that follow from arrival: positions and short numbers.
fn without_arrival(text: &str) -> String {
    let mut clean = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((at, mark)) = ["Seq(", "number: ", "order: "]
        .into_iter()
        .filter_map(|mark| Some((rest.find(mark)?, mark)))
        .min()
    {
        clean.push_str(&rest[..at + mark.len()]);
        rest = rest[at + mark.len()..].trim_start_matches(|c: char| c.is_ascii_digit());
    }
    clean + rest
}

/// Everything that is known of the casualties and the bags, apart from what follows from arrival.
fn known(incident: &Incident) -> (Vec<(CasualtyId, String)>, String) {
    let mut casualties: Vec<_> = incident
        .casualties()
        .map(|one| (one.id, without_arrival(&format!("{one:?}"))))
        .collect();
    casualties.sort();
    let settings = without_arrival(&format!("{:?}", incident.settings()));
    let rest = format!(
        "{:?} {:?} {:?} {settings}",
        incident.supplies,
        incident.description(),
        incident.evacuation()
    );
    (casualties, rest)
}

/// Fails with the place where two accounts part, not with all of both.
fn agree<T: std::fmt::Debug>(one: &T, other: &T) -> Result<(), TestCaseError> {
    let (one, other) = (format!("{one:?}"), format!("{other:?}"));
    let at = one
        .bytes()
        .zip(other.bytes())
        .take_while(|(a, b)| a == b)
        .count();
    let around = |text: &str| -> String {
        text.chars()
            .skip(at.saturating_sub(120))
            .take(240)
            .collect()
    };
    prop_assert!(one == other, "\n  {}\n  {}", around(&one), around(&other));
    Ok(())
}

/// Every index and every fold, for two incidents with the same entries.
fn same(one: &Incident, other: &Incident) -> Result<(), TestCaseError> {
    let differing = [
        ("entries", one.entries != other.entries),
        ("by_id", one.by_id != other.by_id),
        ("threads", one.threads != other.threads),
        ("numbers", one.numbers != other.numbers),
        ("owners", one.owners != other.owners),
        ("same_facts", one.same_facts != other.same_facts),
        ("sames", one.sames != other.sames),
        ("strikes", one.strikes != other.strikes),
        ("struck", one.struck != other.struck),
        ("casualties", one.casualties != other.casualties),
        ("people", one.people != other.people),
        ("supplies", one.supplies != other.supplies),
        ("description", one.description != other.description),
        ("evacuation", one.evacuation != other.evacuation),
        ("places", one.places != other.places),
        ("moving", one.moving != other.moving),
        ("settings", one.settings != other.settings),
        ("touched", one.touched != other.touched),
    ]
    .into_iter()
    .find_map(|(name, differs)| differs.then_some(name));
    prop_assert!(differing.is_none(), "{differing:?} differ");
    Ok(())
}

fn strike(number: u64, of: EntryId) -> (Report, Author) {
    let struck = json!({"kind": "entry.struck/1", "entry": of, "reason": "not so"});
    let deed = Deed {
        device: 0,
        thing: 0,
        informed: true,
        fact: struck,
        about: "incident",
    };
    told(number, &deed, 100 + i64::try_from(number % 10).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn entries_may_be_presented_in_any_order(
        (incident, entries, mixed) in timed_story().prop_flat_map(|reports| {
            let (incident, _) = lived(&reports, 7);
            let entries = incident.entries().to_vec();
            (Just(incident), Just(entries.clone()), Just(entries).prop_shuffle())
        })
    ) {
        let view = |entries: &[Arc<Entry>]| {
            let all: Vec<&Entry> = entries.iter().map(Arc::as_ref).collect();
            let settings = Settings::fold(&all);
            (0..CASUALTIES)
                .map(|one| {
                    let id = CasualtyId::new(casualty_id(one));
                    let mine: Vec<&Entry> = entries
                        .iter()
                        .map(Arc::as_ref)
                        .filter(|entry| incident.casualty_of(&entry.about) == Some(id))
                        .collect();
                    let record = Record {
                        id,
                        number: 1,
                        last_seq: Seq(1),
                        joins: incident.sames().joins(id),
                    };
                    Casualty::fold(&record, &mine, &settings)
                })
                .collect::<Vec<_>>()
        };
        agree(&view(&entries), &view(&mixed))?;
    }

    #[test]
    fn facts_of_people_who_saw_nothing_of_each_other_may_arrive_in_any_order(
        (first, second) in timed_story().prop_flat_map(|mut reports| {
            for (report, _) in &mut reports {
                report.based_on = Seq::START;
            }
            (Just(reports.clone()), Just(reports).prop_shuffle())
        })
    ) {
        // A person strikes or confirms what they have seen: both wait until what they name has arrived.
        let names = |report: &Report| match &report.fact {
            Fact::EntryStruck(strike) => Some(strike.entry),
            Fact::ReportConfirmed(confirmed) => Some(confirmed.entry),
            _ => None,
        };
        let arrive = |reports: Vec<(Report, Author)>| {
            let (mut waiting, mut ordered): (Vec<_>, Vec<_>) =
                reports.into_iter().partition(|(report, _)| names(report).is_some());
            while !waiting.is_empty() {
                let here: Vec<EntryId> = ordered.iter().map(|(report, _)| report.id).collect();
                let (ready, not_yet): (Vec<_>, Vec<_>) = waiting
                    .into_iter()
                    .partition(|(report, _)| names(report).is_some_and(|entry| here.contains(&entry)));
                if ready.is_empty() {
                    break;
                }
                ordered.extend(ready);
                waiting = not_yet;
            }
            lived(&ordered, 5).0
        };
        agree(&known(&arrive(first)), &known(&arrive(second)))?;
    }

    #[test]
    fn replay_equals_live_however_commits_are_grouped(reports in timed_story(), group in 1..30_usize) {
        let (one_by_one, outcomes) = lived(&reports, 1);
        let (grouped, grouped_outcomes) = lived(&reports, group);
        prop_assert_eq!(outcomes, grouped_outcomes);
        same(&one_by_one, &grouped)?;
        let stored: Vec<String> = grouped
            .entries()
            .iter()
            .map(|entry| serde_json::to_string(entry).unwrap())
            .collect();
        let read = stored.iter().map(|body| serde_json::from_str(body).unwrap()).collect();
        same(&grouped, &Incident::replay(read))?;
    }

    #[test]
    fn a_resend_changes_nothing(reports in timed_story()) {
        let (once, outcomes) = lived(&reports, 4);
        // What was refused may be taken later (what it names has come), so only what was taken is sent again.
        let taken = reports.iter().zip(&outcomes).filter(|(_, outcome)| outcome.is_ok());
        let twice: Vec<_> = reports.iter().chain(taken.map(|(report, _)| report)).cloned().collect();
        let (again, again_outcomes) = lived(&twice, 9);
        same(&once, &again)?;
        let receipts: Vec<_> = outcomes.iter().filter(|outcome| outcome.is_ok()).collect();
        prop_assert!(receipts.into_iter().eq(&again_outcomes[outcomes.len()..]));
    }

    #[test]
    fn a_struck_fact_leaves_no_trace_but_in_the_log(reports in timed_story(), pick in any::<prop::sample::Index>()) {
        let pick = pick.index(reports.len());
        let (target, _) = reports[pick].clone();
        let mut struck = reports.clone();
        struck.push(strike(900, target.id));
        let mut never = reports;
        never.remove(pick);
        let (with, mut outcomes) = lived(&struck, 6);
        let (without, others) = lived(&never, 6);
        // Only where it was taken in and nothing else rests on it.
        prop_assume!(outcomes.remove(pick).is_ok());
        outcomes.pop();
        prop_assume!(outcomes.iter().map(Result::is_ok).eq(others.iter().map(Result::is_ok)));
        agree(&known(&with), &known(&without))?;
        let seq = with.position(target.id).expect("it stays in the log");
        prop_assert!(with.is_struck(seq));
        prop_assert_eq!(&with.entry(seq).unwrap().fact, &target.fact);
    }

    #[test]
    fn striking_the_strike_restores(reports in timed_story(), pick in any::<prop::sample::Index>()) {
        let (before, outcomes) = lived(&reports, 6);
        let target = &reports[pick.index(reports.len())].0;
        prop_assume!(outcomes[pick.index(reports.len())].is_ok());
        let mut restored = reports.clone();
        restored.push(strike(900, target.id));
        restored.push(strike(901, EntryId::new(id(9, 900))));
        let (after, _) = lived(&restored, 6);
        agree(&known(&before), &known(&after))?;
        prop_assert_eq!(
            before.is_struck(before.position(target.id).unwrap()),
            after.is_struck(after.position(target.id).unwrap())
        );
    }

    #[test]
    fn taking_in_never_fails_hard(
        wild in prop::collection::vec((deed(), 0..4_u64, prop_oneof![
            Just(Timestamp::MIN), Just(Timestamp::MAX), Just(now()), Just(noon())
        ], 0..20_u64, one_of(&["casualty", "wound", "kit", "incident"])), 1..20),
        role in prop::option::of(prop::sample::select(Role::ALL.to_vec())),
    ) {
        let mut incident = beginning();
        let mut draft = incident.draft();
        for (number, (deed, device, at, reuse, about)) in (0..).zip(wild) {
            let (mut report, mut author) = told(number, &deed, 0);
            report.happened_at = at;
            report.id = EntryId::new(id(9, reuse));
            if device == 0 {
                report.about = told(number, &Deed { about, thing: 5 + number, ..deed }, 0).0.about;
            }
            author.role = role;
            drop(draft.admit(report, &author, now()));
        }
        let changes = draft.finish();
        incident.adopt(changes);
        let replayed = Incident::replay(incident.entries().iter().map(|one| (**one).clone()).collect());
        same(&incident, &replayed)?;
        agree(&incident.duties(), &replayed.duties())?;
        let folded = incident.totals().values().sum::<usize>();
        prop_assert_eq!(folded, incident.casualties().count());
    }
}

#[test]
fn every_kind_of_report_is_under_these_laws() {
    let mut kinds: Vec<String> = fixtures()
        .into_iter()
        .map(|(fact, about)| {
            let deed = Deed {
                device: 0,
                thing: 0,
                informed: false,
                fact: placed(&fact, 0),
                about,
            };
            let (report, author) = told(500, &deed, 1);
            let strike_target = strike(0, EntryId::new(id(8, 6)));
            let (_, outcomes) = lived(&[strike_target, (report.clone(), author)], 9);
            assert!(
                outcomes[1].is_ok(),
                "{} is not taken in: {:?}",
                report.fact.kind(),
                outcomes[1]
            );
            report.fact.kind().to_owned()
        })
        .collect();
    kinds.dedup();
    assert!(kinds.len() >= 16, "{kinds:?}");
}
