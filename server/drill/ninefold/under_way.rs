//! From the opening of the board to the forty-fifth minute: what was dressed is looked at again.
//!
//! In its first minutes something reaches the board at least every thirty seconds, so that whoever opens the
//! demo sees it live.

use super::{CULVERT, HUT, ILVA, JOREN, LUDO, MIRA, PAVO, ROADSIDE, RUNA, SANNA, SPRING};
use crate::drill::What;
use crate::drill::scenario::{Line, Moment};
use crate::drill::sheets::{commanded, refill_only};
use crate::drill::verbs::{
    BANDAGE, HAEMOSTATIC, PAD_AND_BANDAGE, carry, dress, evac, feel_good, feel_none, feel_tight,
    find, full_vitals, hut_box, look, meet, note, note_at, note_on, pack, sort, take, tourniquet,
    vitals,
};
use crate::incident::fact::ApparentAge::Adult;
use crate::incident::fact::Consciousness::{Alert, Pain, Voice};
use crate::incident::fact::EvacPriority::{CanWait, First, Soon};
use crate::incident::fact::Posture::{Lying, Sitting, Walking};
use crate::rules::bleeding::Flow::High;
use crate::rules::bleeding::Look::{Slowed, StillBleeding, Stopped};
use crate::rules::bleeding::Region::Groin;
use crate::rules::bleeding::Side::Right;
use crate::rules::supplies::Item;
use crate::rules::triage::Category::{Delayed, Immediate};

