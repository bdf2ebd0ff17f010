//! Reading a position as people type or paste it.

use super::{Position, grid};

/// The form a position was given in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Decimal degrees.
    Degrees,
    /// Degrees and minutes.
    Minutes,
    /// Degrees, minutes and seconds.
    Seconds,
    /// UTM.
    Utm,
    /// MGRS.
    Mgrs,
}

/// A position that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Where.
    pub position: Position,
    /// As what.
    pub form: Form,
    /// Side of the square that was named, in metres, for a grid reference.
    pub square: Option<f64>,
}

/// Why a position was not read, in words that say what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    /// Nothing to read.
    #[error("no position given")]
    Empty,
    /// Not one of the forms.
    #[error(
        "not read: give degrees (54.527, -3.0165), degrees and minutes, UTM, or MGRS (30U VF 98932 42158)"
    )]
    Unknown,
    /// Minutes or seconds of 60 and more.
    #[error("minutes and seconds go from 0 to 59")]
    Sixty,
    /// Degrees that do not exist.
    #[error("latitude goes to 90, longitude to 180: is latitude given first?")]
    OutOfRange,
    /// A minus sign says one thing, a letter another.
    #[error("the minus sign and the letter contradict each other: leave one away")]
    Contradiction,
    /// Two north–south or two east–west.
    #[error("give one north or south and one east or west")]
    TwoAlike,
    /// MGRS digits do not come in pairs.
    #[error("a grid reference has an even number of figures: as many for east as for north")]
    OddFigures,
    /// The square does not exist.
    #[error("there is no such grid square: look at the zone and the letters again")]
    NoSquare,
    /// Polar grid.
    #[error("grids of the poles are not read: give degrees")]
    Polar,
    /// An S after a UTM zone.
    #[error("S after the zone can mean south or band S: write \"south hemisphere\", or give MGRS")]
    NorthOrSouth,
    /// UTM figures and letter do not fit.
    #[error("these UTM figures are not in that zone and band: look at them again")]
    NotInZone,
}

/// Reads a position.
///
/// # Errors
/// Says what to do about a text that is none.
pub fn read(text: &str) -> Result<Reading, Unreadable> {
    let text: String = text
        .trim()
        .chars()
        .map(|c| match c {
            '\u{2212}' | '\u{2013}' => '-',
            '\u{2032}' | '\u{2019}' | '\u{b4}' | '`' => '\'',
            '\u{2033}' | '\u{201d}' | '\u{201c}' => '"',
            '\u{ba}' => '°',
            other => other.to_ascii_uppercase(),
        })
        .collect();
    if text.is_empty() {
        return Err(Unreadable::Empty);
    }
    if let Some(reading) = read_mgrs(&text)? {
        return Ok(reading);
    }
    if let Some(reading) = read_utm(&text)? {
        return Ok(reading);
    }
    read_degrees(&text)
}

/// Zone, three letters, figures. `None` when the text does not look like one.
fn read_mgrs(text: &str) -> Result<Option<Reading>, Unreadable> {
    let packed: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    if !packed.is_ascii() {
        return Ok(None);
    }
    let zone = packed.bytes().take_while(u8::is_ascii_digit).count();
    let letters = packed[zone..]
        .bytes()
        .take_while(u8::is_ascii_alphabetic)
        .count();
    let figures = &packed[zone + letters..];
    if letters != 3 || !figures.bytes().all(|c| c.is_ascii_digit()) {
        return Ok(None);
    }
    if zone == 0 {
        return if matches!(packed.as_bytes()[0], b'A' | b'B' | b'Y' | b'Z') {
            Err(Unreadable::Polar)
        } else {
            Ok(None)
        };
    }
    if figures.len() % 2 == 1 {
        return Err(Unreadable::OddFigures);
    }
    // Svalbard's wide zones leave no room for these three.
    let band = packed.as_bytes()[zone];
    if band == b'X' && matches!(&packed[..zone], "32" | "34" | "36") {
        return Err(Unreadable::NoSquare);
    }
    let (position, side) = grid::from_mgrs(&packed).ok_or(Unreadable::NoSquare)?;
    Ok(Some(Reading {
        position,
        form: Form::Mgrs,
        square: Some(side),
    }))
}

