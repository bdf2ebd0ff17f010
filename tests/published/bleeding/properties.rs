//! Properties of the fold, over random acts on three wounds.

use holdfast::rules::bleeding::act::{Application, Level};
use holdfast::rules::bleeding::conversion::Criteria;
use holdfast::rules::bleeding::observation::{Beyond, HoldSeen, Pulse, Stain};
use holdfast::rules::bleeding::terms::Measure;
use holdfast::rules::bleeding::wound::Depth;
use holdfast::rules::bleeding::{
    About, Act, Case, Casualty, Dated, Findings, Flow, Look, Minutes, Picture, Policy, Role, Side,
    Sign, State, Wound, clocks, stand,
};
use holdfast::rules::supplies::Item;
use proptest::prelude::*;

use super::functions::every_region;
use super::sequences_file::zero;

#[expect(clippy::too_many_lines, reason = "one list of all acts")]
fn act() -> impl Strategy<Value = Act> {
    let flow = prop::sample::select(vec![
        Flow::None,
        Flow::Ooze,
        Flow::Steady,
        Flow::High,
        Flow::Spurting,
    ]);
    let signs = prop::collection::btree_set(
        prop::sample::select(vec![Sign::Pooling, Sign::HandsShort, Sign::GreatForce]),
        0..2,
    );
    let level = prop::sample::select(vec![Level::NotSaid, Level::HighAndTight]);
    let how = (level, any::<bool>()).prop_map(|(level, time_unknown)| Application {
        level,
        time_unknown,
        ..Application::default()
    });
    let pulse = prop::option::of(prop::sample::select(vec![Pulse::Absent, Pulse::Present]));
    let stain = prop::option::of(prop::sample::select(vec![
        Stain::Dry,
        Stain::Stable,
        Stain::Growing,
        Stain::Soaked,
        Stain::Flowing,
    ]));
    let beyond = prop::option::of(prop::sample::select(vec![
        Beyond::Pass,
        Beyond::Fail,
        Beyond::NoneBefore,
        Beyond::NotApplicable,
    ]));
    let simple = prop::sample::select(vec![
        Act::Found,
        Act::Closed,
        Act::PressureStarted,
        Act::PressureLapsed { resumed: true },
        Act::PressureLapsed { resumed: false },
        Act::HoldEnded(HoldSeen::Stopped),
        Act::HoldEnded(HoldSeen::Ooze),
        Act::HoldEnded(HoldSeen::Continues),
        Act::Packed {
            material: Some(Item::HaemostaticGauze),
            expired: false,
        },
        Act::Packed {
            material: None,
            expired: true,
        },
        Act::DressingApplied,
        Act::DressingReinforced,
        Act::DressingLoosened,
        Act::DressingKeptTight,
        Act::TourniquetTightened,
        Act::TourniquetReviewed,
        Act::ConversionStarted(Criteria::all()),
        Act::ConversionEnded { held: true },
        Act::ConversionEnded { held: false },
        Act::Retightened,
        Act::ManualHold,
        Act::Covered,
        Act::CoverChecked,
        Act::BreathingChecked { worse: true },
        Act::BreathingChecked { worse: false },
        Act::SimplyDressed,
        Act::BleedChecked { dry: true },
        Act::BleedChecked { dry: false },
        Act::Cleaned,
        Act::DressingChanged,
        Act::Moved,
        Act::Shock { on: true },
        Act::Shock { on: false },
        Act::Observed,
        Act::Warmed,
        Act::HandedOver,
        Act::Void,
        Act::Looked(Look::Stopped),
        Act::Looked(Look::Slowed),
        Act::Looked(Look::StillBleeding),
    ]);
    let did = prop::sample::select(vec![
        Measure::DirectPressure,
        Measure::Packing,
        Measure::PressureDressing,
        Measure::Tourniquet,
    ])
    .prop_map(|measure| Act::Did {
        measure,
        material: None,
        expired: false,
    });
    prop_oneof![
        12 => simple,
        3 => (flow, signs).prop_map(|(flow, signs)| Act::Assessed(Findings { flow, signs })),
        4 => did,
        2 => how.clone().prop_map(Act::TourniquetApplied),
        1 => how.clone().prop_map(Act::SecondTourniquet),
        1 => how.prop_map(Act::TourniquetMoved),
        2 => (prop::option::of(any::<bool>()), pulse.clone())
            .prop_map(|(bleeding, pulse)| Act::TourniquetChecked { bleeding, pulse }),
        3 => (stain, beyond.clone())
            .prop_map(|(stain, beyond)| Act::DressingChecked { stain, beyond }),
        2 => (pulse, beyond).prop_map(|(flow, result)| Act::BeyondLooked { flow, result }),
        1 => (0u32..200).prop_map(|at| Act::TourniquetTimeTold(Minutes(at).after(zero()))),
    ]
}

fn acts() -> impl Strategy<Value = Vec<Dated>> {
    let one = (0u32..200, 0usize..4, 0u8..3, any::<bool>(), act());
    prop::collection::vec(one, 0..40).prop_map(|all| {
        all.into_iter()
            .enumerate()
            .map(|(order, (minute, wound, role, confirmed, act))| Dated {
                at: Minutes(minute).after(zero()),
                order: order as u64,
                about: if wound == 3 {
                    About::Casualty
                } else {
                    About::Wound(wound)
                },
                by: Some(format!("helper {role}")),
                role: [Role::FirstAider, Role::TrainedLead, Role::Medic][usize::from(role)],
                confirmed,
                act,
            })
            .collect()
    })
}

