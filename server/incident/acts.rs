//! From a casualty's entries to the acts the ladder is folded over, and what the ladder says.
//!
//! Owns the translation of facts into the rules' words, for both shapes of each fact. Promises: every report
//! about bleeding becomes an act; what was done is taken as done.

use std::collections::{HashMap, HashSet};

use jiff::Timestamp;

use super::about::About;
use super::entry::Entry;
use super::fact::{
    BeyondChecked, Circulation, Compared, Deed, DressingChecked, Fact, StepDone, TourniquetOn,
    Used, WoundDescribed, WoundFound,
};
use super::ids::{EntryId, WoundId};
use super::risks::Risks;
use super::seen::{as_check, felt, pulse};
use super::settings::Settings;
use crate::rules::bleeding::act::{
    About as On, Act, Application, Correction, Dated, Role as Training,
};
use crate::rules::bleeding::conversion::Criteria;
use crate::rules::bleeding::distal::{BeyondCheck, Body, beyond_act, judge_beyond};
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
        let Some((_, wound)) = slot else { continue };
        if let (None, Some(found)) = (&wound, describe(&entry.fact)) {
            *wound = Some(found);
        }
        if let (Some(known), Fact::WoundDescribed(said)) = (wound, &entry.fact) {
            describe_more(known, said);
        }
    }
    wounds
}

/// What was said later stands; what it leaves out stays as it was.
fn describe_more(wound: &mut bleeding::Wound, said: &WoundDescribed) {
    wound.depth = said.depth.unwrap_or(wound.depth);
    wound.mechanism = said.mechanism.unwrap_or(wound.mechanism);
    wound.contamination = said.contamination.unwrap_or(wound.contamination);
    wound.length_mm = said.length_mm.or(wound.length_mm);
    wound.impaled = said.impaled.unwrap_or(wound.impaled);
    wound.open_fracture = said.open_fracture.unwrap_or(wound.open_fracture);
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
    (settings, risks): (&Settings, &Risks),
) -> Vec<Dated> {
    let confirmed: HashSet<EntryId> = ordered
        .iter()
        .filter_map(|entry| match &entry.fact {
            Fact::ReportConfirmed(confirmed) => Some(confirmed.entry),
            _ => None,
        })
        .collect();
    let mut dated = Vec::new();
    // What was felt before a dressing went on is what later checks are compared with.
    let mut before: HashMap<About, &BeyondChecked> = HashMap::new();
    for entry in ordered {
        let about = match entry.about {
            About::Wound(id) => wounds.iter().position(|known| *known == id).map(On::Wound),
            About::Casualty(_) => Some(On::Casualty),
            About::Incident | About::Kit(_) | About::Transport(_) | About::Destination(_) => None,
        };
        let Some(about) = about else { continue };
        if let Fact::BeyondChecked(check @ BeyondChecked { before: true, .. }) = &entry.fact {
            before.insert(entry.about, check);
        }
        let policy = &settings.at(entry.happened_at).policy;
        let compared_with = before.get(&entry.about).copied();
        for act in acts_of(&entry.fact, (policy, risks), compared_with) {
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

fn acts_of(
    fact: &Fact,
    (policy, risks): (&Policy, &Risks),
    before: Option<&BeyondChecked>,
) -> Vec<Act> {
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
        Fact::StepDone(step) => done(step).into_iter().collect(),
        Fact::WoundLooked(looked) => vec![Act::Looked(looked.bleeding)],
        Fact::DistalChecked(check) => {
            let check = beyond(
                Some(check.circulation),
                Some(check.movement),
                Some(check.feeling),
            );
            vec![beyond_act(policy, &risks.body, &check)]
        }
        Fact::DressingChecked(check) => vec![dressing_checked(check, (policy, &risks.body))],
        Fact::BeyondChecked(check) => looked_beyond(check, before, (policy, &risks.body)),
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
        // Signs can only raise the suspicion; that it is gone, a person judges.
        Fact::ShockSignsSeen(seen) if risks.suspects_shock(policy, seen) => {
            vec![Act::Shock { on: true }]
        }
        other => care_acts(other),
    }
}

fn care_acts(fact: &Fact) -> Vec<Act> {
    match fact {
        Fact::TourniquetDescribed(said) => {
            vec![Act::TourniquetDescribed(Correction {
                level: said.level,
                over_clothes: said.over_clothes,
                improvised: said.improvised,
                time_written: said.time_written,
            })]
        }
        Fact::ReleaseBegun(begun) => {
            vec![Act::ConversionStarted(Criteria::from_ticked(&begun.ticked))]
        }
        Fact::WoundRinsed(_) => vec![Act::Cleaned],
        Fact::InfectionLooked(look) if look.dressing_changed => vec![Act::DressingChanged],
        Fact::InfectionLooked(_) => vec![Act::InfectionLooked],
        Fact::TranexamicSettled(_) => vec![Act::TranexamicAcidSettled],
        Fact::CasualtyHandedOver(_) => vec![Act::HandedOver],
        Fact::WoundClosed(_) => vec![Act::Closed],
        Fact::WoundVoided(_) => vec![Act::Void],
        _ => Vec::new(),
    }
}

/// A look before the dressing changes nothing: it is what later looks are compared with.
fn looked_beyond(
    look: &BeyondChecked,
    before: Option<&BeyondChecked>,
    (policy, body): (&Policy, &Body),
) -> Vec<Act> {
    let check = as_check(look, before);
    match look.stain {
        _ if look.before => Vec::new(),
        None => vec![beyond_act(policy, body, &check)],
        stain => {
            let beyond = judge_beyond(policy, body, &check).result;
            vec![Act::DressingChecked { stain, beyond }]
        }
    }
}

fn findings(flow: bleeding::Flow, signs: &[bleeding::Sign]) -> Findings {
    Findings {
        flow,
        signs: signs.iter().copied().collect(),
    }
}

/// Nothing where the deed is only kept: it moves no wound.
fn done(step: &StepDone) -> Option<Act> {
    let how = application(step.tourniquet.unwrap_or_default());
    Some(match step.step {
        Deed::Press => Act::PressureStarted,
        Deed::PressureLifted => Act::PressureLapsed { resumed: true },
        Deed::HandsOff => Act::PressureLapsed { resumed: false },
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
        // Said by hand, before there was a list to tick: taken as meant. The list is `release.begun`.
        Deed::BeginRelease => Act::ConversionStarted(Criteria::all()),
        Deed::ReleaseHeld => Act::ConversionEnded { held: true },
        Deed::ReleaseFailed => Act::ConversionEnded { held: false },
        Deed::Cover | Deed::LeaveOpen | Deed::LiftCover => Act::Covered,
        Deed::CheckCover => Act::CoverChecked,
        Deed::PlainDressing => Act::SimplyDressed,
        Deed::Rinse => Act::Cleaned,
        Deed::ChangeDressing => Act::DressingChanged,
        Deed::PadAround | Deed::RaiseLimb | Deed::KeepPart => return None,
    })
}

fn application(on: TourniquetOn) -> Application {
    Application {
        level: on.level.unwrap_or_default(),
        down_the_limb: None,
        over_clothes: on.over_clothes,
        time_unknown: on.time_unknown,
        improvised: on.improvised,
        time_written: on.time_written,
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

fn dressing_checked(check: &DressingChecked, (policy, body): (&Policy, &Body)) -> Act {
    let body = Body {
        cold: check.cold || body.cold,
        ..*body
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
    BeyondCheck {
        pulse: pulse(circulation),
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
