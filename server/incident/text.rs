//! Short words people type: trimmed, of bounded length, without characters that cannot be seen but change how
//! their neighbours read.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Words of at most `MAX` characters; never empty, never with control characters other than a line break, never
/// with marks that turn the direction of the text around them.
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
            .filter(|c| *c == '\n' || !(c.is_control() || turns_direction(*c)))
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

/// Embeddings, overrides and isolates (Unicode Standard Annex 9): one left open reverses what stands after it, so
/// that "struck" beside a remark would read backwards. Right-to-left scripts need none of them.
const fn turns_direction(c: char) -> bool {
    matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_unseen_gets_in() {
        let kept = |typed: &str| Words::new(typed).map(String::from);
        assert_eq!(kept(" red\u{7} coat\u{202E} "), Ok("red coat".to_owned()));
        assert_eq!(kept("two\nlines"), Ok("two\nlines".to_owned()));
        assert_eq!(kept("سترة حمراء"), Ok("سترة حمراء".to_owned()));
        assert_eq!(kept("\u{2066}\u{2069} \u{0}"), Err(TextError::Empty));
        assert_eq!(kept(&"x".repeat(81)), Err(TextError::TooLong(81, 80)));
    }
}
