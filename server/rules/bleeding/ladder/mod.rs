//! The ladder: where every wound and limb of a casualty stands, folded from what people reported.
//!
//! Owns the order of the fold and the picture it gives. Promises: the answer depends on when acts happened,
//! never on the order in which they are presented; no act is refused and none makes it fail; an unusual act
//! changes nothing until the person has confirmed it, and is computed from afterwards; only a look ends a
//! bleed.

mod assessing;
mod covering;
mod dressing;
mod dressing_check;
mod packing;
mod person;
mod pressing;
mod question;
mod releasing;
mod suggest;
mod thin;
mod tourniquet;
mod urgency;

pub use person::Person;
pub use question::question;
pub use suggest::after_hold;
pub use urgency::{most_urgent, urgency};

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::act::{About, Act, Dated};
use super::limb::LimbStanding;
use super::policy::Policy;
use super::rule::Rule;
use super::standing::{OffProtocol, Standing};
use super::state::State;
use super::wound::{Casualty, Limb, Wound};

/// What the fold is given besides the acts.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The incident's numbers and choices.
    pub policy: &'a Policy,
    /// The person.
    pub casualty: &'a Casualty,
    /// The person's wounds; acts name them by index.
    pub wounds: &'a [Wound],
}

/// Where everything stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// One standing per wound, in the order of the wounds.
    pub wounds: Vec<Standing>,
    /// Limbs with a tourniquet, or without blood.
    pub limbs: BTreeMap<Limb, LimbStanding>,
    /// The person as a whole.
    pub person: Person,
}

/// Folds everything reported about one casualty, under one policy from first to last.
pub fn stand(case: &Case<'_>, acts: &[Dated]) -> Picture {
    stand_under(case, |_| case.policy, acts)
}

/// The same where the policy was changed on the way: each act is judged by what held when it happened, so that
/// a change never makes a wound that was seen to hold into one that bleeds. What is suggested next goes by
/// `case.policy`, the one that holds now.
pub fn stand_under<'a>(
    case: &Case<'a>,
    policy_at: impl Fn(Timestamp) -> &'a Policy,
    acts: &[Dated],
) -> Picture {
    let mut in_order: Vec<&Dated> = acts.iter().collect();
    in_order.sort_by_key(|dated| (dated.at, dated.order));
    let mut fold = Fold::new(*case, in_order.first().map(|dated| dated.at));
    for dated in in_order {
        fold.case.policy = policy_at(dated.at);
        fold.take(dated);
    }
    fold.case.policy = case.policy;
    fold.finish()
}

/// The fold on its way.
struct Fold<'a> {
    case: Case<'a>,
    picture: Picture,
    /// The first act of all: no tourniquet of unknown time is younger than the injury, the meeting, or this.
    first_act_at: Option<Timestamp>,
}

impl<'a> Fold<'a> {
    fn new(case: Case<'a>, first_act_at: Option<Timestamp>) -> Self {
        let wounds = case.wounds.iter().map(|_| Standing::unknown()).collect();
        let picture = Picture {
            wounds,
            limbs: BTreeMap::new(),
            person: Person::default(),
        };
        Self {
            case,
            picture,
            first_act_at,
        }
    }

    fn take(&mut self, dated: &Dated) {
        match dated.about {
            _ if dated.act.is_about_the_person() => self.take_person(dated),
            About::Casualty => self.take_for_all(dated),
            About::Wound(index) => self.take_wound(index, dated),
        }
        self.picture.notice_control(dated.at);
    }

    /// Acts that name the casualty but are meant for each of the wounds.
    fn take_for_all(&mut self, dated: &Dated) {
        if dated.act == Act::HandedOver {
            self.picture.person.handed_over_at = Some(dated.at);
        }
        if matches!(dated.act, Act::HandedOver | Act::BreathingChecked { .. }) {
            for index in 0..self.case.wounds.len() {
                if self.known(index) {
                    self.take_wound(index, dated);
                }
            }
        }
    }

    fn take_wound(&mut self, index: usize, dated: &Dated) {
        let (Some(wound), Some(standing)) = (
            self.case.wounds.get(index),
            self.picture.wounds.get_mut(index),
        ) else {
            return;
        };
        if standing.state.is_closed() {
            standing.note(dated.at, Rule::KeptAsReported);
            // What is said of the limb counts for the limb, also when the wound it was said at is none.
            if let Some(open) = self
                .open_on_limb_of(index)
                .filter(|_| dated.act.is_about_the_limb())
            {
                self.take_wound(open, dated);
            }
            return;
        }
        standing.times.known.get_or_insert(dated.at);
        standing.warnings.clear();
        let act = thin::in_full(standing, &dated.act);
        let act = self.with_tourniquet_known(index, act);
        if let Some(warning) = question(&self.case, &self.picture, index, (dated, &act)) {
            let unusual = OffProtocol {
                order: dated.order,
                at: dated.at,
                warning,
            };
            let standing = &mut self.picture.wounds[index];
            if !dated.confirmed {
                standing.questions.push(unusual);
                return;
            }
            standing.off_protocol.push(unusual);
        }
        self.apply(index, dated, &act);
        if wound.is_limb_lost() {
            self.picture.wounds[index].risk.dangerous = true;
        }
        self.watch_breathing(index, dated);
    }

