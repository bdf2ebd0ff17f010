//! Entries that another machine of this board kept: checked one by one before they are taken over.

use super::chain::Chain;
use super::error::JournalError;
use super::handle::StoredEntry;
use super::log::LogRow;
use crate::incident::{Entry, Seq};

/// The rows and entries to take over on top of `head`; none of those given when all are here already.
///
/// # Errors
/// When they do not go on from the very chain here, or their text is not what the chain covers. Nothing of them
/// may be taken over then.
pub(super) fn checked(
    entries: Vec<StoredEntry>,
    head: Seq,
    mut chain: Chain,
) -> Result<(Vec<LogRow>, Vec<Entry>), JournalError> {
    let mut expected = head.next();
    let (mut rows, mut kept) = (Vec::new(), Vec::new());
    for stored in entries {
        let other = |what: &str| JournalError::OtherHistory {
            seq: stored.seq.0,
            what: what.to_owned(),
        };
        if stored.seq == head && stored.chain != chain {
            return Err(other("it is another one here"));
        }
        if stored.seq < expected {
            continue;
        }
        if stored.seq != expected {
            return Err(other("entries before it are missing"));
        }
        chain = chain.then(stored.body.as_bytes());
        if chain != stored.chain {
            return Err(other("it does not go on from what is here"));
        }
        let entry: Entry =
            serde_json::from_str(&stored.body).map_err(|error| other(&error.to_string()))?;
        if entry.seq != stored.seq {
            return Err(other("its position does not match its text"));
        }
        rows.push(LogRow {
            seq: i64::try_from(entry.seq.0).unwrap_or(i64::MAX),
            id: entry.id.to_string(),
            body: stored.body,
            chain,
        });
        kept.push(entry);
        expected = expected.next();
    }
    Ok((rows, kept))
}
