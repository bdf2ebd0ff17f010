//! The handover as plain text for a code: for a crew to scan with no network.
//!
//! Owns the shortening rule. Aimed at 450 bytes, 666 at most (version 20 at level M, ISO/IEC 18004: four camera pixels
//! per module at arm's length). Left out in this order, until it fits: older vital signs, background, medicines, other,
//! complaints, steps but tourniquets (oldest first), the words for the place, how it happened. Then long answers end
//! early, between words, with "..". Never left out: number, category, person, tourniquets, newest vital signs,
//! allergies, needs, time and sender; of many wounds and tourniquets the first ones, and how many more. No name of the
//! casualty: anybody can photograph a code.

use jiff::Timestamp;

use super::Sheet;
use super::pieces::{Piece, VITAL, fixed, one_line, pieces};

/// Bytes a code is aimed at.
pub const AIM: usize = 450;
/// Bytes it holds at most.
pub const MOST: usize = 666;

/// The text of a code, and what is not in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// The text.
    pub text: String,
    /// What was left out or shortened, in words for the sheet.
    pub left_out: Vec<&'static str>,
}

/// The code of a handover. `seq` is the position the sheet was made from, `position` where they are in coordinates.
pub fn code(sheet: &Sheet, seq: u64, position: &str, as_of: Timestamp, sender: &str) -> Code {
    let heads = [
        "", "A ", "T ", "M ", "I ", "S ", "T ", "NEED ", "ALLERGY ", "LOC ", "",
    ];
    let mut pieces = pieces(sheet, position, as_of);
    let first = format!("ATMIST {} {} v{seq} 1/1", sheet.number, sheet.category);
    pieces.push(fixed(0, first));
    let group = as_of.strftime("%d%H%MZ%b%y").to_string().to_uppercase();
    let sender = one_line(sender);
    let sender = if sender.len() > SHORTEST {
        cut(&sender, SHORTEST)
    } else {
        sender
    };
    pieces.push(fixed(10, format!("SENT {group} BY {sender}")));
    let mut left_out = Vec::new();
    let put = |pieces: &[Piece]| compose(&heads, pieces);
    while put(&pieces).len() > AIM {
        let Some(at) = next_out(&pieces, 1..VITAL) else {
            break;
        };
        left_out.push(pieces.remove(at).what);
    }
    while put(&pieces).len() > AIM && shorten_longest(&mut pieces, &mut left_out) {}
    while put(&pieces).len() > MOST {
        let Some(at) = next_out(&pieces, VITAL..u8::MAX) else {
            break;
        };
        left_out.push(pieces.remove(at).what);
    }
    left_out.dedup();
    left_out.sort_unstable();
    left_out.dedup();
    Code {
        text: put(&pieces),
        left_out,
    }
}

/// The piece to leave out next: of the lowest rank, the first.
fn next_out(pieces: &[Piece], ranks: std::ops::Range<u8>) -> Option<usize> {
    let of_rank = pieces
        .iter()
        .enumerate()
        .filter(|(_, piece)| ranks.contains(&piece.rank));
    of_rank
        .min_by_key(|(at, piece)| (piece.rank, *at))
        .map(|(at, _)| at)
}