    /// Another wound of the same limb that is open and known.
    fn open_on_limb_of(&self, index: usize) -> Option<usize> {
        let limb = self.limb_of(index);
        (0..self.case.wounds.len())
            .filter(|other| *other != index && self.limb_of(*other) == limb)
            .find(|other| self.known(*other) && !self.picture.wounds[*other].state.is_closed())
    }

    fn apply(&mut self, index: usize, dated: &Dated, act: &Act) {
        match act {
            Act::Assessed(findings) => self.assessed(index, dated, findings),
            Act::PressureStarted => self.pressure_started(index, dated),
            Act::PressureLapsed { resumed } => self.pressure_lapsed(index, dated, *resumed),
            Act::HoldEnded(seen) => self.hold_ended(index, dated, *seen),
            Act::ManualHold => self.manual_hold(index, dated),
            Act::Packed { material, expired } => self.packed(index, dated, (*material, *expired)),
            Act::DressingApplied => self.dressing_applied(index, dated),
            Act::DressingChecked { stain, beyond } => {
                self.dressing_checked(index, dated, (*stain, *beyond));
            }
            Act::DressingReinforced => self.dressing_reinforced(index, dated),
            Act::DressingLoosened => self.dressing_loosened(index, dated),
            Act::DressingKeptTight => self.dressing_kept_tight(index, dated),
            Act::TourniquetApplied(how) => self.tourniquet_applied(index, dated, *how),
            Act::TourniquetChecked { bleeding, pulse } => {
                self.tourniquet_checked(index, dated, (*bleeding, *pulse));
            }
            Act::TourniquetTightened => self.tourniquet_tightened(index, dated),
            Act::SecondTourniquet(how) => self.second_tourniquet(index, dated, *how),
            Act::TourniquetMoved(how) => self.tourniquet_moved(index, dated, *how),
            Act::TourniquetTimeTold(at) => self.tourniquet_time_told(index, dated, *at),
            Act::TourniquetDescribed(how) => self.tourniquet_described(index, dated, *how),
            Act::TourniquetReviewed => self.tourniquet_reviewed(index, dated),
            Act::ConversionStarted(_) => self.conversion_started(index, dated),
            Act::ConversionEnded { held } => self.conversion_ended(index, dated, *held),
            Act::Retightened => self.retightened(index, dated),
            Act::HandedOver => {
                self.picture.wounds[index].close(dated.at, State::HandedOver, Rule::HandedOver);
            }
            Act::Void => {
                self.picture.wounds[index].close(dated.at, State::Void, Rule::EnteredByMistake);
            }
            _ => self.apply_after_care(index, dated, act),
        }
    }

    fn apply_after_care(&mut self, index: usize, dated: &Dated, act: &Act) {
        match act {
            Act::Found => self.found(index, dated),
            Act::Covered => self.covered(index, dated),
            Act::CoverChecked => self.cover_checked(index, dated),
            Act::BreathingChecked { worse } => self.breathing_checked(index, dated, *worse),
            Act::SimplyDressed => self.simply_dressed(index, dated),
            Act::BleedChecked { dry } => self.bleed_checked(index, dated, *dry),
            Act::Cleaned => self.cleaned(index, dated),
            Act::DressingChanged => self.dressing_changed(index, dated),
            Act::InfectionLooked => self.infection_looked(index, dated),
            Act::Closed => self.closed(index, dated),
            Act::Looked(_) => self.looked_under_hands(index, dated),
            _ => self.kept(index, dated),
        }
    }

    fn kept(&mut self, index: usize, dated: &Dated) {
        self.picture.wounds[index].note(dated.at, Rule::KeptAsReported);
    }

    fn known(&self, index: usize) -> bool {
        self.picture.wounds[index].times.known.is_some()
    }

    fn limb_of(&self, index: usize) -> Limb {
        self.case.wounds[index]
            .limb(index)
            .unwrap_or(Limb::OfWound(index))
    }

    fn finish(mut self) -> Picture {
        for index in 0..self.case.wounds.len() {
            suggest::complete(&self.case, &mut self.picture, index);
        }
        self.picture
    }
}
