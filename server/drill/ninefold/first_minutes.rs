//! From the accident to the eighteenth minute, when the board is opened: found, pressed, packed, sorted.

use super::{BY_BUS, ILVA, IN_BUS, JOREN, LUDO, MIRA, PAVO, ROADSIDE, RUNA, SANNA, SLOPE};
use crate::drill::What;
use crate::drill::scenario::{Line, Moment};
use crate::drill::sheets::{NO_BREATH, WALKS, breathes, commanded, no_pulse};
use crate::drill::verbs::{
    BANDAGE, CLOTH, GAUZE, HAEMOSTATIC, PAD, bag, dress, evac, feel_good, feel_none, find,
    full_vitals, judge, look, meet, note, note_at, note_on, pack, press, sort, take, tourniquet,
    vitals,
};
use crate::incident::fact::ApparentAge::{Adult, Child};
use crate::incident::fact::Consciousness::{Alert, Voice};
use crate::incident::fact::EvacPriority::First;
use crate::incident::fact::Posture::Lying;
use crate::rules::bleeding::Flow::{High, None as NoFlow, Ooze, Spurting, Steady};
use crate::rules::bleeding::Look::{Slowed, StillBleeding, Stopped};
use crate::rules::bleeding::Region::{Face, Forearm, Hand, LowerLeg, Scalp, Thigh, UpperArm};
use crate::rules::bleeding::Side::{Left, Right};
use crate::rules::supplies::Item;
use crate::rules::triage::Category::{Dead, Delayed, Immediate, Minor};

/// Below the slope there is no network; Pavo goes down at nine minutes.
const PAVO_LOST: Moment = Moment::at(9, 0);
const PAVO_BACK: Moment = Moment::at(25, 40);

