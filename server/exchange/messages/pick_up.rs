//! The nine lines for an aircraft: everybody who waits here and for whom evacuation was asked.

use std::collections::BTreeMap;

use super::{incident_report::position, moment, text};
use crate::incident::fact::{EvacPriority, Need, Posture, Wording};
use crate::incident::{Casualty, Incident, Wound};
use crate::rules::bleeding::{Region, State};
use crate::rules::triage::Category;
use crate::rules::words::{Marking, NineLine, Wartime};

/// The request as it stands. Precedence is what a person decided as the priority to leave, never the category alone
/// (US Army FM 4-02.2: the senior person present assigns it).
pub fn pick_up(incident: &Incident) -> NineLine {
    let situation = &incident.evacuation().situation;
    let (told, asks) = (&situation.told, &situation.pick_up);
    let who: Vec<&Casualty> = incident
        .casualties()
        .filter(|one| waits(incident, one))
        .collect();
    let many = |fits: &dyn Fn(EvacPriority, bool, Posture) -> bool| {
        let fitting = who.iter().filter(|one| {
            one.evac.as_ref().is_some_and(|(_, asked)| {
                let surgery = asked.needs.contains(&Need::Surgery);
                fits(asked.priority, surgery, asked.posture)
            })
        });
        u32::try_from(fitting.count()).unwrap_or(u32::MAX)
    };
    NineLine {
        position: position(incident).and_then(Result::ok),
        radio: text(told.radio.as_ref()),
        urgent_surgical: many(&|how, surgery, _| how == EvacPriority::First && surgery),
        urgent: many(&|how, surgery, _| how == EvacPriority::First && !surgery),
        priority: many(&|how, _, _| how == EvacPriority::Soon),
        routine: many(&|how, _, _| how == EvacPriority::CanWait),
        special: asks.special.clone(),
        lying: many(&|_, _, posture| posture == Posture::Lying),
        sitting: many(&|_, _, posture| posture != Posture::Lying),
        wounds: wounds(incident, &who),
        marking: told
            .marking
            .as_ref()
            .map(|marking| Marking::read(marking.as_str())),
        status: text(asks.status.as_ref()),
        terrain: text(told.terrain.as_ref()),
        wartime: (asks.wording == Some(Wording::Wartime)).then(|| Wartime {
            security: asks.security,
            contamination: asks.contamination.clone().unwrap_or_default(),
        }),
    }
}

fn waits(incident: &Incident, one: &Casualty) -> bool {
    let stays = matches!(
        one.urgent_category(),
        Some(Category::Dead | Category::NotBreathing | Category::Expectant)
    );
    one.evac.is_some() && !stays && incident.evacuation().whereabouts(one.id).is_none()
}

/// Number and kind: wounds by their place, what bleeds, tourniquets with their time. Who stays here is said too.
fn wounds(incident: &Incident, who: &[&Casualty]) -> Option<String> {
    if who.is_empty() {
        return None;
    }
    let mut by_place: BTreeMap<Option<Region>, usize> = BTreeMap::new();
    let standing = who.iter().flat_map(|one| one.wounds.iter());
    for wound in standing.filter(|wound| wound.standing.state != State::Void) {
        *by_place.entry(wound.region).or_default() += 1;
    }
    let mut parts: Vec<String> = by_place
        .into_iter()
        .map(|(region, many)| {
            let place = region.map_or("place not known", Region::words);
            format!("{many} {place}")
        })
        .collect();
    if parts.is_empty() {
        parts.push("no wound reported".to_owned());
    }
    let mut sentences = vec![format!("Wounds: {}", parts.join(", "))];
    for one in who {
        let number = one.number;
        if one.wounds.iter().any(Wound::needs_hands) {
            sentences.push(format!("Casualty {number} bleeds"));
        }
        if let Some(since) = one.tourniquet_since() {
            let since = moment(since).clock();
            sentences.push(format!("Casualty {number} tourniquet ON since {since}"));
        }
    }
    sentences.push("Blood types not known".to_owned());
    let staying = |wanted: &[Category]| {
        let all = incident.casualties();
        all.filter(|one| one.urgent_category().is_some_and(|is| wanted.contains(&is)))
            .count()
    };
    let expectant = staying(&[Category::Expectant]);
    let dead = staying(&[Category::Dead]);
    let not_breathing = staying(&[Category::NotBreathing]);
    if expectant > 0 {
        sentences.push(format!("Not in line 3: {expectant} expectant"));
    }
    if not_breathing > 0 {
        sentences.push(format!("Not in line 3: {not_breathing} not breathing"));
    }
    if dead > 0 {
        sentences.push(format!("Not in line 3: {dead} dead"));
    }
    Some(sentences.join(". "))
}
