//! Bounds of what is reported about leaving. Wide on purpose: a crew knows its own transport.

use crate::incident::fact::{
    DestinationChanged, Fact, HistoryTold, Layout, Minutes, PickUpTold, Places, SituationReported,
    TransportChanged,
};
use crate::incident::refusal::Refusal;

/// Checks a report about leaving by itself; any other passes.
pub(in crate::incident) fn check(fact: &Fact) -> Result<(), Refusal> {
    match fact {
        Fact::EvacAsked(asked) => within("the number of needs", asked.needs.len(), 0, 7),
        Fact::TransportAdded(added) => {
            check_layouts(&added.layouts)?;
            within("the number of things on board", added.carries.len(), 0, 2)?;
            within("attendants", added.attendants.into(), 0, 9)?;
            within("minutes to load", added.load_minutes.into(), 0, 240)?;
            within("minutes to unload", added.unload_minutes.into(), 0, 240)?;
            within("trips", added.trips.unwrap_or(1).into(), 1, 9)
        }
        Fact::TransportChanged(changed) => check_changed(changed),
        Fact::DestinationAdded(added) => {
            within("the number of abilities", added.abilities.len(), 0, 4)?;
            check_places(&added.places)?;
            check_minutes(&added.minutes)
        }
        Fact::DestinationChanged(changed) => {
            if *changed == DestinationChanged::default() {
                return Err(Refusal::SaysNothing);
            }
            let abilities = changed.abilities.as_ref().map_or(0, Vec::len);
            within("the number of abilities", abilities, 0, 4)?;
            check_places(&changed.places.unwrap_or_default())?;
            check_minutes(&changed.minutes.unwrap_or_default())
        }
        Fact::TravelTold(told) => within("minutes", told.minutes.into(), 0, 1440),
        Fact::WayOnFootTold(told) => {
            within("metres", told.metres as usize, 0, 30_000)?;
            within("metres of height", told.height as usize, 0, 4000)?;
            within("people who carry", told.bearers.into(), 0, 60)
        }
        Fact::SituationReported(told) if *told == SituationReported::default() => {
            Err(Refusal::SaysNothing)
        }
        Fact::SituationReported(told) => {
            within("the uninjured", told.uninjured.unwrap_or(0).into(), 0, 9999)
        }
        Fact::PickUpTold(told) if *told == PickUpTold::default() => Err(Refusal::SaysNothing),
        Fact::PickUpTold(told) => {
            let most =
                |many: Option<usize>| within("the number of things", many.unwrap_or(0), 0, 4);
            most(told.special.as_ref().map(Vec::len))?;
            most(told.contamination.as_ref().map(Vec::len))
        }
        Fact::HistoryTold(told)
            if HistoryTold {
                instead: false,
                ..told.clone()
            } == HistoryTold::default() =>
        {
            Err(Refusal::SaysNothing)
        }
        Fact::HistoryTold(told) => within("years", told.about_years.unwrap_or(0).into(), 0, 120),
        _ => Ok(()),
    }
}

fn check_changed(changed: &TransportChanged) -> Result<(), Refusal> {
    if *changed == TransportChanged::default() {
        return Err(Refusal::SaysNothing);
    }
    if let Some(layouts) = &changed.layouts {
        check_layouts(layouts)?;
    }
    within("attendants", changed.attendants.unwrap_or(0).into(), 0, 9)?;
    let minutes = [changed.load_minutes, changed.unload_minutes];
    for minutes in minutes.into_iter().flatten() {
        within("minutes", minutes.into(), 0, 240)?;
    }
    within("trips", changed.trips.unwrap_or(1).into(), 1, 9)
}

fn check_layouts(layouts: &[Layout]) -> Result<(), Refusal> {
    within("the number of arrangements", layouts.len(), 1, 4)?;
    for layout in layouts {
        within("places to lie", layout.lying.into(), 0, 20)?;
        within("places to sit", layout.sitting.into(), 0, 80)?;
        within("places", (layout.lying + layout.sitting).into(), 1, 100)?;
    }
    Ok(())
}

fn check_places(places: &Places) -> Result<(), Refusal> {
    for places in [places.immediate, places.delayed, places.minor] {
        within("places", places.unwrap_or(0).into(), 0, 200)?;
    }
    Ok(())
}

fn check_minutes(minutes: &Minutes) -> Result<(), Refusal> {
    for minutes in [minutes.road, minutes.air, minutes.foot, minutes.water] {
        within("minutes", minutes.unwrap_or(0).into(), 0, 1440)?;
    }
    Ok(())
}

fn within(what: &'static str, given: usize, min: u32, max: u32) -> Result<(), Refusal> {
    let given = u32::try_from(given).unwrap_or(u32::MAX);
    if (min..=max).contains(&given) {
        Ok(())
    } else {
        Err(Refusal::OutOfRange {
            what,
            min,
            max,
            given,
        })
    }
}
