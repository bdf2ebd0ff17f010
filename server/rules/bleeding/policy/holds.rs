//! How soon a measure must start, how long hands press, how a dressing is checked.
//!
//! Owns the defaults of the first minutes. Promises nothing but the numbers and their sources.

use serde::{Deserialize, Serialize};

use crate::rules::bleeding::minutes::Minutes;

/// How soon something must have begun.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Starts {
    /// First look at a reported wound. Our default.
    pub first_look: Minutes,
    /// Tourniquet. Source: JTS, TCCC Combat Paramedic curriculum (control ideally within 1 min).
    pub tourniquet: Minutes,
    /// Packing, repacking, or hands that stay on. Our default.
    pub packing: Minutes,
    /// Direct pressure on a bleed that is no danger yet. Our default.
    pub pressure: Minutes,
    /// Direct pressure on a dangerous bleed. Our default, from the 1 min above.
    pub pressure_life_threat: Minutes,
    /// The measure a special region needs. Our default.
    pub region: Minutes,
}

impl Default for Starts {
    fn default() -> Self {
        Self {
            first_look: Minutes(2),
            tourniquet: Minutes(1),
            packing: Minutes(1),
            pressure: Minutes(5),
            pressure_life_threat: Minutes(1),
            region: Minutes(1),
        }
    }
}

/// How long hands press without lifting.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Holds {
    /// Direct pressure. Source: UK first-aid practice (10, relayed); US Army FM 4-25.11 (2002) has 5 to 10,
    /// AHA / American Red Cross 2015 at least 5 (relayed).
    pub pressure: Minutes,
    /// The shortest direct pressure any source accepts, for an incident that shortens the hold.
    /// Source: AHA / American Red Cross 2015 (relayed).
    pub pressure_floor: Minutes,
    /// Direct pressure when the casualty takes blood thinners. *Common practice*.
    pub pressure_anticoagulant: Minutes,
    /// How often the hold is repeated when it only oozes at the end. Our default.
    pub ooze_repeats: u8,
    /// Haemostatic gauze. Source: Committee on TCCC / JTS, TCCC Guidelines (at least 3).
    pub haemostatic: Minutes,
    /// Plain gauze. *Common practice*; one procedure list says at least 3.
    pub plain: Minutes,
    /// Cotton cloth. Our default, as for plain gauze.
    pub cloth: Minutes,
    /// A look this many seconds before the end still counts as in time, because two clocks and a cold thumb
    /// never agree to the second. Our default.
    pub grace_seconds: u8,
    /// A hold whose end nobody has looked at becomes serious after this much more. Our default.
    pub serious_after: Minutes,
    /// Pinching the nose. From memory: UK public advice (10 to 15).
    pub nose: Minutes,
    /// How many nose pinches before medical help. From memory: UK public advice (30 min in all).
    pub nose_times: u8,
    /// Relief for hands that must stay on. Our default.
    pub relief: Minutes,
}

impl Default for Holds {
    fn default() -> Self {
        Self {
            pressure: Minutes(10),
            pressure_floor: Minutes(5),
            pressure_anticoagulant: Minutes(20),
            ooze_repeats: 1,
            haemostatic: Minutes(3),
            plain: Minutes(10),
            cloth: Minutes(10),
            grace_seconds: 10,
            serious_after: Minutes(2),
            nose: Minutes(10),
            nose_times: 3,
            relief: Minutes(10),
        }
    }
}

impl Holds {
    /// How long direct pressure lasts, never below the floor.
    pub fn direct_pressure(&self, anticoagulant: bool) -> Minutes {
        let wanted = if anticoagulant {
            self.pressure_anticoagulant
        } else {
            self.pressure
        };
        wanted.max(self.pressure_floor)
    }
}

/// How a pressure dressing is put on and watched.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Dressings {
    /// Wrap within this time after a hold ended well. Our default.
    pub wrap_within: Minutes,
    /// First check after a dressing went on or was changed. Source of the check: St John Ambulance
    /// advice, JTS curriculum; the 2 minutes are our default.
    pub first_check: Minutes,
    /// Every further check. Source: UK training providers (relayed); *common practice*.
    pub recheck: Minutes,
    /// Loosen a dressing that is too tight. Source of the act: St John Ambulance; 1 min is our default.
    pub loosen_within: Minutes,
    /// Most layers before the next rung. Source: ANZCOR 9.1.1 (one or two pads); *Less is more when using
    /// gauze to stop bleeding*, Circulation supplement (force falls with each layer).
    pub most_layers: u8,
    /// How often a wound without a tourniquet is repacked. Source of repacking: TCCC Guidelines; once is
    /// our default.
    pub most_repacks: u8,
}

impl Default for Dressings {
    fn default() -> Self {
        Self {
            wrap_within: Minutes(2),
            first_check: Minutes(2),
            recheck: Minutes(10),
            loosen_within: Minutes(1),
            most_layers: 2,
            most_repacks: 1,
        }
    }
}
