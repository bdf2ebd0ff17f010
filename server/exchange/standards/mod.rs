//! Copies of the record in open standards, for other systems.
//!
//! Owns which standards there are and what every copy promises: it says as of which entry and time it was made; a
//! practice incident is marked as an exercise or a test in all of it; what is told to the lead alone stands in it as
//! sealed; struck reports are in it, as mistakes. It tells what was reported and works nothing out anew.

mod csv;
mod geojson;
mod packed;
mod rides;
mod source;
mod theme;

use jiff::Timestamp;

use crate::incident::{Incident, Seq};

use source::Source;

/// An open standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Tables: RFC 4180 with CSV on the Web metadata (W3C).
    Csv,
    /// Places: RFC 7946.
    GeoJson,
}

/// As of when a copy is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AsOf {
    /// The last entry in it.
    pub seq: Seq,
    /// The check that stands with that entry.
    pub check: String,
    /// When it was made.
    pub at: Timestamp,
}

/// A file of a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// What it is called.
    pub name: String,
    /// Its media type.
    pub kind: &'static str,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl Form {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Csv, Self::GeoJson];

    /// The stored code, also of addresses and of the command line.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::GeoJson => "geojson",
        }
    }

    /// The form with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.code() == code)
    }

    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Csv => "CSV tables",
            Self::GeoJson => "GeoJSON",
        }
    }

    /// What it is good for, and what is in it.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Csv => {
                "Tables for a spreadsheet or a database: casualties, wounds, checks, treatments, vital signs, trips, \
                 messages, journal. One packed file."
            }
            Self::GeoJson => "For a map: the site, places and destinations with their positions.",
        }
    }
}

/// The files of a copy.
pub fn files(incident: &Incident, as_of: &AsOf, form: Form) -> Vec<File> {
    let source = Source { incident, as_of };
    match form {
        Form::Csv => csv::files(&source),
        Form::GeoJson => vec![geojson::file(&source)],
    }
}

/// A copy as one file to be saved: several are packed.
pub fn one_file(incident: &Incident, as_of: &AsOf, form: Form) -> File {
    let mut files = files(incident, as_of, form);
    if files.len() == 1 {
        return files.remove(0);
    }
    let source = Source { incident, as_of };
    File {
        name: source.file_name(form.code(), "zip"),
        kind: "application/zip",
        bytes: packed::packed(&files, as_of.at),
    }
}
