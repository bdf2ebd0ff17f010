//! How it is read aloud: figures one by one, letters by the alphabet.
//!
//! Owns the turning of a report into lines to read. Figures digit by digit, exact thousands as "thousand", 0 always
//! "zero", the point "decimal" (US Navy radiotelephone manual, citing ACP 125); the alphabet as ICAO spells it. Plain
//! words instead of "wun" and "fower", at most twelve a line, and a break between letters are our choice. Promises: no
//! figure is left in what is to be read.

use super::report::{Line, Report};

const FIGURES: [&str; 10] = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

const LETTERS: [&str; 26] = [
    "Alfa", "Bravo", "Charlie", "Delta", "Echo", "Foxtrot", "Golf", "Hotel", "India", "Juliett",
    "Kilo", "Lima", "Mike", "November", "Oscar", "Papa", "Quebec", "Romeo", "Sierra", "Tango",
    "Uniform", "Victor", "Whiskey", "X-ray", "Yankee", "Zulu",
];

/// Words that stand for what is written short.
const SHORT: [(&str, &str); 11] = [
    ("RR", "breathing"),
    ("HR", "pulse"),
    ("BP", "pressure"),
    ("SpO2", "saturation"),
    ("ON", "applied"),
    ("min", "minutes"),
    ("m", "metres"),
    ("km", "kilometres"),
    ("s", "seconds"),
    ("%", "percent"),
    ("–", "not taken"),
];

/// The most words on a line.
const LONGEST: usize = 12;

/// A report as lines to read, one after the other.
pub fn script(report: &Report) -> Vec<String> {
    let mut lines = blocks(&spoken(&report.title));
    for line in &report.lines {
        lines.push("Break.".to_owned());
        if line.letter.is_empty() {
            lines.push("Questions?".to_owned());
            continue;
        }
        lines.extend(aloud(line));
    }
    lines.push("Read back. Over.".to_owned());
    lines
}

/// One line as it is read: what its letter stands for, then what it says, at most twelve words at a time.
pub fn aloud(line: &Line) -> Vec<String> {
    blocks(&format!(
        "{}: {}.",
        spoken(line.label),
        spoken(&line.text).trim_end_matches('.')
    ))
}

fn blocks(text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut words: Vec<&str> = Vec::new();
    for word in text.split_whitespace() {
        words.push(word);
        if words.len() == LONGEST || (word.ends_with(['.', ':', ';']) && words.len() >= 4) {
            lines.push(words.join(" "));
            words.clear();
        }
    }
    if !words.is_empty() {
        lines.push(words.join(" "));
    }
    lines
}

/// A text with every figure and every spelled letter as words.
pub fn spoken(text: &str) -> String {
    // Only a whole answer: "no known allergies" is not "negative known allergies".
    match text.trim().trim_end_matches('.').to_lowercase().as_str() {
        "yes" => return "affirm".to_owned(),
        "no" => return "negative".to_owned(),
        _ => {}
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut said: Vec<String> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let taken = grid(&words[at..]);
        if taken > 0 {
            let parts: Vec<String> = words[at..at + taken]
                .iter()
                .map(|word| spelled(word))
                .collect();
            said.push(parts.join(", "));
            at += taken;
            continue;
        }
        // A bracket is a pause: "since … Zulu, three two minutes".
        if words[at].starts_with('(')
            && let Some(last) = said.last_mut()
            && last.ends_with(char::is_alphanumeric)
        {
            last.push(',');
        }
        let after_decimal = at > 0 && words[at - 1].contains('.') && is_number(words[at - 1]);
        said.push(word(words[at], after_decimal));
        at += 1;
    }
    said.retain(|word| !word.is_empty());
    said.join(" ")
}

/// How many words from here are one grid reference: `30U VF 98932 42158`, or all in one.
fn grid(words: &[&str]) -> usize {
    let bare = |word: &str| {
        word.trim_matches(|c: char| !c.is_ascii_alphanumeric())
            .to_owned()
    };
    let zone = |word: &str| {
        let figures = word.bytes().take_while(u8::is_ascii_digit).count();
        (1..=2).contains(&figures)
            && word.len() == figures + 1
            && word.as_bytes()[figures].is_ascii_uppercase()
    };
    let Some(first) = words.first() else { return 0 };
    if !zone(&bare(first)) {
        return 0;
    }
    let square = words.get(1).is_some_and(|word| {
        let word = bare(word);
        word.len() == 2 && word.bytes().all(|c| c.is_ascii_uppercase())
    });
    if !square {
        return 0;
    }
    let figures = |at: usize| {
        words.get(at).is_some_and(|word| {
            let word = bare(word);
            !word.is_empty() && word.bytes().all(|c| c.is_ascii_digit())
        })
    };
    if figures(2) && figures(3) { 4 } else { 2 }
}

