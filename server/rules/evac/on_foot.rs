//! How long it takes on foot: a stretcher party, and people who walk.
//!
//! Owns the estimate. No published figure for the speed of a stretcher party is known; what is published is the
//! number of people: six bearers, three a side, on easy ground (*Medicine for Mountaineering*, chapter on transport),
//! 18 to 25 on hard ground (US *Litter evacuation guidelines*). The speeds, the height and the packaging time are our
//! defaults; a screen calls them an estimate.

use serde::{Deserialize, Serialize};

/// The ground of a carry.
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
pub enum Ground {
    /// A path.
    Path,
    /// Rough ground.
    Rough,
    /// Very rough, or steep.
    VeryRough,
}

impl Ground {
    /// All, the easiest first.
    pub const ALL: [Self; 3] = [Self::Path, Self::Rough, Self::VeryRough];

    /// The stored code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Path => "path",
            Self::Rough => "rough",
            Self::VeryRough => "very_rough",
        }
    }

    /// The words shown to people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Path => "path",
            Self::Rough => "rough ground",
            Self::VeryRough => "very rough or steep",
        }
    }
}

/// A carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Carry {
    /// The way, in metres.
    pub metres: u32,
    /// Height lost or gained on the way, in metres.
    pub height: u32,
    /// The ground.
    pub ground: Ground,
    /// People who carry.
    pub bearers: u16,
    /// A wheel under the stretcher; it helps on a path only.
    pub wheel: bool,
}

/// The least number of people who can carry somebody any way at all.
pub const FEWEST_BEARERS: u16 = 6;
/// Bearers who keep the usual speed.
pub const ENOUGH_BEARERS: u16 = 8;
/// Beyond this way a carry is doubtful: "under 8 km" (wilderness-medicine textbook, *Transport of the injured victim*).
pub const LONGEST_CARRY_METRES: u32 = 8_000;
/// Minutes to package the casualty.
pub const PACKAGING: i32 = 10;

/// Too few to carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("too few to carry: {FEWEST_BEARERS} people are needed, {ENOUGH_BEARERS} are better")]
pub struct TooFew;

/// Minutes of a carry, packaging included; the way back empty takes as long (safe side).
///
/// # Errors
/// With fewer than six bearers there is no estimate.
pub fn carry(carry: Carry) -> Result<i32, TooFew> {
    if carry.bearers < FEWEST_BEARERS {
        return Err(TooFew);
    }
    // Metres an hour, in tenths, so that all stays whole: 2.0, 1.0, 0.5 km/h; × 0.6 for six or seven; × 1.5 on a wheel.
    let mut speed: u64 = match carry.ground {
        Ground::Path => 20_000,
        Ground::Rough => 10_000,
        Ground::VeryRough => 5_000,
    };
    if carry.bearers < ENOUGH_BEARERS {
        speed = speed * 6 / 10;
    }
    if carry.wheel && carry.ground == Ground::Path {
        speed = speed * 3 / 2;
    }
    Ok(minutes(carry.metres, carry.height, speed).saturating_add(PACKAGING))
}

/// Minutes for the walking wounded: 2.5 km an hour and 10 minutes for every 100 m of height. Never alone: at least
/// two fit people go along (Wilderness Medical Society practice text on ground evacuation).
pub fn walk(metres: u32, height: u32) -> i32 {
    minutes(metres, height, 25_000)
}

/// 60 minutes × way ÷ speed (tenths of metres an hour) + 10 per 100 m of height, rounded up once.
fn minutes(metres: u32, height: u32, speed: u64) -> i32 {
    let way = u64::from(metres) * 600;
    let up = u64::from(height) * speed;
    i32::try_from((way * 10 + up).div_ceil(speed * 10)).unwrap_or(i32::MAX)
}
