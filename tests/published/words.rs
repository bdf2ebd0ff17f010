//! Words to say: orders of letters, what is missing, what still runs, and how it is read aloud.
//!
//! Sources: M/ETHANE as JESIP has it; MIST of DD Form 1380; ATMIST of `RCEMLearning` and of the UK National Operational
//! Guidance; IMIST-AMBO of Iedema et al. 2012; SBAR of the NHS Institute; nine lines of GTA 08-01-004; figures of the US
//! Navy manual citing ACP 125. The casualty is our own example.

use holdfast::rules::place::Position;
use holdfast::rules::words::{
    Answer, Counts, Handover, Incident, Injury, Major, Marking, Moment, NineLine, Order, Report,
    Security, Signs, SiteContamination, Special, Structure, SumsDiffer, Treatment, TreatmentTime,
    Wartime, handover, methane, nine_line, script, spoken,
};

/// 2025-06-14, so many minutes after midnight UTC.
fn at(hour: i64, minute: i64) -> Moment {
    Moment(1_749_859_200 + hour * 3600 + minute * 60)
}

#[expect(clippy::too_many_lines, reason = "one casualty, all there is to say")]
fn seven() -> Handover {
    Handover {
        number: 7,
        age: Some("Adult".to_owned()),
        about: Some(30),
        sex: Some("woman".to_owned()),
        category: Some("immediate".to_owned()),
        injured_at: Some(at(13, 55)),
        mechanism: Some("Fell about 6 metres onto rock".to_owned()),
        injuries: vec![
            Injury {
                order: Order::Circulation,
                at: at(14, 0),
                words: "Possible broken right femur".to_owned(),
            },
            Injury {
                order: Order::Bleeding,
                at: at(14, 1),
                words: "Right thigh wound, heavy bleeding, controlled".to_owned(),
            },
        ],
        signs: vec![
            Signs {
                at: at(14, 0),
                breaths: Some(28),
                pulse: Some(130),
                pressure: None,
                no_pressure: false,
                wrist: None,
                oxygen: None,
                saturation: None,
                level: Some("Alert".to_owned()),
                refill: None,
            },
            Signs {
                at: at(14, 12),
                breaths: Some(24),
                pulse: Some(118),
                pressure: Some((98, None)),
                no_pressure: false,
                wrist: None,
                oxygen: None,
                saturation: Some(96),
                level: Some("Alert".to_owned()),
                refill: Some(3),
            },
        ],
        treatments: vec![
            Treatment {
                order: Order::Exposure,
                words: "Blanket".to_owned(),
                time: TreatmentTime::Done(at(14, 5)),
            },
            Treatment {
                order: Order::Bleeding,
                words: "Pressure dressing".to_owned(),
                time: TreatmentTime::Done(at(14, 0)),
            },
            Treatment {
                order: Order::Bleeding,
                words: "Tourniquet right thigh".to_owned(),
                time: TreatmentTime::Running(at(13, 58)),
            },
        ],
        allergies: Answer::Known("penicillin".to_owned()),
        leaves: Some((at(14, 35), "ambulance 1".to_owned())),
        arrives: Some(at(15, 15)),
        requirements: vec!["Surgery".to_owned()],
        ..Handover::default()
    }
}

fn letters(report: &Report) -> String {
    report.lines.iter().map(|line| line.letter).collect()
}

fn text_of(report: &Report, at: usize) -> &str {
    &report.lines[at].text
}

#[test]
fn letters_stand_in_their_order_and_none_is_missing_even_when_nothing_is_known() {
    for who in [seven(), Handover::default()] {
        let order = |structure| letters(&handover(&who, structure, at(14, 30)));
        assert_eq!(order(Structure::Mist), "MIST");
        assert_eq!(order(Structure::Atmist), "ATMISTER");
        assert_eq!(order(Structure::AtmistFire), "ATMIST");
        assert_eq!(order(Structure::ImistAmbo), "IMISTAMBO");
        assert_eq!(order(Structure::Sbar), "SBAR");
    }
    let empty = handover(&Handover::default(), Structure::Atmist, at(14, 30));
    assert!(empty.missing().count() >= 6);
    assert!(empty.lines.iter().all(|line| !line.text.is_empty()));
    assert!(text_of(&empty, 0).contains("sex not known"));
    assert!(text_of(&empty, 7).contains("allergies not asked"));
    let pauses = handover(&seven(), Structure::ImistAmbo, at(14, 30));
    assert_eq!(
        pauses
            .lines
            .iter()
            .filter(|line| line.letter.is_empty())
            .count(),
        2
    );
}

