//! What a report about leaving says, in words.

use jiff::Timestamp;

use crate::incident::fact::{
    CasualtyHandedOver, DestinationChanged, EvacAsked, Fact, HistoryTold, Layout, Major, Minutes,
    PickUpTold, Places, Sex, SituationReported, TransportAdded, TransportChanged, TransportKind,
    WayOnFootTold,
};
use crate::incident::ids::{CasualtyId, DestinationId, DeviceId, TransportId};
use crate::incident::state::Incident;
use crate::incident::text::Text;

/// The words of a report about leaving; none for any other.
pub(in crate::incident) fn words(fact: &Fact, incident: &Incident) -> Option<String> {
    Some(match fact {
        Fact::EvacAsked(asked) => asked_words(asked, incident),
        Fact::EvacPinned(pinned) => format!(
            "is to go on {}{}",
            transport(incident, pinned.transport),
            because(pinned.reason.as_ref())
        ),
        Fact::EvacHeld(held) => format!("stays for now{}", because(held.reason.as_ref())),
        Fact::EvacFreed(_) => "goes as planned".to_owned(),
        Fact::CasualtyLoaded(loaded) => {
            format!("loaded on {}", transport(incident, loaded.transport))
        }
        Fact::CasualtyUnloaded(off) => format!("taken off again{}", because(off.reason.as_ref())),
        Fact::CasualtyHandedOver(handed) => handed_words(handed, incident),
        Fact::HistoryTold(told) => history_words(told),
        Fact::TransportAdded(added) => added_words(added),
        Fact::TransportChanged(changed) => changed_words(changed),
        Fact::TransportStands(stands) => {
            format!(
                "{}{}",
                stands.state.words(),
                because(stands.reason.as_ref())
            )
        }
        Fact::TransportLeft(left) => left.destination.map_or_else(
            || "left".to_owned(),
            |id| format!("left for {}", destination(incident, id)),
        ),
        Fact::TransportArrived(_) => "arrived".to_owned(),
        Fact::DestinationAdded(added) => list([
            Some(format!("{}, {}", added.name, added.place.words())),
            places_words(&added.places),
            some_words(added.abilities.iter().map(|ability| ability.words())),
            minutes_words(&added.minutes),
        ]),
        Fact::DestinationChanged(changed) => destination_words(changed),
        Fact::TravelTold(told) => format!(
            "{} takes {} min",
            transport(incident, told.transport),
            told.minutes
        ),
        Fact::WayOnFootTold(told) => format!(
            "{} goes {} on foot",
            transport(incident, told.transport),
            way_words(told, carries(incident, told.transport))
        ),
        other => return message_words(other, incident),
    })
}

/// "1200 m, path, 40 m of height, 8 carry"; who walk carry nobody.
pub fn way_words(told: &WayOnFootTold, carried: bool) -> String {
    list([
        Some(format!("{} m", told.metres)),
        Some(told.ground.words().to_owned()),
        (told.height > 0).then(|| format!("{} m of height", told.height)),
        carried.then(|| format!("{} carry", told.bearers)),
        (carried && told.wheel).then(|| "on a wheel".to_owned()),
    ])
}

fn message_words(fact: &Fact, incident: &Incident) -> Option<String> {
    Some(match fact {
        Fact::PlanAsked(_) => "plan asked for anew".to_owned(),
        Fact::SituationReported(told) => situation_words(told),
        Fact::PickUpTold(told) => pick_up_words(told),
        Fact::LineSaid(said) => format!(
            "said, {} {}: {}{}",
            said.message.words(),
            said.line,
            said.text,
            said.to
                .as_ref()
                .map(|to| format!(" (to {to})"))
                .unwrap_or_default()
        ),
        Fact::MessageReadBack(back) => format!(
            "{} read back{}",
            back.message.words(),
            back.by
                .as_ref()
                .map(|by| format!(" by {by}"))
                .unwrap_or_default()
        ),
        Fact::CommandHandedOver(over) => format!(
            "command handed over by {} to {}; read back: {}",
            person(incident, over.from),
            person(incident, over.to),
            over.read_back
        ),
        _ => return None,
    })
}

