//! Stories of leaving, told as reports.

use jiff::{SignedDuration, Timestamp};
use serde_json::{Value, json};
use uuid::Uuid;

use super::{TransportState, Whereabouts, Wish};
use crate::incident::*;

const T: u128 = 0x71;
const OTHER: u128 = 0x72;
const D: u128 = 0x81;

fn uuid(number: u128) -> Uuid {
    Uuid::from_u128(number)
}

fn about(kind: &str, number: u128) -> About {
    serde_json::from_value(json!({ kind: uuid(number) })).unwrap()
}

fn at(minute: i64) -> Timestamp {
    "2026-11-25T14:00:00Z".parse::<Timestamp>().unwrap() + SignedDuration::from_mins(minute)
}

#[derive(Default)]
struct Story {
    incident: Incident,
    told: u128,
}

impl Story {
    /// Two casualties, two ambulances and a hospital.
    fn begin() -> Self {
        let mut story = Self::default();
        for casualty in [1, 2] {
            let met = json!({"kind": "casualty.registered/1", "age": "adult"});
            story.tell(0, about("casualty", casualty), met).unwrap();
        }
        for transport in [T, OTHER] {
            let added = json!({"kind": "transport.added/1", "name": "Ambulance 1", "means": "ambulance",
                "layouts": [{"lying": 2, "sitting": 0}], "attendants": 1, "load_minutes": 5, "unload_minutes": 10});
            story.tell(1, about("transport", transport), added).unwrap();
        }
        let added = json!({"kind": "destination.added/1", "name": "Valley", "place": "local_hospital",
            "minutes": {"road": 40}});
        story.tell(1, about("destination", D), added).unwrap();
        story
    }

    fn tell_as(
        &mut self,
        role: Role,
        minute: i64,
        about: About,
        fact: Value,
    ) -> Result<EntryId, Refusal> {
        self.told += 1;
        let author = Author {
            device: DeviceId::new(uuid(0xd1)),
            name: Words::new("Eva").unwrap(),
            role: Some(role),
            skill: None,
        };
        let report = Report {
            id: EntryId::new(uuid(0xf000 + self.told)),
            about,
            happened_at: at(minute),
            based_on: self.incident.head(),
            time_unsure: false,
            epoch: None,
            fact: serde_json::from_value(fact).unwrap(),
        };
        let mut draft = self.incident.draft();
        let receipt = draft.admit(report, &author, at(300))?;
        let changes = draft.finish();
        self.incident.adopt(changes);
        Ok(receipt.id)
    }

    fn tell(&mut self, minute: i64, about: About, fact: Value) -> Result<EntryId, Refusal> {
        self.tell_as(Role::Lead, minute, about, fact)
    }

    fn load(&mut self, minute: i64, casualty: u128, transport: u128) -> EntryId {
        let loaded = json!({"kind": "casualty.loaded/1", "transport": uuid(transport)});
        self.tell(minute, about("casualty", casualty), loaded)
            .unwrap()
    }

    fn leave(&mut self, minute: i64, transport: u128) -> EntryId {
        let left = json!({"kind": "transport.left/1", "destination": uuid(D)});
        self.tell(minute, about("transport", transport), left)
            .unwrap()
    }

    fn there(&self, casualty: u128) -> Option<&Whereabouts> {
        self.incident
            .evacuation()
            .whereabouts(CasualtyId::new(uuid(casualty)))
    }

    fn state(&self, transport: u128) -> TransportState {
        self.incident.evacuation().transports[&TransportId::new(uuid(transport))].state
    }
}