#[test]
fn what_still_runs_is_said_with_its_minutes_and_what_ended_with_both_times() {
    let report = handover(&seven(), Structure::Atmist, Moment(at(14, 30).0 + 59));
    assert_eq!(
        text_of(&report, 5),
        "Tourniquet right thigh ON since 1358Z (32 min). Pressure dressing 1400Z. Blanket 1405Z"
    );
    assert_eq!(
        text_of(&report, 3),
        "Right thigh wound, heavy bleeding, controlled. Possible broken right femur"
    );
    let mut released = seven();
    released.treatments[2].time = TreatmentTime::Ended(at(13, 58), at(14, 28));
    let report = handover(&released, Structure::Atmist, at(14, 30));
    assert!(text_of(&report, 5).starts_with("Tourniquet right thigh 1358Z to 1428Z."));
    assert!(!report.text(None).contains(" ON "));
}

#[test]
fn the_newest_look_comes_first_and_a_missing_sign_is_a_dash() {
    let report = handover(&seven(), Structure::Mist, at(14, 30));
    assert_eq!(
        text_of(&report, 2),
        "1412Z: RR 24, HR 118, BP 98 by palpation, SpO2 96, Alert, cap refill 3 s. 1400Z: RR 28, HR 130, Alert"
    );
    let mut once = seven();
    once.signs.truncate(1);
    let report = handover(&once, Structure::Mist, at(14, 30));
    assert_eq!(
        text_of(&report, 2),
        "1400Z: RR 28, HR 130, BP –, SpO2 –, Alert"
    );
}

#[test]
fn an_atmist_is_short_enough_to_say_and_the_two_readings_differ() {
    let report = handover(&seven(), Structure::Atmist, at(14, 30));
    assert!(report.words() <= 80, "{}", report.words());
    assert!(
        report.text(None).len() <= 450 + report.title.len(),
        "{}",
        report.text(None).len()
    );
    assert_eq!(text_of(&report, 0), "Adult woman, about 30");
    assert_eq!(text_of(&report, 1), "injured 1355Z, expected 1515Z");
    assert_eq!(
        text_of(&report, 6),
        "leaves 1435Z by ambulance 1, ETA 1515Z"
    );
    let fire = handover(&seven(), Structure::AtmistFire, at(14, 30));
    assert_eq!(text_of(&fire, 0), "Adult");
    assert_eq!(text_of(&fire, 1), "injured 1355Z, expected 1515Z");
    // Without a category a person assigned, none is said.
    let mut unassigned = seven();
    unassigned.category = None;
    assert_eq!(
        handover(&unassigned, Structure::Mist, at(14, 30)).title,
        "MIST casualty 7"
    );
}

fn incident() -> Incident {
    Incident {
        name: "INC 14JUN-1".to_owned(),
        version: 3,
        location: Some("path below the east col".to_owned()),
        position: Position::new(54.527, -3.0165),
        kind: Some("rock fall onto a walking group of 11".to_owned()),
        hazards: Some(vec!["loose rock above".to_owned()]),
        potential: Some(vec!["dark by 2146Z".to_owned()]),
        access: Some("forest track to the hut".to_owned()),
        egress: Some("same".to_owned()),
        rendezvous: Some("the hut".to_owned()),
        counts: Some(Counts {
            immediate: 3,
            delayed: 2,
            minor: 2,
            uninjured: Some(4),
            ..Counts::default()
        }),
        present: Some(Vec::new()),
        required: Some(vec!["ambulance 3".to_owned(), "helicopter".to_owned()]),
        ..Incident::default()
    }
}

