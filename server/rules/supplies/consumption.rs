//! What each step uses.
//!
//! Owns the default quantities; the helper confirms or corrects them with one tap. All are our defaults,
//! except: pads per pressure ANZCOR 9.1.1 (one or two), what a conversion uses JTS curriculum.

use super::item::Item;

/// A step that uses something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Use {
    /// A helper touches a casualty for the first time.
    FirstContact,
    /// Hands press.
    Pressure,
    /// A shallow limb wound is packed with this.
    PackShallow(Item),
    /// A deep wound or a junction is packed, this first.
    PackDeep(Item),
    /// Repacked with this.
    Repack(Item),
    /// A pressure dressing of this kind.
    PressureDressing(Item),
    /// One layer more.
    Reinforce,
    /// A tourniquet, also a second one.
    Tourniquet,
    /// A tourniquet replaced by a pack of this and a dressing.
    Conversion(Item),
    /// One hole of a chest.
    CoverChest,
    /// Organs.
    CoverOrgans,
    /// An eye.
    CoverEye,
    /// A plain dressing.
    PlainDressing,
    /// Rinsed with this much water, in millilitres.
    Rinse(u32),
    /// A plain dressing changed.
    ChangeDressing,
    /// Wrapped up warm.
    Warmth,
}

/// What a step uses by default.
pub fn used_by(step: Use) -> Vec<(Item, u32)> {
    match step {
        Use::FirstContact => vec![(Item::Gloves, 1)],
        Use::Pressure => vec![(Item::LargePad, 1)],
        Use::PackShallow(gauze) => vec![(gauze, 1)],
        Use::PackDeep(Item::HaemostaticGauze) => {
            vec![(Item::HaemostaticGauze, 1), (Item::PackingGauze, 1)]
        }
        Use::PackDeep(gauze) | Use::Repack(gauze) => vec![(gauze, 2)],
        Use::PressureDressing(kind) => pressure_dressing(kind),
        Use::Reinforce => vec![(Item::LargePad, 1), (Item::GauzeRoll, 1)],
        Use::Tourniquet => vec![(Item::Tourniquet, 1)],
        Use::Conversion(gauze) => vec![(gauze, 1), (Item::BarBandage, 1)],
        Use::CoverChest => vec![(Item::VentedChestSeal, 1)],
        Use::CoverOrgans => {
            vec![
                (Item::LargePad, 2),
                (Item::ClearFilm, 1),
                (Item::WaterDecilitres, 3),
            ]
        }
        Use::CoverEye => vec![(Item::EyeShield, 1)],
        Use::PlainDressing => vec![(Item::SmallPad, 1), (Item::GauzeRoll, 1)],
        Use::Rinse(ml) => vec![
            (Item::WaterDecilitres, ml.div_ceil(100)),
            (Item::RinsingSyringe, 1),
            (Item::Gloves, 1),
            (Item::SmallPad, 1),
            (Item::GauzeRoll, 1),
        ],
        Use::ChangeDressing => {
            vec![(Item::SmallPad, 1), (Item::GauzeRoll, 1), (Item::Gloves, 1)]
        }
        Use::Warmth => vec![(Item::Blanket, 1)],
    }
}

fn pressure_dressing(kind: Item) -> Vec<(Item, u32)> {
    match kind {
        Item::ElasticBandage | Item::TriangularBandage => vec![(Item::LargePad, 1), (kind, 1)],
        Item::Cloth => vec![(Item::Cloth, 2)],
        other => vec![(other, 1)],
    }
}

/// Adds up the defaults of several steps, one line per item.
pub fn used_by_all(steps: &[Use]) -> Vec<(Item, u32)> {
    let mut sum = std::collections::BTreeMap::new();
    for (item, count) in steps.iter().flat_map(|step| used_by(*step)) {
        let line: &mut u32 = sum.entry(item).or_default();
        *line = line.saturating_add(count);
    }
    sum.into_iter().collect()
}