#[test]
fn who_is_on_goes_where_the_transport_goes_until_handed_over() {
    let mut story = Story::begin();
    story.load(10, 1, T);
    assert_eq!(story.state(T), TransportState::Loading);
    assert!(matches!(story.there(1), Some(Whereabouts::Loading { .. })));
    story.leave(15, T);
    assert_eq!(story.state(T), TransportState::Gone);
    assert!(
        matches!(story.there(1), Some(Whereabouts::Gone { left_at, arrived_at: None, .. }) if *left_at == at(15))
    );
    assert_eq!(story.there(2), None);
    let arrived = json!({"kind": "transport.arrived/1"});
    story.tell(55, about("transport", T), arrived).unwrap();
    assert!(
        matches!(story.there(1), Some(Whereabouts::Gone { arrived_at: Some(then), .. }) if *then == at(55))
    );
    let over = json!({"kind": "casualty.handed_over/1", "to": "night nurse"});
    story.tell(60, about("casualty", 1), over).unwrap();
    // Where they were taken need not be said again.
    assert!(
        matches!(story.there(1), Some(Whereabouts::HandedOver { destination: Some(id), .. }) if id.uuid() == uuid(D))
    );
}

#[test]
fn somebody_written_down_after_it_left_is_on_the_trip() {
    let mut story = Story::begin();
    story.leave(15, T);
    story.load(17, 2, T);
    assert!(
        matches!(story.there(2), Some(Whereabouts::Gone { left_at, .. }) if *left_at == at(15))
    );
    // The same told in time order, though it arrived later.
    let mut late = Story::begin();
    late.leave(15, T);
    late.load(12, 2, T);
    assert!(matches!(late.there(2), Some(Whereabouts::Gone { left_at, .. }) if *left_at == at(15)));
}

/// Who the plan has a trip for, as of a minute.
fn planned(story: &Story, minute: i64) -> Vec<u32> {
    let terms = super::Terms {
        as_of: at(minute),
        shown: &[],
        dusk: None,
        effort: crate::rules::evac::Effort::default(),
        hour: |at| at.to_string(),
    };
    let plan = super::plan(&story.incident, terms);
    let mut who: Vec<u32> = plan
        .trips
        .iter()
        .flat_map(|trip| &trip.casualties)
        .filter_map(|id| story.incident.number(*id))
        .collect();
    who.sort_unstable();
    who
}

/// Both are asked for, and the first has left on the first ambulance.
fn first_has_left(destination: bool) -> Story {
    let mut story = Story::begin();
    for casualty in [1, 2] {
        let asked = json!({"kind": "evac.requested/2", "priority": "first", "posture": "lying"});
        story.tell(2, about("casualty", casualty), asked).unwrap();
    }
    // Room for both, so that nothing but being gone keeps anybody out of the plan.
    let room = json!({"kind": "destination.changed/1", "places": {"immediate": 5}});
    story.tell(3, about("destination", D), room).unwrap();
    story.load(10, 1, T);
    let left = if destination {
        json!({"kind": "transport.left/1", "destination": uuid(D)})
    } else {
        json!({"kind": "transport.left/1"})
    };
    story.tell(15, about("transport", T), left).unwrap();
    story
}

#[test]
fn who_has_gone_is_not_planned_again() {
    let stands = |state: &str| json!({"kind": "transport.stands/1", "state": state});
    // Back without a word of arrival.
    let mut back = first_has_left(true);
    back.tell(70, about("transport", T), stands("back"))
        .unwrap();
    assert_eq!(planned(&back, 71), [2]);
    // It was there by then; it is no longer on its way.
    assert!(matches!(
        back.there(1),
        Some(Whereabouts::Gone { arrived_at: Some(then), .. }) if *then == at(70)
    ));
    // Gone, and nobody said where.
    assert_eq!(planned(&first_has_left(false), 20), [2]);
    // Out of use on the way.
    let mut out = first_has_left(true);
    out.tell(30, about("transport", T), stands("out")).unwrap();
    assert_eq!(planned(&out, 31), [2]);
    assert!(matches!(out.there(1), Some(Whereabouts::Gone { .. })));
}

