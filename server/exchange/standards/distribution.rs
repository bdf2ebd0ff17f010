//! The alert in an envelope that systems route by: EDXL Distribution Element 1.0 (OASIS Standard, 1 May 2006). Its second
//! version is another vocabulary and is not written here.
//!
//! Owns the envelope. It says as of when it is, and that an exercise is one, once more than what is in it.

use super::File;
use super::cap::{self, circle, earlier, identifier, sender, sent, status};
use super::source::Source;
use super::xml::Xml;

const NAMESPACE: &str = "urn:oasis:names:tc:emergency:EDXL:DE:1.0";

/// The document.
pub(super) fn file(source: &Source<'_>) -> File {
    let mut xml = Xml::document();
    xml.root("EDXLDistribution", NAMESPACE, |xml| put(xml, source));
    File {
        name: source.file_name("de", "xml"),
        kind: "application/xml",
        bytes: xml.into_bytes(),
    }
}

fn put(xml: &mut Xml, source: &Source<'_>) {
    let id = |seq| format!("{}-de", identifier(source, seq));
    let earlier = earlier(source, &["de"]);
    xml.text("distributionID", &id(source.as_of.seq));
    xml.text("senderID", &sender(source));
    xml.text("dateTimeSent", &sent(source.as_of.at));
    xml.text("distributionStatus", status(source));
    xml.text(
        "distributionType",
        if earlier.is_some() {
            "Update"
        } else {
            "Report"
        },
    );
    xml.text(
        "combinedConfidentiality",
        "For those who help at this incident",
    );
    xml.text("language", "en");
    if let Some((seq, at)) = earlier {
        let reference = format!("{},{},{}", id(seq), sender(source), sent(at));
        xml.text("distributionReference", &reference);
    }
    if let Some(circle) = circle(source) {
        xml.within("targetArea", |xml| xml.text("circle", &circle));
    }
    xml.within("contentObject", |xml| {
        xml.text("contentDescription", &source.as_of_words());
        xml.text("incidentID", &format!("holdfast-{}", source.board()));
        xml.text("incidentDescription", &source.name());
        xml.within("xmlContent", |xml| {
            xml.within("embeddedXMLContent", |xml| cap::put(xml, source));
        });
    });
}
