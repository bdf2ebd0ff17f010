//! Which two systems an incident works with, and which of them is for whom.
//!
//! Owns the pair, its default and the choice by apparent age. Sources: START and `JumpSTART` can be used side
//! by side (Illinois EMS for Children, 2016); Ten Second Triage by anybody, the Major Incident Triage Tool
//! afterwards by clinicians (NHS England, 2023). Promises: the choice goes by appearance, and asks where the
//! age matters and is not known.

use super::algorithm::{Algorithm, ApparentAge};
use super::answer::Answer;
use super::jump_start::JumpStartVariant;
use super::start::StartVariant;
use super::wording::Profile;

/// A system for those who look grown up and one for those who look like a child.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Systems {
    /// For those who look grown up.
    pub adult: Algorithm,
    /// For those who look like a child.
    pub child: Algorithm,
}

impl Default for Systems {
    fn default() -> Self {
        Self {
            adult: Algorithm::Start(StartVariant::default()),
            child: Algorithm::JumpStart(JumpStartVariant::default()),
        }
    }
}

impl Systems {
    /// What can be chosen for those who look grown up, the default first.
    pub const FOR_ADULTS: [Algorithm; 7] = [
        Algorithm::Start(StartVariant::RadialThenCrt),
        Algorithm::Start(StartVariant::Radial),
        Algorithm::Start(StartVariant::Crt),
        Algorithm::Start(StartVariant::Either),
        Algorithm::Salt,
        Algorithm::TenSecond,
        Algorithm::Mitt,
    ];
    /// What can be chosen for those who look like a child, the default first. Which of `JumpSTART`'s variants
    /// is asked goes by the child.
    pub const FOR_CHILDREN: [Algorithm; 4] = [
        Algorithm::JumpStart(JumpStartVariant::Standard),
        Algorithm::Salt,
        Algorithm::TenSecond,
        Algorithm::Mitt,
    ];

    /// Whether each is made for those it is chosen for.
    pub fn is_sound(self) -> bool {
        Self::FOR_ADULTS.contains(&self.adult) && Self::FOR_CHILDREN.contains(&self.child)
    }

    /// The system for somebody of this age. `None`: ask how old they look first.
    ///
    /// `walked_before_today` tells apart the children who cannot walk from those who do not.
    pub fn for_age(
        self,
        age: ApparentAge,
        walked_before_today: Option<Answer>,
    ) -> Option<Algorithm> {
        let child = |never_walked: bool| match self.child {
            Algorithm::JumpStart(_) if never_walked => {
                Algorithm::JumpStart(JumpStartVariant::NeverWalked)
            }
            other => other,
        };
        match age {
            ApparentAge::Adult => Some(self.adult),
            ApparentAge::Infant => Some(child(true)),
            ApparentAge::Child => Some(child(walked_before_today == Some(Answer::No))),
            ApparentAge::Unknown => (self.adult == self.child).then_some(self.adult),
        }
    }

    /// The words its publishers use; those of the system for adults where the two differ.
    pub const fn profile(self) -> Profile {
        match self.adult {
            Algorithm::Start(_) | Algorithm::JumpStart(_) => Profile::UsStart,
            Algorithm::Salt => Profile::UsSalt,
            Algorithm::TenSecond | Algorithm::Mitt => Profile::UkNhs,
        }
    }
}

/// What clinicians do next for somebody sorted with `first`, where there is a published second look.
pub fn second_look(first: Algorithm) -> Option<Algorithm> {
    (first == Algorithm::TenSecond).then_some(Algorithm::Mitt)
}
