//! The function vectors (ids beside each), and the policy switches.

use std::collections::BTreeSet;

use holdfast::rules::bleeding::after_care::{leave_for_the_wound, not_to_be_closed, rinse_ml};
use holdfast::rules::bleeding::clocks::{Acknowledged, silent_until, sounds};
use holdfast::rules::bleeding::conversion::Criteria;
use holdfast::rules::bleeding::distal::{
    BeyondCheck, Body, Compared, PulseBeyond, judge_below_tourniquet, judge_beyond,
};
use holdfast::rules::bleeding::exposure::exposure_clock;
use holdfast::rules::bleeding::infection::{
    Infection, InfectionSign, TetanusHistory, infection, tetanus_note,
};
use holdfast::rules::bleeding::information::{
    SpiltBlood, TranexamicView, blood_at_least_ml, blood_words, tranexamic_view,
};
use holdfast::rules::bleeding::measure::{Begin, FirstMeasure, Path, first_measure};
use holdfast::rules::bleeding::observation::{Beyond, HoldSeen, Pulse, Stain};
use holdfast::rules::bleeding::policy::{BleedThrough, Conversion, FirstForLimb};
use holdfast::rules::bleeding::shock::{Mind, ShockSigns, shock_suspected};
use holdfast::rules::bleeding::wound::{Amputation, Contamination, Mechanism};
use holdfast::rules::bleeding::{
    About, Act, Application, Case, Casualty, ClockKind, Dated, Findings, Flow, Minutes, Picture,
    Policy, Region, Role, Rule, Severity, Side, Sign, State, Step, Warning, Wound, clocks, stand,
};
use jiff::Timestamp;

use super::sequences_file::{time, zero};

fn first(region: Region, flow: Flow, signs: &[Sign]) -> FirstMeasure {
    let findings = Findings {
        flow,
        signs: signs.iter().copied().collect(),
    };
    first_measure(
        &Policy::default(),
        &Wound::at(region, Side::Left),
        &findings,
    )
}

#[test]
fn f01_to_f06_first_measure() {
    let f01 = first(Region::Forearm, Flow::Steady, &[]);
    assert_eq!((f01.path, f01.step), (Path::Gradual, Step::PressDirectly));
    assert_eq!(
        first(Region::Thigh, Flow::Steady, &[Sign::ClothesSoaked]).path,
        Path::Tourniquet
    );
    assert_eq!(first(Region::Thigh, Flow::High, &[]).path, Path::Pack);
    assert_eq!(first(Region::Groin, Flow::Spurting, &[]).path, Path::Pack);
    assert_eq!(
        first(Region::Forearm, Flow::Steady, &[Sign::ShockSigns]).path,
        Path::Tourniquet
    );
    let f06 = first(Region::Digit, Flow::Spurting, &[]);
    assert_eq!(f06.path, Path::Gradual);
    assert!(f06.warnings.contains(&Warning::LifeThreat));
}

#[test]
fn f06_limb_tourniquet_for_a_digit_is_asked_of_first_aiders_only() {
    for (role, asked) in [(Role::FirstAider, true), (Role::TrainedLead, false)] {
        let mut act = at("0:01", Act::TourniquetApplied(Application::default()));
        act.role = role;
        let picture = fold(Region::Digit, &[assessed("0:00", Flow::Spurting), act]);
        assert_eq!(!picture.wounds[0].questions.is_empty(), asked);
    }
}

