//! Which measure a bleed asks for first.

use super::ladder::StartMeasure;
use super::region::{Allowed, Class, Region};
use super::terms::Flow;

/// The first measure for a bleed at a region.
///
/// Sources: *TCCC Guidelines* (2024) and JTS curriculum: tourniquet for life-threatening limb bleeding and any
/// traumatic amputation, packing where a tourniquet cannot be placed; AHA / American Red Cross 2024 first-aid
/// guidelines: direct pressure first for other bleeds. Packing a fast limb bleed at once is *common practice*.
pub fn first_measure(region: Region, flow: Flow, amputation: bool) -> StartMeasure {
    let can = region.capability();
    let special = matches!(can.class, Class::Chest | Class::Eye | Class::Internal)
        || region == Region::Evisceration;
    if special {
        return StartMeasure::RegionCare;
    }
    if can.tourniquet && (amputation || flow == Flow::Spurting) {
        return StartMeasure::Tourniquet;
    }
    if can.packing == Allowed::Yes && matches!(flow, Flow::High | Flow::Spurting) {
        return StartMeasure::Pack;
    }
    StartMeasure::Pressure
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_measure_follows_region_and_flow() {
        use StartMeasure::{Pack, Pressure, RegionCare, Tourniquet};
        for (region, flow, amputation, expected) in [
            (Region::Forearm, Flow::Steady, false, Pressure),
            (Region::Thigh, Flow::High, false, Pack),
            (Region::Thigh, Flow::Spurting, false, Tourniquet),
            (Region::Groin, Flow::Spurting, false, Pack),
            (Region::Digit, Flow::Spurting, false, Pressure),
            (Region::LowerLeg, Flow::Ooze, true, Tourniquet),
            (Region::Scalp, Flow::High, false, Pressure),
            (Region::ChestOpen, Flow::Steady, false, RegionCare),
            (Region::Abdomen, Flow::Ooze, false, Pressure),
        ] {
            assert_eq!(
                first_measure(region, flow, amputation),
                expected,
                "{region:?} {flow:?}"
            );
        }
    }
}