pub(super) const CHAPTER: &[Line] = &[
    JOREN.at(18, 10, look("8a", Slowed)),
    JOREN.at(18, 30, dress("8a", BANDAGE)),
    // 6 breaks down at the spring, where there is no network; by the bus he was seen walking.
    at_the_spring(17, 20, sort(6, commanded(24, true), Delayed, "S5")),
    at_the_spring(
        17,
        25,
        note_on(6, "Sat down, cannot get up, holds his belly."),
    ),
    at_the_spring(17, 30, carry(6, SPRING)),
    SANNA.at(19, 5, vitals(3, (16, 88), Voice)),
    // A wrong number, struck. Then the right one.
    SANNA
        .at(19, 25, sort(8, commanded(16, false), Immediate, "S5"))
        .named("wrong number"),
    ILVA.at(19, 45, look("9a", Stopped)),
    SANNA.at(
        19,
        55,
        What::Strike("wrong number", "Wrong number, meant 3."),
    ),
    SANNA.at(20, 5, sort(3, commanded(16, false), Immediate, "S5")),
    // 8: the dressing is too tight.
    JOREN.at(20, 30, feel_tight("8a")),
    // 11, found late in the culvert.
    MIRA.at(20, 50, meet(11, Adult, "woman, purple fleece", CULVERT)),
    MIRA.at(20, 55, find("11a", 11, Groin, Right, High)),
    JOREN.at(21, 5, note_at("8a", "Loosened one turn, pad left on.")),
    MIRA.at(21, 15, pack("11a", HAEMOSTATIC)),
    MIRA.at(21, 20, take(11)),
    JOREN.at(21, 30, feel_good("8a")),
    MIRA.at(21, 55, sort(11, refill_only(28, 35), Immediate, "S4b")),
    // 1 bleeds through.
    JOREN.at(22, 15, look("1a", StillBleeding)),
    JOREN.at(22, 35, tourniquet("1a")),
    ILVA.at(
        23,
        0,
        note("No tourniquet and no haemostatic gauze left. Somebody to the hut for the box?"),
    ),
    JOREN.at(23, 15, look("1a", Stopped)),
    JOREN.at(23, 20, feel_none("1a")),
    JOREN.at(23, 30, look("2a", Stopped)),
    JOREN.at(23, 35, feel_none("2a")),
    ILVA.at(24, 0, dress("9a", BANDAGE)),
    SANNA.at(24, 15, look("3a", Slowed)),
    MIRA.at(24, 20, look("11a", Slowed)),
    SANNA.at(24, 40, dress("3a", BANDAGE)),
    RUNA.at(
        25,
        5,
        evac(11, First, Lying, "Groin packed, somebody must watch it."),
    ),
    LUDO.at(25, 25, note("On the way to the hut for the box.")),
    ILVA.at(26, 0, feel_good("9a")),
    JOREN.at(26, 20, look("5a", Stopped)),
    JOREN.at(26, 50, dress("5a", BANDAGE)),
    ILVA.at(27, 10, note("Last pressure bandage used.")),
    MIRA.at(27, 25, look("11a", Stopped)),
    SANNA.at(27, 45, look("4a", Stopped)),
    MIRA.at(28, 10, full_vitals(11, (28, 130), (84, 93), Voice)),
    JOREN.at(28, 30, feel_good("5a")),
    ILVA.at(28, 45, carry(6, ROADSIDE)),
    ILVA.at(
        29,
        0,
        note("Runa on the radio: ambulance at the road end in 50 minutes. No helicopter in this cloud."),
    ),
    JOREN.at(29, 30, full_vitals(1, (30, 124), (88, 90), Alert)),
    JOREN.at(29, 50, carry(2, ROADSIDE)),
    // The medic has seen both answers about 6.
    MIRA.at(30, 10, sort(6, commanded(28, true), Delayed, "S5")),
    MIRA.at(30, 20, take(6)),
    MIRA.at(
        30,
        40,
        note_on(
            6,
            "Belly hard on the left. Nothing to eat or drink. Watch the pulse.",
        ),
    ),
    RUNA.at(31, 10, evac(6, First, Lying, "Belly hard, may get worse.")),
    JOREN.at(31, 30, look("8a", Stopped)),
    JOREN.at(31, 35, feel_good("8a")),
    PAVO.at(32, 0, carry(12, ROADSIDE)),
    JOREN.at(32, 40, look("1a", Stopped)),
    JOREN.at(32, 45, feel_none("1a")),
    LUDO.at(33, 10, hut_box(Item::PressureBandage, 3)),
    LUDO.at(33, 14, hut_box(Item::Tourniquet, 1)),
    LUDO.at(33, 18, hut_box(Item::PackingGauze, 3)),
    LUDO.at(33, 22, hut_box(Item::LargePad, 4)),
    LUDO.at(33, 26, hut_box(Item::Blanket, 8)),
    JOREN.at(33, 35, look("2a", Stopped)),
    JOREN.at(33, 40, feel_none("2a")),
    PAVO.at(33, 50, look("12a", Slowed)),
    SANNA.at(34, 10, look("3a", Stopped)),
    MIRA.at(34, 40, dress("12a", PAD_AND_BANDAGE)),
    ILVA.at(35, 30, look("9a", Stopped)),
    ILVA.at(35, 35, feel_good("9a")),
    MIRA.at(36, 15, feel_good("12a")),
    SANNA.at(36, 40, vitals(3, (12, 58), Pain)),
    MIRA.at(37, 5, look("11a", Stopped)),
    MIRA.at(
        37,
        20,
        note_on(
            3,
            "Worse: answers to pain only, slow pulse. Leaves with the first.",
        ),
    ),
    RUNA.at(
        37,
        40,
        evac(3, First, Lying, "Head injury, getting worse. Bring oxygen."),
    ),
    LUDO.at(37, 50, look("4a", Stopped)),
    LUDO.at(38, 20, look("5a", Stopped)),
    LUDO.at(38, 25, feel_good("5a")),
    JOREN.at(39, 0, carry(8, ROADSIDE)),
    RUNA.at(39, 30, evac(7, First, Sitting, "Half sitting, oxygen.")),
    RUNA.at(40, 10, evac(8, Soon, Lying, "Lower leg splinted.")),
    RUNA.at(
        40,
        40,
        evac(9, Soon, Sitting, "Child: 4 knows her and goes along."),
    ),
    JOREN.at(41, 10, look("8a", Stopped)),
    JOREN.at(41, 15, feel_good("8a")),
    RUNA.at(41, 20, evac(12, Soon, Lying, "")),
    RUNA.at(41, 40, evac(4, CanWait, Walking, "")),
    RUNA.at(42, 0, evac(5, CanWait, Walking, "")),
    JOREN.at(42, 30, look("1a", Stopped)),
    JOREN.at(42, 35, feel_none("1a")),
    JOREN.at(43, 20, look("2a", Stopped)),
    JOREN.at(43, 25, feel_none("2a")),
    SANNA.at(43, 50, look("3a", Stopped)),
    MIRA.at(44, 10, full_vitals(7, (30, 108), (112, 91), Alert)),
    LUDO.at(44, 40, carry(4, HUT)),
    LUDO.at(44, 50, carry(5, HUT)),
];

/// By Ludo, who has no network at the spring.
const fn at_the_spring(minute: u32, second: u32, what: What) -> Line {
    LUDO.at(minute, second, what)
        .out_of_range(Moment::at(16, 30), Moment::at(18, 45))
}