#[test]
fn f07_pressure_then_tourniquet() {
    let mut policy = Policy::default();
    policy.switches.first_for_limb = FirstForLimb::PressureThenTourniquet;
    let wound = Wound::at(Region::Thigh, Side::Left);
    let first = first_measure(&policy, &wound, &Findings::flow(Flow::Spurting));
    assert_eq!(first.path, Path::Gradual);
    assert_eq!(first.begin, Some((Begin::Pressure, Minutes(1))));
    let unreachable = Findings {
        flow: Flow::Spurting,
        signs: BTreeSet::from([Sign::OutOfReach]),
    };
    assert_eq!(
        first_measure(&policy, &wound, &unreachable).path,
        Path::Tourniquet
    );
    let acts = vec![
        assessed("0:00", Flow::Spurting),
        at("0:01", Act::PressureStarted),
        at("0:04", Act::HoldEnded(HoldSeen::Continues)),
    ];
    let picture = fold_with(&policy, Region::Thigh, &acts);
    assert_eq!(picture.wounds[0].next, Step::Tourniquet);
    assert_eq!(picture.wounds[0].rule, Rule::PressureFailedTourniquet);
}

#[test]
fn f08_partial_amputation() {
    let mut wound = Wound::at(Region::LowerLeg, Side::Left);
    wound.amputation = Amputation::Partial;
    let first = first_measure(&Policy::default(), &wound, &Findings::flow(Flow::Ooze));
    assert_eq!(first.path, Path::Tourniquet);
    wound.region = Region::Hand;
    let hand = first_measure(&Policy::default(), &wound, &Findings::flow(Flow::Ooze));
    assert_eq!(hand.path, Path::Gradual, "below the wrist");
}

#[test]
fn row_three_needs_short_hands() {
    let few = first(Region::Thigh, Flow::High, &[Sign::HandsShort]);
    assert_eq!(
        (few.path, few.rule),
        (Path::Tourniquet, Rule::FastAndHandsShort)
    );
    assert!(
        !few.warnings.contains(&Warning::LifeThreat),
        "not a danger sign by itself"
    );
}

#[test]
fn f40_scalp_fast() {
    let f40 = first(Region::Scalp, Flow::High, &[]);
    assert_eq!(f40.begin, Some((Begin::Pressure, Minutes(1))));
}

#[test]
fn every_region_and_flow_has_a_first_measure_its_place_allows() {
    let danger = [Sign::Pooling, Sign::HandsShort];
    for region in every_region() {
        for flow in [
            Flow::None,
            Flow::Ooze,
            Flow::Steady,
            Flow::High,
            Flow::Spurting,
        ] {
            for signs in [&danger[..0], &danger[..1], &danger[1..]] {
                let first = first(region, flow, signs);
                let place = region.capability();
                match first.path {
                    Path::Tourniquet => assert!(place.tourniquet, "{region:?}"),
                    Path::Pack => assert_eq!(
                        place.packing,
                        holdfast::rules::bleeding::region::Allowed::Yes,
                        "{region:?}"
                    ),
                    Path::Dress => assert_eq!(flow, Flow::None, "{region:?}"),
                    _ => {}
                }
            }
        }
    }
}

fn beyond(check: BeyondCheck, body: Body) -> holdfast::rules::bleeding::distal::Judged {
    judge_beyond(&Policy::default(), &body, &check)
}

fn pulse_and_refill(tenths: u16) -> BeyondCheck {
    BeyondCheck {
        pulse: PulseBeyond::Present,
        refill_tenths: Some(tenths),
        ..BeyondCheck::default()
    }
}

#[test]
fn f10_to_f16_check_beyond() {
    let nobody = Body::default();
    assert_eq!(
        beyond(pulse_and_refill(15), nobody).result,
        Some(Beyond::Pass)
    );
    let both = BeyondCheck {
        refill_other_side_tenths: Some(30),
        ..pulse_and_refill(30)
    };
    let cold = Body {
        cold: true,
        ..nobody
    };
    let f11 = beyond(both, cold);
    assert_eq!(
        (f11.result, f11.slow_refill_from_cold),
        (Some(Beyond::Pass), true)
    );
    assert!(!f11.ask_about_shock);
    assert!(beyond(both, nobody).ask_about_shock);
    let one = BeyondCheck {
        refill_other_side_tenths: Some(15),
        ..pulse_and_refill(30)
    };
    assert_eq!(beyond(one, nobody).result, Some(Beyond::Fail));
    let old = Body {
        years: Some(72),
        ..nobody
    };
    assert_eq!(beyond(pulse_and_refill(35), old).result, Some(Beyond::Pass));
    let woman = Body {
        woman: true,
        ..nobody
    };
    assert_eq!(
        beyond(pulse_and_refill(25), woman).result,
        Some(Beyond::Pass)
    );
    let numb = BeyondCheck {
        feeling: Compared::Worse,
        ..pulse_and_refill(15)
    };
    assert_eq!(beyond(numb, nobody).result, Some(Beyond::Fail));
    assert_eq!(
        beyond(BeyondCheck::default(), nobody).result,
        None,
        "nothing told is no pass"
    );
}