fn is_number(word: &str) -> bool {
    let bare = word.trim_end_matches([',', ';', '.']);
    !bare.is_empty() && bare.bytes().all(|c| c.is_ascii_digit() || c == b'.')
}

fn word(word: &str, after_decimal: bool) -> String {
    if word == "no." {
        return "number".to_owned();
    }
    // Marks around a word are kept where they tell the reader to pause.
    let open = word.trim_start_matches(['(', '[', '"', '~']);
    let bare = open.trim_end_matches([')', ']', '"', ',', ';', ':', '.', '?', '!']);
    let tail: String = open[bare.len()..]
        .chars()
        .filter(|c| matches!(c, ',' | ';' | ':' | '.'))
        .collect();
    let mut said = plain(bare, after_decimal);
    if !said.is_empty() {
        said.push_str(tail.get(..1).unwrap_or_default());
    }
    said
}

fn plain(bare: &str, after_decimal: bool) -> String {
    if let Some((_, long)) = SHORT.iter().find(|(short, _)| *short == bare) {
        return (*long).to_owned();
    }
    if after_decimal {
        match bare {
            "N" => return "north".to_owned(),
            "S" => return "south".to_owned(),
            "E" => return "east".to_owned(),
            "W" => return "west".to_owned(),
            _ => {}
        }
    }
    if let Some(clock) = bare.strip_suffix('Z').filter(|clock| is_clock(clock)) {
        return format!("{} Zulu", figures(clock));
    }
    if let Some((day, clock)) = bare
        .strip_suffix('Z')
        .and_then(|clock| clock.split_once('/'))
        && day.len() == 2
        && is_clock(clock)
    {
        return format!("day {} at {} Zulu", figures(day), figures(clock));
    }
    if !bare.chars().any(char::is_numeric) {
        return bare.to_owned();
    }
    if let Some(rest) = bare.strip_prefix(['-', '−']) {
        return format!("minus {}", plain(rest, false));
    }
    if bare.bytes().all(|c| c.is_ascii_digit()) {
        return number(bare);
    }
    let parts: Vec<&str> = bare.split('.').collect();
    if let [whole, part] = parts.as_slice()
        && !whole.is_empty()
        && !part.is_empty()
        && parts
            .iter()
            .all(|part| part.bytes().all(|c| c.is_ascii_digit()))
    {
        return format!("{} decimal {}", figures(whole), figures(part));
    }
    if let [high, low] = bare.split('/').collect::<Vec<_>>().as_slice()
        && [high, low]
            .iter()
            .all(|part| !part.is_empty() && part.bytes().all(|c| c.is_ascii_digit()))
    {
        return format!("{} over {}", figures(high), figures(low));
    }
    spelled(bare)
}

/// Four figures that are a time of day; 2400 is none.
fn is_clock(text: &str) -> bool {
    text.len() == 4
        && text.bytes().all(|c| c.is_ascii_digit())
        && text[..2].parse::<u8>().is_ok_and(|hour| hour < 24)
        && text[2..].parse::<u8>().is_ok_and(|minute| minute < 60)
}

/// A count: exact thousands as such, all else figure by figure.
fn number(text: &str) -> String {
    match text.strip_suffix("000") {
        Some(thousands) if !thousands.is_empty() && !text.starts_with('0') => {
            format!("{} thousand", figures(thousands))
        }
        _ => figures(text),
    }
}

fn figures(text: &str) -> String {
    let words: Vec<&str> = text
        .bytes()
        .filter(u8::is_ascii_digit)
        .map(|digit| FIGURES[usize::from(digit - b'0')])
        .collect();
    words.join(" ")
}

/// Letters by the alphabet, figures one by one; anything else, and figures of other scripts, as a pause.
fn spelled(text: &str) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut low = String::new();
    let close = |low: &mut String, said: &mut Vec<String>| {
        if !low.is_empty() {
            said.push(std::mem::take(low));
        }
    };
    for c in text.chars() {
        if c.is_ascii_digit() {
            close(&mut low, &mut said);
            said.push(FIGURES[usize::from(c as u8 - b'0')].to_owned());
        } else if c.is_ascii_uppercase() {
            close(&mut low, &mut said);
            said.push(LETTERS[usize::from(c as u8 - b'A')].to_owned());
        } else if c.is_alphabetic() {
            low.push(c);
        } else {
            close(&mut low, &mut said);
        }
    }
    close(&mut low, &mut said);
    said.join(" ")
}
