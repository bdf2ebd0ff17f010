//! What the ladder says of a casualty, from their entries.
//!
//! Owns the call of the bleeding rules and the drawing of their answer as wounds and clocks. Promises: pure;
//! whoever is dead or expectant has their clocks hidden, not lost.

use jiff::Timestamp;

use super::acts;
use super::casualty::CareClock;
use super::entry::Entry;
use super::fact::Skill;
use super::ids::WoundId;
use super::role::Role;
use super::wound::Wound;
use crate::rules::bleeding::act::Role as Training;
use crate::rules::bleeding::{self, Case, ClockAbout, Limb, Picture, Policy};
use crate::rules::triage::Category;

/// What the ladder says of a casualty.
pub(super) struct Care {
    pub(super) wounds: Vec<Wound>,
    pub(super) clocks: Vec<CareClock>,
    pub(super) shock_since: Option<Timestamp>,
}

impl Care {
    pub(super) fn of(ordered: &[&Entry], met_at: Timestamp, category: Option<Category>) -> Self {
        let described = acts::described(ordered);
        let ids: Vec<WoundId> = described.iter().map(|(id, _)| *id).collect();
        let regions: Vec<Option<bleeding::Region>> = described
            .iter()
            .map(|(_, wound)| wound.as_ref().map(|wound| wound.region))
            .collect();
        let wounds: Vec<bleeding::Wound> = described
            .into_iter()
            .map(|(_, wound)| wound.unwrap_or_else(acts::of_unknown_place))
            .collect();
        let person = bleeding::Casualty {
            met_at: Some(met_at),
            clocks_hidden: matches!(category, Some(Category::Dead | Category::Expectant)),
            ..bleeding::Casualty::default()
        };
        let policy = Policy::default();
        let case = Case {
            policy: &policy,
            casualty: &person,
            wounds: &wounds,
        };
        let acts = acts::acts(ordered, &ids, &training, &policy);
        let picture = bleeding::stand(&case, &acts);
        let clocks = bleeding::clocks(&case, &picture, acts::last_moment(ordered));
        let limb_wound = |limb: Limb| {
            wounds.iter().enumerate().position(|(index, wound)| {
                wound.limb(index).unwrap_or(Limb::OfWound(index)) == limb
            })
        };
        let clocks = clocks
            .into_iter()
            .filter(|clock| !clock.hidden)
            .map(|clock| CareClock {
                kind: clock.kind,
                wound: match clock.about {
                    ClockAbout::Wound(index) => ids.get(index).copied(),
                    ClockAbout::Limb(limb) => {
                        limb_wound(limb).and_then(|index| ids.get(index).copied())
                    }
                    ClockAbout::Casualty | ClockAbout::Helper | ClockAbout::Kit => None,
                },
                started_at: clock.started_at,
                due_at: clock.due_at,
                warn_at: clock.warn_at,
                severity: clock.severity,
            })
            .collect();
        Self {
            wounds: draw_wounds(&ids, &regions, &wounds, &picture),
            clocks,
            shock_since: picture.person.shock_since,
        }
    }
}

fn draw_wounds(
    ids: &[WoundId],
    regions: &[Option<bleeding::Region>],
    wounds: &[bleeding::Wound],
    picture: &Picture,
) -> Vec<Wound> {
    let under = |index: usize| {
        picture
            .limbs
            .values()
            .filter(|limb| limb.is_tight() && limb.covers(index, wounds))
            .filter_map(bleeding::LimbStanding::first_tourniquet_at)
            .min()
    };
    ids.iter()
        .enumerate()
        .filter_map(|(index, id)| {
            let standing = picture.wounds.get(index)?.clone();
            Some(Wound {
                id: *id,
                region: regions[index],
                side: wounds[index].side,
                found_at: standing.times.known?,
                tourniquet_since: under(index),
                standing,
            })
        })
        .collect()
}

/// What somebody is trained for: the lead is the one named as trained in packing and releasing.
fn training(entry: &Entry) -> Training {
    match (entry.skill, entry.role) {
        (Some(Skill::Medic), _) => Training::Medic,
        (_, Some(Role::Lead)) => Training::TrainedLead,
        _ => Training::FirstAider,
    }
}
