//! `JumpSTART`, SALT, Ten Second Triage and MITT against their vectors, and the same casualties through all.

use std::collections::BTreeMap;

use serde_json::json;

use holdfast::rules::scores::shock_index::ShockIndex;
use holdfast::rules::scores::trauma_score::{TraumaScore, sort_label};
use holdfast::rules::scores::{Consciousness, Pressure};
use holdfast::rules::triage::notes::{Note, notes, reason_needed};
use holdfast::rules::triage::{
    Algorithm, Answer, Category, Input, JumpStartAnswers, JumpStartVariant, MittAnswers,
    SaltAnswers, Sheet, StartAnswers, StartVariant, TenSecondAnswers,
};

use crate::vectors::{answers, rows, written};

fn filled(algorithm: &str, variant: &str, given: &str) -> Sheet {
    let sheet = json!({"algorithm": algorithm, "variant": variant, "answers": answers(given)});
    serde_json::from_value(sheet).unwrap_or_else(|error| panic!("{given:?}: {error}"))
}

fn every_row(algorithm: &str, text: &'static str, at_least: usize) {
    let rows = rows(text, 6);
    assert!(rows.len() >= at_least, "only {} rows", rows.len());
    for row in rows {
        let got = filled(algorithm, row.column(1), row.column(3)).assess();
        assert_eq!(
            written(&got),
            row.column(4),
            "{} {}",
            row.id(),
            row.column(2)
        );
    }
}

#[test]
fn jump_start() {
    every_row("jumpstart", include_str!("jump_start.txt"), 29);
}

#[test]
fn salt() {
    every_row("salt", include_str!("salt.txt"), 12);
}

#[test]
fn ten_second() {
    every_row("ten_second", include_str!("ten_second.txt"), 10);
}

#[test]
fn mitt() {
    every_row("mitt", include_str!("mitt.txt"), 20);
}

#[test]
fn salt_in_all_sixteen_combinations() {
    let rows = rows(include_str!("salt_sixteen.txt"), 3);
    assert_eq!(rows.len(), 16);
    for row in rows {
        let signs: Vec<Answer> = row
            .column(0)
            .split(' ')
            .map(|answer| {
                serde_json::from_value(json!(answer))
                    .unwrap_or_else(|error| panic!("{answer}: {error}"))
            })
            .collect();
        let base = SaltAnswers {
            breathing: Some(Answer::Yes),
            obeys_or_moves: Some(signs[0]),
            pulse_felt: Some(signs[1]),
            respiratory_distress: Some(signs[2]),
            bleeding_controlled: Some(signs[3]),
            ..SaltAnswers::default()
        };
        assert_eq!(base.assess().next, Some(row.column(1)), "{}", row.id());
        for (minor, survives) in [
            (Answer::Yes, Answer::Yes),
            (Answer::Yes, Answer::No),
            (Answer::No, Answer::Yes),
            (Answer::No, Answer::No),
        ] {
            let whole = SaltAnswers {
                injuries_minor: Some(minor),
                likely_to_survive: Some(survives),
                ..base
            };
            let expected = match (row.column(1), minor, survives) {
                ("T3", Answer::Yes, _) => Category::Minor,
                ("T3", ..) => Category::Delayed,
                (_, _, Answer::Yes) => Category::Immediate,
                _ => Category::Expectant,
            };
            assert_eq!(whole.assess().category(), Some(expected), "{}", row.id());
        }
    }
}

/// One casualty's answers by the column names of the data file.
struct Casualty(BTreeMap<&'static str, &'static str>);

impl Casualty {
    fn says(&self, key: &str) -> Option<Answer> {
        match self.0.get(key).copied() {
            Some("y") => Some(Answer::Yes),
            Some("n") => Some(Answer::No),
            None => None,
            Some(other) => panic!("{key}={other}"),
        }
    }

    fn number(&self, key: &str) -> u16 {
        self.0[key]
            .parse()
            .unwrap_or_else(|error| panic!("{key}: {error}"))
    }

    /// Breathing once the airway was opened where that was needed.
    fn breathes_in_the_end(&self) -> Option<Answer> {
        self.says("open").or_else(|| self.says("breathing"))
    }

    fn start(&self) -> StartAnswers {
        StartAnswers {
            walks: self.says("walk"),
            breathing: self.says("breathing"),
            breathing_after_airway: self.says("open"),
            radial_pulse: self.says("radial"),
            obeys: self.says("obeys"),
            breaths_per_minute: Some(self.number("rr")),
            ..StartAnswers::default()
        }
    }

