//! The measures reported most, for a wound the board may not know yet: the buttons of the step view.
//!
//! Owns their order. What each is made of goes by what is left, as on a wound's own card.

use serde_json::json;

use super::materials::{dressings, gauzes, made};
use super::places::packed_with;
use crate::incident::Incident;
use crate::incident::fact::{Deed, Used};

/// A measure of one tap; `$wound` stands for the wound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct QuickStep {
    /// What the undo bar says.
    pub(crate) words: &'static str,
    pub(crate) label: &'static str,
    /// One line more, or nothing.
    pub(crate) hint: String,
    pub(crate) report: String,
    /// What opens after it.
    pub(crate) then: &'static str,
    /// How long hands press, in minutes; 0 where nothing is held.
    pub(crate) hold: u32,
}

/// The measures, in the order of the way up. Packing asks which gauze, for that decides how long it is pressed.
pub(crate) fn quick_steps(incident: &Incident) -> Vec<QuickStep> {
    let policy = &incident.settings().now().policy;
    let left = incident.stock_left();
    let press = made(Deed::Press, &left);
    let minutes = policy.holds.direct_pressure(false).0;
    let mut all = vec![QuickStep {
        then: "open:hold",
        hold: minutes,
        ..quick(Deed::Press, "Pressing now", &press.used, press.mind)
    }];
    all.extend(gauzes(&left).into_iter().take(2).map(|item| {
        let used = [Used { item, count: 1 }];
        QuickStep {
            then: "open:hold",
            hold: item.pack_hold(policy, false).0,
            ..quick(Deed::Pack, packed_with(item), &used, String::new())
        }
    }));
    all.extend(
        dressings(&left)
            .into_iter()
            .map(|(label, made)| quick(Deed::PressureDressing, label, &made.used, made.mind)),
    );
    let tourniquet = made(Deed::Tourniquet, &left);
    let mut on = QuickStep {
        then: "open:tourniquet",
        ..quick(
            Deed::Tourniquet,
            "Tourniquet on",
            &tourniquet.used,
            tourniquet.mind,
        )
    };
    if tourniquet.improvised {
        on.report = report(
            Deed::Tourniquet,
            &tourniquet.used,
            Some(json!({ "improvised": true })),
        );
    }
    all.push(on);
    all
}

fn quick(deed: Deed, label: &'static str, used: &[Used], hint: String) -> QuickStep {
    QuickStep {
        words: deed.words(),
        label,
        hint,
        report: report(deed, used, None),
        then: "home",
        hold: 0,
    }
}

fn report(deed: Deed, used: &[Used], tourniquet: Option<serde_json::Value>) -> String {
    let mut fact = json!({ "kind": "step.taken/2", "step": deed });
    if !used.is_empty() {
        fact["used"] = json!(used);
    }
    if let Some(tourniquet) = tourniquet {
        fact["tourniquet"] = tourniquet;
    }
    json!({ "about": { "wound": "$wound" }, "fact": fact }).to_string()
}