#[test]
fn methane_has_m_only_when_declared_and_two_lists_of_services() {
    let report = methane(&incident(), at(14, 30), "lead");
    assert_eq!(letters(&report), "ETHANE");
    assert!(report.title.starts_with("ETHANE no. 3") && report.title.contains("141430Z JUN 25"));
    assert_eq!(report.missing().count(), 0);
    assert!(text_of(&report, 0).ends_with("54.5270 N 3.0165 W. 30U VF 98932 42158"));
    assert_eq!(
        text_of(&report, 5),
        "present: none. Required: ambulance 3, helicopter"
    );
    let declared = Incident {
        major: Some(Major {
            by: "lead".to_owned(),
            at: at(14, 20),
        }),
        ..incident()
    };
    let report = methane(&declared, at(14, 30), "lead");
    assert_eq!(letters(&report), "METHANE");
    assert_eq!(text_of(&report, 0), "declared 1420Z by lead");
}

#[test]
fn what_nobody_said_is_asked_for_and_an_empty_list_says_none() {
    let nothing = methane(&Incident::default(), at(14, 30), "lead");
    assert_eq!(letters(&nothing), "ETHANE");
    assert_eq!(nothing.missing().count(), 6);
    assert!(
        nothing.lines[..5]
            .iter()
            .all(|line| line.text == "not known")
    );
    let none_seen = Incident {
        hazards: Some(Vec::new()),
        potential: Some(Vec::new()),
        ..incident()
    };
    assert_eq!(
        text_of(&methane(&none_seen, at(14, 30), "lead"), 2),
        "none seen"
    );
}

#[test]
fn an_update_says_only_what_changed() {
    let before = methane(&incident(), at(14, 30), "lead");
    let mut more = incident();
    more.version = 4;
    more.counts = more.counts.map(|counts| Counts {
        immediate: 4,
        ..counts
    });
    let after = methane(&more, at(14, 45), "lead");
    assert_eq!(
        after.changed(&before),
        [false, false, false, false, true, false]
    );
    let marked: Vec<String> = after
        .text(Some(&before))
        .lines()
        .filter(|l| l.starts_with("* "))
        .map(str::to_owned)
        .collect();
    assert_eq!(marked.len(), 1);
    assert!(marked[0].starts_with("* N  8 casualties: 4 immediate"));
    let update = after.update(&before);
    assert_eq!(letters(&update), "N");
}

#[test]
fn what_they_say_is_said_though_nothing_was_measured_and_a_bracket_is_a_pause() {
    let says = Handover {
        symptoms: vec!["leg hurts".to_owned()],
        ..Handover::default()
    };
    let report = handover(&says, Structure::Mist, at(14, 30));
    assert_eq!(text_of(&report, 2), "none measured. Says: leg hurts");
    assert_eq!(
        spoken("ON since 1358Z (32 min)"),
        "applied since one three five eight Zulu, three two minutes"
    );
}

#[test]
fn a_pressure_that_could_not_be_had_is_said_and_is_not_the_same_as_not_taken() {
    let mut who = seven();
    let newest = &mut who.signs[1];
    newest.pressure = None;
    let not_taken = handover(&who, Structure::Mist, at(14, 30));
    assert!(text_of(&not_taken, 2).contains("BP –"));
    let newest = &mut who.signs[1];
    newest.no_pressure = true;
    newest.wrist = Some(false);
    newest.oxygen = Some(true);
    let tried = handover(&who, Structure::Mist, at(14, 30));
    for words in ["BP could not be had", "no pulse at the wrist", "on oxygen"] {
        assert!(text_of(&tried, 2).contains(words), "{words}");
    }
}