    fn salt(&self) -> SaltAnswers {
        SaltAnswers {
            breathing: self.breathes_in_the_end(),
            obeys_or_moves: self.says("obeys"),
            pulse_felt: self.says("radial"),
            respiratory_distress: self.says("distress"),
            bleeding_controlled: self.says("haem"),
            injuries_minor: self.says("minor"),
            likely_to_survive: self.says("surv"),
        }
    }

    fn ten_second(&self) -> TenSecondAnswers {
        TenSecondAnswers {
            walks: self.says("walk"),
            severe_bleeding: self.says("bleed"),
            talking: self.says("talk"),
            penetrating_injury: self.says("pen"),
            breathing: self.breathes_in_the_end(),
        }
    }

    fn mitt(&self) -> MittAnswers {
        MittAnswers {
            catastrophic_bleeding: self.says("bleed"),
            walks: self.says("walk"),
            breathing: self.says("breathing"),
            breathing_after_airway: self.says("open"),
            responds_to_voice: self.says("voice"),
            age_years: Some(self.number("age")),
            breaths_per_minute: Some(self.number("rr")),
            pulse_per_minute: Some(self.number("hr")),
            ..MittAnswers::default()
        }
    }

    fn trauma_score(&self) -> String {
        let gcs = u8::try_from(self.number("gcs")).ok();
        let score = TraumaScore::of(
            gcs,
            Some(Pressure::Mmhg(self.number("sbp"))),
            Some(self.number("rr")),
        );
        let priority = score.priority().expect("OK because nothing is missing");
        format!(
            "{} {}",
            score.sum().low,
            sort_label(priority).unwrap_or("dead")
        )
    }
}

#[test]
fn the_same_casualties_through_every_tool() {
    let rows = rows(include_str!("casualties.txt"), 10);
    assert_eq!(rows.len(), 11);
    for row in rows {
        let casualty = Casualty(
            row.column(2)
                .split(' ')
                .filter_map(|pair| pair.split_once('='))
                .collect(),
        );
        let id = row.id();
        assert_eq!(
            written(&casualty.start().assess(StartVariant::default())),
            row.column(3),
            "{id} START"
        );
        assert_eq!(
            written(&casualty.salt().assess()),
            row.column(4),
            "{id} SALT"
        );
        assert_eq!(
            written(&casualty.ten_second().assess()),
            row.column(5),
            "{id} Ten Second Triage"
        );
        assert_eq!(
            written(&casualty.mitt().assess()),
            row.column(6),
            "{id} MITT"
        );
        assert_eq!(casualty.trauma_score(), row.column(7), "{id}");
        let index = ShockIndex::of(
            casualty.number("hr"),
            Pressure::Mmhg(casualty.number("sbp")),
        );
        assert_eq!(
            index.map_or_else(|| "none".to_owned(), ShockIndex::shown),
            row.column(8),
            "{id}"
        );
    }
}

#[test]
fn a_screen_can_drive_a_sheet_to_its_end() {
    let mut sheet = Sheet::new(Algorithm::JumpStart(JumpStartVariant::Standard));
    let mut asked = Vec::new();
    for answer in [Answer::No, Answer::No, Answer::No, Answer::CannotTell] {
        let step = sheet.next_step().expect("OK because nothing is decided");
        asked.push(step.id);
        assert!(sheet.record(step.input, Some(answer)));
    }
    assert_eq!(asked, ["J1", "J2", "J2a", "J2b"]);
    assert_eq!(
        sheet.next_step().map(|step| step.id),
        Some("J2c"),
        "the breaths are still to be given"
    );
    assert_eq!(written(&sheet.assess()), "?immediate");
    assert!(sheet.record(Input::BreathingAfterRescueBreaths, Some(Answer::Yes)));
    assert_eq!(written(&sheet.assess()), "immediate");
    assert!(
        !sheet.record(Input::Talking, Some(Answer::Yes)),
        "JumpSTART does not ask that"
    );
    assert!(!sheet.record_number(Input::PulsePerMinute, Some(80)));
}

#[test]
fn a_sheet_keeps_what_was_suggested_and_can_be_checked() {
    let sheet = filled(
        "start",
        "radial_then_crt",
        "walks=no breathing=yes breaths_per_minute=32",
    );
    assert!(!sheet.agrees(), "nothing was shown");
    let sheet = sheet.with_suggestion();
    assert!(sheet.agrees());
    assert_eq!(
        serde_json::to_value(&sheet).expect("OK because a sheet is plain data"),
        json!({
            "algorithm": "start", "variant": "radial_then_crt",
            "answers": {"walks": "no", "breathing": "yes", "breaths_per_minute": 32},
            "suggested": "immediate", "step": "S3", "complete": true,
        })
    );
    let refused = json!({"algorithm": "salt", "answers": {"walks": "yes"}});
    assert!(
        serde_json::from_value::<Sheet>(refused).is_err(),
        "SALT has no such question"
    );
    let refused = json!({"algorithm": "salt", "answers": {}, "extra": 1});
    assert!(serde_json::from_value::<Sheet>(refused).is_err());
}

