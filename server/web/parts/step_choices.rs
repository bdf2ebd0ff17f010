//! The measures of one tap, made of what is left in the kits, and how many are left for every form that asks what was
//! used. Two parts: the numbers change with every use, the buttons only when something runs out.

use std::collections::BTreeMap;

use askama::Template;

use super::super::view::{QuickStep, quick_steps};
use super::{Shown, Stage, draw};
use crate::rules::supplies::Item;

#[derive(Template)]
#[template(path = "parts/step_choices.html")]
struct StepChoices {
    steps: Vec<QuickStep>,
}

#[derive(Template)]
#[template(path = "parts/left.html")]
struct Left {
    /// What is left of each item that was counted, as JSON.
    left: String,
}

impl Stage<'_> {
    pub(in crate::web) fn step_choices(&self) -> Shown {
        let touched = self.incident.touched();
        let touched = touched.materials.max(touched.settings);
        self.show("step-choices", None, touched, || {
            draw(&StepChoices {
                steps: quick_steps(self.incident),
            })
        })
    }

    pub(in crate::web) fn left(&self) -> Shown {
        self.show("left", None, self.incident.touched().materials, || {
            let stock = self.incident.stock_left();
            let left: BTreeMap<&str, u32> = Item::ALL
                .into_iter()
                .filter_map(|item| Some((item.code(), stock.left(item)?)))
                .collect();
            draw(&Left {
                left: serde_json::json!(left).to_string(),
            })
        })
    }
}
