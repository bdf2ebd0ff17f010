//! Who is asked by which chart, what each service calls a category, and when to look again.

use std::collections::BTreeSet;
use std::time::Duration;

use holdfast::rules::triage::chosen::second_look;
use holdfast::rules::triage::retriage::{Event, NextLook, Standing, green_area_order, next_look};
use holdfast::rules::triage::salt_sort::{CallResponse, LifesavingIntervention, assessment_order};
use holdfast::rules::triage::wording::{Colour, Profile, mark};
use holdfast::rules::triage::{
    Algorithm, Answer, ApparentAge, Category, Fit, JumpStartVariant, StartVariant, Systems,
};

#[test]
fn the_chart_goes_by_apparent_age() {
    let pick = |age, walked| Systems::default().for_age(age, walked);
    assert_eq!(
        pick(ApparentAge::Adult, None),
        Some(Algorithm::Start(StartVariant::RadialThenCrt))
    );
    assert_eq!(
        pick(ApparentAge::Child, None),
        Some(Algorithm::JumpStart(JumpStartVariant::Standard))
    );
    assert_eq!(
        pick(ApparentAge::Child, Some(Answer::No)),
        Some(Algorithm::JumpStart(JumpStartVariant::NeverWalked))
    );
    assert_eq!(
        pick(ApparentAge::Infant, None),
        Some(Algorithm::JumpStart(JumpStartVariant::NeverWalked))
    );
    assert_eq!(pick(ApparentAge::Unknown, None), None, "ask, do not guess");
    for adult in Systems::FOR_ADULTS {
        for child in Systems::FOR_CHILDREN {
            let systems = Systems { adult, child };
            assert!(systems.is_sound());
            for age in [ApparentAge::Infant, ApparentAge::Child, ApparentAge::Adult] {
                let chosen = systems.for_age(age, None).unwrap();
                assert!(
                    !matches!(chosen.fits(age), Fit::No(_) | Fit::Ask(_)),
                    "{chosen:?} {age:?}"
                );
            }
            let unknown = systems.for_age(ApparentAge::Unknown, None);
            assert_eq!(unknown.is_some(), adult == child, "{systems:?}");
        }
    }
    let swapped = Systems {
        adult: Algorithm::JumpStart(JumpStartVariant::Standard),
        child: Algorithm::Start(StartVariant::default()),
    };
    assert!(!swapped.is_sound());
    assert_eq!(second_look(Algorithm::TenSecond), Some(Algorithm::Mitt));
    assert_eq!(second_look(Algorithm::Salt), None);
}

#[test]
fn the_words_are_those_of_the_system() {
    let of = |adult, child| Systems { adult, child }.profile();
    let jump = Algorithm::JumpStart(JumpStartVariant::Standard);
    assert_eq!(Systems::default().profile(), Profile::UsStart);
    assert_eq!(of(Algorithm::Salt, jump), Profile::UsSalt);
    assert_eq!(of(Algorithm::TenSecond, jump), Profile::UkNhs);
    assert_eq!(Profile::UkNhs.shown(Category::Minor), "P3 DELAYED");
    assert_eq!(Profile::UsStart.shown(Category::Delayed), "2 DELAYED");
    assert_eq!(Profile::UsSalt.shown(Category::Dead), "0 DEAD");
}

#[test]
fn advice_by_age() {
    let start = Algorithm::Start(StartVariant::default());
    let jump_start = Algorithm::JumpStart(JumpStartVariant::Standard);
    assert!(matches!(start.fits(ApparentAge::Child), Fit::No(_)));
    assert!(matches!(start.fits(ApparentAge::Infant), Fit::No(_)));
    assert_eq!(start.fits(ApparentAge::Adult), Fit::Yes);
    assert!(matches!(jump_start.fits(ApparentAge::Adult), Fit::No(_)));
    assert_eq!(jump_start.fits(ApparentAge::Child), Fit::Yes);
    assert!(matches!(jump_start.fits(ApparentAge::Unknown), Fit::Ask(_)));
    assert_eq!(Algorithm::TenSecond.fits(ApparentAge::Infant), Fit::Yes);
    assert!(matches!(
        Algorithm::Mitt.fits(ApparentAge::Infant),
        Fit::Note(_)
    ));
}