fn compose(heads: &[&str], pieces: &[Piece]) -> String {
    let lines = heads.iter().enumerate().filter_map(|(line, head)| {
        let on: Vec<&str> = pieces
            .iter()
            .filter(|piece| piece.line == line)
            .map(|piece| piece.text.as_str())
            .collect();
        (!on.is_empty()).then(|| format!("{head}{}", on.join("; ")))
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// What an answer may keep at least, in bytes.
const SHORTEST: usize = 48;

/// Cuts the longest long answer by some of its last words.
fn shorten_longest(pieces: &mut [Piece], left_out: &mut Vec<&'static str>) -> bool {
    let longest = pieces
        .iter_mut()
        .filter(|piece| !piece.what.is_empty() && piece.text.len() > SHORTEST)
        .max_by_key(|piece| piece.text.len());
    let Some(piece) = longest else { return false };
    let keep = (piece.text.len() * 4 / 5).max(SHORTEST - 3);
    piece.text = cut(&piece.text, keep);
    left_out.push(piece.what);
    true
}

/// The words that fit into so many bytes, and ".."; a text of one long word is "see sheet".
fn cut(text: &str, keep: usize) -> String {
    let words = text.trim_end_matches("..").trim_end();
    let end = words
        .char_indices()
        .rfind(|(at, c)| c.is_whitespace() && *at <= keep)
        .map(|(at, _)| at);
    match end {
        Some(end) if end > 0 => {
            format!("{}..", words[..end].trim_end_matches([' ', ',', ';', '.']))
        }
        _ => "see sheet".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::handover::{Step, Tourniquet};
    use crate::incident::fact::{EvacAsked, SignsMeasured};
    use crate::rules::scores::Consciousness;

    fn at(hour: &str) -> Timestamp {
        format!("2025-06-14T{hour}:00Z").parse().unwrap()
    }

    /// Casualty 7 of the reference: an invented one.
    fn seven() -> Sheet {
        let vitals = |rr, hr, bp, spo2, crt| SignsMeasured {
            breaths_per_minute: Some(rr),
            pulse_per_minute: Some(hr),
            systolic_mmhg: bp,
            oxygen_saturation_percent: spo2,
            consciousness: Some(Consciousness::Alert),
            refill_tenths: crt,
            temperature_tenths_c: None,
            ..SignsMeasured::default()
        };
        let asked = serde_json::json!({"priority": "first", "posture": "lying", "needs": ["surgery", "escort"]});
        let step = |when, words| Step {
            at: at(when),
            words: String::new(),
            short: Some(words),
            by: "Teo".to_owned(),
            seq: 9,
        };
        Sheet {
            number: 7,
            category: "IMMEDIATE".to_owned(),
            person: "adult, female, about 30".to_owned(),
            words: "woman, red coat".to_owned(),
            tag: String::new(),
            place: "below the east col".to_owned(),
            injured_at: Some(at("13:55")),
            told: vec![
                (
                    "How it happened",
                    Some("fell about 6 m onto rock".to_owned()),
                ),
                (
                    "Complains of",
                    Some("possible broken right femur".to_owned()),
                ),
                ("Allergies", Some("penicillin".to_owned())),
                ("Medicines", None),
                ("Background", None),
                ("Other", Some("sister is at the hut".to_owned())),
            ],
            wounds: vec![("thigh, right".to_owned(), "tourniquet holds")],
            tourniquets: vec![Tourniquet {
                place: "thigh, right".to_owned(),
                since: at("13:58"),
                time_known: true,
                ended: None,
            }],
            steps: vec![
                step("14:00", "pressure dressing"),
                step("14:05", "kept warm"),
            ],
            vital: Vec::new(),
            vitals: vec![
                (at("14:00"), vitals(28, 130, None, None, None)),
                (at("14:12"), vitals(24, 118, Some(98), Some(96), Some(30))),
            ],
            request: Some(serde_json::from_value::<EvacAsked>(asked).unwrap()),
            people: vec!["Teo".to_owned()],
        }
    }

    fn of(sheet: &Sheet) -> Code {
        code(
            sheet,
            212,
            "54.5270,-3.0165 30UVF9893242158",
            at("14:15"),
            "Teo",
        )
    }

    #[test]
    fn the_example_says_everything_and_fits() {
        let code = of(&seven());
        assert!(code.text.len() <= AIM, "{}\n{}", code.text.len(), code.text);
        assert_eq!(code.left_out, Vec::<&str>::new());
        let lines: Vec<&str> = code.text.lines().collect();
        assert_eq!(lines[0], "ATMIST 7 IMMEDIATE v212 1/1");
        assert_eq!(lines[1], "A adult, female, about 30");
        assert_eq!(lines[2], "T inj 1355Z");
        assert_eq!(
            lines[5],
            "S 1412Z RR24 HR118 BP98 SpO2 96 AVPU A CRT 3s; 1400Z RR28 HR130 AVPU A"
        );
        assert_eq!(
            lines[6],
            "T TQ thigh, right 1358Z ON 0h17; pressure dressing 1400Z; kept warm 1405Z"
        );
        assert_eq!(*lines.last().unwrap(), "SENT 141415ZJUN25 BY Teo");
        assert!(!code.text.contains("red coat"), "nobody is named in a code");
    }

    #[test]
    fn a_tourniquet_that_was_let_go_says_both_times() {
        let mut sheet = seven();
        sheet.tourniquets[0].ended = Some(at("14:40"));
        let code = of(&sheet);
        assert!(code.text.contains("TQ thigh, right 1358Z ended 1440Z"));
        assert!(!code.text.contains(" ON"));
    }

    #[test]
    fn too_much_is_left_out_by_the_rule_and_never_cut_in_a_word() {
        let mut sheet = seven();
        let long = "wordthatisnotcut ".repeat(16);
        for (what, said) in &mut sheet.told {
            *said = Some(format!("{what} {long}"));
        }
        let oldest = sheet.vitals[0].clone();
        sheet.vitals = vec![oldest; 9];
        let code = of(&sheet);
        assert!(code.text.len() <= AIM, "{}", code.text.len());
        assert!(code.left_out.contains(&"older vital signs"));
        assert!(code.left_out.contains(&"background"));
        assert!(code.text.contains("TQ thigh, right 1358Z ON"));
        assert!(code.text.contains("ALLERGY Allergies"));
        for word in code.text.split(|c: char| !c.is_alphabetic()) {
            assert!(
                !word.starts_with("wordthat") || word == "wordthatisnotcut",
                "{word}"
            );
        }
    }

    #[test]
    fn the_worst_still_fits() {
        let mut sheet = seven();
        let unbroken = "\u{e4}".repeat(280);
        for (_, said) in &mut sheet.told {
            *said = Some(unbroken.clone());
        }
        sheet.place = "\u{e4}".repeat(80);
        sheet.tag = "\u{e4}".repeat(80);
        sheet.category = "IMMEDIATE or DELAYED or MINOR or EXPECTANT".to_owned();
        sheet.wounds = vec![("upper arm, right".to_owned(), "dressing not checked yet"); 20];
        let tied = sheet.tourniquets[0].clone();
        sheet.tourniquets = vec![tied; 9];
        let code = of(&sheet);
        assert!(
            code.text.len() <= MOST,
            "{}\n{}",
            code.text.len(),
            code.text
        );
        assert!(code.left_out.contains(&"some wounds"));
        assert!(crate::exchange::qr::svg(&code.text).is_ok());
    }
}