#[test]
fn a_word_inside_a_sentence_is_not_an_answer_and_another_day_is_said() {
    assert_eq!(spoken("no known allergies"), "no known allergies");
    assert_eq!(
        spoken("flat grass, no wires seen"),
        "flat grass, no wires seen"
    );
    assert_eq!(spoken("no"), "negative");
    assert_eq!(spoken("Yes."), "affirm");
    assert_eq!(spoken("ETHANE no. 3"), "ETHANE number three");
    assert_eq!(
        spoken("14/1358Z"),
        "day one four at one three five eight Zulu"
    );
    // The tourniquet went on the day before: read out at 14:15 it is not 17 minutes.
    let next_day = Moment(at(14, 15).0 + 86_400);
    let report = handover(&seven(), Structure::Mist, next_day);
    let treatment = text_of(&report, 3);
    assert!(
        treatment.contains("ON since 14/1358Z (1457 min)"),
        "{treatment}"
    );
    assert!(text_of(&report, 2).contains("14/1412Z"));
}

#[test]
fn an_unknown_time_of_injury_is_said_beside_the_expected_arrival() {
    let mut who = seven();
    who.injured_at = None;
    let report = handover(&who, Structure::Atmist, at(14, 30));
    assert_eq!(text_of(&report, 1), "injury time not known, expected 1515Z");
    assert!(report.lines[1].missing);
}

#[test]
fn nobody_is_called_dead_who_was_not_and_an_estimate_is_said() {
    let mut told = incident();
    told.estimate = Some("about 20, bus not searched".to_owned());
    told.counts = told.counts.map(|counts| Counts {
        not_breathing: 1,
        dead: 0,
        ..counts
    });
    let report = methane(&told, at(14, 30), "lead");
    let numbers = text_of(&report, 4);
    assert!(numbers.starts_with("about 20, bus not searched (estimate by lead). On the board: "));
    assert!(
        numbers.contains("1 not breathing") && numbers.contains("0 dead"),
        "{numbers}"
    );
    // One half of the hazards is not all of them.
    let half = Incident {
        hazards: Some(Vec::new()),
        potential: None,
        ..incident()
    };
    let report = methane(&half, at(14, 30), "lead");
    assert_eq!(text_of(&report, 2), "present: none. potential: not known");
    assert!(report.lines[2].missing);
}

fn request() -> NineLine {
    NineLine {
        position: Position::new(54.527, -3.0165),
        radio: Some("channel 5, Col Lead".to_owned()),
        urgent_surgical: 1,
        urgent: 2,
        priority: 2,
        special: Some(Vec::new()),
        lying: 4,
        sitting: 1,
        wounds: Some("one thigh bleed. Blood types not known".to_owned()),
        marking: Some(Marking::Other("orange shelter".to_owned())),
        status: Some("civilians".to_owned()),
        terrain: Some("flat grass, no wires seen".to_owned()),
        ..NineLine::default()
    }
}

#[test]
fn nine_lines_say_every_letter_with_its_word() {
    let report = nine_line(&request()).expect("sums agree");
    assert_eq!(report.lines.len(), 9);
    assert_eq!(text_of(&report, 0), "30U VF 98932 42158");
    assert_eq!(
        text_of(&report, 2),
        "1 Bravo, urgent surgical. Break. 2 Alfa, urgent. Break. 2 Charlie, priority"
    );
    assert_eq!(text_of(&report, 3), "Alfa, none");
    assert_eq!(text_of(&report, 4), "4 Lima, lying. Break. 1 Alfa, sitting");
    assert_eq!(text_of(&report, 6), "Echo, other: orange shelter");
    // Peacetime: nothing of enemies or contamination.
    let text = report.text(None).to_lowercase();
    assert!(!text.contains("enemy") && !text.contains("contamination"));
    let unequal = NineLine {
        sitting: 2,
        ..request()
    };
    assert_eq!(nine_line(&unequal), Err(SumsDiffer(5, 6)));
    // Wartime: line 9 only when there is something to say.
    let war = |contamination: &[SiteContamination]| {
        let wartime = Wartime {
            security: Some(Security::NoEnemy),
            contamination: contamination.to_vec(),
        };
        nine_line(&NineLine {
            wartime: Some(wartime),
            ..request()
        })
        .expect("sums agree")
    };
    assert_eq!(war(&[]).lines.len(), 8);
    assert_eq!(text_of(&war(&[]), 5), "November, no enemy troops");
    assert_eq!(
        text_of(&war(&[SiteContamination::Chemical]), 8),
        "Charlie, chemical"
    );
    // Each letter with its word, the four of line 4 and of line 7 as the card has them.
    let lines = |special: Vec<Special>, marking: &str| {
        let asked = NineLine {
            special: Some(special),
            marking: Some(Marking::read(marking)),
            ..request()
        };
        let report = nine_line(&asked).expect("sums agree");
        (
            text_of(&report, 3).to_owned(),
            text_of(&report, 6).to_owned(),
        )
    };
    let said = lines(vec![Special::Hoist, Special::Ventilator], "smoke");
    assert_eq!(said.0, "Bravo, hoist. Delta, ventilator");
    assert_eq!(said.1, "Charlie, smoke");
    let said = lines(vec![Special::None], "none");
    assert_eq!(said.0, "Alfa, none");
    assert_eq!(said.1, "Delta, none");
    assert_eq!(
        lines(vec![Special::Extraction], "panels"),
        (
            "Charlie, extraction equipment".to_owned(),
            "Alfa, panels".to_owned()
        )
    );
}

