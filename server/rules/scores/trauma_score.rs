//! The triage revised trauma score and the weighted revised trauma score: a second look, not the first.
//!
//! Owns the coded values, the sum with its priority, and the weighted sum for audit. Sources: Champion et al.,
//! J Trauma 1989;29:623–9 (content confirmed); the coding table as in the Utstein template for major trauma,
//! SJTREM 2008;16:7, Table 7; priorities from an openEHR-based guideline and UK teaching texts (secondary).
//! Promises: fast breathing codes 3 and slow breathing less, as printed; the coma part is missing if a
//! component cannot be tested, and is never made from an AVPU level; "dead" is a sum of 0 and nothing else.
//!
//! England replaced the sort built on this score by MITT in 2023 (NHS England); offer it as an option. The
//! survival table of 1989 is left out: it is known to us from memory only.

use std::collections::BTreeSet;

use serde::Serialize;

use super::bounds::Bounds;
use super::readings::Pressure;
use crate::rules::triage::Category;

/// The coded value, 0 to 4, of a coma total; `None` outside 3 to 15.
pub const fn code_gcs(total: u8) -> Option<u8> {
    match total {
        13..=15 => Some(4),
        9..=12 => Some(3),
        6..=8 => Some(2),
        4..=5 => Some(1),
        3 => Some(0),
        _ => None,
    }
}

/// The coded value of a systolic pressure in mmHg.
pub const fn code_systolic(mmhg: u16) -> u8 {
    match mmhg {
        90.. => 4,
        76..=89 => 3,
        50..=75 => 2,
        1..=49 => 1,
        0 => 0,
    }
}

/// The coded value of a breathing rate per minute. Not monotonic: 30 and over codes 3.
pub const fn code_breaths(per_minute: u16) -> u8 {
    match per_minute {
        30.. => 3,
        10..=29 => 4,
        6..=9 => 2,
        1..=5 => 1,
        0 => 0,
    }
}

/// The three coded values; `None` where the value is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize)]
pub struct TraumaScore {
    /// Coma code.
    pub gcs: Option<u8>,
    /// Pressure code.
    pub systolic: Option<u8>,
    /// Breathing code.
    pub breaths: Option<u8>,
}

impl TraumaScore {
    /// Codes what was measured: an exact coma total, a pressure, breaths per minute.
    ///
    /// A pressure that could not be had is missing, not zero: a cuff that fails proves nothing.
    pub fn of(
        gcs_total: Option<u8>,
        systolic: Option<Pressure>,
        breaths_per_minute: Option<u16>,
    ) -> Self {
        Self {
            gcs: gcs_total.and_then(code_gcs),
            systolic: systolic.and_then(Pressure::mmhg).map(code_systolic),
            breaths: breaths_per_minute.map(code_breaths),
        }
    }

    /// The sum, 0 to 12; each missing part may add 0 to 4.
    pub fn sum(self) -> Bounds {
        self.weighted(1, 1, 1)
    }

    /// The weighted score in ten-thousandths, 0 to 78 408; for audit, not for sorting people.
    pub fn revised(self) -> Bounds {
        self.weighted(9368, 7326, 2908)
    }

    fn weighted(self, gcs: u32, systolic: u32, breaths: u32) -> Bounds {
        let part = |code: Option<u8>| Bounds::of(code, 0, 4);
        part(self.gcs)
            .times(gcs)
            .plus(part(self.systolic).times(systolic))
            .plus(part(self.breaths).times(breaths))
    }

    /// The priorities still possible, most urgent first; one member means decided.
    pub fn priorities(self) -> BTreeSet<Category> {
        let sum = self.sum();
        (sum.low..=sum.high).map(priority).collect()
    }

    /// The priority, if the sum decides it whatever is missing.
    pub fn priority(self) -> Option<Category> {
        let possible = self.priorities();
        possible.first().copied().filter(|_| possible.len() == 1)
    }
}

/// The priority of a complete sum: 12 minor (T3), 11 delayed (T2), 1 to 10 immediate (T1), 0 dead.
pub const fn priority(sum: u32) -> Category {
    match sum {
        0 => Category::Dead,
        1..=10 => Category::Immediate,
        11 => Category::Delayed,
        _ => Category::Minor,
    }
}

/// The short label of a priority in the sort, T1 to T3; the dead have none.
pub const fn sort_label(category: Category) -> Option<&'static str> {
    match category {
        Category::Immediate => Some("T1"),
        Category::Delayed => Some("T2"),
        Category::Minor => Some("T3"),
        Category::Expectant | Category::NotBreathing | Category::Dead => None,
    }
}
