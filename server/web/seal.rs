//! What only the lead may read, in a record that others help to keep.
//!
//! Owns the sealing of private entries under the words the lead had when the board was begun. The key made of them is
//! kept with the board, so that restarts and new words change nothing: a copy kept through them opens with one set of
//! words. Promises: whoever keeps a sealed copy keeps every byte, so that a board rebuilt from it is checked against the
//! whole chain; without those words such an entry cannot be read, and nothing after it is taken over. Three words keep
//! out who looks by chance, not who tries them all; each try is made slow.

use std::fmt::Write;

use crate::journal::Chain;

/// For one use each, as BLAKE3's key derivation asks.
const CONTEXT: &str = "holdfast 2026-11-25 private entries v1";
/// How often the key is derived from itself. Our choice: a few milliseconds once, hours for all three-word choices.
const ROUNDS: u32 = 1 << 16;

/// The key of one board's private entries.
#[derive(Clone)]
pub(super) struct Seal([u8; 32]);

impl Seal {
    /// From the lead's words.
    pub(super) fn of(words: &str) -> Self {
        let mut key = blake3::derive_key(CONTEXT, words.as_bytes());
        for _ in 0..ROUNDS {
            key = blake3::derive_key(CONTEXT, &key);
        }
        Self(key)
    }

    /// As it is kept.
    pub(super) fn to_hex(&self) -> String {
        hex(&self.0)
    }

    /// As it was kept; none where that is no key.
    pub(super) fn from_hex(kept: &str) -> Option<Self> {
        Some(Self(unhex(kept)?.try_into().ok()?))
    }

    /// An entry's text, sealed, as hex. The entry's own chain value goes in, so that no two texts share a key stream.
    pub(super) fn seal(&self, body: &str, chain: Chain) -> String {
        hex(&self.over(body.as_bytes(), chain))
    }

    /// The text again; none where other words sealed it.
    pub(super) fn open(&self, sealed: &str, chain: Chain) -> Option<String> {
        let text = String::from_utf8(self.over(&unhex(sealed)?, chain)).ok()?;
        text.starts_with('{').then_some(text)
    }

    fn over(&self, bytes: &[u8], chain: Chain) -> Vec<u8> {
        let mut stream = vec![0; bytes.len()];
        let mut hasher = blake3::Hasher::new_keyed(&self.0);
        hasher.update(chain.to_string().as_bytes());
        hasher.finalize_xof().fill(&mut stream);
        bytes
            .iter()
            .zip(stream)
            .map(|(byte, key)| byte ^ key)
            .collect()
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut hex, byte| {
        write!(hex, "{byte:02x}").expect("OK because text grows without failing");
        hex
    })
}

fn unhex(hex: &str) -> Option<Vec<u8>> {
    let pairs = hex.as_bytes().chunks(2);
    pairs
        .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_sealed_opens_with_the_same_words_alone() {
        let body = r#"{"seq":7,"by":"Teo","fact":{"kind":"exposure.reported/1","route":"stick"}}"#;
        let chain = Chain::START.then(body.as_bytes());
        let seal = Seal::of("RIVERSTONELAMP");
        let sealed = seal.seal(body, chain);
        assert!(!sealed.contains("Teo") && sealed.len() == body.len() * 2);
        assert_eq!(seal.open(&sealed, chain).as_deref(), Some(body));
        assert_eq!(Seal::of("RIVERSTONELAMB").open(&sealed, chain), None);
        assert_eq!(
            seal.open(&sealed, Chain::START),
            None,
            "it belongs to its place"
        );
        assert_eq!(seal.open("zz", chain), None);
    }
}