#[test]
fn f17_f18_pulse_absent() {
    let absent = BeyondCheck {
        pulse: PulseBeyond::Absent,
        pulse_before: Some(false),
        ..BeyondCheck::default()
    };
    assert_eq!(
        beyond(absent, Body::default()).result,
        Some(Beyond::NoneBefore)
    );
    assert_eq!(
        judge_below_tourniquet(PulseBeyond::Absent),
        Some(Pulse::Absent)
    );
    assert_eq!(
        judge_below_tourniquet(PulseBeyond::Weaker),
        Some(Pulse::Present)
    );
}

#[test]
fn f17_limb_is_at_risk() {
    let mut acts = to_dressing();
    acts.push(at(
        "0:06",
        checked(Some(Stain::Dry), Some(Beyond::NoneBefore)),
    ));
    let picture = fold(Region::Forearm, &acts);
    assert_eq!(picture.wounds[0].state, State::DressingHolds);
    assert!(picture.wounds[0].risk.limb && picture.wounds[0].risk.hastens_evacuation);
}

#[test]
fn f19_to_f22_shock() {
    let suspected = |signs: ShockSigns| shock_suspected(&Policy::default(), &signs);
    let none = ShockSigns::default();
    assert!(suspected(ShockSigns {
        mind: Mind::Clouded,
        ..none
    }));
    assert!(!suspected(ShockSigns {
        mind: Mind::CloudedWithHeadInjury,
        ..none
    }));
    let with = ShockSigns {
        mind: Mind::CloudedWithHeadInjury,
        slow_refill: true,
        ..none
    };
    assert!(suspected(with));
    assert!(suspected(ShockSigns {
        pale_and_sweaty: true,
        pulse: Some(110),
        ..none
    }));
    assert!(!suspected(ShockSigns {
        pulse: Some(110),
        ..none
    }));
}

#[test]
fn f23_f25_rinsing() {
    let policy = Policy::default();
    assert_eq!(rinse_ml(&policy, Some(30), Contamination::Clean), 500);
    assert_eq!(rinse_ml(&policy, Some(40), Contamination::Gross), 1000);
    assert_eq!(rinse_ml(&policy, Some(121), Contamination::Clean), 800);
    assert_eq!(
        rinse_ml(&policy, Some(u32::MAX), Contamination::Gross),
        u32::MAX
    );
}

#[test]
fn f26_f27_tetanus() {
    let seven = TetanusHistory::Complete {
        years_since_last: 7,
    };
    assert_eq!(tetanus_note(seven, false), Some("tetanus booster"));
    assert_eq!(tetanus_note(seven, true), None);
    let unknown = TetanusHistory::IncompleteOrUnknown;
    assert_eq!(
        tetanus_note(unknown, false),
        Some("tetanus vaccine and immune globulin")
    );
}

#[test]
fn f28_to_f30_tranexamic_acid() {
    let view = |role, now| tranexamic_view(&Policy::default(), role, Some(zero()), time(now));
    assert_eq!(view(Role::FirstAider, "1:00"), TranexamicView::Hidden);
    assert_eq!(
        view(Role::Medic, "2:10"),
        TranexamicView::Open { minutes_left: 50 }
    );
    assert_eq!(view(Role::Medic, "3:05"), TranexamicView::Closed);
    let unknown = tranexamic_view(&Policy::default(), Role::Medic, None, zero());
    assert_eq!(unknown, TranexamicView::InjuryTimeUnknown);
}

