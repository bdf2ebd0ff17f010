//! Kinds of transport with the numbers to start from.
//!
//! Owns the presets. All are defaults: what the crew answers to "how many lying, how many sitting, can you care for an
//! unstable one?" goes before them. Sources stand at each kind; "ours" means a default of our own.

use super::means::{TransportKind, Way};
use super::problem::{Equipment, Layout};

/// A kind of transport, finer than what it is called: an ambulance may take one stretcher or two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Road ambulance with one stretcher. EN 1789 types A1, A2 (from an operator's page), B and C (from memory);
    /// numbers ours.
    Ambulance,
    /// Road ambulance with two stretchers. Numbers ours.
    AmbulanceTwo,
    /// Field ambulance: 4 lying, or 2 lying and 4 sitting, or 8 sitting (US Navy, *Operational Medicine 2001*,
    /// NAVMED P-5139); times ours.
    FieldAmbulance,
    /// Helicopter of about three tonnes. EN 13718 asks for at least one stretcher; numbers from memory and ours.
    HelicopterLight,
    /// Larger helicopter. From memory and ours.
    HelicopterMedium,
    /// Search and rescue helicopter. From memory and ours.
    HelicopterLarge,
    /// Minibus. Ours.
    Minibus,
    /// Car. Ours.
    Car,
    /// Off-road car. Ours.
    OffRoad,
    /// Small boat. Ours.
    Boat,
    /// People who carry a stretcher. Ours.
    StretcherParty,
    /// People who walk out with an escort; never alone: at least two fit people go along (Wilderness Medical Society
    /// practice text on ground evacuation). Four to an escort pair: ours.
    WalkOut,
}

/// What a kind starts with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Preset {
    /// Ways to use the inside.
    pub layouts: &'static [Layout],
    /// Attendants.
    pub attendants: u16,
    /// What is usually on board.
    pub equipment: &'static [Equipment],
    /// Minutes to load.
    pub load: i32,
    /// Minutes to unload.
    pub unload: i32,
    /// Sitting places are steps on foot.
    pub on_foot: bool,
    /// Leaves by the end of civil twilight unless its crew says that it flies by night.
    pub by_daylight: bool,
}

// Layouts by lying and sitting places.
const L1_S1: &[Layout] = &[Layout::new(1, 1)];
const L2_S0_OR_L1_S2: &[Layout] = &[Layout::new(2, 0), Layout::new(1, 2)];
const L4_S0_OR_L2_S4_OR_L0_S8: &[Layout] =
    &[Layout::new(4, 0), Layout::new(2, 4), Layout::new(0, 8)];
const L2_S3: &[Layout] = &[Layout::new(2, 3)];
const L4_S8_OR_L2_S12: &[Layout] = &[Layout::new(4, 8), Layout::new(2, 12)];
const L0_S8: &[Layout] = &[Layout::new(0, 8)];
const L0_S3: &[Layout] = &[Layout::new(0, 3)];
const L1_S3: &[Layout] = &[Layout::new(1, 3)];
const L1_S0: &[Layout] = &[Layout::new(1, 0)];
const L0_S4: &[Layout] = &[Layout::new(0, 4)];

impl Kind {
    /// Every kind, in the order of a list to choose from.
    pub const ALL: [Self; 12] = [
        Self::Ambulance,
        Self::AmbulanceTwo,
        Self::FieldAmbulance,
        Self::HelicopterLight,
        Self::HelicopterMedium,
        Self::HelicopterLarge,
        Self::Minibus,
        Self::Car,
        Self::OffRoad,
        Self::Boat,
        Self::StretcherParty,
        Self::WalkOut,
    ];

    /// What it is.
    pub const fn means(self) -> TransportKind {
        match self {
            Self::Ambulance | Self::AmbulanceTwo | Self::FieldAmbulance => TransportKind::Ambulance,
            Self::HelicopterLight | Self::HelicopterMedium | Self::HelicopterLarge => {
                TransportKind::Helicopter
            }
            Self::Minibus => TransportKind::Minibus,
            Self::Car => TransportKind::Car,
            Self::OffRoad => TransportKind::Offroad,
            Self::Boat => TransportKind::Boat,
            Self::StretcherParty => TransportKind::StretcherParty,
            Self::WalkOut => TransportKind::WalkingParty,
        }
    }

    /// The words on a screen.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ambulance => "Ambulance, one stretcher",
            Self::AmbulanceTwo => "Ambulance, two stretchers",
            Self::FieldAmbulance => "Field ambulance",
            Self::HelicopterLight => "Helicopter, light",
            Self::HelicopterMedium => "Helicopter, medium",
            Self::HelicopterLarge => "Helicopter, large",
            Self::Minibus => "Minibus",
            Self::Car => "Car",
            Self::OffRoad => "Off-road car",
            Self::Boat => "Boat",
            Self::StretcherParty => "Stretcher party on foot",
            Self::WalkOut => "Walking out with an escort",
        }
    }

    /// What it starts with.
    pub const fn preset(self) -> Preset {
        const CARE: &[Equipment] = &[Equipment::Oxygen, Equipment::Spinal];
        let (layouts, attendants, equipment, load, unload): (&[Layout], _, &[Equipment], _, _) =
            match self {
                Self::Ambulance => (L1_S1, 1, CARE, 5, 10),
                Self::AmbulanceTwo => (L2_S0_OR_L1_S2, 1, CARE, 5, 10),
                Self::FieldAmbulance => (L4_S0_OR_L2_S4_OR_L0_S8, 2, CARE, 10, 15),
                Self::HelicopterLight => (L1_S1, 1, CARE, 10, 10),
                Self::HelicopterMedium => (L2_S3, 1, CARE, 10, 10),
                Self::HelicopterLarge => (L4_S8_OR_L2_S12, 2, CARE, 15, 15),
                Self::Minibus => (L0_S8, 0, &[], 10, 10),
                Self::Car => (L0_S3, 0, &[], 2, 3),
                Self::OffRoad => (L1_S1, 0, &[], 5, 5),
                Self::Boat => (L1_S3, 1, &[], 10, 10),
                Self::StretcherParty => (L1_S0, 1, &[], 10, 5),
                Self::WalkOut => (L0_S4, 0, &[], 5, 5),
            };
        Preset {
            layouts,
            attendants,
            equipment,
            load,
            unload,
            on_foot: matches!(self, Self::WalkOut),
            by_daylight: matches!(self.means().way(), Way::Air),
        }
    }
}