#[test]
fn a_wild_time_neither_overflows_nor_means_now() {
    let mut story = first_has_left(true);
    for wild in ["6109-01-01T00:00:00Z", "9999-01-01T00:00:00Z"] {
        let changed =
            json!({"kind": "transport.changed/1", "available_at": wild, "last_departure": wild});
        story.tell(20, about("transport", OTHER), changed).unwrap();
        let stands = json!({"kind": "transport.stands/1", "state": "expected"});
        story.tell(20, about("transport", OTHER), stands).unwrap();
        let plan = super::plan(
            &story.incident,
            super::Terms {
                as_of: at(21),
                shown: &[],
                dusk: None,
                effort: crate::rules::evac::Effort::default(),
                hour: |at| at.to_string(),
            },
        );
        let on_it = |trip: &&super::PlannedTrip| trip.transport.uuid() == uuid(OTHER);
        assert!(!plan.trips.iter().any(|trip| on_it(&trip)), "{wild}");
    }
}

#[test]
fn who_was_taken_off_does_not_arrive_with_it() {
    let mut story = first_has_left(true);
    let off = json!({"kind": "casualty.unloaded/1", "reason": "was not on it"});
    story.tell(16, about("casualty", 1), off).unwrap();
    assert_eq!(story.there(1), None);
    assert_eq!(planned(&story, 17), [1, 2]);
    story.load(20, 1, OTHER);
    let arrived = json!({"kind": "transport.arrived/1"});
    story.tell(55, about("transport", T), arrived).unwrap();
    assert!(
        matches!(story.there(1), Some(Whereabouts::Loading { transport, .. }) if transport.uuid() == uuid(OTHER))
    );
    // What is being loaded stands, and so does the plan of everybody else.
    assert_eq!(planned(&story, 56), [1, 2]);
}

#[test]
fn nobody_is_on_two_transports() {
    let mut story = Story::begin();
    story.load(10, 1, T);
    story.load(11, 1, OTHER);
    story.leave(12, T);
    assert_eq!(story.state(OTHER), TransportState::Loading);
    assert!(
        matches!(story.there(1), Some(Whereabouts::Loading { transport, .. }) if transport.uuid() == uuid(OTHER))
    );
}

#[test]
fn who_is_loaded_anew_while_their_first_trip_is_under_way_is_on_the_second_and_the_plan_stands() {
    let carried = |story: &Story| {
        let first = &story.incident.evacuation().transports[&TransportId::new(uuid(T))];
        first.trips[0].casualties.clone()
    };
    let mut story = first_has_left(true);
    story.load(21, 1, T);
    assert_eq!(carried(&story).len(), 1, "told twice, carried once");
    story.load(22, 1, OTHER);
    assert!(matches!(story.there(1), Some(Whereabouts::Loading { .. })));
    assert_eq!(carried(&story), []);
    assert_eq!(planned(&story, 23), [1, 2], "both have a trip to come");
    // It had arrived: then it keeps whom it carried, and they are planned on from there.
    let mut relay = first_has_left(true);
    let arrived = json!({"kind": "transport.arrived/1"});
    relay.tell(50, about("transport", T), arrived).unwrap();
    relay.load(55, 1, OTHER);
    assert_eq!(carried(&relay), [CasualtyId::new(uuid(1))]);
    assert!(planned(&relay, 56).contains(&1));
}

#[test]
fn a_struck_departure_was_none() {
    let mut story = Story::begin();
    story.load(10, 1, T);
    let before = story.incident.evacuation().clone();
    let left = story.leave(15, T);
    let strike = json!({"kind": "entry.struck/1", "entry": left});
    story.tell(16, About::Incident, strike).unwrap();
    assert_eq!(*story.incident.evacuation(), before);
}

#[test]
fn a_better_number_replaces_only_what_it_says() {
    let mut story = Story::begin();
    let changed = json!({"kind": "transport.changed/1", "attendants": 0});
    story.tell(20, about("transport", T), changed).unwrap();
    let changed = json!({"kind": "destination.changed/1", "places": {"immediate": 0}});
    story.tell(21, about("destination", D), changed).unwrap();
    let evacuation = story.incident.evacuation();
    let transport = &evacuation.transports[&TransportId::new(uuid(T))];
    assert_eq!(transport.details.attendants, 0);
    assert_eq!(transport.details.layouts[0].lying, 2);
    let destination = &evacuation.destinations[&DestinationId::new(uuid(D))];
    // Immediate as told; the others as assumed for a local hospital.
    assert_eq!(destination.places(), [0, 2, 4]);
    assert_eq!(destination.minutes(transport), Some(40));
    assert_eq!(destination.places_at, Some(at(21)));
}