#[test]
fn f31_blood_on_the_floor() {
    let ml = blood_at_least_ml(&Policy::default(), &[SpiltBlood::Fists(12)]);
    assert_eq!(blood_words(ml), "at least ~240 mL, poor accuracy");
}

#[test]
fn f35_infection() {
    let signs = BTreeSet::from([InfectionSign::RedStreaks, InfectionSign::Fever]);
    assert_eq!(infection(&signs), Infection::Systemic);
    assert_eq!(infection(&BTreeSet::new()), Infection::None);
    let deep = BTreeSet::from([InfectionSign::Pus, InfectionSign::Crackling]);
    assert_eq!(infection(&deep), Infection::Deep);
}

#[test]
fn f37_acknowledging_silences_for_a_while() {
    let policy = Policy::default();
    let seen = Acknowledged(time("0:10"));
    assert_eq!(
        silent_until(&policy, seen, Severity::Critical),
        Some(time("0:12"))
    );
    let picture = fold(Region::Thigh, &[assessed("0:00", Flow::Spurting)]);
    let running = run(Region::Thigh, &picture, "0:10");
    let begin = running
        .iter()
        .find(|clock| clock.kind == ClockKind::BeginTourniquet)
        .expect("it");
    assert!(sounds(&policy, begin, None, time("0:10")));
    assert!(!sounds(&policy, begin, Some(seen), time("0:11")));
    assert!(sounds(&policy, begin, Some(seen), time("0:12")));
    let before_due = Acknowledged(zero());
    assert!(
        sounds(&policy, begin, Some(before_due), time("0:01")),
        "not silenced in advance"
    );
}

#[test]
fn f38_exposure() {
    let clock = exposure_clock(&Policy::default(), time("0:30"), false).expect("a clock");
    assert_eq!(
        (clock.due_at, clock.severity),
        (time("2:30"), Severity::High)
    );
    assert_eq!(clock.warn_at, Some(time("0:30")), "loud at once");
    assert!(exposure_clock(&Policy::default(), time("0:30"), true).is_none());
}

#[test]
fn f39_warmth() {
    let casualty = Casualty {
        met_at: Some(zero()),
        ..Casualty::default()
    };
    let policy = Policy::default();
    let wounds = [Wound::at(Region::Forearm, Side::Left)];
    let case = Case {
        policy: &policy,
        casualty: &casualty,
        wounds: &wounds,
    };
    let due = |minutes: &str| {
        let acts = [
            assessed("0:00", Flow::Steady),
            at("0:01", Act::PressureStarted),
            at(minutes, Act::HoldEnded(HoldSeen::Stopped)),
        ];
        let picture = stand(&case, &acts);
        let all = clocks(&case, &picture, time("0:15"));
        all.iter()
            .find(|clock| clock.kind == ClockKind::Warmth)
            .map(|clock| clock.due_at)
    };
    assert_eq!(
        due("0:12"),
        Some(time("0:20")),
        "met + 20 is sooner than control + 10"
    );
    assert_eq!(due("0:11"), Some(time("0:20")));
}

#[test]
fn f41_hand_is_looked_at_twice_a_day() {
    let acts = vec![assessed("0:20", Flow::None), at("0:40", Act::Cleaned)];
    let picture = fold(Region::Hand, &acts);
    let all = run(Region::Hand, &picture, "1:00");
    let look = all
        .iter()
        .find(|clock| clock.kind == ClockKind::InfectionLook)
        .expect("it");
    assert_eq!(look.due_at, time("12:40"));
}

