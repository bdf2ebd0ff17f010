//! From a casualty's entries to the acts the ladder is folded over, and what the ladder says.
//!
//! Owns the translation of facts into the rules' words, for both shapes of each fact. Promises: every report
//! about bleeding becomes an act; what was done is taken as done.

use std::collections::HashSet;

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::{
    Circulation, Compared, Deed, DressingChecked, Fact, StepDone, TourniquetOn, Used, WoundFound,
};
use super::ids::{EntryId, WoundId};
use super::settings::Settings;
use crate::rules::bleeding::act::{About as On, Act, Application, Dated, Role as Training};
use crate::rules::bleeding::conversion::Criteria;
use crate::rules::bleeding::distal::{
    BeyondCheck, Body, Compared as Felt, PulseBeyond, beyond_act, judge_beyond,
};
use crate::rules::bleeding::observation::Findings;
use crate::rules::bleeding::{self, Policy, Region, Side};
use crate::rules::supplies::Item;

/// What somebody is trained for, by the entry they made.
pub(super) type Trained<'a> = &'a dyn Fn(&Entry) -> Training;

/// The wounds of a casualty as first described, in the order they were first heard of.
pub(super) fn described(ordered: &[&Entry]) -> Vec<(WoundId, Option<bleeding::Wound>)> {
    let mut wounds: Vec<(WoundId, Option<bleeding::Wound>)> = Vec::new();
    for entry in ordered {
        let About::Wound(id) = entry.about else {
            continue;
        };
        if !wounds.iter().any(|(known, _)| *known == id) {
            wounds.push((id, None));
        }
        let slot = wounds.iter_mut().find(|(known, _)| *known == id);
        if let (Some((_, wound @ None)), Some(found)) = (slot, describe(&entry.fact)) {
            *wound = Some(found);
        }
    }
    wounds
}

fn describe(fact: &Fact) -> Option<bleeding::Wound> {
    use crate::rules::bleeding::wound::Amputation;
    match fact {
        Fact::WoundFound(found) => {
            let amputation = if found.amputation {
                Amputation::Partial
            } else {
                Amputation::None
            };
            Some(bleeding::Wound {
                amputation,
                ..bleeding::Wound::at(found.region, found.side)
            })
        }
        Fact::WoundFoundWithSigns(found) => Some(bleeding::Wound {
            extremity: found.extremity,
            depth: found.depth.unwrap_or_default(),
            amputation: found.amputation.unwrap_or_default(),
            mechanism: found.mechanism.unwrap_or_default(),
            contamination: found.contamination.unwrap_or_default(),
            impaled: found.impaled,
            open_fracture: found.open_fracture,
            ..bleeding::Wound::at(found.region, found.side)
        }),
        _ => None,
    }
}

/// A wound whose finding was struck: suggest only what can work anywhere it may be, press and pack.
pub(super) fn of_unknown_place() -> bleeding::Wound {
    bleeding::Wound::at(Region::ProximalLimb, Side::Unspecified)
}

/// Everything reported about bleeding, as the ladder reads it.
pub(super) fn acts(
    ordered: &[&Entry],
    wounds: &[WoundId],
    trained: Trained<'_>,
    settings: &Settings,
) -> Vec<Dated> {
    let confirmed: HashSet<EntryId> = ordered
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::ReportConfirmed(confirmed) => Some(confirmed.entry),
            _ => None,
        })
        .collect();
    let mut dated = Vec::new();
    for entry in ordered {
        let about = match entry.about {
            About::Wound(id) => wounds.iter().position(|known| *known == id).map(On::Wound),
            About::Casualty(_) => Some(On::Casualty),
            About::Incident | About::Kit(_) | About::Transport(_) | About::Destination(_) => None,
        };
        let Some(about) = about else { continue };
        let policy = &settings.at(entry.happened_at).policy;
        for act in acts_of(&entry.fact, policy) {
            dated.push(Dated {
                at: entry.happened_at,
                order: entry.seq.0,
                about,
                by: Some(entry.by.to_string()),
                role: trained(entry),
                confirmed: confirmed.contains(&entry.id),
                act,
            });
        }
    }
    dated
}

