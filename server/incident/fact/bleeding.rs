//! What is reported about bleeding beyond the first tap: signs, every step of the ladder, checks with both their
//! halves, and the answer to a question the board asked.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::care::{Circulation, Compared, Used};
use crate::incident::ids::{CasualtyId, EntryId};
use crate::rules::bleeding::act::Level;
use crate::rules::bleeding::observation::{Pulse, Sign, Stain};
use crate::rules::bleeding::wound::{Amputation, Contamination, Depth, Extremity, Mechanism};
use crate::rules::bleeding::{Flow, Region, Side};

/// A wound was found, with what else was seen. Second shape: signs, depth and how it came about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundFoundWithSigns {
    /// Whose wound.
    pub casualty: CasualtyId,
    /// Where.
    pub region: Region,
    /// The casualty's own side.
    #[serde(default)]
    pub side: Side,
    /// Arm or leg where the region does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extremity: Option<Extremity>,
    /// How it bleeds; none when nobody has looked yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow: Option<Flow>,
    /// What else was seen, at most 9.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 9)]
    pub signs: Vec<Sign>,
    /// How deep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Depth>,
    /// Part of the limb lost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amputation: Option<Amputation>,
    /// How it came about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mechanism: Option<Mechanism>,
    /// How dirty.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contamination: Option<Contamination>,
    /// Something sticks in it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub impaled: bool,
    /// Broken bone under it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub open_fracture: bool,
}

/// A wound was looked at: how fast it bleeds, and what else was seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WoundAssessed {
    /// How it bleeds.
    pub flow: Flow,
    /// What else was seen, at most 9.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 9)]
    pub signs: Vec<Sign>,
}

/// Something done to a wound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Deed {
    /// Hands press.
    Press,
    /// Hands were lifted before the time and press again.
    PressureLifted,
    /// Hands were lifted and nobody presses.
    HandsOff,
    /// Hands press and stay until handover; also when hands are swapped.
    HoldByHand,
    /// Packed, hands press.
    Pack,
    /// A pressure dressing went on.
    PressureDressing,
    /// One firm layer more.
    Reinforce,
    /// The dressing was loosened a little.
    Loosen,
    /// The dressing was left tight because it bleeds when loosened.
    KeepTight,
    /// A tourniquet went on.
    Tourniquet,
    /// The tourniquet was tightened.
    Tighten,
    /// A second tourniquet beside the first.
    SecondTourniquet,
    /// The tourniquet was moved to a better place.
    MoveTourniquet,
    /// "Still needed?" was asked and it stays on.
    LeaveTourniquet,
    /// The tourniquet is being replaced by pack and dressing.
    BeginRelease,
    /// It was released and the dressing holds.
    ReleaseHeld,
    /// It bled on release and was tightened again.
    ReleaseFailed,
    /// Covered as the place needs.
    Cover,
    /// Left open on purpose, watched.
    LeaveOpen,
    /// An edge of the cover was lifted, air let out, covered again.
    LiftCover,
    /// The cover was looked at and is in order.
    CheckCover,
    /// Padded around what sticks in it or a broken skull.
    PadAround,
    /// The limb was raised. Never a step: TCCC and ANZCOR 9.1.1 know no effect on the bleeding.
    RaiseLimb,
    /// The lost part is wrapped, bagged, cool and labelled, and travels along.
    KeepPart,
    /// A plain dressing on a wound that stopped.
    PlainDressing,
    /// Rinsed.
    Rinse,
    /// The plain dressing was changed and the wound looked at.
    ChangeDressing,
}

/// How a tourniquet was put on; what is left out was not said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "four boxes that a person ticks"
)]
pub struct TourniquetOn {
    /// Where on the limb.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level: Option<Level>,
    /// Over clothes.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub over_clothes: bool,
    /// Not a made one.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub improvised: bool,
    /// Somebody else put it on, nobody knows when.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub time_unknown: bool,
    /// The time is written on it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub time_written: bool,
}

/// A step on the ladder. Second shape: every step, not only the four measures.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StepDone {
    /// What was done.
    pub step: Deed,
    /// What it took from the bag, at most 12 kinds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 12)]
    pub used: Vec<Used>,
    /// What was used was out of date.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub expired: bool,
    /// How the tourniquet was put on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tourniquet: Option<TourniquetOn>,
}

