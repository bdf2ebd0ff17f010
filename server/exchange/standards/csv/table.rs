//! A table: its columns, its rows, and how they are written.
//!
//! Owns the format: RFC 4180 (a header row, CRLF, quotes doubled), UTF-8, times in UTC with `Z`. A text that a
//! spreadsheet would take for a formula gets an apostrophe in front (OWASP, *CSV Injection*): whoever reads the table back
//! takes one away where it stands before `=`, `+`, `-`, `@`, a tab or a carriage return.

use jiff::Timestamp;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Kind {
    Text,
    Number,
    /// With one digit after the point.
    Tenths,
    Time,
    Truth,
}

/// A column.
#[derive(Clone, Copy, Debug)]
pub(in super::super) struct Column {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    /// What it means, with its unit.
    pub(super) means: &'static str,
    /// Never empty.
    pub(super) always: bool,
    /// What its texts look like, as a regular expression.
    pub(super) pattern: Option<&'static str>,
}

/// A value in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) enum Cell {
    Nothing,
    Text(String),
    Number(u64),
    /// In tenths.
    Tenths(u16),
    Time(Timestamp),
    Truth(bool),
}

/// A table.
#[derive(Clone, Debug)]
pub(in super::super) struct Table {
    pub(super) name: &'static str,
    pub(super) means: &'static str,
    pub(super) columns: Vec<Column>,
    /// The columns that together name a row.
    pub(super) key: &'static [&'static str],
    pub(super) rows: Vec<Vec<Cell>>,
}

/// Stands last in every row of every table.
pub(super) const EXERCISE: Column = Column {
    name: "exercise",
    kind: Kind::Truth,
    means: "An exercise: nothing in this row is real",
    always: true,
    pattern: None,
};

const fn column(name: &'static str, kind: Kind, means: &'static str) -> Column {
    Column {
        name,
        kind,
        means,
        always: false,
        pattern: None,
    }
}

pub(super) const fn text(name: &'static str, means: &'static str) -> Column {
    column(name, Kind::Text, means)
}

pub(super) const fn number(name: &'static str, means: &'static str) -> Column {
    column(name, Kind::Number, means)
}

pub(super) const fn tenths(name: &'static str, means: &'static str) -> Column {
    column(name, Kind::Tenths, means)
}

pub(super) const fn time(name: &'static str, means: &'static str) -> Column {
    column(name, Kind::Time, means)
}

pub(super) const fn truth(name: &'static str, means: &'static str) -> Column {
    column(name, Kind::Truth, means)
}

impl Column {
    /// The same, never empty.
    pub(super) const fn always(self) -> Self {
        Self {
            always: true,
            ..self
        }
    }

    /// The same, with what its texts look like.
    pub(super) const fn like(self, pattern: &'static str) -> Self {
        Self {
            pattern: Some(pattern),
            ..self
        }
    }
}

impl<T: ToString> From<Option<&T>> for Cell {
    fn from(said: Option<&T>) -> Self {
        said.map_or(Self::Nothing, |said| Self::Text(said.to_string()))
    }
}

impl From<&str> for Cell {
    fn from(said: &str) -> Self {
        if said.is_empty() {
            Self::Nothing
        } else {
            Self::Text(said.to_owned())
        }
    }
}

impl From<String> for Cell {
    fn from(said: String) -> Self {
        Self::from(said.as_str())
    }
}

impl From<u64> for Cell {
    fn from(number: u64) -> Self {
        Self::Number(number)
    }
}

impl From<Option<u16>> for Cell {
    fn from(number: Option<u16>) -> Self {
        number.map_or(Self::Nothing, |number| Self::Number(number.into()))
    }
}

impl From<Option<u32>> for Cell {
    fn from(number: Option<u32>) -> Self {
        number.map_or(Self::Nothing, |number| Self::Number(number.into()))
    }
}

impl From<Timestamp> for Cell {
    fn from(at: Timestamp) -> Self {
        Self::Time(at)
    }
}

impl From<Option<Timestamp>> for Cell {
    fn from(at: Option<Timestamp>) -> Self {
        at.map_or(Self::Nothing, Self::Time)
    }
}

impl From<bool> for Cell {
    fn from(is: bool) -> Self {
        Self::Truth(is)
    }
}

impl From<Option<bool>> for Cell {
    fn from(is: Option<bool>) -> Self {
        is.map_or(Self::Nothing, Self::Truth)
    }
}

/// A value in tenths.
pub(super) fn in_tenths(value: Option<u16>) -> Cell {
    value.map_or(Cell::Nothing, Cell::Tenths)
}

impl Cell {
    /// As it stands in the file.
    fn write(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(said) => quoted(&guarded(said)),
            Self::Number(number) => number.to_string(),
            Self::Tenths(tenths) => format!("{}.{}", tenths / 10, tenths % 10),
            Self::Time(at) => at.to_string(),
            Self::Truth(is) => is.to_string(),
        }
    }
}

impl Table {
    pub(super) fn file_name(&self) -> String {
        format!("{}.csv", self.name)
    }

    /// The file's text.
    pub(super) fn write(&self, is_exercise: bool) -> String {
        let header = self.columns.iter().map(|column| column.name.to_owned());
        let header: Vec<String> = header.chain([EXERCISE.name.to_owned()]).collect();
        let mut text = header.join(",") + "\r\n";
        for row in &self.rows {
            let cells = row.iter().map(Cell::write);
            let cells: Vec<String> = cells.chain([is_exercise.to_string()]).collect();
            text += &cells.join(",");
            text += "\r\n";
        }
        text
    }
}

/// With an apostrophe in front, where a spreadsheet would take it for a formula; and where it would be taken for a
/// guarded one, so that every text comes back as it was.
fn guarded(said: &str) -> String {
    let bare = said.trim_start_matches('\'');
    if bare.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{said}")
    } else {
        said.to_owned()
    }
}

fn quoted(said: &str) -> String {
    let plain = !said.contains(['"', ',', '\r', '\n']) && said.trim() == said;
    if plain {
        said.to_owned()
    } else {
        format!("\"{}\"", said.replace('"', "\"\""))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_written_as_rfc_4180_has_them_and_no_text_is_a_formula() {
        let written = |said: &str| Cell::from(said).write();
        // The examples of RFC 4180, section 2.
        assert_eq!(written("bbb"), "bbb");
        assert_eq!(written("b\r\nbb"), "\"b\r\nbb\"");
        assert_eq!(written("b\"bb"), "\"b\"\"bb\"");
        assert_eq!(written("a,b"), "\"a,b\"");
        for (said, cell) in [
            ("=1+1", "'=1+1"),
            ("+49 30", "'+49 30"),
            ("-5", "'-5"),
            ("@home", "'@home"),
            ("\tx", "'\tx"),
            ("\rx", "\"'\rx\""),
            ("'=1", "''=1"),
            ("'tis", "'tis"),
            ("", ""),
        ] {
            assert_eq!(written(said), cell, "{said:?}");
        }
        assert_eq!(Cell::Tenths(365).write(), "36.5");
        assert_eq!(Cell::from(Some(3_u16)).write(), "3");
        assert_eq!(Cell::from(None::<bool>).write(), "");
    }

    #[test]
    fn a_table_has_a_header_and_crlf_and_says_whether_it_is_an_exercise() {
        let table = Table {
            name: "some",
            means: "",
            columns: vec![text("what", ""), number("many", "")],
            key: &["what"],
            rows: vec![vec!["two\nlines".into(), 2_u64.into()]],
        };
        assert_eq!(
            table.write(true),
            "what,many,exercise\r\n\"two\nlines\",2,true\r\n"
        );
    }
}