pub(super) const CHAPTER: &[Line] = &[
    ILVA.at(0, 40, DESCRIBED),
    // The bag.
    LUDO.at(1, 10, bag(Item::Tourniquet, 2)),
    LUDO.at(1, 12, bag(Item::HaemostaticGauze, 2)),
    LUDO.at(1, 15, bag(Item::PackingGauze, 4)),
    LUDO.at(1, 18, bag(Item::PressureBandage, 5)),
    LUDO.at(1, 21, bag(Item::LargePad, 8)),
    LUDO.at(1, 24, bag(Item::TriangularBandage, 4)),
    LUDO.at(1, 28, bag(Item::Cloth, 6)),
    LUDO.at(1, 32, bag(Item::Blanket, 6)),
    // 1: pressure is not enough, haemostatic gauze, three minutes, a little longer, dressing.
    MIRA.at(1, 30, meet(1, Adult, "driver, grey jumper", IN_BUS)),
    MIRA.at(1, 35, find("1a", 1, Thigh, Left, High)),
    MIRA.at(1, 40, press("1a", PAD)),
    MIRA.at(1, 45, take(1)),
    MIRA.at(2, 5, sort(1, breathes(34), Immediate, "S3")),
    MIRA.at(3, 20, look("1a", StillBleeding)),
    MIRA.at(3, 40, pack("1a", HAEMOSTATIC)),
    MIRA.at(6, 45, look("1a", Slowed)),
    MIRA.at(9, 55, look("1a", Stopped)),
    MIRA.at(10, 20, dress("1a", BANDAGE)),
    MIRA.at(11, 20, full_vitals(1, (32, 118), (92, 91), Alert)),
    MIRA.at(12, 10, feel_good("1a")),
    JOREN.at(13, 0, take(1)),
    // 2: spurting, tourniquet at once.
    JOREN.at(2, 20, meet(2, Adult, "woman, green coat", BY_BUS)),
    JOREN.at(2, 25, find("2a", 2, LowerLeg, Right, Spurting)),
    JOREN.at(2, 50, tourniquet("2a")),
    JOREN.at(2, 55, take(2)),
    JOREN.at(3, 35, look("2a", Stopped)),
    JOREN.at(3, 40, feel_none("2a")),
    JOREN.at(3, 50, sort(2, no_pulse(26), Immediate, "S4")),
    JOREN.at(11, 40, vitals(2, (26, 128), Voice)),
    JOREN.at(13, 30, look("2a", Stopped)),
    JOREN.at(13, 35, feel_none("2a")),
    // 3: scalp, ten minutes of pressure, only oozes, held on.
    SANNA.at(4, 0, meet(3, Adult, "young man, red rucksack", IN_BUS)),
    SANNA.at(4, 5, find("3a", 3, Scalp, Left, Steady)),
    SANNA.at(4, 10, press("3a", PAD)),
    SANNA.at(4, 15, take(3)),
    SANNA.at(4, 40, sort(3, commanded(22, true), Delayed, "S5")),
    SANNA.at(14, 10, look("3a", Slowed)),
    SANNA.at(14, 25, vitals(3, (20, 96), Alert)),
    // 4, 5, 6: those who walk.
    ILVA.at(
        4,
        50,
        note("Called out: whoever can walk, to the roadside."),
    ),
    LUDO.at(5, 10, meet(4, Adult, "woman, blue scarf", ROADSIDE)),
    LUDO.at(5, 15, sort(4, WALKS, Minor, "S1")),
    LUDO.at(5, 30, meet(5, Adult, "man, yellow boots", ROADSIDE)),
    LUDO.at(5, 35, find("5a", 5, Hand, Right, High)),
    LUDO.at(5, 40, sort(5, WALKS, Minor, "S1")),
    LUDO.at(5, 50, press("5a", PAD)),
    LUDO.at(5, 55, take(5)),
    LUDO.at(6, 0, meet(6, Adult, "man, checked shirt", ROADSIDE)),
    LUDO.at(6, 5, sort(6, WALKS, Minor, "S1")),
    LUDO.at(7, 40, find("4a", 4, Face, Left, Ooze)),
    LUDO.at(7, 45, press("4a", CLOTH)),
    LUDO.at(7, 50, note_on(4, "Holds the cloth on her cheek herself.")),
    LUDO.at(15, 55, look("5a", StillBleeding)),
    JOREN.at(16, 20, pack("5a", GAUZE)),
    JOREN.at(16, 25, note_at("5a", "He presses on it himself, sitting.")),
    ILVA.at(17, 40, look("4a", Stopped)),
    // 7: chest.
    PAVO.at(7, 0, meet(7, Adult, "woman about 60, brown hat", IN_BUS)),
    PAVO.at(7, 10, take(7)),
    MIRA.at(7, 30, sort(7, breathes(36), Immediate, "S3")),
    MIRA.at(13, 5, take(7)),
    MIRA.at(13, 20, full_vitals(7, (36, 112), (110, 88), Alert)),
    MIRA.at(
        13,
        40,
        note_on(7, "Right ribs hurt. Breathes easier half sitting."),
    ),
    // 8: forearm pressed, leg splinted.
    JOREN.at(8, 10, meet(8, Adult, "man, black beard", BY_BUS)),
    JOREN.at(8, 15, find("8a", 8, Forearm, Left, Steady)),
    JOREN.at(8, 20, press("8a", PAD)),
    JOREN.at(8, 30, find("8b", 8, LowerLeg, Right, NoFlow)),
    JOREN.at(8, 40, sort(8, commanded(20, true), Delayed, "S5")),
    JOREN.at(8, 45, take(8)),
    JOREN.at(
        9,
        20,
        note_on(
            8,
            "Lower leg bent, splinted with a branch. Presses on the arm himself.",
        ),
    ),
    // 9: a child.
    ILVA.at(
        9,
        30,
        meet(9, Child, "girl about 12, orange jacket", BY_BUS),
    ),
    ILVA.at(9, 35, find("9a", 9, UpperArm, Left, High)),
    ILVA.at(9, 50, pack("9a", GAUZE)),
    ILVA.at(
        10,
        0,
        judge(
            9,
            Delayed,
            "Child, sorted by eye: awake, cries, pulse at the wrist.",
        ),
    ),
    ILVA.at(10, 5, take(9)),
    ILVA.at(
        10,
        10,
        note_at("9a", "4 presses on it, they know each other."),
    ),
    // 10: dead.
    MIRA.at(10, 40, meet(10, Adult, "man, white shirt", IN_BUS)),
    MIRA.at(10, 50, sort(10, NO_BREATH, Dead, "S2a")),
    MIRA.at(
        11,
        0,
        note_on(
            10,
            "Airway opened, looked again. Covered, left where he is.",
        ),
    ),
    // 12: below the slope, out of range.
    from_below(13, 10, meet(12, Adult, "young man, torn jeans", SLOPE)),
    from_below(13, 12, take(12)),
    from_below(13, 20, find("12a", 12, LowerLeg, Left, Steady)),
    from_below(13, 30, press("12a", CLOTH)),
    from_below(13, 50, sort(12, commanded(18, true), Delayed, "S5")),
    from_below(23, 40, look("12a", Slowed)),
    from_below(
        23,
        50,
        note_on(
            12,
            "Thrown out further down. Cannot climb up: two people to carry.",
        ),
    ),
    // Leaving, and the walkers.
    RUNA.at(12, 20, evac(1, First, Lying, "")),
    RUNA.at(
        12,
        30,
        evac(2, First, Lying, "Tourniquet on the right lower leg."),
    ),
    ILVA.at(
        14,
        50,
        note("Runa on the radio: the call is through. First ambulance in about an hour at the road end."),
    ),
    JOREN.at(16, 50, sort(6, WALKS, Minor, "S1")),
    ILVA.at(
        16,
        30,
        note("Ludo and 6 go up to the spring for water. No network there."),
    ),
];

const DESCRIBED: What = What::Describe {
    place: "forest road below Ninefold Hut",
    note: "Minibus slid off the bend and lies on its side. Seven of us from the second bus help. Rain, 6 degrees, two hours of light.",
};

const fn from_below(minute: u32, second: u32, what: What) -> Line {
    PAVO.at(minute, second, what)
        .out_of_range(PAVO_LOST, PAVO_BACK)
}