/// A pressure dressing was checked: the blood on it, the part beyond it, or both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DressingChecked {
    /// The blood on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stain: Option<Stain>,
    /// Pulse beyond.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circulation: Option<Circulation>,
    /// Fingers or toes move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<Compared>,
    /// Touch is felt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub feeling: Option<Compared>,
    /// Refill in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_tenths: Option<u16>,
    /// Refill of the other side in tenths of a second, 0 to 150.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(maximum = 150)]
    pub refill_other_side_tenths: Option<u16>,
    /// The person is cold.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub cold: bool,
}

/// A tourniquet was checked: the bleeding, the pulse beyond, or both.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TourniquetChecked {
    /// Still bleeding.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bleeding: Option<bool>,
    /// Pulse beyond it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulse: Option<Pulse>,
}

/// The time at which a tourniquet really went on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TourniquetTimed {
    /// When, in board time.
    #[schema(value_type = String, format = DateTime)]
    pub applied_at: Timestamp,
}

/// Breathing was looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BreathingChecked {
    /// Worse than before.
    pub worse: bool,
}

/// The casualty was insulated and covered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CasualtyWarmed {
    /// What it took from the bag, at most 12 kinds.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 12)]
    pub used: Vec<Used>,
}

/// A person judged that the casualty is in shock, or no longer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShockJudged {
    /// In shock.
    pub shock: bool,
}

/// The answer to "this is unusual here: is it so?".
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReportConfirmed {
    /// Which report.
    pub entry: EntryId,
}

impl Deed {
    /// What was done, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Press => "direct pressure",
            Self::PressureLifted => "lifted early, pressing again",
            Self::HandsOff => "hands off, nobody presses",
            Self::HoldByHand => "hands stay on",
            Self::Pack => "packed, pressing",
            Self::PressureDressing => "pressure dressing on",
            Self::Reinforce => "one layer more",
            Self::Loosen => "dressing loosened a little",
            Self::KeepTight => "dressing kept tight",
            Self::Tourniquet => "tourniquet on",
            Self::Tighten => "tourniquet tightened",
            Self::SecondTourniquet => "second tourniquet on",
            Self::MoveTourniquet => "tourniquet moved",
            Self::LeaveTourniquet => "tourniquet stays on",
            Self::BeginRelease => "tourniquet being replaced",
            Self::ReleaseHeld => "tourniquet released, it holds",
            Self::ReleaseFailed => "bled on release, tightened again",
            Self::Cover => "covered",
            Self::LeaveOpen => "left open, watched",
            Self::LiftCover => "edge lifted, covered again",
            Self::CheckCover => "cover in order",
            Self::PadAround => "padded around it",
            Self::RaiseLimb => "limb raised",
            Self::KeepPart => "lost part kept cool, labelled",
            Self::PlainDressing => "plain dressing",
            Self::Rinse => "rinsed",
            Self::ChangeDressing => "dressing changed",
        }
    }

    /// The stored code.
    pub fn code(self) -> String {
        serde_json::to_value(self)
            .ok()
            .and_then(|code| code.as_str().map(str::to_owned))
            .unwrap_or_default()
    }

    /// What it usually takes from the bag, for one tap.
    pub fn usual(self) -> Vec<Used> {
        use crate::rules::bleeding::Measure;
        use crate::rules::supplies::Item;
        let one = |item| vec![Used { item, count: 1 }];
        let measure = |measure| {
            Item::usual_for(measure)
                .iter()
                .map(|(item, count)| Used {
                    item: *item,
                    count: *count,
                })
                .collect()
        };
        match self {
            Self::Press => measure(Measure::DirectPressure),
            Self::Pack => measure(Measure::Packing),
            Self::PressureDressing => measure(Measure::PressureDressing),
            Self::Tourniquet | Self::SecondTourniquet => measure(Measure::Tourniquet),
            Self::Reinforce => vec![
                Used {
                    item: Item::LargePad,
                    count: 1,
                },
                Used {
                    item: Item::GauzeRoll,
                    count: 1,
                },
            ],
            Self::PlainDressing | Self::ChangeDressing => {
                vec![
                    Used {
                        item: Item::SmallPad,
                        count: 1,
                    },
                    Used {
                        item: Item::GauzeRoll,
                        count: 1,
                    },
                ]
            }
            Self::Cover => one(Item::LargePad),
            _ => Vec::new(),
        }
    }
}