#[test]
fn every_algorithm_is_found_by_its_codes_and_its_sheet_reads_its_table() {
    for algorithm in Algorithm::ALL {
        let table = algorithm.table();
        assert_eq!(
            Algorithm::from_codes(table.algorithm, table.variant),
            Some(algorithm)
        );
        let sheet = json!({"algorithm": table.algorithm, "variant": table.variant, "answers": {}});
        let sheet: Sheet =
            serde_json::from_value(sheet).unwrap_or_else(|error| panic!("{table:?}: {error}"));
        assert_eq!(sheet, Sheet::new(algorithm));
        for step in table.steps {
            let name = serde_json::to_value(step.input).expect("OK because an input is a name");
            let name = name.as_str().expect("OK because an input is a name");
            let one = filled(table.algorithm, table.variant, &format!("{name}=yes"));
            assert_eq!(
                step.answered_by(one.answers()),
                Some(Answer::Yes),
                "{} {name}",
                step.id
            );
            let mut recorded = Sheet::new(algorithm);
            assert!(recorded.record(step.input, Some(Answer::Yes)));
            assert_eq!(recorded, one);
            if let Some(measure) = step.measure {
                let name =
                    serde_json::to_value(measure.input).expect("OK because an input is a name");
                let name = name.as_str().expect("OK because an input is a name");
                let counted = filled(table.algorithm, table.variant, &format!("{name}=0"));
                assert!(
                    step.answered_by(counted.answers()).is_some(),
                    "{} {name}",
                    step.id
                );
                assert!(recorded.record_number(measure.input, Some(0)));
            }
            if step.choice.is_some() {
                let level = filled(table.algorithm, table.variant, "consciousness=unresponsive");
                assert_eq!(
                    step.answered_by(level.answers()),
                    Some(Answer::No),
                    "{}",
                    step.id
                );
            }
        }
    }
}

#[test]
fn levels_of_consciousness_decide_what_they_can() {
    let base = JumpStartAnswers {
        walks: Some(Answer::No),
        breathing: Some(Answer::Yes),
        pulse_felt: Some(Answer::Yes),
        breaths_per_minute: Some(28),
        ..JumpStartAnswers::default()
    };
    for (level, expected) in [
        (Consciousness::Alert, "delayed"),
        (Consciousness::Confused, "delayed"),
        (Consciousness::Voice, "delayed"),
        (Consciousness::Pain, "?immediate"),
        (Consciousness::Unresponsive, "immediate"),
    ] {
        let with_level = JumpStartAnswers {
            consciousness: Some(level),
            ..base
        };
        assert_eq!(
            written(&with_level.assess(JumpStartVariant::Standard)),
            expected,
            "{level:?}"
        );
    }
}

#[test]
fn notes_stand_beside_the_category() {
    let of = |algorithm, variant, given| notes(&filled(algorithm, variant, given));
    assert_eq!(
        of(
            "start",
            "radial",
            "walks=no breathing=yes breaths_per_minute=9 radial_pulse=yes obeys=yes"
        ),
        [Note::SlowBreathing]
    );
    assert_eq!(
        of(
            "start",
            "radial",
            "walks=no breathing=yes breaths_per_minute=10"
        ),
        []
    );
    assert_eq!(
        of("start", "radial", "walks=yes breaths_per_minute=36"),
        [Note::WalkerBreathesFast, Note::OnlyWalkingWasAsked]
    );
    assert_eq!(
        of("ten_second", "standard", "walks=yes severe_bleeding=yes"),
        [Note::WalkerBleeds, Note::OnlyWalkingWasAsked]
    );
    assert_eq!(
        of(
            "mitt",
            "standard",
            "catastrophic_bleeding=no walks=no breathing=yes age_years=2"
        ),
        [Note::AgeExactlyTwo]
    );
    assert_eq!(
        of(
            "salt",
            "standard",
            "breathing=yes obeys_or_moves=no likely_to_survive=no"
        ),
        [Note::ExpectantNeedsGrounds]
    );
    assert!(reason_needed(Some(Category::Minor), Category::Immediate));
    assert!(reason_needed(None, Category::Expectant));
    assert!(reason_needed(
        Some(Category::Expectant),
        Category::Expectant
    ));
    assert!(!reason_needed(Some(Category::Delayed), Category::Delayed));
    assert!(!reason_needed(None, Category::Delayed));
}
