//! How pressing, packing and covering are reported where the body is not a limb.
//!
//! Owns the words and materials per place. Promises: nothing is offered that the place forbids; each packing says
//! how long it is pressed.

use super::choice::Choice;
use super::materials::{gauzes, made};
use super::offers::At;
use crate::incident::fact::{Deed, Used};
use crate::rules::bleeding::place_rules::chest_cover;
use crate::rules::bleeding::policy::ChestCover;
use crate::rules::bleeding::region::Region;
use crate::rules::bleeding::wound::Depth;
use crate::rules::bleeding::{Class, Minutes, Role, State};
use crate::rules::supplies::Item;

fn one(item: Item) -> Vec<Used> {
    vec![Used { item, count: 1 }]
}

/// Hands, or a pinch, or pads where nothing may press.
pub(super) fn press(at: At<'_>) -> Vec<Choice> {
    let region = at.wound.region;
    let holds = &at.policy.holds;
    let thinned = at.casualty.risks.blood_thinners == Some(true);
    let (label, minutes) = match region {
        Some(Region::Nose) => ("Pinching now", holds.nose),
        Some(Region::SkullFractureSuspected) => {
            ("Padded around it, holding", holds.direct_pressure(thinned))
        }
        Some(Region::ChestOpen) => ("Pressing beside the hole", holds.direct_pressure(thinned)),
        Some(Region::Face | Region::Mouth) => ("Pad on it, held", holds.direct_pressure(thinned)),
        _ if at.wound.described.impaled => ("Pressing beside it", holds.direct_pressure(thinned)),
        _ => ("Pressing now", holds.direct_pressure(thinned)),
    };
    // Hands that were off are on again: the same time anew, and nothing more comes out of the bag.
    let standing = &at.wound.standing;
    let again = standing.hold.filter(|_| !standing.hands.pressing);
    let used = if region == Some(Region::Nose) || again.is_some() {
        Vec::new()
    } else {
        made(Deed::Press, &at.target.left).used
    };
    let pressed = at.target.did_with(Deed::Press, &used).saying(label);
    let minutes = again.map_or(minutes, |hold| hold.lasts);
    let on_pack = again.is_some() && standing.state == State::PackPressing;
    vec![counted(at, pressed, minutes, !on_pack)]
}

/// Packing asks which gauze: the hold is three minutes for one and ten for the other.
pub(super) fn pack(at: At<'_>) -> Vec<Choice> {
    // A deep or hollow wound and a second packing take two pieces (our default, `supplies::consumption`).
    let pieces = if at.wound.described.depth == Depth::Shallow {
        1
    } else {
        2
    };
    gauzes(&at.target.left)
        .into_iter()
        .map(|item| {
            let count = if item == Item::HaemostaticGauze {
                1
            } else {
                pieces
            };
            let minutes = item.pack_hold(at.policy, false);
            let choice = at
                .target
                .did_with(Deed::Pack, &[Used { item, count }])
                .saying(packed_with(item))
                .hint(format!("press {} minutes", minutes.0));
            counted(at, choice, minutes, false)
        })
        .collect()
}

/// What the button says that reports packing with this.
pub(super) const fn packed_with(item: Item) -> &'static str {
    match item {
        Item::HaemostaticGauze => "Packed: haemostatic",
        Item::PackingGauze => "Packed: plain gauze",
        Item::GauzeRoll => "Packed: gauze roll",
        _ => "Packed: clean cloth",
    }
}

/// Opens the count-down, and tells it how long, why and what comes then.
fn counted(at: At<'_>, choice: Choice, minutes: Minutes, pressing: bool) -> Choice {
    choice
        .then("open:hold")
        .telling("hold", minutes.0.to_string())
        .telling("next", at.if_it_bleeds_on(pressing))
        .telling("line", at.keep_line())
}

impl At<'_> {
    /// What comes when the hold is up and it still bleeds.
    pub(super) fn if_it_bleeds_on(&self, pressing: bool) -> String {
        use crate::rules::bleeding::ladder::after_hold;
        let state = if pressing {
            State::Pressing
        } else {
            State::PackPressing
        };
        let step = after_hold(
            self.policy,
            &self.wound.described,
            &self.wound.standing,
            state,
        );
        self.wound
            .region
            .map_or_else(|| step.line(), |region| step.line_at(region))
            .to_owned()
    }

    /// How hands are kept on it.
    pub(super) fn keep_line(&self) -> &'static str {
        match self.wound.region {
            Some(Region::Nose) => "Lean forward. Do not let go, do not look.",
            Some(Region::SkullFractureSuspected) => "Pads around it. Nothing presses on the bone.",
            Some(Region::Neck | Region::NeckBase) => "One hand, one side. Watch the breathing.",
            Some(Region::Face | Region::Mouth) => {
                "Leaning forward. They hold the pad. Watch the breathing."
            }
            _ if self.wound.described.impaled => "Beside it, both sides. Leave it in.",
            _ => "Both hands, straight arms. Do not look.",
        }
    }
}

/// Covers, each by what it is made of.
pub(super) fn cover(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let with = |label, used: Vec<Used>| target.did_with(Deed::Cover, &used).saying(label);
    let Some(region) = at.wound.region else {
        return vec![target.did(Deed::Cover)];
    };
    let on = at.wound.standing.state == State::Covered;
    let mut all = match region {
        Region::ChestOpen => chest(at),
        Region::Evisceration => vec![
            with(
                "Moist cover on",
                vec![
                    Used {
                        item: Item::LargePad,
                        count: 2,
                    },
                    Used {
                        item: Item::WaterDecilitres,
                        count: 3,
                    },
                ],
            ),
            with("Clear film over it", one(Item::ClearFilm)),
        ],
        Region::Eye => vec![
            with("Stiff shield on", one(Item::EyeShield)),
            with("Cup or glasses taped over it", one(Item::Tape)),
        ],
        Region::Ear => vec![with("Loose pad on", one(Item::SmallPad))],
        _ => vec![with("Light dressing on", one(Item::LargePad))],
    };
    if on {
        all.insert(0, target.did(Deed::CheckCover));
    }
    if on && region.capability().class == Class::Chest {
        all.insert(1, target.did(Deed::LiftCover));
    }
    all
}

/// What each may cover it with is the incident's choice; whoever holds the phone sees what is theirs. A seal only where
/// one may be in the bag.
fn chest(at: At<'_>) -> Vec<Choice> {
    let target = at.target;
    let with = |label, used: &[Used]| target.did_with(Deed::Cover, used).saying(label);
    let special = |role| {
        let in_kit = target.left.may_have(Item::VentedChestSeal);
        match chest_cover(at.policy, role, in_kit) {
            ChestCover::Vented => Some(with(
                "Vented seal on, every hole",
                &one(Item::VentedChestSeal),
            )),
            ChestCover::ThreeSides => Some(with(
                "Taped on three sides",
                &[one(Item::ClearFilm), one(Item::Tape)].concat(),
            )),
            ChestCover::OpenOrDry => None,
        }
    };
    let dry = with("Dry cover on, lets air through", &one(Item::LargePad));
    let mut all = vec![target.did(Deed::LeaveOpen), dry];
    let (everybody, trained) = (special(Role::FirstAider), special(Role::TrainedLead));
    if trained != everybody {
        all.extend(trained.map(|choice| Choice {
            offered: "trained",
            ..choice
        }));
    }
    if let Some(choice) = everybody {
        all.insert(0, choice);
    }
    all
}
