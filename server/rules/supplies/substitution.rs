//! What can stand in for what, in which order, and what it costs.
//!
//! Owns the order of substitutes per purpose. Sources: IFRC 2020 (manufactured tourniquets first); St John
//! Ambulance (clean, non-fluffy cloth); TCCC Guidelines (clear wrap over organs); JTS eye module (cup or
//! glasses); JTS CPG 62 (drinking water, any clean dry cloth as a minimum). The rest is our default.

use serde::{Deserialize, Serialize};

use super::item::Item;
use super::stock::Stock;
use crate::rules::bleeding::Minutes;
use crate::rules::bleeding::policy::Policy;

/// What an item is used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it all")]
pub enum Function {
    Packing,
    PressureDressing,
    Tourniquet,
    Pad,
    OpenChest,
    Organs,
    Eye,
    PlainDressing,
}

/// One rung of a substitution ladder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Substitute {
    /// What it is made of.
    pub items: &'static [Item],
    /// What to mind, if it is not the first choice.
    pub mind: Option<&'static str>,
    /// How long to press, where that depends on it.
    pub hold: Option<Minutes>,
}

type Rung = (&'static [Item], Option<&'static str>);

const fn rungs(function: Function) -> &'static [Rung] {
    use Item::{
        BarBandage, Cloth, ElasticBandage, GauzeRoll, HaemostaticGauze, ImprovisedTourniquet,
        LargePad, PackingGauze, PressureBandage, Tourniquet, TriangularBandage,
    };
    match function {
        Function::Packing => &[
            (&[HaemostaticGauze], None),
            (&[PackingGauze], Some("press the full time")),
            (&[GauzeRoll], Some("press the full time")),
            (
                &[Cloth],
                Some("strips of cotton, nothing fluffy; press the full time"),
            ),
        ],
        Function::PressureDressing => &[
            (&[BarBandage], None),
            (
                &[PressureBandage],
                Some("twist it over the wound at each pass"),
            ),
            (
                &[LargePad, ElasticBandage],
                Some("check beyond it: elastic tightens"),
            ),
            (
                &[LargePad, TriangularBandage],
                Some("fold it to a band, knot over the pad"),
            ),
            (&[Cloth], Some("a folded pad and a strip of cloth")),
        ],
        Function::Tourniquet => &[
            (&[Tourniquet], None),
            (
                &[ImprovisedTourniquet],
                Some("last resort; no cord, no belt"),
            ),
        ],
        Function::Pad
        | Function::OpenChest
        | Function::Organs
        | Function::Eye
        | Function::PlainDressing => covers(function),
    }
}

const fn covers(function: Function) -> &'static [Rung] {
    use Item::{
        ClearFilm, Cloth, EyeShield, GauzeRoll, LargePad, NonStickPad, SmallPad, VentedChestSeal,
    };
    match function {
        Function::Pad => &[
            (&[LargePad], None),
            (&[SmallPad], Some("several, side by side")),
            (&[Cloth], Some("clean, nothing fluffy")),
        ],
        Function::OpenChest => &[
            (&[VentedChestSeal], Some("trained people, every hole")),
            (&[NonStickPad], Some("dry, letting air through")),
            (&[], Some("leave it open")),
        ],
        Function::Organs => &[
            (&[LargePad], Some("sterile and moist")),
            (
                &[ClearFilm],
                Some("clean and clear, so that bleeding shows"),
            ),
            (&[Cloth], Some("clean and moist")),
        ],
        Function::Eye => &[
            (&[EyeShield], None),
            (&[], Some("a cup or glasses, resting on bone")),
        ],
        Function::PlainDressing => &[
            (&[SmallPad, GauzeRoll], None),
            (&[NonStickPad, GauzeRoll], None),
            (&[Cloth], Some("any clean dry cloth will do")),
        ],
        Function::Packing | Function::PressureDressing | Function::Tourniquet => &[],
    }
}

/// The whole ladder for a purpose, best first.
pub fn ladder(policy: &Policy, function: Function) -> Vec<Substitute> {
    rungs(function)
        .iter()
        .map(|(items, mind)| {
            let packed = items.first().filter(|_| function == Function::Packing);
            let hold = packed.map(|item| item.pack_hold(policy, false));
            Substitute {
                items,
                mind: *mind,
                hold,
            }
        })
        .collect()
}

/// What is offered with this stock: the rungs that can be made, best first. What nobody has counted is
/// offered too, since it may be there.
pub fn substitutes(policy: &Policy, function: Function, stock: &Stock) -> Vec<Substitute> {
    let there = |rung: &Substitute| rung.items.iter().all(|item| stock.may_have(*item));
    ladder(policy, function).into_iter().filter(there).collect()
}