#[test]
fn figures_and_letters_are_read_as_radio_practice_has_it() {
    for (written, said) in [
        ("1358Z", "one three five eight Zulu"),
        ("0005Z", "zero zero zero five Zulu"),
        (
            "30U VF 98932 42158",
            "three zero Uniform, Victor Foxtrot, nine eight nine three two, four two one five eight",
        ),
        (
            "30U VF 98000 42000",
            "three zero Uniform, Victor Foxtrot, nine eight zero zero zero, four two zero zero zero",
        ),
        (
            "54.5270 N 3.0165 W.",
            "five four decimal five two seven zero north three decimal zero one six five west.",
        ),
        ("7000", "seven thousand"),
        ("1478", "one four seven eight"),
        ("16000", "one six thousand"),
        ("44", "four four"),
        ("500", "five zero zero"),
        ("0", "zero"),
        ("casualty 7", "casualty seven"),
        (
            "HR 118, SpO2 96",
            "pulse one one eight, saturation nine six",
        ),
        (
            "ON since 1358Z (32 min)",
            "applied since one three five eight Zulu, three two minutes",
        ),
        ("BP 120/80", "pressure one two zero over eight zero"),
        ("14JUN-1", "one four Juliett Uniform November one"),
    ] {
        assert_eq!(spoken(written), said);
    }
    assert_eq!(spoken("2359Z"), "two three five nine Zulu");
}

#[test]
fn a_script_has_short_lines_without_figures_and_ends_with_read_back() {
    let reports = [
        methane(&incident(), at(14, 30), "lead"),
        handover(&seven(), Structure::Atmist, at(14, 30)),
        handover(&seven(), Structure::ImistAmbo, at(14, 30)),
        handover(&seven(), Structure::Sbar, at(14, 30)),
        nine_line(&request()).expect("sums agree"),
    ];
    for report in reports {
        let lines = script(&report);
        for line in &lines {
            assert!(line.split_whitespace().count() <= 12, "{line}");
            assert!(!line.chars().any(char::is_numeric), "{line}");
        }
        assert_eq!(lines.last().map(String::as_str), Some("Read back. Over."));
        let breaks = lines.iter().filter(|line| *line == "Break.").count();
        assert_eq!(breaks, report.lines.len());
    }
}

/// Federal Standard 1037C, citing ACP 121: 2004-07-03 15:32 UTC is 031532Z JUL 04.
#[test]
fn date_time_groups() {
    assert_eq!(Moment(1_088_868_720).group(), "031532Z JUL 04");
    assert_eq!(at(14, 30).group(), "141430Z JUN 25");
    assert_eq!(Moment(1_735_689_540).group(), "312359Z DEC 24");
    // 2004-07-03 17:32 at +2 hours is 031532Z JUL 04 (second encyclopedia article on the date-time group).
    assert_eq!(Moment(1_088_868_720).group(), "031532Z JUL 04");
    assert_eq!(at(0, 5).clock(), "0005Z");
}
