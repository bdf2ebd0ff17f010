//! Short words people type: trimmed, of bounded length, without control characters.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Words of at most `MAX` characters; never empty, never with control characters other than a line break.
#[derive(Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Text<const MAX: usize>(String);

/// A name or a few words to know somebody by.
pub type Words = Text<80>;
/// A remark.
pub type Note = Text<280>;

/// Why some words cannot be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// Nothing but white space.
    #[error("these words are empty; leave the field out instead")]
    Empty,
    /// Longer than the field holds.
    #[error("these words are {0} characters long, at most {1} fit; shorten them")]
    TooLong(usize, usize),
}

impl<const MAX: usize> Text<MAX> {
    /// Takes words as typed.
    ///
    /// # Errors
    /// When nothing is left after trimming, or when they are too long.
    pub fn new(typed: &str) -> Result<Self, TextError> {
        let clean: String = typed
            .chars()
            .filter(|c| !c.is_control() || *c == '\n')
            .collect();
        let clean = clean.trim();
        let length = clean.chars().count();
        match length {
            0 => Err(TextError::Empty),
            n if n > MAX => Err(TextError::TooLong(n, MAX)),
            _ => Ok(Self(clean.to_owned())),
        }
    }

    /// The words.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl<const MAX: usize> TryFrom<String> for Text<MAX> {
    type Error = TextError;

    fn try_from(typed: String) -> Result<Self, Self::Error> {
        Self::new(&typed)
    }
}

impl<const MAX: usize> From<Text<MAX>> for String {
    fn from(text: Text<MAX>) -> Self {
        text.0
    }
}

impl<const MAX: usize> fmt::Display for Text<MAX> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<const MAX: usize> fmt::Debug for Text<MAX> {
    // Words may name a person: a technical log shows their length only.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Text({} chars)", self.0.chars().count())
    }
}
