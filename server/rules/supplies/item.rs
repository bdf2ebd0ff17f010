//! The item catalogue.
//!
//! Owns the stored codes, words and units. Sizes and kinds follow ANSI/ISEA Z308.1-2014 (as printed in US
//! Fish & Wildlife Service policy 243 FW 1) and the UK standard for public-access trauma kits (`NaCTSO`); the
//! rest is *common practice*.

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::policy::Policy;
use crate::rules::bleeding::{Measure, Minutes};

macro_rules! items {
    ($($name:ident $code:literal: $words:literal, $unit:literal, $expires:literal;)+) => {
        /// An item of a kit.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "snake_case")]
        #[expect(missing_docs, reason = "`words` says what each one is")]
        pub enum Item { $($name,)+ }

        impl Item {
            /// How many there are.
            pub const COUNT: usize = [$(Self::$name,)+].len();

            /// Every item, in the order of the bag list.
            pub const ALL: [Self; Self::COUNT] = [$(Self::$name,)+];

            /// The stored code.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$name => $code,)+ }
            }

            /// The words shown.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// What one of it is.
            pub const fn unit(self) -> &'static str {
                match self { $(Self::$name => $unit,)+ }
            }

            /// Whether a pack carries a date after which it counts for less.
            pub const fn expires(self) -> bool {
                match self { $(Self::$name => $expires,)+ }
            }
        }
    };
}

items! {
    Gloves "gloves": "gloves", "pair", true;
    EyeProtection "eye_protection": "eye protection", "each", false;
    FaceMask "face_mask": "face mask", "each", false;
    Shears "shears": "shears", "each", false;
    Marker "marker": "marker, waterproof", "each", false;
    Tourniquet "tourniquet": "tourniquet", "each", false;
    ImprovisedTourniquet "improvised_tourniquet": "band 5 cm wide and a rod", "each", false;
    HaemostaticGauze "haemostatic_gauze": "haemostatic gauze", "piece", true;
    PackingGauze "packing_gauze": "packing gauze", "piece", true;
    GauzeRoll "gauze_roll": "gauze roll", "roll", false;
    BarBandage "bar_bandage": "pressure bandage with bar", "each", true;
    PressureBandage "pressure_bandage": "pressure bandage", "each", true;
    ElasticBandage "elastic_bandage": "elastic bandage", "roll", false;
    SmallPad "small_pad": "small pad", "each", true;
    LargePad "large_pad": "large pad", "each", true;
    NonStickPad "non_stick_pad": "pad, non-stick", "each", true;
    TriangularBandage "triangular_bandage": "triangular bandage", "each", false;
    Tape "tape": "tape", "roll", false;
    VentedChestSeal "vented_chest_seal": "chest seal, vented", "each", true;
    ClearFilm "clear_film": "clear film or bag, clean", "each", false;
    EyeShield "eye_shield": "eye shield, stiff", "each", false;
    Cloth "cloth": "clean cloth", "piece", false;
    RinsingSyringe "rinsing_syringe": "rinsing syringe, blunt tip", "set", true;
    WaterDecilitres "water_decilitres": "clean water for wounds", "0.1 litre", false;
    Blanket "blanket": "blanket", "each", false;
    WasteBag "waste_bag": "waste bag", "each", false;
    SharpsBox "sharps_box": "sharps box", "each", false;
}

/// What an item out of date still is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutOfDate {
    /// As good as before.
    StillGood,
    /// Clean, no longer sterile; used when there is nothing else (*common practice*).
    CleanOnly,
    /// Counts as plain gauze (our default).
    AsPlainGauze,
    /// Looked at before use: retire if used, faded or from training (from memory). One US law asks for an
    /// inspection every three years (relayed).
    Inspect,
}

impl Item {
    /// What it is worth out of date, wet or torn.
    pub const fn out_of_date(self) -> OutOfDate {
        match self {
            Self::HaemostaticGauze => OutOfDate::AsPlainGauze,
            Self::Tourniquet => OutOfDate::Inspect,
            _ if self.expires() => OutOfDate::CleanOnly,
            _ => OutOfDate::StillGood,
        }
    }

    /// Whether it counts as a dressing: what lies on or around a wound.
    pub const fn is_dressing(self) -> bool {
        matches!(
            self,
            Self::Tourniquet
                | Self::ImprovisedTourniquet
                | Self::HaemostaticGauze
                | Self::PackingGauze
                | Self::GauzeRoll
                | Self::BarBandage
                | Self::PressureBandage
                | Self::ElasticBandage
                | Self::SmallPad
                | Self::LargePad
                | Self::NonStickPad
                | Self::TriangularBandage
                | Self::VentedChestSeal
                | Self::EyeShield
                | Self::Cloth
        )
    }

    /// What a measure usually takes, for one tap. Our default; pads after ANZCOR 9.1.1 ("one or two pads").
    pub const fn usual_for(measure: Measure) -> &'static [(Self, u32)] {
        match measure {
            Measure::DirectPressure => &[(Self::LargePad, 1)],
            Measure::Packing => &[(Self::PackingGauze, 1)],
            Measure::PressureDressing => &[(Self::PressureBandage, 1)],
            Measure::Tourniquet => &[(Self::Tourniquet, 1)],
        }
    }

    /// Used on one casualty only (standard precautions, from memory).
    pub const fn single_casualty(self) -> bool {
        !matches!(
            self,
            Self::Shears
                | Self::Marker
                | Self::Tape
                | Self::WasteBag
                | Self::SharpsBox
                | Self::EyeProtection
                | Self::WaterDecilitres
        )
    }

    /// How long to press on it when it is packed into a wound.
    pub fn pack_hold(self, policy: &Policy, out_of_date: bool) -> Minutes {
        match self {
            Self::HaemostaticGauze if !out_of_date => policy.holds.haemostatic,
            Self::Cloth => policy.holds.cloth,
            _ => policy.holds.plain,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_code_is_what_is_stored() {
        for item in Item::ALL {
            assert_eq!(serde_json::to_value(item).unwrap(), item.code());
        }
    }
}