/// `30 north hemisphere 498932 6042158`, `30U 498932 6042158`, with or without "zone", E, N and m.
fn read_utm(text: &str) -> Result<Option<Reading>, Unreadable> {
    let spaced: String = text
        .replace("ZONE", " ")
        .replace("HEMISPHERE", " ")
        .replace("NORTH", " NORTH ")
        .replace("SOUTH", " SOUTH ")
        .replace([',', ';'], " ");
    let mut words = spaced.split_whitespace();
    let Some(first) = words.next() else {
        return Ok(None);
    };
    let figures = first.bytes().take_while(u8::is_ascii_digit).count();
    let (zone, letter) = first.split_at(figures);
    let Ok(zone) = zone.parse::<u8>() else {
        return Ok(None);
    };
    let letter = if letter.is_empty() {
        words.next().unwrap_or_default()
    } else {
        letter
    };
    let rest: Vec<&str> = words
        .filter(|word| !matches!(*word, "E" | "N" | "M" | "ME" | "MN"))
        .collect();
    let number = |word: &str| word.trim_end_matches(['E', 'N', 'M']).parse::<f64>().ok();
    let [east, north] = rest.as_slice() else {
        return Ok(None);
    };
    let (Some(easting), Some(northing)) = (number(east), number(north)) else {
        return Ok(None);
    };
    // Degrees never have such figures.
    if easting < 10_000.0 {
        return Ok(None);
    }
    let position = on_zone(zone, letter, easting, northing)?;
    Ok(position.map(|position| Reading {
        position,
        form: Form::Utm,
        square: None,
    }))
}

/// A UTM position by what stands after the zone; `None` when that is no letter of a zone.
fn on_zone(
    zone: u8,
    letter: &str,
    easting: f64,
    northing: f64,
) -> Result<Option<Position>, Unreadable> {
    let found = |position: Option<Position>| position.ok_or(Unreadable::NotInZone).map(Some);
    let on_half = |is_north: bool| grid::from_utm(zone, is_north, easting, northing);
    match letter {
        // N as a band is north of the equator too.
        "NORTH" | "N" => found(on_half(true)),
        "SOUTH" => found(on_half(false)),
        "S" => {
            let as_band = on_half(true).filter(|p| in_band('S', *p));
            match (as_band, on_half(false)) {
                (Some(_), Some(_)) => Err(Unreadable::NorthOrSouth),
                (as_band, as_south) => found(as_band.or(as_south)),
            }
        }
        _ => {
            let mut letters = letter.chars();
            match (letters.next(), letters.next()) {
                (Some(band @ ('C'..='H' | 'J'..='M' | 'P'..='X')), None) => {
                    found(on_half(band > 'M').filter(|p| in_band(band, *p)))
                }
                (Some('A' | 'B' | 'Y' | 'Z'), None) => Err(Unreadable::Polar),
                _ => Ok(None),
            }
        }
    }
}

/// Is a latitude in the band of this letter? Bands are 8 degrees from C at 80 south; X reaches 84 north. Half a
/// kilometre over the edge is let through.
fn in_band(letter: char, position: Position) -> bool {
    const BANDS: &str = "CDEFGHJKLMNPQRSTUVWX";
    let Some(at) = BANDS.find(letter) else {
        return false;
    };
    let south = f64::from(u8::try_from(at).unwrap_or(0)) * 8.0 - 80.0;
    let north = if letter == 'X' { 84.0 } else { south + 8.0 };
    (south - 0.005..=north + 0.005).contains(&position.latitude())
}

/// A piece of a text in degrees.
#[derive(Clone, Copy, PartialEq)]
enum Piece {
    Number(f64, bool, bool),
    Letter(char),
    Separator,
}

fn read_degrees(text: &str) -> Result<Reading, Unreadable> {
    let pieces = pieces(text)?;
    let groups = groups(&pieces)?;
    let [first, second] = groups;
    let (one, other) = (angle(&first)?, angle(&second)?);
    let parts = first.1.len().max(second.1.len());
    let (latitude, longitude) = match (first.0, second.0) {
        (None, None) | (Some('N' | 'S'), Some('E' | 'W')) => (one, other),
        (Some('E' | 'W'), Some('N' | 'S')) => (other, one),
        _ => return Err(Unreadable::TwoAlike),
    };
    let position = Position::new(latitude, longitude).ok_or(Unreadable::OutOfRange)?;
    let form = match parts {
        1 => Form::Degrees,
        2 => Form::Minutes,
        _ => Form::Seconds,
    };
    Ok(Reading {
        position,
        form,
        square: None,
    })
}

