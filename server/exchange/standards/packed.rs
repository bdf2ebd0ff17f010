//! Several files as one to be saved.
//!
//! Owns the packing: a ZIP (PKWARE, *APPNOTE.TXT*, 4.3) whose files are kept as they are, not compressed, with the time of
//! the copy in UTC. Small enough to need none of the format's extensions.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::File;

/// The version of the format that is needed to read it, 2.0, and names in UTF-8 (4.4.4, bit 11).
const NEEDED: u16 = 20;
const UTF_8: u16 = 1 << 11;

/// The files, packed.
pub(super) fn packed(files: &[File], at: Timestamp) -> Vec<u8> {
    let mut archive = Vec::new();
    let mut directory = Vec::new();
    for file in files {
        let offset = size(archive.len());
        let described = described(file, at);
        archive.extend(0x0403_4b50_u32.to_le_bytes());
        archive.extend(&described);
        archive.extend(file.name.as_bytes());
        archive.extend(&file.bytes);
        directory.extend(0x0201_4b50_u32.to_le_bytes());
        directory.extend(NEEDED.to_le_bytes());
        directory.extend(&described);
        // No comment, the first disk, no attributes.
        directory.extend([0; 10]);
        directory.extend(offset.to_le_bytes());
        directory.extend(file.name.as_bytes());
    }
    let (begins, length) = (size(archive.len()), size(directory.len()));
    let many = u16::try_from(files.len()).unwrap_or(u16::MAX).to_le_bytes();
    archive.extend(directory);
    archive.extend(0x0605_4b50_u32.to_le_bytes());
    archive.extend([0; 4]);
    archive.extend(many);
    archive.extend(many);
    archive.extend(length.to_le_bytes());
    archive.extend(begins.to_le_bytes());
    archive.extend([0; 2]);
    archive
}

/// What stands of a file both before it and in the directory, from the version needed to the length of what is extra.
fn described(file: &File, at: Timestamp) -> Vec<u8> {
    let (date, time) = moment(at);
    let length = size(file.bytes.len());
    let name = u16::try_from(file.name.len()).unwrap_or(u16::MAX);
    let mut described = Vec::with_capacity(26);
    // Method 0 is stored.
    for two in [NEEDED, UTF_8, 0, time, date] {
        described.extend(two.to_le_bytes());
    }
    for four in [crc32fast::hash(&file.bytes), length, length] {
        described.extend(four.to_le_bytes());
    }
    for two in [name, 0] {
        described.extend(two.to_le_bytes());
    }
    described
}

/// A record of an incident is megabytes; the format ends at four gigabytes.
fn size(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// Date and time in the format's bits: years since 1980, seconds in twos.
fn moment(at: Timestamp) -> (u16, u16) {
    let at = TimeZone::UTC.to_datetime(at);
    let part = |number: i8| u16::try_from(number).unwrap_or(0);
    let years = u16::try_from(at.year() - 1980).unwrap_or(0).min(127);
    let date = years << 9 | part(at.month()) << 5 | part(at.day());
    let time = part(at.hour()) << 11 | part(at.minute()) << 5 | (part(at.second()) / 2);
    (date, time)
}