#[test]
fn f42_retry_after_a_failed_conversion() {
    let mut acts = vec![
        assessed("0:00", Flow::Spurting),
        at("0:01", Act::TourniquetApplied(Application::default())),
        works("0:02"),
        by(
            Role::TrainedLead,
            "0:40",
            Act::ConversionStarted(Criteria::all()),
        ),
        at("0:45", Act::ConversionEnded { held: false }),
        works("0:46"),
    ];
    acts.push(by(
        Role::Medic,
        "1:20",
        Act::ConversionStarted(Criteria::all()),
    ));
    assert_eq!(
        fold(Region::Thigh, &acts).wounds[0].state,
        State::Converting
    );
    acts.push(at("1:25", Act::ConversionEnded { held: false }));
    acts.push(works("1:26"));
    acts.push(by(
        Role::Medic,
        "1:40",
        Act::ConversionStarted(Criteria::all()),
    ));
    let standing = &fold(Region::Thigh, &acts).wounds[0];
    assert_eq!(standing.state, State::TourniquetHolds);
    assert_eq!(standing.questions[0].warning, Warning::NoConversionByYou);
}

#[test]
fn conversion_by_role_time_and_choice() {
    let asked = |policy: &Policy, role, when: &str, criteria| {
        let acts = vec![
            assessed("0:00", Flow::Spurting),
            at("0:01", Act::TourniquetApplied(Application::default())),
            works("0:02"),
            by(role, when, Act::ConversionStarted(criteria)),
        ];
        let picture = fold_with(policy, Region::Thigh, &acts);
        picture.wounds[0].questions.first().map(|one| one.warning)
    };
    let mut policy = Policy::default();
    let all = Criteria::all();
    let role = Some(Warning::NoConversionByYou);
    assert_eq!(asked(&policy, Role::TrainedLead, "2:00", all), None);
    assert_eq!(
        asked(&policy, Role::TrainedLead, "2:01", all),
        Some(Warning::TwoHours)
    );
    assert_eq!(asked(&policy, Role::Medic, "2:01", all), None);
    assert_eq!(
        asked(&policy, Role::Medic, "6:01", all),
        Some(Warning::SixHours)
    );
    assert_eq!(asked(&policy, Role::FirstAider, "0:30", all), role);
    let unticked = Criteria::default();
    let watch = Some(Warning::NobodyWatching);
    assert_eq!(asked(&policy, Role::TrainedLead, "0:30", unticked), watch);
    policy.switches.conversion = Conversion::MedicOnly;
    assert_eq!(asked(&policy, Role::TrainedLead, "0:30", all), role);
    policy.switches.conversion = Conversion::Never;
    assert_eq!(asked(&policy, Role::Medic, "0:30", all), role);
}

#[test]
fn bleed_through_by_choice() {
    let next = |choice, stain: Stain| {
        let mut policy = Policy::default();
        policy.switches.bleed_through = choice;
        let mut acts = to_dressing();
        acts.push(at("0:06", Act::DressingReinforced));
        acts.push(at("0:07", checked(Some(stain), Some(Beyond::Pass))));
        fold_with(&policy, Region::Forearm, &acts).wounds[0].next
    };
    assert_eq!(
        next(BleedThrough::OneLayerThenNextRung, Stain::Growing),
        Step::Tourniquet
    );
    assert_eq!(
        next(BleedThrough::UndressAtSecond, Stain::Growing),
        Step::PressDirectly
    );
    assert_eq!(
        next(BleedThrough::NeverRemove, Stain::Growing),
        Step::ReinforceDressing
    );
    for choice in [BleedThrough::UndressAtSecond, BleedThrough::NeverRemove] {
        assert_eq!(next(choice, Stain::Soaked), Step::Tourniquet);
    }
}

#[test]
fn a_dressing_growing_at_its_most_layers_goes_up_even_with_no_life_beyond() {
    let mut acts = to_dressing();
    acts.push(at("0:06", Act::DressingReinforced));
    acts.push(at(
        "0:07",
        checked(Some(Stain::Growing), Some(Beyond::Fail)),
    ));
    assert_eq!(
        fold(Region::Forearm, &acts).wounds[0].next,
        Step::Tourniquet
    );
}

