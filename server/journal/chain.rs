//! The chain that ties each entry to all before it.
//!
//! `chain(n) = BLAKE3(context; chain(n-1) ‖ body bytes)`, with 32 zero bytes before the first entry. The body
//! bytes are those stored: checking never writes them anew.

use std::fmt;

/// A chain value: covers an entry and everything before it.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Chain([u8; 32]);

/// Binds the hash to this use (BLAKE3 key derivation mode).
const CONTEXT: &str = "holdfast 2026-11-25 journal chain v1";

/// Letters and figures that are not mistaken for each other when read aloud or written down.
const UNMISTAKABLE: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

impl Chain {
    /// Before the first entry.
    pub const START: Self = Self([0; 32]);

    /// The chain value after an entry with these stored bytes.
    #[must_use]
    pub fn then(self, body: &[u8]) -> Self {
        let mut hasher = blake3::Hasher::new_derive_key(CONTEXT);
        hasher.update(&self.0);
        hasher.update(body);
        Self(*hasher.finalize().as_bytes())
    }

    /// The bytes, as stored.
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// Reads stored bytes.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        bytes.try_into().ok().map(Self)
    }

    /// Reads hexadecimal.
    pub fn from_hex(text: &str) -> Option<Self> {
        blake3::Hash::from_hex(text)
            .ok()
            .map(|hash| Self(*hash.as_bytes()))
    }

    /// Lower-case hexadecimal.
    pub fn hex(&self) -> String {
        self.to_string()
    }
}

impl fmt::Display for Chain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Chain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Chain({self})")
    }
}

/// The first 30 bits as six symbols in two groups, to be printed and read aloud ("7K3-FQ2"). Finds accidents;
/// it does not keep out a forger.
pub fn check_words(chain: Chain) -> String {
    let [a, b, c, d, ..] = chain.0;
    let bits = u32::from_be_bytes([a, b, c, d]) >> 2;
    let mut text = String::with_capacity(7);
    for place in (0..6).rev() {
        let index = (bits >> (place * 5)) & 31;
        text.push(char::from(UNMISTAKABLE[index as usize]));
        if place == 3 {
            text.push('-');
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_changed_byte_or_a_changed_order_changes_the_chain() {
        let ab = Chain::START.then(b"a").then(b"b");
        assert_ne!(ab, Chain::START.then(b"b").then(b"a"));
        assert_ne!(ab, Chain::START.then(b"a").then(b"c"));
        assert_eq!(ab, Chain::START.then(b"a").then(b"b"));
    }

    #[test]
    fn it_is_the_published_function_in_key_derivation_mode() {
        // The crate's own implementation of BLAKE3 ("derive_key" in the BLAKE3 paper, section 2.3).
        let mut input = vec![0; 32];
        input.extend_from_slice(b"a");
        assert_eq!(
            *Chain::START.then(b"a").bytes(),
            blake3::derive_key(CONTEXT, &input)
        );
    }

    #[test]
    fn the_check_is_short_and_readable() {
        let check = check_words(Chain::START);
        assert_eq!(check, "222-222");
    }
}