#[test]
fn a_wish_holds_until_it_is_freed() {
    let mut story = Story::begin();
    let id = CasualtyId::new(uuid(1));
    let held = json!({"kind": "evac.held/1", "reason": "waits for the doctor"});
    story.tell(10, about("casualty", 1), held).unwrap();
    assert!(matches!(
        story.incident.evacuation().wishes.get(&id),
        Some(Wish::Held(Some(_)))
    ));
    let freed = json!({"kind": "evac.freed/1"});
    story.tell(11, about("casualty", 1), freed).unwrap();
    assert!(story.incident.evacuation().wishes.is_empty());
}

#[test]
fn what_nobody_heard_of_is_refused() {
    let mut story = Story::begin();
    let loaded = json!({"kind": "casualty.loaded/1", "transport": uuid(0x99)});
    let refused = story.tell(10, about("casualty", 1), loaded);
    assert_eq!(refused, Err(Refusal::RefersToNothing("transport")));
    let left = json!({"kind": "transport.left/1", "destination": uuid(0x99)});
    let refused = story.tell(10, about("transport", T), left.clone());
    assert_eq!(refused, Err(Refusal::RefersToNothing("destination")));
    let refused = story.tell(10, about("transport", 0x99), left);
    assert_eq!(refused, Err(Refusal::RefersToNothing("transport")));
}

#[test]
fn the_helper_at_the_door_loads_and_lets_go_and_the_coordinator_does_the_rest() {
    let mut story = Story::begin();
    let cases = [
        (
            json!({"kind": "casualty.loaded/1", "transport": uuid(T)}),
            about("casualty", 1),
            true,
        ),
        (
            json!({"kind": "transport.left/1"}),
            about("transport", T),
            true,
        ),
        (json!({"kind": "evac.held/1"}), about("casualty", 2), false),
        (json!({"kind": "plan.asked/1"}), About::Incident, false),
        (
            json!({"kind": "transport.changed/1", "trips": 1}),
            about("transport", T),
            false,
        ),
    ];
    for (fact, about, helper_may) in cases {
        let helper = story.tell_as(Role::Helper, 10, about, fact.clone());
        assert_eq!(helper.is_ok(), helper_may, "{fact}");
        let evac = story.tell_as(Role::Evac, 11, about, fact.clone());
        assert!(evac.is_ok(), "{fact}");
        let viewer = story.tell_as(Role::Viewer, 12, about, fact);
        assert_eq!(viewer, Err(Refusal::NotAllowed));
    }
    let over =
        json!({"kind": "command.handed_over/1", "from": uuid(1), "to": uuid(2), "read_back": "3"});
    let lead = story.tell(13, About::Incident, over);
    assert_eq!(lead, Err(Refusal::BoardOnly));
}

#[test]
fn a_request_of_the_first_shape_is_read_as_one_of_the_second() {
    let mut story = Story::begin();
    let first = json!({"kind": "evac.requested/1", "priority": "first", "posture": "lying", "needs": "oxygen"});
    story.tell(10, about("casualty", 1), first).unwrap();
    let asked = |story: &Story| {
        let id = CasualtyId::new(uuid(1));
        let evac = story.incident.casualty(id).unwrap().evac.clone();
        evac.map(|(_, asked)| asked)
    };
    assert_eq!(asked(&story).unwrap().needs_words(), "oxygen");
    let second = json!({"kind": "evac.requested/2", "priority": "soon", "posture": "sitting",
        "needs": ["surgery"], "note": "penicillin allergy"});
    story.tell(11, about("casualty", 1), second).unwrap();
    let now = asked(&story).unwrap();
    assert_eq!(now.needs_words(), "surgery, penicillin allergy");
    let cancelled = json!({"kind": "evac.cancelled/1"});
    story.tell(12, about("casualty", 1), cancelled).unwrap();
    assert_eq!(asked(&story), None);
}