#[test]
fn a_look_some_seconds_early_counts_a_look_a_minute_early_does_not() {
    let state = |seconds: i64| {
        let mut look = at("0:11", Act::HoldEnded(HoldSeen::Stopped));
        look.at = look
            .at
            .checked_sub(jiff::SignedDuration::from_secs(seconds))
            .expect("a time");
        let acts = [
            assessed("0:00", Flow::Steady),
            at("0:01", Act::PressureStarted),
            look,
        ];
        fold(Region::Forearm, &acts).wounds[0].state
    };
    assert_eq!(state(8), State::Stopped);
    assert_eq!(state(60), State::Pressing);
}

#[test]
fn shock_alone_makes_no_dry_wound_dangerous() {
    let acts = [
        at("0:00", Act::Shock { on: true }),
        assessed("0:01", Flow::None),
    ];
    let standing = &fold(Region::Forearm, &acts).wounds[0];
    assert_eq!(
        (standing.state, standing.risk.dangerous),
        (State::Stopped, false)
    );
    let bleeding = [acts[0].clone(), assessed("0:01", Flow::Ooze)];
    assert_eq!(
        fold(Region::Forearm, &bleeding).wounds[0].next,
        Step::Tourniquet
    );
}

#[test]
fn a_tight_dressing_is_a_reason_to_leave_only_when_it_stays_tight() {
    let mut acts = to_dressing();
    acts.push(at("0:06", checked(Some(Stain::Dry), Some(Beyond::Fail))));
    let picture = fold(Region::Forearm, &acts);
    let wound = Wound::at(Region::Forearm, Side::Left);
    let reasons = |now| leave_for_the_wound(&wound, &picture.wounds[0], time(now));
    assert!(reasons("0:15").is_empty());
    assert_eq!(reasons("0:16"), ["limb without blood"]);
}

#[test]
fn never_closed() {
    let policy = Policy::default();
    let mut wound = Wound::at(Region::Forearm, Side::Left);
    assert_eq!(not_to_be_closed(&policy, &wound, Some(2)), None);
    assert!(not_to_be_closed(&policy, &wound, Some(7)).is_some());
    wound.mechanism = Mechanism::Bite;
    assert!(not_to_be_closed(&policy, &wound, Some(1)).is_some());
}

#[test]
fn most_urgent_wound_and_next_up() {
    let policy = Policy::default();
    let casualty = Casualty {
        injured_at: Some(zero()),
        ..Casualty::default()
    };
    let wounds = [
        Wound::at(Region::Forearm, Side::Left),
        Wound::at(Region::Thigh, Side::Left),
        Wound::at(Region::Groin, Side::Right),
    ];
    let case = Case {
        policy: &policy,
        casualty: &casualty,
        wounds: &wounds,
    };
    let mut acts = [
        assessed("0:00", Flow::Steady),
        assessed("0:00", Flow::Spurting),
        assessed("0:00", Flow::Spurting),
    ];
    for (index, act) in acts.iter_mut().enumerate() {
        act.about = About::Wound(index);
        act.order = index as u64;
    }
    let picture = stand(&case, &acts);
    let now = time("0:02");
    let most = holdfast::rules::bleeding::ladder::most_urgent(&case, &picture, now);
    assert_eq!(most, Some(1));
    let list = clocks::next_up(clocks(&case, &picture, now), now);
    let kinds: Vec<ClockKind> = list.iter().map(|clock| clock.kind).take(2).collect();
    assert_eq!(kinds, [ClockKind::BeginTourniquet, ClockKind::BeginPacking]);
    let hidden = Casualty {
        clocks_hidden: true,
        ..casualty.clone()
    };
    let case = Case {
        casualty: &hidden,
        ..case
    };
    assert!(
        !clocks(&case, &picture, now).is_empty(),
        "hidden, not deleted"
    );
    let shown = clocks::next_up(clocks(&case, &picture, now), now);
    assert!(shown.is_empty());
}

