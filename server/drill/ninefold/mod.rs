//! The story "Bus at Ninefold Bend": a group travels in two minibuses, the first slides off a forest road; those
//! from the second help. All of it is invented: people, places, course.
//!
//! Owns who takes part and what it adds up to. Casualties carry the numbers the board gives them, wounds are
//! called by the number and a letter. The care follows the rules the board itself knows; where somebody is
//! late, wrong or out of range, that is meant.
//!
//! - 1 driver, left thigh: pressure, packing, dressing, bleeds through, tourniquet.
//! - 2 right lower leg spurting: tourniquet at once.
//! - 3 scalp; follows commands at first, then no more.
//! - 4 walks, face; at the end dizzy for one helper and walking for another.
//! - 5 walks, right hand: pressure, packing, dressing.
//! - 6 walks, then cannot get up: two answers, settled by the medic.
//! - 7 chest, breathes fast.
//! - 8 left forearm: dressing too tight, loosened; lower leg broken.
//! - 9 child, left upper arm packed.
//! - 10 dead.
//! - 11 groin: packed, opens again late.
//! - 12 below the slope, where there is no network: reported late.

mod first_minutes;
mod looked_again;
mod under_way;
mod waiting;

use super::scenario::{Actor, Expected, Moment, Scenario};
use crate::incident::Role;
use crate::incident::fact::Skill;
use crate::rules::triage::Category;

const fn helper(name: &'static str, skill: Skill) -> Actor {
    Actor {
        name,
        role: Role::Helper,
        skill,
    }
}

const ILVA: Actor = Actor {
    name: "Ilva",
    role: Role::Lead,
    skill: Skill::FirstAider,
};
const RUNA: Actor = Actor {
    name: "Runa",
    role: Role::Evac,
    skill: Skill::FirstAider,
};
const MIRA: Actor = helper("Mira", Skill::Medic);
const JOREN: Actor = helper("Joren", Skill::FirstAider);
const SANNA: Actor = helper("Sanna", Skill::FirstAider);
const LUDO: Actor = helper("Ludo", Skill::None);
const PAVO: Actor = helper("Pavo", Skill::None);

const IN_BUS: &str = "in the bus";
const BY_BUS: &str = "by the bus";
const ROADSIDE: &str = "roadside";
const CULVERT: &str = "culvert";
const SLOPE: &str = "below the slope";
const HUT: &str = "Ninefold Hut";
const SPRING: &str = "spring";
const ROAD_END: &str = "road end";

/// The story.
pub const NINEFOLD_BEND: Scenario = Scenario {
    name: "Bus at Ninefold Bend",
    actors: &[ILVA, RUNA, MIRA, JOREN, SANNA, LUDO, PAVO],
    opens_at: Moment::at(18, 0),
    chapters: &[
        first_minutes::CHAPTER,
        under_way::CHAPTER,
        waiting::CHAPTER,
        looked_again::CHAPTER,
    ],
    expected: Expected {
        categories: &[
            // 1, 2, 3, 7, 11
            (Category::Immediate, 5),
            // 4 (disputed), 6, 8, 9, 12
            (Category::Delayed, 5),
            // 5
            (Category::Minor, 1),
            // 10
            (Category::Dead, 1),
        ],
        tourniquets: &[1, 2],
        disputed: &[4],
        struck: 1,
    },
};
