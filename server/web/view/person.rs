//! The person as a whole as drawn: shock, blood, what medics see, what was told, who has them now.

use super::time::{Moment, hour};
use crate::incident::Casualty;
use crate::incident::evac::{History, in_words};
use crate::rules::bleeding::information::blood_words;
use crate::rules::bleeding::policy::MedicPanel;
use crate::rules::bleeding::shock::{DrinkRisk, NOTHING_TO_DRINK_WITHIN, SHOCK_CARE, may_drink};
use crate::rules::bleeding::{Class, Policy, State};
use crate::rules::scores::Consciousness;

/// The person as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PersonView {
    /// Shock suspected since.
    pub(crate) shock: Option<Moment>,
    /// What is done then.
    pub(crate) shock_care: [&'static str; 5],
    /// "at least ~240 mL, poor accuracy".
    pub(crate) blood: String,
    /// Blood thinners, age, hurt at.
    pub(crate) told: Vec<String>,
    /// "Allergies", and what they are.
    pub(crate) history: Vec<(&'static str, String)>,
    /// For medics: until when tranexamic acid may be given, if that is known.
    pub(crate) tranexamic_until: Option<Moment>,
    /// Whether medics are shown anything about it.
    pub(crate) tranexamic: bool,
    /// It was given or decided against, and when.
    pub(crate) tranexamic_settled: Option<(Moment, &'static str)>,
    /// Whether they may drink.
    pub(crate) drink: Drink,
    /// Handed over, to whom and when.
    pub(crate) handed_over: Option<(Moment, String)>,
}

/// Whether a casualty may drink, by the incident's choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Drink {
    /// Nothing by mouth.
    Nothing,
    /// Sips, if awake and able to swallow.
    Sips,
    /// Sips until then: a hospital is near after it.
    SipsUntil(Moment),
}

impl Drink {
    fn of(casualty: &Casualty, policy: &Policy) -> Self {
        let inside = casualty.wounds.iter().any(|wound| {
            let class = wound.region.map(|region| region.capability().class);
            wound.standing.state != State::Void
                && matches!(class, Some(Class::Chest | Class::Abdomen | Class::Internal))
        });
        let mind = casualty
            .vitals
            .iter()
            .rev()
            .find_map(|(_, signs)| signs.consciousness);
        let clouded = mind.is_some_and(|mind| mind != Consciousness::Alert);
        let risk = if inside || clouded || casualty.shock_since.is_some() {
            DrinkRisk::WoundOrMind
        } else {
            DrinkRisk::None
        };
        let far = may_drink(policy, Some(u32::MAX), risk);
        match casualty.risks.hospital_at {
            _ if may_drink(policy, Some(0), risk) => Self::Sips,
            Some(at) if far => Self::SipsUntil(NOTHING_TO_DRINK_WITHIN.before(at).into()),
            _ => Self::Nothing,
        }
    }
}

impl PersonView {
    /// Draws a person.
    pub(crate) fn of(casualty: &Casualty, policy: &Policy) -> Self {
        let history = &casualty.risks;
        let bleeds = casualty
            .wounds
            .iter()
            .any(|wound| wound.standing.risk.dangerous && wound.standing.state != State::Void);
        let panel = policy.switches.tranexamic_acid == MedicPanel::MedicOnly;
        let settled = |given| if given { "given" } else { "decided against" };
        let mut told = Vec::new();
        match history.blood_thinners {
            Some(true) => told.push(format!(
                "takes blood thinners: press {} minutes",
                policy.holds.direct_pressure(true).0
            )),
            Some(false) => told.push("no blood thinners".to_owned()),
            None => {}
        }
        told.extend(history.body.years.map(|years| format!("{years} years old")));
        if let Some(at) = history.hospital_at {
            told.push(format!("in hospital at {}", hour(at)));
        }
        if history.body.cold {
            told.push("out in the cold".to_owned());
        }
        Self {
            shock: casualty.shock_since.map(Moment::from),
            shock_care: SHOCK_CARE,
            blood: history
                .blood_at_least_ml
                .map(blood_words)
                .unwrap_or_default(),
            told,
            history: lines(&casualty.history),
            tranexamic: panel && (bleeds || casualty.shock_since.is_some()),
            tranexamic_until: history
                .injured_at
                .map(|at| policy.care.tranexamic_window.after(at).into()),
            tranexamic_settled: history
                .tranexamic
                .map(|(at, given)| (at.into(), settled(given))),
            drink: Drink::of(casualty, policy),
            handed_over: history
                .handed_over
                .as_ref()
                .map(|(at, to)| ((*at).into(), to.clone())),
        }
    }
}

/// What was told that a helper must know before they give or do anything.
fn lines(history: &History) -> Vec<(&'static str, String)> {
    [
        ("Allergies", &history.allergies),
        ("Takes", &history.medicines),
        ("Illnesses", &history.background),
        ("Complains of", &history.complaints),
        ("Also told", &history.other),
    ]
    .into_iter()
    .filter_map(|(what, told)| Some((what, in_words(told)?)))
    .collect()
}