#[test]
fn severity_decides_between_wounds_before_time_does() {
    use holdfast::rules::bleeding::ladder::urgency;
    let of = |region, acts: &[Dated]| urgency(&fold(region, acts).wounds[0], false);
    let spurting = [assessed("0:00", Flow::Spurting)];
    let mut fails = spurting.to_vec();
    fails.push(at("0:01", Act::TourniquetApplied(Application::default())));
    fails.push(at(
        "0:02",
        Act::TourniquetChecked {
            bleeding: Some(true),
            pulse: None,
        },
    ));
    let mut tight = to_dressing();
    tight.push(at("0:06", checked(Some(Stain::Dry), Some(Beyond::Fail))));
    let by_hand = [assessed("0:00", Flow::High), at("0:01", Act::ManualHold)];
    let order = [
        of(Region::Thigh, &spurting),
        of(Region::Thigh, &fails),
        of(Region::Groin, &spurting),
        of(Region::Forearm, &tight),
        urgency(&fold(Region::Forearm, &to_dressing()).wounds[0], true),
        of(Region::Groin, &by_hand),
        of(Region::Forearm, &[assessed("0:00", Flow::Ooze)]),
    ];
    assert_eq!(order, [0, 1, 2, 3, 4, 5, 6]);
}

#[test]
fn limb_lines_fold_into_the_newest_due() {
    let acts = vec![
        assessed("0:00", Flow::Spurting),
        at("0:00", Act::TourniquetApplied(Application::default())),
        works("0:01"),
    ];
    let picture = fold(Region::Thigh, &acts);
    let all = run(Region::Thigh, &picture, "4:10");
    let list = clocks::next_up(all, time("4:10"));
    let lines: Vec<ClockKind> = list
        .iter()
        .map(|clock| clock.kind)
        .filter(|kind| kind.is_limb_line())
        .collect();
    assert_eq!(
        lines,
        [
            ClockKind::FourHours,
            ClockKind::SixHoursSoon,
            ClockKind::SixHours
        ]
    );
}

#[test]
fn a_side_not_said_never_makes_two_wounds_one_limb() {
    let policy = Policy::default();
    let casualty = Casualty::default();
    let wounds = [
        Wound::at(Region::Thigh, Side::Unspecified),
        Wound::at(Region::Foot, Side::Unspecified),
    ];
    let case = Case {
        policy: &policy,
        casualty: &casualty,
        wounds: &wounds,
    };
    let mut foot = assessed("0:00", Flow::Spurting);
    foot.about = About::Wound(1);
    let acts = [
        assessed("0:00", Flow::Spurting),
        foot,
        at("0:01", Act::TourniquetApplied(Application::default())),
    ];
    let picture = stand(&case, &acts);
    assert_eq!(picture.wounds[0].state, State::TourniquetUnchecked);
    assert_eq!(picture.wounds[1].state, State::Bleeding);
}

#[test]
fn striking_the_wound_does_not_stop_the_limb_but_handing_over_does() {
    let mut acts = vec![
        assessed("0:00", Flow::Spurting),
        at("0:01", Act::TourniquetApplied(Application::default())),
    ];
    let has_line = |acts: &[Dated]| {
        let picture = fold(Region::Thigh, acts);
        let all = run(Region::Thigh, &picture, "0:10");
        all.iter().any(|clock| clock.kind == ClockKind::TwoHours)
    };
    acts.push(at("0:05", Act::Void));
    assert!(has_line(&acts));
    acts[2].act = Act::HandedOver;
    assert!(!has_line(&acts));
}

