//! Tourniquets as they were put on and let go: what a handover must say with both times.

use jiff::Timestamp;

use super::ids::WoundId;
use crate::rules::bleeding::Picture;

/// One tourniquet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tied {
    /// For which wound it was put on.
    pub wound: WoundId,
    /// When it went on, or the earliest it can have.
    pub since: Timestamp,
    /// Whether that time was told; otherwise it is an estimate.
    pub time_known: bool,
    /// When it was let go; none while it is tight.
    pub ended: Option<Timestamp>,
}

/// Every tourniquet of a casualty, in the order in which they went on.
pub(super) fn tied(picture: &Picture, ids: &[WoundId]) -> Vec<Tied> {
    let mut all: Vec<Tied> = picture
        .limbs
        .values()
        .flat_map(|limb| {
            let let_go = (!limb.is_tight()).then_some(limb.grip_since).flatten();
            limb.tourniquets.iter().filter_map(move |one| {
                Some(Tied {
                    wound: ids.get(one.for_wound).copied()?,
                    since: one.applied_at,
                    time_known: one.time_known,
                    ended: one.loosened_at.or(let_go),
                })
            })
        })
        .collect();
    all.sort_by_key(|one| (one.since, one.wound));
    all
}
