//! From the forty-fifth minute until the first ambulance is in sight: carrying, watching, looking again.

use super::{HUT, ILVA, JOREN, LUDO, MIRA, PAVO, ROAD_END, ROADSIDE, RUNA, SANNA};
use crate::drill::What;
use crate::drill::scenario::{Line, Moment};
use crate::drill::sheets::{WALKS, breathes, commanded};
use crate::drill::verbs::{
    GAUZE, bag, carry, feel_good, feel_none, full_vitals, hand, look, no_evac, note, note_on, pack,
    sort, take, vitals,
};
use crate::incident::fact::Consciousness::{Alert, Pain, Voice};
use crate::rules::bleeding::Look::{Slowed, StillBleeding, Stopped};
use crate::rules::supplies::Item;
use crate::rules::triage::Category::{Delayed, Immediate, Minor};

pub(super) const CHAPTER: &[Line] = &[
    LUDO.at(45, 10, carry(9, HUT)),
    ILVA.at(45, 20, hand(9, LUDO)),
    LUDO.at(45, 25, take(4)),
    LUDO.at(45, 30, look("9a", Stopped)),
    LUDO.at(45, 35, feel_good("9a")),
    PAVO.at(46, 10, look("12a", Stopped)),
    PAVO.at(46, 15, feel_good("12a")),
    MIRA.at(47, 0, look("11a", Slowed)),
    LUDO.at(47, 40, look("4a", Stopped)),
    LUDO.at(48, 10, look("5a", Stopped)),
    LUDO.at(48, 15, feel_good("5a")),
    JOREN.at(48, 30, carry(1, ROADSIDE)),
    JOREN.at(49, 10, look("1a", Stopped)),
    JOREN.at(49, 15, feel_none("1a")),
    SANNA.at(49, 40, carry(3, ROADSIDE)),
    SANNA.at(50, 20, vitals(3, (10, 52), Pain)),
    MIRA.at(50, 40, carry(7, ROADSIDE)),
    JOREN.at(51, 10, look("8a", Stopped)),
    JOREN.at(51, 15, feel_good("8a")),
    ILVA.at(51, 40, bag(Item::Blanket, 1)),
    MIRA.at(52, 20, carry(11, ROADSIDE)),
    JOREN.at(53, 0, take(11)),
    ILVA.at(53, 10, hand(1, PAVO)),
    JOREN.at(53, 30, look("2a", Stopped)),
    JOREN.at(53, 35, feel_none("2a")),
    SANNA.at(53, 50, look("3a", Stopped)),
    MIRA.at(54, 30, vitals(6, (28, 116), Alert)),
    LUDO.at(55, 20, look("9a", Stopped)),
    LUDO.at(55, 25, feel_good("9a")),
    PAVO.at(55, 50, look("12a", Stopped)),
    PAVO.at(55, 55, feel_good("12a")),
    // 11 opens again.
    JOREN.at(56, 50, look("11a", StillBleeding)),
    JOREN.at(57, 10, pack("11a", GAUZE)),
    JOREN.at(
        57,
        20,
        note_on(11, "Packed again over the first gauze. Hands stay on."),
    ),
    LUDO.at(57, 40, look("4a", Stopped)),
    LUDO.at(58, 0, look("5a", Stopped)),
    LUDO.at(58, 5, feel_good("5a")),
    MIRA.at(58, 30, full_vitals(11, (32, 138), (78, 91), Voice)),
    MIRA.at(58, 50, sort(11, breathes(32), Immediate, "S3")),
    PAVO.at(59, 5, look("1a", Stopped)),
    PAVO.at(59, 10, feel_none("1a")),
    ILVA.at(
        60,
        0,
        note("Runa on the radio: first ambulance takes two lying, one seat. Order: 11, 3, then 7 sitting."),
    ),
    SANNA.at(60, 50, look("8a", Stopped)),
    SANNA.at(60, 55, feel_good("8a")),
    SANNA.at(61, 30, carry(3, ROAD_END)),
    JOREN.at(62, 10, carry(11, ROAD_END)),
    ILVA.at(62, 30, hand(3, JOREN)),
    ILVA.at(62, 40, hand(2, SANNA)),
    ILVA.at(62, 45, hand(8, SANNA)),
    SANNA.at(63, 0, look("2a", Stopped)),
    SANNA.at(63, 5, feel_none("2a")),
    JOREN.at(63, 30, look("3a", Stopped)),
    ILVA.at(64, 10, carry(7, ROAD_END)),
    RUNA.at(65, 0, no_evac(5, "Goes down in our second bus.")),
    LUDO.at(65, 20, look("9a", Stopped)),
    LUDO.at(65, 25, feel_good("9a")),
    PAVO.at(65, 45, look("12a", Stopped)),
    PAVO.at(65, 50, feel_good("12a")),
    MIRA.at(66, 20, vitals(6, (28, 120), Alert)),
    // 4: dizzy in the hut's cellar, where there is no network; Sanna sees her walking outside.
    in_the_cellar(66, 40, sort(4, commanded(22, true), Delayed, "S5")),
    in_the_cellar(66, 50, note_on(4, "Dizzy, had to lie down.")),
    JOREN.at(67, 10, look("11a", Stopped)),
    SANNA.at(67, 20, look("4a", Stopped)),
    SANNA.at(67, 30, sort(4, WALKS, Minor, "S1")),
    LUDO.at(68, 0, look("5a", Stopped)),
    LUDO.at(68, 5, feel_good("5a")),
    PAVO.at(68, 40, look("1a", Stopped)),
    PAVO.at(68, 45, feel_none("1a")),
    SANNA.at(70, 30, look("8a", Stopped)),
    SANNA.at(70, 35, feel_good("8a")),
    MIRA.at(71, 20, full_vitals(1, (28, 122), (90, 92), Alert)),
    SANNA.at(72, 40, look("2a", Stopped)),
    SANNA.at(72, 45, feel_none("2a")),
    JOREN.at(73, 10, look("3a", Stopped)),
    JOREN.at(74, 0, vitals(3, (10, 50), Pain)),
    LUDO.at(75, 10, look("9a", Stopped)),
    LUDO.at(75, 15, feel_good("9a")),
    PAVO.at(75, 40, look("12a", Stopped)),
    PAVO.at(75, 45, feel_good("12a")),
    JOREN.at(76, 30, look("11a", Stopped)),
    LUDO.at(77, 0, look("4a", Stopped)),
    LUDO.at(77, 30, look("5a", Stopped)),
    LUDO.at(77, 35, feel_good("5a")),
    PAVO.at(78, 20, look("1a", Stopped)),
    PAVO.at(78, 25, feel_none("1a")),
    ILVA.at(79, 30, note("First ambulance in sight of the road end.")),
    ILVA.at(
        80,
        0,
        note("The story ends here; the board goes on. What falls due now is yours."),
    ),
];

/// By Ludo, who has no network in the cellar.
const fn in_the_cellar(minute: u32, second: u32, what: What) -> Line {
    LUDO.at(minute, second, what)
        .out_of_range(Moment::at(66, 30), Moment::at(69, 10))
}
