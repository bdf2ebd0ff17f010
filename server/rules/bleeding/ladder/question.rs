//! Acts the board asks about once before it computes from them.
//!
//! Owns the question for each act that does not fit the place, the role or the moment. Promises: asking is
//! all it does; a confirmed act is taken as it is.

use super::{Case, Dated, Picture};
use crate::rules::bleeding::act::{Act, Role};
use crate::rules::bleeding::after_care::cleaning_offered;
use crate::rules::bleeding::conversion::{Attempt, Criteria, conversion_question};
use crate::rules::bleeding::limb::Grip;
use crate::rules::bleeding::policy::NeckPacking;
use crate::rules::bleeding::region::{Allowed, Region};
use crate::rules::bleeding::warning::Warning;
use crate::rules::bleeding::wound::Limb;

/// What is to be asked about this act on this wound, if anything. `reported` is the act as it came and as
/// it was understood.
pub fn question(
    case: &Case<'_>,
    picture: &Picture,
    index: usize,
    reported: (&Dated, &Act),
) -> Option<Warning> {
    let (dated, act) = reported;
    let region = case.wounds.get(index)?.region;
    match act {
        Act::PressureStarted | Act::ManualHold if region == Region::Eye => {
            Some(Warning::NoPressureOnEye)
        }
        Act::Packed { .. } => packing(case, region, dated.role),
        Act::DressingApplied | Act::DressingReinforced => dressing(region, dated.role),
        Act::TourniquetApplied(_) | Act::SecondTourniquet(_) => tourniquet(region, dated.role),
        Act::Cleaned => {
            (!cleaning_offered(case, picture, index, dated.role)).then_some(Warning::DoNotWash)
        }
        // Closing is offered nowhere. Source: Wilderness Medical Society 2005; JTS.
        Act::Closed => Some(Warning::DoNotClose),
        Act::ConversionStarted(criteria) => release(case, picture, index, (dated, *criteria)),
        Act::TourniquetMoved(_) => release(
            case,
            picture,
            index,
            (dated, Criteria::not_needed_for_moving()),
        ),
        Act::ConversionEnded { held: true } => {
            let limb = case.wounds[index]
                .limb(index)
                .unwrap_or(Limb::OfWound(index));
            let started = picture
                .limbs
                .get(&limb)
                .is_some_and(|limb| limb.grip == Grip::Converting);
            let unsaid = Criteria::default();
            (!started)
                .then(|| release(case, picture, index, (dated, unsaid)))
                .flatten()
        }
        _ => None,
    }
}

fn packing(case: &Case<'_>, region: Region, role: Role) -> Option<Warning> {
    match region.capability().packing {
        Allowed::Yes => None,
        Allowed::No => Some(Warning::NoPackingHere),
        Allowed::Restricted if matches!(region, Region::Neck | Region::NeckBase) => {
            let may = match case.policy.switches.neck_packing {
                NeckPacking::Trained => role.is_trained(),
                NeckPacking::Medic => role == Role::Medic,
                NeckPacking::Nobody => false,
            };
            (!may).then_some(Warning::NeckPacking)
        }
        Allowed::Restricted => (!role.is_trained()).then_some(Warning::PackingTrainedOnly),
    }
}

fn dressing(region: Region, role: Role) -> Option<Warning> {
    match (region.capability().pressure_dressing, region) {
        (Allowed::Yes, _) => None,
        (Allowed::Restricted, _) => (!role.is_trained()).then_some(Warning::NotAroundNeck),
        (Allowed::No, Region::Neck) => Some(Warning::NotAroundNeck),
        (Allowed::No, Region::Eye) => Some(Warning::NoPressureOnEye),
        (Allowed::No, Region::SkullFractureSuspected) => Some(Warning::NoPressureOnSkull),
        (Allowed::No, Region::Evisceration) => Some(Warning::OrgansOutside),
        (Allowed::No, _) => Some(Warning::NoDressingHere),
    }
}

/// A finger or toe only by a trained person (*common practice*).
fn tourniquet(region: Region, role: Role) -> Option<Warning> {
    let by_training = region == Region::Digit && role.is_trained();
    (!region.capability().tourniquet && !by_training).then_some(Warning::NoTourniquetHere)
}

fn release(
    case: &Case<'_>,
    picture: &Picture,
    index: usize,
    reported: (&Dated, Criteria),
) -> Option<Warning> {
    let (dated, criteria) = reported;
    let limb = case.wounds[index]
        .limb(index)
        .unwrap_or(Limb::OfWound(index));
    let limb = picture.limbs.get(&limb)?;
    let in_shock = picture.person.shock_since.is_some();
    let attempt = Attempt {
        at: dated.at,
        role: dated.role,
        criteria,
        in_shock,
    };
    conversion_question(case.policy, limb, &attempt)
}