/// Numbers, letters and separators. A comma is a decimal mark when no point is about and figures stand on both sides.
fn pieces(text: &str) -> Result<Vec<Piece>, Unreadable> {
    let has_point = text.contains('.');
    let chars: Vec<char> = text.chars().collect();
    let mut pieces = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let c = chars[at];
        if c.is_ascii_digit() || (c == '-' && chars.get(at + 1).is_some_and(char::is_ascii_digit)) {
            let start = at;
            at += 1;
            let mut decimals = false;
            while at < chars.len() {
                let next_is_digit = chars.get(at + 1).is_some_and(char::is_ascii_digit);
                let mark = chars[at] == '.' || (chars[at] == ',' && !has_point);
                if chars[at].is_ascii_digit() {
                    at += 1;
                } else if mark && next_is_digit && !decimals {
                    decimals = true;
                    at += 1;
                } else {
                    break;
                }
            }
            let number: String = chars[start..at].iter().collect();
            let value = number
                .replace(',', ".")
                .parse::<f64>()
                .map_err(|_| Unreadable::Unknown)?;
            pieces.push(Piece::Number(value.abs(), c == '-', decimals));
            continue;
        }
        at += 1;
        match c {
            'N' | 'S' | 'E' | 'W' => pieces.push(Piece::Letter(c)),
            ',' | ';' | '/' => pieces.push(Piece::Separator),
            '°' | '\'' | '"' | 'D' | ':' => {}
            c if c.is_whitespace() => {}
            _ => return Err(Unreadable::Unknown),
        }
    }
    Ok(pieces)
}

/// A letter and the numbers that belong to it, each with its sign and whether it has decimals.
type Group = (Option<char>, Vec<(f64, bool, bool)>);

fn groups(pieces: &[Piece]) -> Result<[Group; 2], Unreadable> {
    let letters = pieces
        .iter()
        .filter(|p| matches!(p, Piece::Letter(_)))
        .count();
    let numbers = |pieces: &[Piece]| -> Vec<(f64, bool, bool)> {
        let number = |piece: &Piece| match piece {
            Piece::Number(value, minus, decimals) => Some((*value, *minus, *decimals)),
            _ => None,
        };
        pieces.iter().filter_map(number).collect()
    };
    let letter_of = |pieces: &[Piece]| {
        pieces.iter().find_map(|piece| match piece {
            Piece::Letter(c) => Some(*c),
            _ => None,
        })
    };
    let split = match letters {
        0 => {
            let count = numbers(pieces).len();
            let separator = pieces.iter().position(|p| *p == Piece::Separator);
            match separator {
                Some(at) => at,
                None if count % 2 == 0 => pieces.len() / 2,
                None => return Err(Unreadable::Unknown),
            }
        }
        2 => {
            let second = pieces
                .iter()
                .rposition(|p| matches!(p, Piece::Letter(_)))
                .unwrap_or(0);
            let first = pieces
                .iter()
                .position(|p| matches!(p, Piece::Letter(_)))
                .unwrap_or(0);
            if first == 0 { second } else { first + 1 }
        }
        _ => return Err(Unreadable::Unknown),
    };
    let (one, other) = pieces.split_at(split);
    let groups = [
        (letter_of(one), numbers(one)),
        (letter_of(other), numbers(other)),
    ];
    let readable = groups.iter().all(|(letter, numbers)| {
        (1..=3).contains(&numbers.len()) && letter.is_some() == (letters == 2)
    });
    if readable {
        Ok(groups)
    } else {
        Err(Unreadable::Unknown)
    }
}

fn angle((letter, numbers): &Group) -> Result<f64, Unreadable> {
    let mut degrees = 0.0;
    for (at, (value, minus, decimals)) in numbers.iter().enumerate() {
        if at > 0 && *minus {
            return Err(Unreadable::Unknown);
        }
        if at > 0 && *value >= 60.0 {
            return Err(Unreadable::Sixty);
        }
        if *decimals && at + 1 < numbers.len() {
            return Err(Unreadable::Unknown);
        }
        degrees += value / [1.0, 60.0, 3600.0][at];
    }
    let minus = numbers[0].1;
    match letter {
        Some('N' | 'E') if minus => Err(Unreadable::Contradiction),
        Some('S' | 'W') => Ok(-degrees),
        _ if minus => Ok(-degrees),
        _ => Ok(degrees),
    }
}