#[test]
fn policy_travels_as_json_with_defaults_for_what_is_not_said() {
    let policy: Policy =
        serde_json::from_str(r#"{"holds":{"haemostatic":5},"switches":{"conversion":"never"}}"#)
            .unwrap();
    assert_eq!(policy.holds.haemostatic, Minutes(5));
    assert_eq!(policy.holds.plain, Minutes(10));
    assert_eq!(policy.switches.conversion, Conversion::Never);
    let again: Policy = serde_json::from_value(serde_json::to_value(&policy).unwrap()).unwrap();
    assert_eq!(again, policy);
    assert!(serde_json::from_str::<Policy>(r#"{"hold":{}}"#).is_err());
}

#[test]
fn every_rule_says_its_words_and_source() {
    for rule in Rule::ALL {
        assert!(
            !rule.words().is_empty() && !rule.source().is_empty(),
            "{rule:?}"
        );
    }
    for kind in ClockKind::ALL {
        assert!(
            !kind.words().is_empty() && !kind.source().is_empty(),
            "{kind:?}"
        );
    }
    for warning in Warning::ALL {
        let sentences = warning.text().matches(['.', '?', '!']).count();
        assert!(sentences <= 3 && warning.text().len() <= 140, "{warning:?}");
    }
}

pub(crate) fn every_region() -> Vec<Region> {
    [
        "scalp",
        "face",
        "eye",
        "nose",
        "mouth",
        "ear",
        "skull_fracture_suspected",
        "neck",
        "neck_base",
        "shoulder",
        "axilla",
        "upper_arm",
        "elbow",
        "forearm",
        "wrist",
        "hand",
        "digit",
        "chest_wall",
        "chest_open",
        "abdomen",
        "evisceration",
        "back",
        "buttock",
        "groin",
        "perineum",
        "pelvis_suspected",
        "proximal_limb",
        "thigh",
        "knee",
        "lower_leg",
        "ankle",
        "foot",
        "internal_suspected",
    ]
    .map(|code| {
        serde_json::from_value(serde_json::Value::String(code.to_owned())).expect("a region")
    })
    .to_vec()
}

fn at(when: &str, act: Act) -> Dated {
    by(Role::FirstAider, when, act)
}

fn by(role: Role, when: &str, act: Act) -> Dated {
    let at: Timestamp = time(when);
    let order = u64::try_from(at.as_second()).expect("after 1970");
    Dated {
        at,
        order,
        about: About::Wound(0),
        by: None,
        role,
        confirmed: false,
        act,
    }
}

fn assessed(when: &str, flow: Flow) -> Dated {
    at(when, Act::Assessed(Findings::flow(flow)))
}

fn works(when: &str) -> Dated {
    at(
        when,
        Act::TourniquetChecked {
            bleeding: Some(false),
            pulse: Some(Pulse::Absent),
        },
    )
}

const fn checked(stain: Option<Stain>, beyond: Option<Beyond>) -> Act {
    Act::DressingChecked { stain, beyond }
}

fn to_dressing() -> Vec<Dated> {
    let material = Some(holdfast::rules::supplies::Item::HaemostaticGauze);
    vec![
        assessed("0:00", Flow::High),
        at(
            "0:01",
            Act::Packed {
                material,
                expired: false,
            },
        ),
        at("0:04", Act::HoldEnded(HoldSeen::Stopped)),
        at("0:05", Act::DressingApplied),
    ]
}

fn fold(region: Region, acts: &[Dated]) -> Picture {
    fold_with(&Policy::default(), region, acts)
}

fn fold_with(policy: &Policy, region: Region, acts: &[Dated]) -> Picture {
    let casualty = Casualty {
        injured_at: Some(zero()),
        ..Casualty::default()
    };
    let wounds = [Wound::at(region, Side::Left)];
    stand(
        &Case {
            policy,
            casualty: &casualty,
            wounds: &wounds,
        },
        acts,
    )
}

fn run(region: Region, picture: &Picture, now: &str) -> Vec<holdfast::rules::bleeding::Clock> {
    let policy = Policy::default();
    let casualty = Casualty {
        injured_at: Some(zero()),
        ..Casualty::default()
    };
    let wounds = [Wound::at(region, Side::Left)];
    clocks(
        &Case {
            policy: &policy,
            casualty: &casualty,
            wounds: &wounds,
        },
        picture,
        time(now),
    )
}
