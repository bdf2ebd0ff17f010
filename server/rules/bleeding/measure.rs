//! The first measure for a wound that was looked at.
//!
//! Owns the decision table. Order: places with a way of their own, then the most dangerous finding down to
//! none. Hands press until something better is in place, whatever the table says.

use super::minutes::Minutes;
use super::observation::{Findings, Sign};
use super::policy::{FirstForLimb, Policy};
use super::region::{Allowed, Class, Region};
use super::rule::Rule;
use super::step::Step;
use super::terms::Flow;
use super::warning::Warning;
use super::wound::Wound;

/// Which way up the ladder a wound goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Path {
    /// Tourniquet first.
    Tourniquet,
    /// Pack first.
    Pack,
    /// Press first, then step by step.
    Gradual,
    /// The place's own measure.
    OwnWay,
    /// Nothing to press on.
    Inside,
    /// Not bleeding.
    Dress,
}

/// Which duty to begin is running.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begin {
    /// A tourniquet.
    Tourniquet,
    /// Packing, wrapping, or hands that stay.
    Packing,
    /// Direct pressure.
    Pressure,
    /// The place's own measure.
    OwnWay,
}

/// The answer: what to do first, how soon, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstMeasure {
    /// The way up the ladder.
    pub path: Path,
    /// The step.
    pub step: Step,
    /// What must begin, and within how long.
    pub begin: Option<(Begin, Minutes)>,
    /// Why.
    pub rule: Rule,
    /// To be shown with it.
    pub warnings: Vec<Warning>,
}

/// What to do first for a wound.
pub fn first_measure(policy: &Policy, wound: &Wound, findings: &Findings) -> FirstMeasure {
    let (path, rule) = path(policy, wound, findings);
    let dangerous = findings.is_dangerous() || wound.is_limb_lost();
    let starts = &policy.starts;
    let pressed_in_danger = matches!(rule, Rule::DangerPressHard | Rule::PressureBeforeTourniquet);
    let (step, begin) = match path {
        Path::Tourniquet => (
            Step::Tourniquet,
            Some((Begin::Tourniquet, starts.tourniquet)),
        ),
        Path::Pack => (Step::Pack, Some((Begin::Packing, starts.packing))),
        Path::Gradual if pressed_in_danger => (
            Step::PressDirectly,
            Some((Begin::Pressure, starts.pressure_life_threat)),
        ),
        Path::Gradual => (
            Step::PressDirectly,
            Some((Begin::Pressure, starts.pressure)),
        ),
        Path::OwnWay => (own_step(wound.region), Some((Begin::OwnWay, starts.region))),
        Path::Inside => (Step::LeaveEarly, None),
        Path::Dress => (Step::DressSimply, None),
    };
    let mut warnings = Vec::new();
    if dangerous || rule == Rule::DangerPressHard {
        warnings.push(Warning::LifeThreat);
    }
    FirstMeasure {
        path,
        step,
        begin,
        rule,
        warnings,
    }
}

fn path(policy: &Policy, wound: &Wound, findings: &Findings) -> (Path, Rule) {
    let place = wound.region.capability();
    let bleeding = findings.flow != Flow::None;
    if place.class == Class::Internal {
        return (Path::Inside, Rule::NothingToPress);
    }
    if has_own_way(wound.region) {
        return if bleeding || wound.region.is_covered() {
            (Path::OwnWay, Rule::OwnWay)
        } else {
            (Path::Dress, Rule::NotBleeding)
        };
    }
    if place.tourniquet
        && let Some(rule) = tourniquet_rule(wound, findings)
    {
        return match policy.switches.first_for_limb {
            FirstForLimb::PressureThenTourniquet if !findings.signs.contains(&Sign::OutOfReach) => {
                (Path::Gradual, Rule::PressureBeforeTourniquet)
            }
            _ => (Path::Tourniquet, rule),
        };
    }
    // A limb lost too high for a tourniquet is as dangerous as one lost lower down. Source: ANZCOR 9.1.1.
    let dangerous = findings.is_dangerous() || wound.is_limb_lost();
    let danger_without_tourniquet = bleeding && dangerous && !place.tourniquet;
    match (place.packing, findings.flow) {
        (Allowed::Yes, _) if danger_without_tourniquet => (Path::Pack, Rule::DangerPack),
        (Allowed::Yes, Flow::High) => (Path::Pack, Rule::FastPack),
        (_, Flow::High) => (Path::Gradual, Rule::DangerPressHard),
        _ if danger_without_tourniquet => (Path::Gradual, Rule::DangerPressHard),
        (_, Flow::None) => (Path::Dress, Rule::NotBleeding),
        _ => (Path::Gradual, Rule::Gradual),
    }
}

fn tourniquet_rule(wound: &Wound, findings: &Findings) -> Option<Rule> {
    let bleeding = findings.flow != Flow::None;
    let sign = |wanted: Sign| findings.signs.contains(&wanted);
    if wound.is_major_amputation() || findings.flow == Flow::Spurting {
        Some(Rule::AmputationOrJets)
    } else if bleeding
        && findings
            .signs
            .iter()
            .any(|sign| sign.calls_for_tourniquet())
    {
        Some(Rule::DangerOnLimb)
    } else if findings.flow == Flow::High && (sign(Sign::HandsShort) || sign(Sign::OutOfReach)) {
        Some(Rule::FastAndHandsShort)
    } else {
        None
    }
}

/// Places tested before everything else. An ear is covered loosely, never plugged (from memory).
fn has_own_way(region: Region) -> bool {
    matches!(
        region.capability().class,
        Class::Chest | Class::Abdomen | Class::Eye | Class::Neck
    ) || matches!(
        region,
        Region::SkullFractureSuspected | Region::Nose | Region::Ear
    )
}

fn own_step(region: Region) -> Step {
    if region.is_covered() {
        Step::Cover
    } else {
        Step::PressDirectly
    }
}
