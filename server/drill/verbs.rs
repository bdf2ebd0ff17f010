//! The words a story is written in: short constructors, so that one report is one line.
//!
//! Owns nothing but the wording.

use super::scenario::{Actor, Care, Kit, Person, What};
use crate::incident::fact::{
    ApparentAge, Circulation, Compared, Consciousness, DistalChecked, EvacPriority, Posture, Used,
    VitalsMeasured,
};
use crate::rules::bleeding::{Flow, Look, Measure, Region, Side};
use crate::rules::supplies::Item;
use crate::rules::triage::{Category, StartAnswers};

pub(super) const fn note(text: &'static str) -> What {
    What::Note(text)
}

pub(super) const fn note_on(casualty: u32, text: &'static str) -> What {
    What::Casualty(casualty, Person::Note(text))
}

pub(super) const fn note_at(wound: &'static str, text: &'static str) -> What {
    What::Wound(wound, Care::Note(text))
}

pub(super) const fn meet(
    casualty: u32,
    age: ApparentAge,
    words: &'static str,
    place: &'static str,
) -> What {
    What::Casualty(casualty, Person::Meet { age, words, place })
}

pub(super) const fn take(casualty: u32) -> What {
    What::Casualty(casualty, Person::Take)
}

pub(super) const fn hand(casualty: u32, to: Actor) -> What {
    What::Casualty(casualty, Person::Hand(to))
}

pub(super) const fn carry(casualty: u32, place: &'static str) -> What {
    What::Casualty(casualty, Person::Move(place))
}

/// By START: these raw answers lead to this category, decided at this step.
pub(super) const fn sort(
    casualty: u32,
    answers: StartAnswers,
    category: Category,
    step: &'static str,
) -> What {
    What::Casualty(
        casualty,
        Person::Sort {
            answers,
            category,
            step,
        },
    )
}

/// Somebody looked again, and the category still fits.
pub(super) const fn as_before(casualty: u32, category: Category) -> What {
    What::Casualty(casualty, Person::AsBefore(category))
}

pub(super) const fn judge(casualty: u32, category: Category, reason: &'static str) -> What {
    What::Casualty(casualty, Person::Judge { category, reason })
}

pub(super) const fn find(
    wound: &'static str,
    casualty: u32,
    region: Region,
    side: Side,
    flow: Flow,
) -> What {
    What::Wound(
        wound,
        Care::Find {
            casualty,
            region,
            side,
            flow,
        },
    )
}

pub(super) const fn press(wound: &'static str, used: &'static [Used]) -> What {
    What::Wound(wound, Care::Do(Measure::DirectPressure, used))
}

pub(super) const fn pack(wound: &'static str, used: &'static [Used]) -> What {
    What::Wound(wound, Care::Do(Measure::Packing, used))
}

pub(super) const fn dress(wound: &'static str, used: &'static [Used]) -> What {
    What::Wound(wound, Care::Do(Measure::PressureDressing, used))
}

pub(super) const fn tourniquet(wound: &'static str) -> What {
    What::Wound(wound, Care::Do(Measure::Tourniquet, TOURNIQUET))
}

pub(super) const fn look(wound: &'static str, found: Look) -> What {
    What::Wound(wound, Care::Look(found))
}

/// Pulse or colour, movement and feeling beyond the dressing are as they should be.
pub(super) const fn feel_good(wound: &'static str) -> What {
    feel(wound, Circulation::Present, Compared::AsBefore)
}

/// Weaker than on the other side, and number than before: the dressing is too tight.
pub(super) const fn feel_tight(wound: &'static str) -> What {
    feel(wound, Circulation::Weaker, Compared::Worse)
}

/// Nothing felt beyond the tourniquet, which is what it is for.
pub(super) const fn feel_none(wound: &'static str) -> What {
    feel(wound, Circulation::Absent, Compared::CannotTell)
}

const fn feel(wound: &'static str, circulation: Circulation, feeling: Compared) -> What {
    What::Wound(
        wound,
        Care::Feel(DistalChecked {
            circulation,
            movement: Compared::AsBefore,
            feeling,
        }),
    )
}

/// Breaths and pulse per minute, and how awake.
pub(super) const fn vitals(casualty: u32, rates: (u16, u16), awake: Consciousness) -> What {
    measured(casualty, rates, (None, None), awake)
}

/// The same with systolic pressure in mmHg and oxygen saturation in percent, by somebody with the devices.
pub(super) const fn full_vitals(
    casualty: u32,
    rates: (u16, u16),
    (systolic, saturation): (u16, u16),
    awake: Consciousness,
) -> What {
    measured(casualty, rates, (Some(systolic), Some(saturation)), awake)
}

const fn measured(
    casualty: u32,
    (breaths, pulse): (u16, u16),
    (systolic_mmhg, oxygen_saturation_percent): (Option<u16>, Option<u16>),
    awake: Consciousness,
) -> What {
    What::Casualty(
        casualty,
        Person::Measure(VitalsMeasured {
            breaths_per_minute: Some(breaths),
            pulse_per_minute: Some(pulse),
            systolic_mmhg,
            oxygen_saturation_percent,
            consciousness: Some(awake),
            refill_tenths: None,
            temperature_tenths_c: None,
        }),
    )
}

pub(super) const fn evac(
    casualty: u32,
    priority: EvacPriority,
    posture: Posture,
    needs: &'static str,
) -> What {
    What::Casualty(
        casualty,
        Person::AskEvac {
            priority,
            posture,
            needs,
        },
    )
}

pub(super) const fn no_evac(casualty: u32, reason: &'static str) -> What {
    What::Casualty(casualty, Person::CancelEvac(reason))
}

pub(super) const fn bag(item: Item, count: u32) -> What {
    What::Count(Kit::Bag, item, count)
}

pub(super) const fn hut_box(item: Item, count: u32) -> What {
    What::Count(Kit::Box, item, count)
}

const fn one(item: Item) -> Used {
    Used { item, count: 1 }
}

pub(super) const PAD: &[Used] = &[one(Item::LargePad)];
pub(super) const CLOTH: &[Used] = &[one(Item::Cloth)];
pub(super) const HAEMOSTATIC: &[Used] = &[one(Item::HaemostaticGauze)];
pub(super) const GAUZE: &[Used] = &[one(Item::PackingGauze)];
pub(super) const BANDAGE: &[Used] = &[one(Item::PressureBandage)];
pub(super) const PAD_AND_BANDAGE: &[Used] = &[one(Item::LargePad), one(Item::PressureBandage)];
const TOURNIQUET: &[Used] = &[one(Item::Tourniquet)];
