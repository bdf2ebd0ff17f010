//! What the ladder says of a casualty, from their entries.
//!
//! Owns the call of the bleeding rules and the drawing of their answer as wounds and clocks. Promises: pure;
//! whoever is dead or expectant has their clocks hidden, not lost.

use jiff::Timestamp;

use super::acts;
use super::casualty::CareClock;
use super::entry::Entry;
use super::identity::Standing;
use super::ids::WoundId;
use super::risks::Risks;
use super::seen::Seen;
use super::settings::Settings;
use super::wound::Wound;
use crate::rules::bleeding::{self, Case, ClockAbout, Limb, Picture};
use crate::rules::triage::Category;

/// What the ladder says of a casualty.
pub(super) struct Care {
    pub(super) wounds: Vec<Wound>,
    pub(super) clocks: Vec<CareClock>,
    pub(super) shock_since: Option<Timestamp>,
    pub(super) tourniquets: Vec<super::tied::Tied>,
    pub(super) risks: Risks,
}

impl Care {
    pub(super) fn of(
        standing: &Standing<'_>,
        met_at: Timestamp,
        category: Option<Category>,
        settings: &Settings,
    ) -> Self {
        let ordered = standing.ordered;
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
        let policy = &settings.now().policy;
        let risks = Risks::of(standing, policy);
        let hidden = matches!(category, Some(Category::Dead | Category::Expectant));
        let person = risks.person(met_at, hidden);
        let case = Case {
            policy: &settings.now().policy,
            casualty: &person,
            wounds: &wounds,
        };
        // By what they were named as when they reported.
        let training = |entry: &Entry| {
            let held = settings.at(entry.happened_at);
            held.training(entry.device, entry.skill, entry.role)
        };
        let acts = acts::acts(ordered, &ids, &training, (settings, &risks));
        let picture = bleeding::stand_under(&case, |at| &settings.at(at).policy, &acts);
        let clocks = bleeding::clocks(&case, &picture, acts::last_moment(ordered));
        let limb_wound = |limb: Limb| wound_of_limb(limb, &wounds, &picture);
        let clocks = draw_clocks(clocks, &ids, limb_wound);
        let mut wounds = draw_wounds(&ids, &regions, &wounds, &picture);
        for wound in &mut wounds {
            wound.seen = Seen::of(wound.id, ordered, risks.body, policy);
        }
        Self {
            wounds,
            clocks,
            shock_since: picture.person.shock_since,
            tourniquets: super::tied::tied(&picture, &ids),
            risks,
        }
    }
}

/// The clocks that are shown, each with the wound it is about.
fn draw_clocks(
    clocks: Vec<bleeding::Clock>,
    ids: &[WoundId],
    limb_wound: impl Fn(Limb) -> Option<usize>,
) -> Vec<CareClock> {
    clocks
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
            worse: clock.escalates,
        })
        .collect()
}

/// The wound a limb's duty is shown at: the open one its tourniquet was put on for, else another open one, else the
/// first.
fn wound_of_limb(limb: Limb, wounds: &[bleeding::Wound], picture: &Picture) -> Option<usize> {
    let on_limb: Vec<usize> = (0..wounds.len())
        .filter(|index| wounds[*index].limb(*index).unwrap_or(Limb::OfWound(*index)) == limb)
        .collect();
    let is_open = |index: &usize| !picture.wounds[*index].state.is_closed();
    let standing = picture.limbs.get(&limb);
    let tied = standing.into_iter().flat_map(|limb| &limb.tourniquets);
    tied.map(|one| one.for_wound)
        .find(is_open)
        .or_else(|| on_limb.iter().copied().find(is_open))
        .or_else(|| on_limb.first().copied())
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
    let limb = |index: usize| {
        let limb = wounds[index].limb(index).unwrap_or(Limb::OfWound(index));
        picture.limbs.get(&limb)
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
                described: wounds[index].clone(),
                limb: limb(index).cloned(),
                seen: Seen::default(),
                standing,
            })
        })
        .collect()
}