fn wounds() -> impl Strategy<Value = Vec<Wound>> {
    let side = prop::sample::select(vec![Side::Left, Side::Right, Side::Unspecified]);
    let one = (prop::sample::select(every_region()), side, any::<bool>()).prop_map(
        |(region, side, shallow)| {
            let mut wound = Wound::at(region, side);
            wound.depth = if shallow {
                Depth::Shallow
            } else {
                Depth::Unknown
            };
            wound
        },
    );
    prop::collection::vec(one, 3)
}

fn casualty() -> Casualty {
    Casualty {
        injured_at: Some(zero()),
        met_at: Some(zero()),
        ..Casualty::default()
    }
}

/// Acts in which a person says what they saw.
fn is_a_look(act: &Act) -> bool {
    matches!(
        act,
        Act::Assessed(_)
            | Act::HoldEnded(_)
            | Act::DressingChecked { .. }
            | Act::TourniquetChecked { .. }
            | Act::BleedChecked { .. }
            | Act::CoverChecked
            | Act::BreathingChecked { .. }
            | Act::Looked(_)
            | Act::BeyondLooked { .. }
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    /// The same acts give the same picture in whatever order they are presented.
    #[test]
    fn presentation_order_does_not_matter(
        wounds in wounds(),
        acts in acts(),
        seed in any::<u64>(),
    ) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let mut shuffled = acts.clone();
        shuffled.sort_by_key(|act| (act.order + 1).wrapping_mul(seed | 1).rotate_left(17));
        prop_assert_eq!(stand(&case, &acts), stand(&case, &shuffled));
    }

    /// Nothing panics, clocks included, whatever was reported.
    #[test]
    fn nothing_panics(wounds in wounds(), acts in acts(), now in 0u32..3000) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let picture = stand(&case, &acts);
        let now = Minutes(now).after(zero());
        let all = clocks(&case, &picture, now);
        let _ = clocks::next_up(all, now);
        let _ = holdfast::rules::bleeding::ladder::most_urgent(&case, &picture, now);
    }

    /// A wound becomes "holding" only by an act in which a person looked.
    #[test]
    fn only_a_look_makes_it_hold(wounds in wounds(), acts in acts()) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let mut in_order = acts;
        in_order.sort_by_key(|act| (act.at, act.order));
        let mut before = vec![false; wounds.len()];
        for length in 1..=in_order.len() {
            let picture = stand(&case, &in_order[..length]);
            let last = &in_order[length - 1];
            for (index, standing) in picture.wounds.iter().enumerate() {
                let hold = standing.holding;
                if hold && !before[index] {
                    prop_assert!(is_a_look(&last.act), "{:?} by {:?}", standing.state, last.act);
                }
                before[index] = hold;
            }
        }
    }

    /// A limb's start never moves later, except when somebody tells the time; and it ends only by a release
    /// or by life felt beyond.
    #[test]
    fn a_limb_never_gets_younger_by_guess(wounds in wounds(), acts in acts()) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let mut in_order = acts;
        in_order.sort_by_key(|act| (act.at, act.order));
        let mut before = stand(&case, &[]).limbs;
        for length in 1..=in_order.len() {
            let limbs = stand(&case, &in_order[..length]).limbs;
            let last = &in_order[length - 1].act;
            for (limb, earlier) in &before {
                let now = limbs[limb].without_blood_since();
                match (earlier.without_blood_since(), now) {
                    (Some(was), Some(is)) if is > was => {
                        prop_assert!(matches!(last, Act::TourniquetTimeTold(_)), "{last:?}");
                    }
                    (Some(_), None) => prop_assert!(
                        matches!(
                            last,
                            Act::ConversionEnded { held: true }
                                | Act::DressingChecked { .. }
                                | Act::BeyondLooked { .. }
                                | Act::Looked(_)
                                | Act::Assessed(_)
                        ),
                        "{last:?}"
                    ),
                    _ => {}
                }
            }
            before = limbs;
        }
    }

    /// An unusual act nobody confirmed changes no state.
    #[test]
    fn unconfirmed_changes_nothing(wounds in wounds(), acts in acts()) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let picture = stand(&case, &acts);
        let asked: Vec<u64> =
            picture.wounds.iter().flat_map(|one| &one.questions).map(|one| one.order).collect();
        let without: Vec<Dated> =
            acts.iter().filter(|act| !asked.contains(&act.order) || act.about == About::Casualty).cloned().collect();
        let other = stand(&case, &without);
        // An act nobody confirmed still says that the wound exists.
        let known = |picture: &Picture| -> Vec<_> {
            picture.wounds.iter().map(|one| one.times.known).collect()
        };
        if known(&picture) != known(&other) {
            return Ok(());
        }
        for (with, without) in picture.wounds.iter().zip(&other.wounds) {
            prop_assert_eq!(with.state, without.state);
            prop_assert_eq!(with.next, without.next);
        }
    }

    /// A wound below no tight tourniquet is never said to be under one.
    #[test]
    fn under_a_tourniquet_means_one_is_tight(wounds in wounds(), acts in acts()) {
        let policy = Policy::default();
        let casualty = casualty();
        let case = Case { policy: &policy, casualty: &casualty, wounds: &wounds };
        let picture = stand(&case, &acts);
        for (index, standing) in picture.wounds.iter().enumerate() {
            if standing.state.is_under_tourniquet() || standing.state == State::Converting {
                let limb = wounds[index].limb(index);
                let limb = limb.unwrap_or(holdfast::rules::bleeding::Limb::OfWound(index));
                prop_assert!(picture.limbs[&limb].covers(index, &wounds));
            }
        }
    }
}