#[test]
fn delayed_is_yellow_here_and_green_there() {
    let us = Profile::UsStart.label(Category::Delayed);
    let uk = Profile::UkNhs.label(Category::Minor);
    assert_eq!((us.word, us.colour), ("Delayed", Colour::Yellow));
    assert_eq!(
        (uk.word, uk.colour, uk.code),
        ("Delayed", Colour::Green, Some("P3"))
    );
    assert_eq!(Profile::Nato.label(Category::Delayed).code, Some("T2"));
    assert_eq!(Profile::UsSalt.label(Category::Minor).word, "Minimal");
    assert_eq!(
        Profile::UsStart.label(Category::Expectant).colour,
        Colour::Black
    );
    assert_eq!(
        Profile::UsSalt.label(Category::Expectant).colour,
        Colour::Grey
    );
    assert_eq!(
        Profile::UkNhs.label(Category::Expectant).colour,
        Colour::Blue
    );
    let codes: Vec<_> = [
        Category::Immediate,
        Category::Delayed,
        Category::Minor,
        Category::Expectant,
    ]
    .into_iter()
    .filter_map(|category| Profile::Nato.label(category).code)
    .collect();
    assert_eq!(codes, ["T1", "T2", "T3", "T4"]);
}

#[test]
fn no_two_categories_look_alike_without_colour() {
    let mut signs = BTreeSet::new();
    let mut shapes = BTreeSet::new();
    for category in Category::ALL {
        let (sign, shape) = mark(category);
        assert!(signs.insert(sign) && shapes.insert(shape), "{category:?}");
    }
    for profile in Profile::ALL {
        let words: BTreeSet<_> = Category::ALL
            .map(|category| profile.label(category).word)
            .into();
        assert_eq!(words.len(), Category::ALL.len(), "{profile:?}");
    }
}

#[test]
fn intervals() {
    let minutes = |look| match look {
        NextLook::After { due, overdue } => (due.as_secs() / 60, overdue.as_secs() / 60),
        NextLook::WhenFree { overdue } => (u64::MAX, overdue.as_secs() / 60),
        NextLook::OnceByAnother => (u64::MAX, u64::MAX),
    };
    let expected = [
        (Standing::Untriaged, (0, 5)),
        (Standing::Provisional, (5, 10)),
        (Standing::Triaged(Category::Immediate), (5, 10)),
        (Standing::Triaged(Category::Delayed), (15, 30)),
        (Standing::Triaged(Category::Minor), (30, 60)),
        (Standing::WalkedUnseen, (u64::MAX, 30)),
        (Standing::Triaged(Category::Expectant), (30, 60)),
        (Standing::Triaged(Category::NotBreathing), (u64::MAX, 10)),
        (Standing::Triaged(Category::Dead), (u64::MAX, u64::MAX)),
    ];
    for (standing, interval) in expected {
        assert_eq!(minutes(next_look(standing)), interval, "{standing:?}");
        if let NextLook::After { due, overdue } = next_look(standing) {
            assert!(overdue > due && overdue > Duration::ZERO);
        }
    }
}

#[test]
fn events_call_for_another_look() {
    for event in Event::ALL {
        assert!(
            !event.calls_for_a_look(Standing::Triaged(Category::Dead)),
            "{event:?}"
        );
        assert!(
            event.calls_for_a_look(Standing::Triaged(Category::Expectant)),
            "{event:?}"
        );
        assert!(event.calls_for_a_look(Standing::Untriaged), "{event:?}");
        let living = event.calls_for_a_look(Standing::Triaged(Category::Delayed));
        assert_eq!(living, event != Event::MoreResources, "{event:?}");
    }
}

#[test]
fn salt_order_and_interventions() {
    assert_eq!(assessment_order(CallResponse::Still, false), 1);
    assert_eq!(assessment_order(CallResponse::Waved, false), 2);
    assert_eq!(assessment_order(CallResponse::Walked, false), 3);
    for response in [
        CallResponse::Still,
        CallResponse::Waved,
        CallResponse::Walked,
    ] {
        assert_eq!(assessment_order(response, true), 1);
    }
    let for_everybody: Vec<_> = LifesavingIntervention::ALL
        .into_iter()
        .filter(|one| !one.needs_training())
        .collect();
    assert_eq!(
        for_everybody,
        [
            LifesavingIntervention::BleedingControl,
            LifesavingIntervention::AirwayOpening
        ]
    );
}

#[test]
fn infants_are_seen_first_among_the_minor() {
    assert_eq!(green_area_order(ApparentAge::Infant, true), 1);
    assert_eq!(green_area_order(ApparentAge::Child, true), 2);
    assert_eq!(green_area_order(ApparentAge::Child, false), 3);
    assert_eq!(green_area_order(ApparentAge::Adult, true), 3);
}