fn acts_of(fact: &Fact, policy: &Policy) -> Vec<Act> {
    match fact {
        Fact::WoundFound(WoundFound { flow, .. }) => {
            vec![Act::Found, Act::Assessed(Findings::flow(*flow))]
        }
        Fact::WoundFoundWithSigns(found) => {
            let looked = found
                .flow
                .map(|flow| Act::Assessed(findings(flow, &found.signs)));
            std::iter::once(Act::Found).chain(looked).collect()
        }
        Fact::WoundAssessed(seen) => vec![Act::Assessed(findings(seen.flow, &seen.signs))],
        Fact::StepTaken(step) => {
            vec![Act::Did {
                measure: step.step,
                material: gauze(&step.used),
                expired: false,
            }]
        }
        Fact::StepDone(step) => vec![done(step)],
        Fact::WoundLooked(looked) => vec![Act::Looked(looked.bleeding)],
        Fact::DistalChecked(check) => {
            let check = beyond(
                Some(check.circulation),
                Some(check.movement),
                Some(check.feeling),
            );
            vec![beyond_act(policy, &Body::default(), &check)]
        }
        Fact::DressingChecked(check) => vec![dressing_checked(check, policy)],
        Fact::TourniquetChecked(check) => {
            vec![Act::TourniquetChecked {
                bleeding: check.bleeding,
                pulse: check.pulse,
            }]
        }
        Fact::TourniquetTimed(told) => vec![Act::TourniquetTimeTold(told.applied_at)],
        Fact::BreathingChecked(check) => vec![Act::BreathingChecked { worse: check.worse }],
        Fact::VitalsMeasured(_) | Fact::SignsMeasured(_) => vec![Act::Observed],
        Fact::CasualtyMoved(_) => vec![Act::Moved],
        Fact::CasualtyWarmed(_) => vec![Act::Warmed],
        Fact::ShockJudged(judged) => vec![Act::Shock { on: judged.shock }],
        _ => Vec::new(),
    }
}

fn findings(flow: bleeding::Flow, signs: &[bleeding::Sign]) -> Findings {
    Findings {
        flow,
        signs: signs.iter().copied().collect(),
    }
}

fn done(step: &StepDone) -> Act {
    let how = application(step.tourniquet.unwrap_or_default());
    match step.step {
        Deed::Press => Act::PressureStarted,
        Deed::PressureLifted => Act::PressureLapsed { resumed: true },
        Deed::HoldByHand => Act::ManualHold,
        Deed::Pack => Act::Packed {
            material: gauze(&step.used),
            expired: step.expired,
        },
        Deed::PressureDressing => Act::DressingApplied,
        Deed::Reinforce => Act::DressingReinforced,
        Deed::Loosen => Act::DressingLoosened,
        Deed::KeepTight => Act::DressingKeptTight,
        Deed::Tourniquet => Act::TourniquetApplied(how),
        Deed::Tighten => Act::TourniquetTightened,
        Deed::SecondTourniquet => Act::SecondTourniquet(how),
        Deed::MoveTourniquet => Act::TourniquetMoved(how),
        Deed::LeaveTourniquet => Act::TourniquetReviewed,
        // The form asks for both before it offers the button.
        Deed::BeginRelease => Act::ConversionStarted(Criteria::all()),
        Deed::ReleaseHeld => Act::ConversionEnded { held: true },
        Deed::ReleaseFailed => Act::ConversionEnded { held: false },
        Deed::Cover => Act::Covered,
        Deed::CheckCover => Act::CoverChecked,
        Deed::PlainDressing => Act::SimplyDressed,
        Deed::Rinse => Act::Cleaned,
        Deed::ChangeDressing => Act::DressingChanged,
    }
}

fn application(on: TourniquetOn) -> Application {
    Application {
        level: on.level.unwrap_or_default(),
        down_the_limb: None,
        over_clothes: on.over_clothes,
        time_unknown: on.time_unknown,
        improvised: on.improvised,
    }
}

/// What a wound was packed with, where the report says so.
fn gauze(used: &[Used]) -> Option<Item> {
    let packed = |item: &Item| {
        matches!(
            item,
            Item::HaemostaticGauze | Item::PackingGauze | Item::GauzeRoll | Item::Cloth
        )
    };
    used.iter().map(|used| used.item).find(packed)
}

fn dressing_checked(check: &DressingChecked, policy: &Policy) -> Act {
    let body = Body {
        cold: check.cold,
        ..Body::default()
    };
    let felt = BeyondCheck {
        refill_tenths: check.refill_tenths,
        refill_other_side_tenths: check.refill_other_side_tenths,
        ..beyond(check.circulation, check.movement, check.feeling)
    };
    Act::DressingChecked {
        stain: check.stain,
        beyond: judge_beyond(policy, &body, &felt).result,
    }
}

fn beyond(
    circulation: Option<Circulation>,
    movement: Option<Compared>,
    feeling: Option<Compared>,
) -> BeyondCheck {
    let felt = |compared| match compared {
        Some(Compared::AsBefore) => Felt::AsBefore,
        Some(Compared::Worse) => Felt::Worse,
        Some(Compared::CannotTell) | None => Felt::CannotTell,
    };
    BeyondCheck {
        pulse: match circulation {
            Some(Circulation::Present) => PulseBeyond::Present,
            Some(Circulation::Weaker) => PulseBeyond::Weaker,
            Some(Circulation::Absent) => PulseBeyond::Absent,
            Some(Circulation::CannotTell) | None => PulseBeyond::CannotTell,
        },
        movement: felt(movement),
        feeling: felt(feeling),
        ..BeyondCheck::default()
    }
}

/// The last thing that happened, which is the moment the ladder is read at: nothing here asks the time.
pub(super) fn last_moment(ordered: &[&Entry]) -> Timestamp {
    ordered
        .last()
        .map_or(Timestamp::UNIX_EPOCH, |entry| entry.happened_at)
}
