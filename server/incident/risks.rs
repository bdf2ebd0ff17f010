//! What is known of a person that changes the care of their bleeding, from their entries.
//!
//! Owns the merge of what several people told: the latest word about each thing stands, but where nobody knew of the
//! other's answer the one that asks for more care does. Promises: pure; what nobody told stays unknown.

use jiff::Timestamp;

use super::evac::History;
use super::fact::{ApparentAge, BloodSeen, Fact, RisksTold, Sex, ShockSignsSeen};
use super::identity::Standing;
use super::told::told;
use crate::rules::bleeding::distal::Body;
use crate::rules::bleeding::infection::TetanusHistory;
use crate::rules::bleeding::information::{SpiltBlood, blood_at_least_ml};
use crate::rules::bleeding::shock::{Child, ShockSigns, shock_suspected};
use crate::rules::bleeding::{self, Policy};

/// What was told and seen of the person.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Risks {
    /// Takes blood thinners.
    pub blood_thinners: Option<bool>,
    /// When the injury happened.
    pub injured_at: Option<Timestamp>,
    /// When a hospital is reached.
    pub hospital_at: Option<Timestamp>,
    /// Age, sex and cold, as far as they change a refill limit.
    pub body: Body,
    /// A child or an infant: adult limits do not apply.
    pub child: bool,
    /// Shots against tetanus.
    pub tetanus: Option<TetanusHistory>,
    /// The last look for signs of shock.
    pub shock_signs: Option<(Timestamp, ShockSignsSeen)>,
    /// At least so much blood was seen, in millilitres.
    pub blood_at_least_ml: Option<u32>,
    /// Tranexamic acid: when it was settled, and whether it was given.
    pub tranexamic: Option<(Timestamp, bool)>,
    /// To whom they were handed over, and when.
    pub handed_over: Option<(Timestamp, String)>,
}

impl Risks {
    /// From a casualty's unstruck entries, in order of happening.
    pub(super) fn of(standing: &Standing<'_>, policy: &Policy) -> Self {
        let ordered = standing.ordered;
        let history = History::of(standing);
        let mut risks = Self {
            injured_at: history.injured_at(),
            ..Self::default()
        };
        risks.body.years = told(ordered).years;
        risks.body.woman = history.sex() == Some(Sex::Female);
        let mut blood = BloodSeen::default();
        for entry in ordered {
            let at = entry.happened_at;
            match &entry.fact {
                Fact::CasualtyRegistered(said) => risks.looks_like(Some(said.age)),
                Fact::CasualtyDescribed(said) => risks.looks_like(said.age),
                Fact::RisksTold(told) => risks.take(told),
                Fact::ShockSignsSeen(seen) => risks.shock_signs = Some((at, seen.clone())),
                Fact::TranexamicSettled(settled) => risks.tranexamic = Some((at, settled.given)),
                Fact::CasualtyHandedOver(handed) => {
                    risks.handed_over = Some((at, handed.to.to_string()));
                }
                Fact::BloodSeen(seen) => {
                    blood = latest(blood, *seen);
                    risks.blood_at_least_ml = Some(blood_at_least_ml(policy, &spilt(&blood)));
                }
                _ => {}
            }
        }
        // Of answers given in ignorance of each other, the one that asks for more care.
        let thinners = standing.of(|fact| match fact {
            Fact::RisksTold(told) => told.blood_thinners,
            _ => None,
        });
        risks.blood_thinners = thinners.all().iter().map(|given| given.value).max();
        risks
    }

    fn looks_like(&mut self, age: Option<ApparentAge>) {
        if let Some(age @ (ApparentAge::Adult | ApparentAge::Child | ApparentAge::Infant)) = age {
            self.child = age != ApparentAge::Adult;
        }
    }

    fn take(&mut self, told: &RisksTold) {
        self.hospital_at = told.hospital_at.or(self.hospital_at);
        self.body.cold = told.cold.unwrap_or(self.body.cold);
        self.tetanus = told.tetanus.or(self.tetanus);
    }

    /// Whether these signs make shock suspected in this person.
    pub(super) fn suspects_shock(&self, policy: &Policy, seen: &ShockSignsSeen) -> bool {
        let child = if self.child { Child::Yes } else { Child::No };
        let signs = ShockSigns::from_seen(&seen.signs, seen.pulse_per_minute, child);
        shock_suspected(policy, &signs)
    }

    /// The person as the ladder is given them.
    pub(super) fn person(&self, met_at: Timestamp, clocks_hidden: bool) -> bleeding::Casualty {
        bleeding::Casualty {
            injured_at: self.injured_at,
            met_at: Some(met_at),
            anticoagulant: self.blood_thinners,
            hospital_at: self.hospital_at,
            clocks_hidden,
        }
    }
}

/// What was seen later replaces what was seen before, kind by kind: two people count the same pool.
fn latest(before: BloodSeen, seen: BloodSeen) -> BloodSeen {
    BloodSeen {
        fists: seen.fists.or(before.fists),
        dressings_10_by_18: seen.dressings_10_by_18.or(before.dressings_10_by_18),
        dressings_19_by_20: seen.dressings_19_by_20.or(before.dressings_19_by_20),
        dressings_30_by_30: seen.dressings_30_by_30.or(before.dressings_30_by_30),
    }
}

fn spilt(seen: &BloodSeen) -> Vec<SpiltBlood> {
    [
        seen.fists.map(SpiltBlood::Fists),
        seen.dressings_10_by_18.map(SpiltBlood::FieldDressings),
        seen.dressings_19_by_20.map(SpiltBlood::MediumDressings),
        seen.dressings_30_by_30.map(SpiltBlood::LargeDressings),
    ]
    .into_iter()
    .flatten()
    .collect()
}
