//! What is reported about the whole person: moves, shock, observations, warmth, handover.
//!
//! Owns the person's part of the picture and what it does to the wounds.

use jiff::Timestamp;

use super::{Dated, Fold, Picture};
use crate::rules::bleeding::act::Act;
use crate::rules::bleeding::rule::Rule;
use crate::rules::bleeding::standing::Standing;
use crate::rules::bleeding::state::State;

/// The person as a whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Person {
    /// Shock suspected since.
    pub shock_since: Option<Timestamp>,
    /// Last set of vital signs.
    pub observed_at: Option<Timestamp>,
    /// Insulated and covered.
    pub warmed_at: Option<Timestamp>,
    /// The first bleed was brought under control.
    pub controlled_at: Option<Timestamp>,
    /// … and the first dangerous one.
    pub danger_controlled_at: Option<Timestamp>,
    /// Tranexamic acid given or decided against.
    pub tranexamic_settled_at: Option<Timestamp>,
    /// Handed over as a whole.
    pub handed_over_at: Option<Timestamp>,
}

impl Act {
    /// Acts that concern the person whatever they name.
    pub(super) const fn is_about_the_person(&self) -> bool {
        matches!(
            self,
            Self::Moved
                | Self::Shock { .. }
                | Self::Observed
                | Self::Warmed
                | Self::TranexamicAcidSettled
        )
    }
}

impl Fold<'_> {
    pub(super) fn take_person(&mut self, dated: &Dated) {
        match dated.act {
            Act::Moved => self.disturb(dated.at, Rule::MoveChecksAll),
            Act::Shock { on: true } if self.picture.person.shock_since.is_none() => {
                self.picture.person.shock_since = Some(dated.at);
                self.disturb(dated.at, Rule::ShockChecksAll);
            }
            Act::Shock { on: false } => self.picture.person.shock_since = None,
            Act::Observed => self.picture.person.observed_at = Some(dated.at),
            Act::Warmed => self.picture.person.warmed_at = Some(dated.at),
            Act::TranexamicAcidSettled => {
                self.picture.person.tranexamic_settled_at = Some(dated.at);
            }
            _ => {}
        }
    }

    /// Everything in place is checked again. A check already overdue from an earlier move keeps its time.
    fn disturb(&mut self, at: Timestamp, rule: Rule) {
        for standing in &mut self.picture.wounds {
            if standing.state.is_rechecked() {
                standing.times.disturbed.get_or_insert(at);
                standing.note(at, rule);
            }
        }
    }
}

impl Picture {
    /// Notes the first time a bleed that was treated is seen to hold.
    pub(super) fn notice_control(&mut self, at: Timestamp) {
        let treated = |standing: &&Standing| standing.holding && standing.rung > 0;
        if self.wounds.iter().any(|standing| treated(&standing)) {
            self.person.controlled_at.get_or_insert(at);
        }
        if self
            .wounds
            .iter()
            .filter(treated)
            .any(|standing| standing.risk.dangerous)
        {
            self.person.danger_controlled_at.get_or_insert(at);
        }
    }
}

impl Standing {
    /// Closes the wound: its standing is frozen.
    pub(super) fn close(&mut self, at: Timestamp, state: State, rule: Rule) {
        self.go(at, state, crate::rules::bleeding::step::Step::Nothing, rule);
        self.times.breathing_worse = None;
    }
}