fn asked_words(asked: &EvacAsked, incident: &Incident) -> String {
    let needs = asked.needs_words();
    list([
        Some(format!("evacuation requested: {}", asked.priority.words())),
        Some(asked.posture.code().to_owned()),
        (!needs.is_empty()).then_some(needs),
        asked
            .together_with
            .map(|id| format!("together with {}", casualty(incident, id))),
        asked.from.as_ref().map(|from| format!("from {from}")),
        asked.ready_at.map(|at| format!("ready {}", hour(at))),
        asked
            .hazards
            .as_ref()
            .map(|hazards| format!("hazards: {hazards}")),
    ])
}

fn handed_words(handed: &CasualtyHandedOver, incident: &Incident) -> String {
    let at = handed
        .destination
        .map(|id| format!(" at {}", destination(incident, id)));
    format!("handed over to {}{}", handed.to, at.unwrap_or_default())
}

fn history_words(told: &HistoryTold) -> String {
    let named = |what: &str, said: Option<&Text<280>>| said.map(|said| format!("{what}: {said}"));
    list([
        told.sex.map(|sex| sex.word().to_owned()),
        told.about_years.map(|years| format!("about {years}")),
        told.injured_at.map(|at| format!("hurt at {}", hour(at))),
        named("how", told.mechanism.as_ref()),
        named("complains of", told.complaints.as_ref()),
        named("allergies", told.allergies.as_ref()),
        named("medicines", told.medicines.as_ref()),
        named("background", told.background.as_ref()),
        named("other", told.other.as_ref()),
        told.instead
            .then(|| "instead of what was told before".to_owned()),
    ])
}

/// "2 lying, or 1 lying and 2 sitting".
pub fn layout_words(layouts: &[Layout]) -> String {
    layouts
        .iter()
        .map(|layout| match (layout.lying, layout.sitting) {
            (lying, 0) => format!("{lying} lying"),
            (0, sitting) => format!("{sitting} sitting"),
            (lying, sitting) => format!("{lying} lying and {sitting} sitting"),
        })
        .collect::<Vec<_>>()
        .join(", or ")
}

fn added_words(added: &TransportAdded) -> String {
    list([
        Some(format!("{}, {}", added.name, added.means.words())),
        Some(layout_words(&added.layouts)),
        Some(format!("{} attendants", added.attendants)),
        some_words(added.carries.iter().map(|one| one.words())),
        added.available_at.map(|at| format!("from {}", hour(at))),
        added
            .last_departure
            .map(|at| format!("leaves by {}", hour(at))),
        added.note.as_ref().map(ToString::to_string),
    ])
}

fn changed_words(changed: &TransportChanged) -> String {
    list([
        Some("changed".to_owned()),
        changed.name.as_ref().map(|name| format!("name: {name}")),
        changed.layouts.as_deref().map(layout_words),
        changed
            .attendants
            .map(|number| format!("{number} attendants")),
        changed.available_at.map(|at| format!("from {}", hour(at))),
        changed
            .load_minutes
            .map(|minutes| format!("loads in {minutes} min")),
        changed
            .unload_minutes
            .map(|minutes| format!("unloads in {minutes} min")),
        changed
            .last_departure
            .map(|at| format!("leaves by {}", hour(at))),
        changed.night.map(|night| {
            if night {
                "flies in the dark"
            } else {
                "does not fly in the dark"
            }
            .to_owned()
        }),
        changed.trips.map(|trips| format!("{trips} trips")),
        changed.note.as_ref().map(ToString::to_string),
    ])
}

fn destination_words(changed: &DestinationChanged) -> String {
    list([
        Some("changed".to_owned()),
        changed.name.as_ref().map(|name| format!("name: {name}")),
        changed.places.as_ref().and_then(places_words),
        changed
            .abilities
            .as_ref()
            .and_then(|all| some_words(all.iter().map(|ability| ability.words()))),
        changed.minutes.as_ref().and_then(minutes_words),
        changed.closed.map(|closed| {
            if closed {
                "takes nobody"
            } else {
                "takes people again"
            }
            .to_owned()
        }),
    ])
}

fn places_words(places: &Places) -> Option<String> {
    let said = [
        places.immediate.map(|n| format!("{n} immediate")),
        places.delayed.map(|n| format!("{n} delayed")),
        places.minor.map(|n| format!("{n} minor")),
    ];
    let said = list(said);
    (!said.is_empty()).then(|| format!("takes {said}"))
}

