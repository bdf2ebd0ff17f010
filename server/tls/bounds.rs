//! What an authority made before can vouch for: its dates and names, as devices read them in its certificate.
//!
//! Owns the comparison with what a start asks of it, and what a person at the machine is told. Promises: an authority is
//! never replaced by itself, because each device that trusts it would have to be given the new one.

use std::fmt;

use jiff::{SignedDuration, Timestamp};
use x509_parser::extensions::GeneralName;
use x509_parser::prelude::{FromDer, X509Certificate};

/// How long before its end an authority is spoken of.
const SOON: SignedDuration = SignedDuration::from_hours(30 * 24);

/// Dates and names of a certificate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bounds {
    /// Devices take nothing it signed before this.
    pub(super) from: Timestamp,
    /// Nor after this.
    until: Timestamp,
    /// Names it may vouch for, and every name below them.
    names: Vec<String>,
}

/// What a person at the machine should know of the authority.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Warning {
    /// The machine's clock stands before the authority was made.
    ClockBehind {
        /// When it was made.
        made: Timestamp,
    },
    /// Its time is over, or nearly.
    Ends {
        /// When.
        at: Timestamp,
        /// Whether that was before now.
        over: bool,
    },
    /// A name this start was given, and this authority may not vouch for.
    OtherName(String),
}

impl Bounds {
    /// Reads them, and whether the key belongs to it (RFC 5280, 4.1.2.5, 4.1.2.7 and 4.2.1.10).
    ///
    /// # Errors
    /// In words, when the bytes are no certificate, or another key's.
    pub(super) fn read(certificate: &[u8], public_key: &[u8]) -> Result<Self, String> {
        let (_, read) =
            X509Certificate::from_der(certificate).map_err(|error| error.to_string())?;
        if *read.public_key().subject_public_key.data != *public_key {
            return Err("it belongs to another key".to_owned());
        }
        let at = |time: x509_parser::time::ASN1Time| {
            Timestamp::from_second(time.timestamp()).map_err(|error| error.to_string())
        };
        let constraints = read.name_constraints().map_err(|error| error.to_string())?;
        let permitted = constraints.and_then(|found| found.value.permitted_subtrees.as_ref());
        let names = permitted
            .into_iter()
            .flatten()
            .filter_map(|subtree| match subtree.base {
                GeneralName::DNSName(name) => Some(name.to_ascii_lowercase()),
                _ => None,
            })
            .collect();
        Ok(Self {
            from: at(read.validity().not_before)?,
            until: at(read.validity().not_after)?,
            names,
        })
    }

    /// Whether it may vouch for a name: one of its own, or one below it (RFC 5280, 4.2.1.10).
    pub(super) fn cover(&self, name: &str) -> bool {
        self.names.iter().any(|own| {
            name.strip_suffix(own.as_str())
                .is_some_and(|rest| rest.is_empty() || rest.ends_with('.'))
        })
    }

    /// What is wrong with it for a start with these names.
    pub(super) fn warn(&self, names: &[String], now: Timestamp) -> Vec<Warning> {
        let mut all = Vec::new();
        if now < self.from {
            all.push(Warning::ClockBehind { made: self.from });
        }
        if self.until.duration_since(now) < SOON {
            all.push(Warning::Ends {
                at: self.until,
                over: self.until <= now,
            });
        }
        let others = names.iter().filter(|name| !self.cover(name));
        all.extend(others.cloned().map(Warning::OtherName));
        all
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const ANOTHER: &str = "remove authority.crt and authority.key there and start again: another is made, and each tablet must trust that one";
        match self {
            Self::ClockBehind { made } => write!(
                f,
                "this machine's clock stands before {}, when its TLS authority was made. Set the clock and start again: tablets go by theirs",
                made.strftime("%Y-%m-%d")
            ),
            Self::Ends { at, over: true } => write!(
                f,
                "the TLS authority of this folder ended on {}: tablets refuse it. If this machine's clock is right, {ANOTHER}",
                at.strftime("%Y-%m-%d")
            ),
            Self::Ends { at, over: false } => write!(
                f,
                "the TLS authority of this folder ends on {}. In good time before, {ANOTHER}",
                at.strftime("%Y-%m-%d")
            ),
            Self::OtherName(name) => write!(
                f,
                "the TLS authority of this folder was made without the name {name} and cannot vouch for it: over TLS use this machine's address. For the name, {ANOTHER}"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds() -> Bounds {
        Bounds {
            from: "2026-11-01T00:00:00Z".parse().unwrap(),
            until: "2029-11-01T00:00:00Z".parse().unwrap(),
            names: vec!["localhost".to_owned(), "board.field".to_owned()],
        }
    }

    fn at(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    #[test]
    fn a_name_is_covered_by_itself_and_by_what_it_lies_below() {
        let bounds = bounds();
        for (name, covered) in [
            ("localhost", true),
            ("board.field", true),
            ("a.board.field", true),
            ("surfboard.field", false),
            ("field", false),
            ("board.field.example", false),
        ] {
            assert_eq!(bounds.cover(name), covered, "{name}");
        }
    }

    #[test]
    fn nothing_is_said_while_all_is_well() {
        let names = ["localhost".to_owned()];
        assert_eq!(bounds().warn(&names, at("2027-05-01T00:00:00Z")), []);
    }

    #[test]
    fn a_clock_behind_an_end_near_and_an_end_gone_are_told_apart() {
        let behind = bounds().warn(&[], at("1970-01-02T00:00:00Z"));
        assert!(
            matches!(behind[..], [Warning::ClockBehind { .. }]),
            "{behind:?}"
        );
        let near = bounds().warn(&[], at("2029-10-15T00:00:00Z"));
        assert!(
            matches!(near[..], [Warning::Ends { over: false, .. }]),
            "{near:?}"
        );
        let gone = bounds().warn(&["tent".to_owned()], at("2029-11-01T00:00:00Z"));
        let [Warning::Ends { over: true, .. }, Warning::OtherName(name)] = &gone[..] else {
            panic!("{gone:?}");
        };
        assert_eq!(name, "tent");
        assert!(gone[0].to_string().contains("2029-11-01"));
    }

    #[test]
    fn what_is_no_certificate_is_said() {
        assert!(Bounds::read(b"nonsense", b"").is_err());
    }
}
