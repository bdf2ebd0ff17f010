//! Shock at first-aid level.
//!
//! Owns when it is suspected and what is done then. Promises: suspected when either of two published rules
//! says so; an adult pulse limit is not applied to children. Sources: JTS curriculum, shock module (clouded
//! mind without head injury, or weak or no pulse at the wrist); ANZCOR 9.1.1 (pale and sweaty with a pulse
//! over 100, or slow refill, or clouded).

use serde::{Deserialize, Serialize};

use super::minutes::Minutes;
use super::policy::{OralFluids, Policy};

/// What is seen. Every field is "yes, seen".
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ShockSigns {
    /// Mind and head.
    pub mind: Mind,
    /// Pulse at the wrist weak or absent.
    pub weak_wrist_pulse: bool,
    /// Pale and sweaty.
    pub pale_and_sweaty: bool,
    /// Pulse per minute.
    pub pulse: Option<u16>,
    /// Refill slower than the limit.
    pub slow_refill: bool,
    /// Not an adult.
    pub child: Child,
}

/// A sign that may mean shock, as it is ticked.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ShockSign {
    /// Pale and sweaty.
    PaleAndSweaty,
    /// Pulse at the wrist weak or not felt.
    WeakWristPulse,
    /// Confused, drowsy or out.
    Clouded,
    /// The head is hurt: a clouded mind may come from that.
    HeadInjury,
    /// Colour comes back slowly.
    SlowRefill,
    /// Thirsty. Shown, counts for nothing.
    Thirsty,
    /// Breathes fast. Shown, counts for nothing.
    FastBreathing,
    /// Anxious. Shown, counts for nothing.
    Anxious,
    /// Faint. Shown, counts for nothing.
    Faint,
}

impl ShockSign {
    /// Every sign, those that count first.
    pub const ALL: [Self; 9] = [
        Self::PaleAndSweaty,
        Self::WeakWristPulse,
        Self::Clouded,
        Self::SlowRefill,
        Self::HeadInjury,
        Self::Thirsty,
        Self::FastBreathing,
        Self::Anxious,
        Self::Faint,
    ];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::PaleAndSweaty => "pale_and_sweaty",
            Self::WeakWristPulse => "weak_wrist_pulse",
            Self::Clouded => "clouded",
            Self::HeadInjury => "head_injury",
            Self::SlowRefill => "slow_refill",
            Self::Thirsty => "thirsty",
            Self::FastBreathing => "fast_breathing",
            Self::Anxious => "anxious",
            Self::Faint => "faint",
        }
    }

    /// The words shown.
    pub const fn words(self) -> &'static str {
        match self {
            Self::PaleAndSweaty => "pale and sweaty",
            Self::WeakWristPulse => "pulse at the wrist weak or gone",
            Self::Clouded => "confused, drowsy or out",
            Self::HeadInjury => "head hurt",
            Self::SlowRefill => "colour comes back slowly",
            Self::Thirsty => "thirsty",
            Self::FastBreathing => "breathes fast",
            Self::Anxious => "anxious",
            Self::Faint => "faint",
        }
    }
}

impl ShockSigns {
    /// From what was ticked and counted.
    pub fn from_seen(seen: &[ShockSign], pulse: Option<u16>, child: Child) -> Self {
        let has = |sign: ShockSign| seen.contains(&sign);
        Self {
            mind: match (has(ShockSign::Clouded), has(ShockSign::HeadInjury)) {
                (false, _) => Mind::Clear,
                (true, false) => Mind::Clouded,
                (true, true) => Mind::CloudedWithHeadInjury,
            },
            weak_wrist_pulse: has(ShockSign::WeakWristPulse),
            pale_and_sweaty: has(ShockSign::PaleAndSweaty),
            pulse,
            slow_refill: has(ShockSign::SlowRefill),
            child,
        }
    }
}

/// State of mind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mind {
    /// Clear, or not looked at.
    #[default]
    Clear,
    /// Clouded, no head injury.
    Clouded,
    /// Clouded, with a head injury that may explain it.
    CloudedWithHeadInjury,
}

/// Whether the adult limits apply.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Child {
    /// Adult.
    #[default]
    No,
    /// Child: the pulse limit does not apply, no paediatric limit was found.
    Yes,
}

/// Whether shock is suspected.
pub fn shock_suspected(policy: &Policy, signs: &ShockSigns) -> bool {
    let fast = signs.child == Child::No
        && signs
            .pulse
            .is_some_and(|pulse| pulse > policy.care.shock_pulse);
    // With a head injury a clouded mind counts only together with a second sign (our default).
    let second = signs.weak_wrist_pulse || signs.pale_and_sweaty || signs.slow_refill || fast;
    let clouded = match signs.mind {
        Mind::Clear => false,
        Mind::Clouded => true,
        Mind::CloudedWithHeadInjury => second,
    };
    let military = clouded || signs.weak_wrist_pulse;
    let civilian = signs.pale_and_sweaty && (fast || signs.slow_refill || clouded);
    military || civilian
}

/// What is done when shock is suspected. Sources: TCCC Guidelines; no leg raise after trauma: AHA / American
/// Red Cross (relayed); content of warmth: TCCC change 20-01.
pub const SHOCK_CARE: [&str; 5] = [
    "Look at every bleed again now.",
    "Flat, quiet, warm: off the ground, covered, head too.",
    "Out first.",
    "Vital signs, as often as the clock asks.",
    "No tourniquet comes off.",
];

/// Keeping warm. Sources: TCCC change 20-01 (2020); JTS skill sheet 2021.
pub const WARMTH: [&str; 5] = [
    "Something under them.",
    "Wet clothes off, or a vapour barrier over them.",
    "Bare only what you treat; cover it again afterwards.",
    "Barrier, insulation, hat.",
    "Heat packs never on bare skin.",
];

/// A hospital nearer than this: nothing to drink. Our default between civilian teaching and the TCCC family.
pub const NOTHING_TO_DRINK_WITHIN: Minutes = Minutes(120);

/// Whether sips are allowed, by the incident's choice; `hospital_minutes` is the time to a hospital.
pub fn may_drink(policy: &Policy, hospital_minutes: Option<u32>, risk: DrinkRisk) -> bool {
    let awake_and_safe = risk == DrinkRisk::None;
    match policy.switches.oral_fluids {
        OralFluids::Nothing => false,
        OralFluids::SipsIfAwake => awake_and_safe,
        OralFluids::NothingIfHospitalNear => {
            let far = |minutes| minutes >= NOTHING_TO_DRINK_WITHIN.0;
            awake_and_safe && hospital_minutes.is_some_and(far)
        }
    }
}

/// Why a casualty must not drink.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrinkRisk {
    /// Awake, swallows, no wound of belly or chest.
    None,
    /// Belly or chest wound, or clouded mind.
    WoundOrMind,
}