fn minutes_words(minutes: &Minutes) -> Option<String> {
    let said = list([
        minutes.road.map(|n| format!("{n} min by road")),
        minutes.air.map(|n| format!("{n} min by air")),
        minutes.foot.map(|n| format!("{n} min on foot")),
        minutes.water.map(|n| format!("{n} min by water")),
    ]);
    (!said.is_empty()).then_some(said)
}

fn situation_words(told: &SituationReported) -> String {
    let named = |what: &str, said: Option<&Text<280>>| said.map(|said| format!("{what}: {said}"));
    let short = |what: &str, said: Option<&Text<80>>| said.map(|said| format!("{what}: {said}"));
    list([
        told.major.map(|major| major.words().to_owned()),
        named("location", told.location.as_ref()),
        short("position", told.position.as_ref()),
        named("what", told.what.as_ref()),
        named("hazards", told.hazards_present.as_ref()),
        named("hazards that may come", told.hazards_potential.as_ref()),
        named("way in", told.access.as_ref()),
        named("way out", told.egress.as_ref()),
        short("meet at", told.rendezvous.as_ref()),
        named("avoid", told.avoid.as_ref()),
        told.uninjured.map(|n| format!("{n} uninjured")),
        named("estimate", told.estimate.as_ref()),
        named("services here", told.services_present.as_ref()),
        named("services needed", told.services_required.as_ref()),
        short("radio", told.radio.as_ref()),
        short("marking", told.marking.as_ref()),
        named("ground", told.terrain.as_ref()),
    ])
}

fn pick_up_words(told: &PickUpTold) -> String {
    let several = |what: &str, words: String| format!("{what}: {words}");
    list([
        told.special.as_ref().map(|special| {
            let words = special.iter().map(|one| one.words());
            several(
                "equipment the aircraft needs",
                some_words(words).unwrap_or_else(|| "none".to_owned()),
            )
        }),
        told.status
            .as_ref()
            .map(|status| format!("people: {status}")),
        told.wording.map(|wording| wording.words().to_owned()),
        told.security
            .map(|security| format!("security: {}", security.words())),
        told.contamination.as_ref().map(|all| {
            let words = all.iter().map(|one| one.words());
            several(
                "contamination",
                some_words(words).unwrap_or_else(|| "none".to_owned()),
            )
        }),
    ])
}

impl Major {
    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Declared => "major incident declared",
            Self::Standby => "major incident standby",
            Self::NotDeclared => "no major incident declared",
        }
    }
}

impl Sex {
    /// The word shown to people.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Female => "female",
            Self::Male => "male",
        }
    }
}

fn transport(incident: &Incident, id: TransportId) -> String {
    let known = incident.evacuation().transports.get(&id);
    known.map_or_else(
        || "a transport".to_owned(),
        |known| known.details.name.to_string(),
    )
}

fn carries(incident: &Incident, id: TransportId) -> bool {
    let known = incident.evacuation().transports.get(&id);
    known.is_none_or(|known| known.details.means != TransportKind::WalkingParty)
}

fn destination(incident: &Incident, id: DestinationId) -> String {
    let known = incident.evacuation().destinations.get(&id);
    known.map_or_else(
        || "a destination".to_owned(),
        |known| known.details.name.to_string(),
    )
}

fn casualty(incident: &Incident, id: CasualtyId) -> String {
    incident
        .number(id)
        .map_or_else(|| "somebody".to_owned(), |number| number.to_string())
}

fn person(incident: &Incident, device: DeviceId) -> String {
    incident
        .person(device)
        .map_or_else(|| "somebody".to_owned(), |person| person.name.to_string())
}

fn hour(at: Timestamp) -> String {
    at.strftime("%H:%MZ").to_string()
}

fn some_words(words: impl Iterator<Item = &'static str>) -> Option<String> {
    let said = words.collect::<Vec<_>>().join(", ");
    (!said.is_empty()).then_some(said)
}

fn list(parts: impl IntoIterator<Item = Option<String>>) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn because<const MAX: usize>(reason: Option<&Text<MAX>>) -> String {
    reason
        .map(|reason| format!(" ({reason})"))
        .unwrap_or_default()
}
