//! An incident's file read whole, without taking it into use: the board may be running.
//!
//! Promises: changes nothing; gives what checks out, and says where that ends.

use std::path::Path;

use sqlx::ConnectOptions;

use super::chain::check_words;
use super::error::JournalError;
use super::open;
use super::verify::Reader;
use crate::incident::Incident;

/// An incident as its file has it.
#[derive(Clone, Debug)]
pub struct AtRest {
    /// Everything up to where the journal is whole.
    pub incident: Incident,
    /// The check that stands with the last of it.
    pub check: String,
    /// Where it is whole no more, in words.
    pub damage: Option<String>,
}

/// Reads a file.
///
/// # Errors
/// When it is no incident's file or cannot be read at all.
pub async fn read_at_rest(file: &Path) -> Result<AtRest, JournalError> {
    let mut connection = open::options(file).read_only(true).connect().await?;
    let mut reader = Reader::default();
    let damage = loop {
        match reader.page(&mut connection).await {
            Ok(0) => break None,
            Ok(_) => {}
            Err(error @ JournalError::Damaged { .. }) => break Some(error.to_string()),
            Err(other) => return Err(other),
        }
    };
    Ok(AtRest {
        check: check_words(reader.chain),
        incident: Incident::replay(reader.entries),
        damage,
    })
}
