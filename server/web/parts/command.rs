//! What who takes command must know: the briefing, in the order in which it is given.

use std::sync::Arc;

use askama::Template;
use jiff::SignedDuration;

use super::super::view::{CasualtyView, DutyView, Moment, WoundView, stock, to_bring};
use super::{Shown, Stage, draw};
use crate::exchange::messages::{self, moment};
use crate::incident::evac::{PlannedTrip, Whereabouts};
use crate::incident::{Bleeding, Casualty, Incident, Person, Role};
use crate::live::Part;
use crate::rules::triage::Category;
use crate::rules::words::{self, Line};

/// Duties in the briefing: those that come first.
const DUTIES: usize = 8;
/// Trips in the briefing.
const TRIPS: usize = 5;
/// Joining takes no longer than this.
const JUST_CAME: SignedDuration = SignedDuration::from_secs(10);

/// The three things that are read back.
pub(in crate::web) struct Asked {
    /// How many immediate ones are here.
    pub(in crate::web) immediate: usize,
    /// Whose tourniquet runs longest; 0 for nobody's.
    pub(in crate::web) tourniquet: u32,
    /// Which transport leaves next; empty for none.
    pub(in crate::web) trip: String,
}

#[derive(Template)]
#[template(path = "parts/briefing.html")]
struct Briefing {
    as_of: Option<Moment>,
    /// The incident report, line by line.
    lines: Vec<Line>,
    immediate: Vec<CasualtyView>,
    bleeding: Vec<CasualtyView>,
    tourniquets: Vec<(CasualtyView, WoundView)>,
    duties: Vec<DutyView>,
    /// Name, role, how many casualties they have.
    people: Vec<(String, &'static str, usize)>,
    /// What is out or low, and what was asked for.
    short: Vec<&'static str>,
    bring: Vec<(u32, &'static str)>,
    /// Who, on what, to where, when.
    trips: Vec<(String, String, Moment)>,
    /// For whom evacuation was asked and who has no trip.
    open: Vec<CasualtyView>,
}

#[derive(Template)]
#[template(path = "parts/command_trips.html")]
struct Trips {
    trips: Vec<String>,
}

#[derive(Template)]
#[template(path = "parts/command_takers.html")]
struct Takers {
    /// Device, name and role.
    takers: Vec<(String, String, &'static str)>,
}

#[derive(Template)]
#[template(path = "parts/command_open.html")]
struct Open {
    /// Who and what is not accounted for.
    open: Vec<String>,
}

impl Stage<'_> {
    /// What may leave next: the choices of who reads back.
    pub(in crate::web) fn command_trips(&self) -> Shown {
        let touched = self.incident.touched();
        let touched = touched.evac.max(touched.incident).max(self.all_touched());
        self.show("command-trips", None, touched, || {
            draw(&Trips {
                trips: self.trip_names(),
            })
        })
    }

    /// Who could take command, whoever looks at it among them.
    pub(in crate::web) fn command_takers(&self) -> Shown {
        let touched = self.incident.touched();
        let now = self.app.journal.now();
        // A session begins a moment after the entry that somebody joined: who has just come is counted as in.
        let is_in = |one: &Person| {
            self.app.sessions.has(one.device) || now.duration_since(one.joined_at) < JUST_CAME
        };
        let takers = self
            .incident
            .people()
            .filter(|one| one.role != Role::Viewer && is_in(one))
            .map(|one| {
                let device = one.device.to_string();
                (device, one.name.to_string(), one.role.code())
            })
            .collect();
        // Who has a session stands in no entry: what was drawn once must not be shown again.
        let part = Part {
            id: "command-takers".to_owned(),
            into: None,
            html: draw(&Takers { takers }),
        };
        Shown(touched.people.max(touched.settings), Arc::new(part))
    }

    /// Who and what stands in the way of closing.
    pub(in crate::web) fn command_open(&self) -> Shown {
        let touched = self.incident.touched();
        let touched = touched.evac.max(touched.incident).max(self.all_touched());
        self.show("command-open", None, touched, || {
            draw(&Open {
                open: self.incident.unaccounted(),
            })
        })
    }

    /// The briefing.
    pub(in crate::web) fn briefing(&self) -> Shown {
        let touched = self.incident.touched();
        let touched = self
            .all_touched()
            .max(touched.evac)
            .max(touched.incident)
            .max(touched.stock);
        self.show("briefing", None, touched, || draw(&self.brief()))
    }

    /// What is read back, as the board has it.
    pub(in crate::web) fn asked(&self) -> Asked {
        let oldest = self
            .incident
            .casualties()
            .filter_map(|one| Some((one.tourniquet_since()?, one.number)))
            .min();
        Asked {
            immediate: self.immediate().count(),
            tourniquet: oldest.map_or(0, |(_, number)| number),
            trip: self.trip_names().into_iter().next().unwrap_or_default(),
        }
    }

    /// Transports with a trip to come, in the order in which they leave.
    pub(in crate::web) fn trip_names(&self) -> Vec<String> {
        let standing = self.app.plans.standing(self.incident);
        let mut names: Vec<String> = Vec::new();
        for trip in by_departure(&standing.plan.trips) {
            let transport = self.incident.evacuation().transports.get(&trip.transport);
            let name = transport.map(|one| one.details.name.to_string());
            names.extend(name.filter(|name| !names.contains(name)));
        }
        names
    }

    fn immediate(&self) -> impl Iterator<Item = &Casualty> {
        let here = |one: &&Casualty| is_here(self.incident, one);
        self.incident
            .casualties()
            .filter(|one| one.urgent_category() == Some(Category::Immediate))
            .filter(here)
    }

    fn brief(&self) -> Briefing {
        let last = self
            .incident
            .entries()
            .last()
            .map(|entry| entry.recorded_at);
        let view = |one: &Casualty| CasualtyView::of(one, self.incident);
        let report = words::methane(
            &messages::incident_report(self.incident, 1),
            last.map_or(words::Moment(0), moment),
            "lead",
        );
        let standing = self.app.plans.standing(self.incident);
        Briefing {
            as_of: last.map(Moment::from),
            lines: report.lines,
            immediate: self.immediate().map(view).collect(),
            bleeding: self
                .incident
                .casualties()
                .filter(|one| one.bleeding() == Bleeding::Now)
                .map(view)
                .collect(),
            tourniquets: self.tied(),
            duties: self
                .incident
                .duties()
                .iter()
                .take(DUTIES)
                .map(|duty| DutyView::of(duty, self.incident))
                .collect(),
            people: self
                .incident
                .people()
                .map(|one| {
                    (
                        one.name.to_string(),
                        self.incident.role_of(one.device).unwrap_or(one.role).code(),
                        self.has(one.device),
                    )
                })
                .collect(),
            short: stock(self.incident)
                .into_iter()
                .filter(|item| item.is_news)
                .map(|item| item.words)
                .collect(),
            bring: to_bring(self.incident),
            trips: by_departure(&standing.plan.trips)
                .into_iter()
                .take(TRIPS)
                .map(|trip| self.trip_line(trip))
                .collect(),
            open: standing
                .plan
                .not_planned
                .iter()
                .filter_map(|id| self.incident.casualty(*id))
                .map(view)
                .collect(),
        }
    }

    fn trip_line(&self, trip: &PlannedTrip) -> (String, String, Moment) {
        let evacuation = self.incident.evacuation();
        let numbers: Vec<String> = trip
            .casualties
            .iter()
            .filter_map(|id| self.incident.number(*id))
            .map(|number| number.to_string())
            .collect();
        let transport = evacuation.transports.get(&trip.transport);
        let destination = evacuation.destinations.get(&trip.destination);
        let words = format!(
            "{} to {}",
            transport.map_or("a transport", |one| one.details.name.as_str()),
            destination.map_or("a destination", |one| one.details.name.as_str())
        );
        (numbers.join(", "), words, trip.departs.into())
    }
}

fn by_departure(trips: &[PlannedTrip]) -> Vec<&PlannedTrip> {
    let mut trips: Vec<&PlannedTrip> = trips.iter().collect();
    trips.sort_by_key(|trip| (trip.departs, trip.transport));
    trips
}

fn is_here(incident: &Incident, one: &Casualty) -> bool {
    matches!(
        incident.evacuation().whereabouts(one.id),
        None | Some(Whereabouts::Loading { .. })
    )
}
