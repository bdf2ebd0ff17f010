//! Copies of the record in open standards, for other systems.
//!
//! Owns which standards there are and what every copy promises: it says as of which entry and time it was made; a
//! practice incident is marked as an exercise or a test in all of it; what is told to the lead alone stands in it as
//! sealed; struck reports are in it, as mistakes. It tells what was reported and works nothing out anew.

mod cap;
mod csv;
mod distribution;
mod fhir;
mod geojson;
mod packed;
mod rides;
mod source;
mod theme;
mod xml;

use jiff::Timestamp;

use crate::incident::{Incident, Seq};

use source::Source;

/// An open standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Health records: HL7 FHIR R4, in words and in the codes that are free to use.
    Fhir,
    /// The same with codes of SNOMED CT, which need a licence in some countries.
    FhirSnomed,
    /// Tables: RFC 4180 with CSV on the Web metadata (W3C).
    Csv,
    /// Places: RFC 7946.
    GeoJson,
    /// A short message: Common Alerting Protocol 1.2.
    Cap,
    /// The message in an envelope: EDXL Distribution Element 1.0.
    Distribution,
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

impl AsOf {
    /// As of this entry; the journal and most formats know whole milliseconds.
    pub fn new(seq: Seq, check: String, at: Timestamp) -> Self {
        let at = Timestamp::from_millisecond(at.as_millisecond()).unwrap_or(at);
        Self { seq, check, at }
    }
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
    pub const ALL: [Self; 6] = [
        Self::Fhir,
        Self::FhirSnomed,
        Self::Csv,
        Self::GeoJson,
        Self::Cap,
        Self::Distribution,
    ];

    /// The stored code, also of addresses and of the command line.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Fhir => "fhir",
            Self::FhirSnomed => "fhir-snomed",
            Self::Csv => "csv",
            Self::GeoJson => "geojson",
            Self::Cap => "cap",
            Self::Distribution => "de",
        }
    }

    /// The form with this code.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.code() == code)
    }

    /// What it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Fhir => "FHIR R4",
            Self::FhirSnomed => "FHIR R4 with SNOMED CT codes",
            Self::Csv => "CSV tables",
            Self::GeoJson => "GeoJSON",
            Self::Cap => "CAP 1.2 message",
            Self::Distribution => "EDXL-DE 1.0 envelope",
        }
    }

    /// What it is good for, and what is in it.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Fhir => {
                "For a hospital: everybody with vital signs, wounds, what was done and used, the wish to leave and the \
                 trips; who said each of it."
            }
            Self::FhirSnomed => {
                "The same, with a code beside the words for some steps and levels of responsiveness. Only where your \
                 country is a member of SNOMED International, or whoever gets it has a licence."
            }
            Self::Csv => {
                "Tables for a spreadsheet or a database: casualties, wounds, checks, treatments, vital signs, trips, \
                 messages, journal. One packed file."
            }
            Self::GeoJson => "For a map: the site, places and destinations with their positions.",
            Self::Cap => {
                "For a control room's system: the incident report and how many there are of which category. Nothing about \
                 any one casualty."
            }
            Self::Distribution => "The same message in an envelope that systems route by.",
        }
    }
}

/// The files of a copy.
pub fn files(incident: &Incident, as_of: &AsOf, form: Form) -> Vec<File> {
    let source = Source {
        incident,
        as_of,
        snomed: form == Form::FhirSnomed,
    };
    match form {
        Form::Fhir | Form::FhirSnomed => vec![fhir::file(&source)],
        Form::Csv => csv::files(&source),
        Form::GeoJson => vec![geojson::file(&source)],
        Form::Cap => vec![cap::file(&source)],
        Form::Distribution => vec![distribution::file(&source)],
    }
}

/// A copy as one file to be saved: several are packed.
pub fn one_file(incident: &Incident, as_of: &AsOf, form: Form) -> File {
    let mut files = files(incident, as_of, form);
    if files.len() == 1 {
        return files.remove(0);
    }
    let source = Source {
        incident,
        as_of,
        snomed: false,
    };
    File {
        name: source.file_name(form.code(), "zip"),
        kind: "application/zip",
        bytes: packed::packed(&files, as_of.at),
    }
}
