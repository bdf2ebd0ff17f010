//! A button that reports one fact, or opens a form that stands in the page.
//!
//! Owns how a choice is made: what it says, the fact it sends, the undo bar's words, what opens next. Which choices
//! stand where is said in `offers`.

use serde_json::{Value, json};

use super::materials::made;
use crate::incident::fact::{Deed, Used};
use crate::incident::{Casualty, Wound};
use crate::rules::supplies::Stock;

/// A button.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// What it says.
    pub(crate) label: &'static str,
    /// One line more, or nothing.
    pub(crate) hint: String,
    /// The fact it reports, as JSON for the page's script; empty where it opens a form.
    pub(crate) report: String,
    /// What the undo bar says: "7: packed".
    pub(crate) said: String,
    /// The form it opens instead.
    pub(crate) opens: &'static str,
    /// What opens after the report.
    pub(crate) then: &'static str,
    /// What the opened view is told besides whom it is about: `data-ctx-…`.
    pub(crate) told: Vec<(&'static str, String)>,
    /// Whom it is offered to: empty is everybody, else `data-offered`'s value.
    pub(crate) offered: &'static str,
    /// From when it is offered, in board time; empty is at once.
    pub(crate) from: String,
    /// Until when it is offered, in board time; empty is for ever.
    pub(crate) until: String,
}

/// Whom and what a choice is about.
#[derive(Clone, Debug, Default)]
pub(crate) struct Target {
    pub(crate) casualty: String,
    pub(crate) number: u32,
    pub(crate) wound: String,
    /// What is left in the kits: what a step is made of goes by it.
    pub(crate) left: Stock,
}

impl Target {
    /// A casualty as a whole.
    pub(crate) fn person(casualty: &Casualty) -> Self {
        Self {
            casualty: casualty.id.to_string(),
            number: casualty.number,
            wound: String::new(),
            left: Stock::default(),
        }
    }

    /// With what is left in the kits.
    pub(crate) fn with(self, left: Stock) -> Self {
        Self { left, ..self }
    }

    /// One wound of a casualty.
    pub(crate) fn wound(casualty: &Casualty, wound: &Wound) -> Self {
        Self {
            wound: wound.id.to_string(),
            ..Self::person(casualty)
        }
    }

    /// Reports a fact about the wound, or about the person where there is none.
    pub(crate) fn reports(&self, label: &'static str, fact: &Value) -> Choice {
        let about = if self.wound.is_empty() {
            json!({ "casualty": self.casualty })
        } else {
            json!({ "wound": self.wound })
        };
        Choice {
            report: json!({ "about": about, "fact": fact }).to_string(),
            said: format!("{}: {}", self.number, label.to_lowercase()),
            ..opens(label, "")
        }
    }

    /// A look, as the bare word.
    pub(crate) fn looked(&self, label: &'static str, bleeding: &str) -> Choice {
        self.reports(
            label,
            &json!({ "kind": "wound.looked/1", "bleeding": bleeding }),
        )
    }

    /// A deed with its usual materials, or with what stands in for those that are gone.
    pub(crate) fn did(&self, deed: Deed) -> Choice {
        let made = made(deed, &self.left);
        let mut fact = step(deed, &made.used);
        if made.improvised {
            fact["tourniquet"] = json!({ "improvised": true });
        }
        self.deed(deed, &fact).hint(made.mind)
    }

    /// A deed with these materials.
    pub(crate) fn did_with(&self, deed: Deed, used: &[Used]) -> Choice {
        self.deed(deed, &step(deed, used))
    }

    fn deed(&self, deed: Deed, fact: &Value) -> Choice {
        Choice {
            said: format!("{}: {}", self.number, deed.words()),
            ..self.reports(deed_label(deed), fact)
        }
    }
}

fn step(deed: Deed, used: &[Used]) -> Value {
    let mut fact = json!({ "kind": "step.taken/2", "step": deed });
    if !used.is_empty() {
        fact["used"] = json!(used);
    }
    fact
}

/// Opens a form.
pub(crate) fn opens(label: &'static str, view: &'static str) -> Choice {
    Choice {
        label,
        hint: String::new(),
        report: String::new(),
        said: String::new(),
        opens: view,
        then: "",
        told: Vec::new(),
        offered: "",
        from: String::new(),
        until: String::new(),
    }
}

impl Choice {
    /// With one line more.
    pub(crate) fn hint(self, hint: impl Into<String>) -> Self {
        Self {
            hint: hint.into(),
            ..self
        }
    }

    /// Saying something else.
    pub(crate) fn saying(self, label: &'static str) -> Self {
        Self { label, ..self }
    }

    /// Opening a view once it is reported.
    pub(crate) fn then(self, then: &'static str) -> Self {
        Self { then, ..self }
    }

    /// Telling the view that opens.
    pub(crate) fn telling(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.told.push((name, value.into()));
        self
    }
}

/// What the button says that reports a deed.
const fn deed_label(what: Deed) -> &'static str {
    match what {
        Deed::Press => "Pressing now",
        Deed::PressureLifted => "Lifted early, pressing again",
        Deed::HandsOff => "Hands are off it",
        Deed::HoldByHand => "Hands stay on it",
        Deed::Pack => "Packed, pressing",
        Deed::PressureDressing => "Pressure dressing on",
        Deed::Reinforce => "One layer more on top",
        Deed::Loosen => "Loosened a little",
        Deed::KeepTight => "Bleeds when loosened: left tight",
        Deed::Tourniquet => "Tourniquet on",
        Deed::Tighten => "Tightened",
        Deed::SecondTourniquet => "Second tourniquet on",
        Deed::MoveTourniquet => "Moved to the skin above the wound",
        Deed::LeaveTourniquet => "Still needed: leave it on",
        Deed::BeginRelease => "Begin to replace it",
        Deed::ReleaseHeld => "Released, it holds",
        Deed::ReleaseFailed => "It bled: tightened again",
        Deed::Cover => "Covered",
        Deed::LeaveOpen => "Left open, watched",
        Deed::LiftCover => "Edge lifted, covered again",
        Deed::CheckCover => "Cover in order",
        Deed::PadAround => "Padded around it",
        Deed::RaiseLimb => "Limb raised",
        Deed::KeepPart => "Lost part kept cool, labelled",
        Deed::PlainDressing => "Plain dressing on",
        Deed::Rinse => "Rinsed",
        Deed::ChangeDressing => "Dressing changed, no infection",
    }
}
