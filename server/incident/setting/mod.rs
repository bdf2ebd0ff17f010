//! The settings a lead may change, one row each.
//!
//! Owns their stored codes, words, bounds, sources and who decides them. Promises: a value that does not fit is
//! turned back with what would fit; setting a value that fits and reading it gives that value. The rows stand
//! in `bleeding` and `incident`; a new rule's settings are rows of a table of their own.

mod table;

use serde::{Deserialize, Serialize};

pub use table::Setting;

use super::refusal::Refusal;
use super::settings::InForce;

/// A setting's value: a number in its own unit, or the code of a choice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(untagged)]
pub enum SettingValue {
    /// In the setting's own unit.
    Number(u32),
    /// One of the setting's choices.
    Choice(String),
}

/// Who is to decide a setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decides {
    /// The lead alone.
    Lead,
    /// A medical adviser; the lead writes down who.
    MedicalAdviser,
}

/// What a setting can be.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A whole number.
    Number(Number),
    /// One of a few.
    Choice(&'static [Choice]),
}

/// A setting that is a number.
#[derive(Clone, Copy, Debug)]
pub struct Number {
    /// What it counts: "min".
    pub unit: &'static str,
    /// The least it may be.
    pub least: u32,
    /// The most.
    pub most: u32,
    get: fn(&InForce) -> u32,
    set: fn(&mut InForce, u32),
}

/// One choice of a setting.
#[derive(Clone, Copy, Debug)]
pub struct Choice {
    /// The stored code.
    pub code: &'static str,
    /// The words shown.
    pub words: &'static str,
    is: fn(&InForce) -> bool,
    set: fn(&mut InForce),
}

impl Setting {
    /// Its present value.
    pub fn get(self, held: &InForce) -> SettingValue {
        match self.kind() {
            Kind::Number(number) => SettingValue::Number((number.get)(held)),
            Kind::Choice(choices) => {
                let chosen = choices.iter().find(|choice| (choice.is)(held));
                SettingValue::Choice(chosen.map_or("", |choice| choice.code).to_owned())
            }
        }
    }

    /// Sets a value; one that does not fit changes nothing.
    pub(super) fn set(self, held: &mut InForce, value: &SettingValue) {
        if self.check(value).is_err() {
            return;
        }
        match (self.kind(), value) {
            (Kind::Number(number), SettingValue::Number(given)) => (number.set)(held, *given),
            (Kind::Choice(choices), SettingValue::Choice(code)) => {
                if let Some(choice) = choices.iter().find(|choice| choice.code == code) {
                    (choice.set)(held);
                }
            }
            _ => {}
        }
    }

    /// Whether a value fits.
    ///
    /// # Errors
    /// When it is out of bounds or no choice of this setting.
    pub fn check(self, value: &SettingValue) -> Result<(), Refusal> {
        match (self.kind(), value) {
            (Kind::Number(number), SettingValue::Number(given)) => {
                if (number.least..=number.most).contains(given) {
                    return Ok(());
                }
                Err(Refusal::OutOfRange {
                    what: self.words(),
                    min: number.least,
                    max: number.most,
                    given: *given,
                })
            }
            (Kind::Choice(choices), SettingValue::Choice(code))
                if choices.iter().any(|choice| choice.code == code) =>
            {
                Ok(())
            }
            (Kind::Number(number), SettingValue::Choice(_)) => Err(Refusal::NoSuchChoice {
                what: self.words(),
                known: format!("a number from {} to {}", number.least, number.most),
            }),
            (Kind::Choice(choices), _) => Err(Refusal::NoSuchChoice {
                what: self.words(),
                known: choices
                    .iter()
                    .map(|choice| choice.code)
                    .collect::<Vec<_>>()
                    .join(", "),
            }),
        }
    }

    /// A value in words: "10 min", "tourniquet first".
    pub fn value_words(self, value: &SettingValue) -> String {
        match (self.kind(), value) {
            (Kind::Number(number), SettingValue::Number(given)) => {
                format!("{given} {}", number.unit)
            }
            (Kind::Choice(choices), SettingValue::Choice(code)) => choices
                .iter()
                .find(|choice| choice.code == code)
                .map_or_else(|| code.clone(), |choice| choice.words.to_owned()),
            (_, SettingValue::Number(given)) => given.to_string(),
            (_, SettingValue::Choice(code)) => code.clone(),
        }
    }

    /// Its value before anybody changed anything, in words.
    pub fn default_words(self) -> String {
        self.value_words(&self.get(&InForce::default()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every value a setting can have; of a number the ends and the middle.
    fn values(setting: Setting) -> Vec<SettingValue> {
        match setting.kind() {
            Kind::Number(number) => [
                number.least,
                u32::midpoint(number.least, number.most),
                number.most,
            ]
            .map(SettingValue::Number)
            .to_vec(),
            Kind::Choice(choices) => choices
                .iter()
                .map(|choice| SettingValue::Choice(choice.code.to_owned()))
                .collect(),
        }
    }

    #[test]
    fn what_is_set_is_what_is_read_and_nothing_else_moves() {
        for setting in Setting::ALL {
            for value in values(setting) {
                let mut held = InForce::default();
                setting.set(&mut held, &value);
                assert_eq!(setting.get(&held), value, "{setting:?}");
                for other in Setting::ALL.into_iter().filter(|other| *other != setting) {
                    let default = other.get(&InForce::default());
                    assert_eq!(other.get(&held), default, "{setting:?} moved {other:?}");
                }
            }
        }
    }

    #[test]
    fn every_default_fits_its_own_bounds() {
        for setting in Setting::ALL {
            let value = setting.get(&InForce::default());
            assert_eq!(setting.check(&value), Ok(()), "{setting:?}");
        }
    }

    #[test]
    fn what_does_not_fit_is_turned_back_with_what_would() {
        let no = Setting::HoldPressure
            .check(&SettingValue::Number(4))
            .unwrap_err();
        assert!(no.to_string().contains("must be 5 to 30, not 4"), "{no}");
        let no = Setting::FirstForLimb
            .check(&SettingValue::Choice("elevation".to_owned()))
            .unwrap_err();
        assert!(no.to_string().contains("pressure_then_tourniquet"), "{no}");
        let mut held = InForce::default();
        Setting::HoldPressure.set(&mut held, &SettingValue::Number(4));
        assert_eq!(held, InForce::default());
    }

    #[test]
    fn the_code_is_what_is_stored() {
        for setting in Setting::ALL {
            assert_eq!(serde_json::to_value(setting).unwrap(), setting.code());
        }
    }
}
