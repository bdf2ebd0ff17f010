//! What lets people in: join codes for phones, three words for the lead.
//!
//! Codes are eight symbols from 32 that are not mistaken for each other (40 bits; OWASP ASVS 5.0, 6.5.4 asks
//! for 20). They are kept with the board, because they are printed on the poster. The lead's words are made
//! anew at each start unless given, are shown on the server's own screen only, and are never stored.

use std::sync::RwLock;

use uuid::Uuid;

use super::seal::Seal;
use super::words_list::WORDS;
use crate::clock::{fresh_id, random_bytes};
use crate::incident::Role;
use crate::journal::Chain;

/// Letters and figures without I, O, 0 and 1.
const SYMBOLS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// Every way in.
pub struct Codes {
    /// For helpers' phones; the lead may have it made anew.
    helper: RwLock<String>,
    /// For the evacuation coordinator.
    pub evac: String,
    /// For those who only watch the summary.
    pub viewer: String,
    /// For the lead, as they were given; made anew at the machine's keyboard.
    lead_words: RwLock<(Uuid, String)>,
    /// What seals private entries; made of the words the board was begun with.
    seal: Seal,
}

impl std::fmt::Debug for Codes {
    // Never in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Codes")
    }
}

impl Codes {
    /// Puts the codes together as they will be compared.
    ///
    /// `seal` is the key of private entries as it is kept ([`Codes::fresh_seal`]).
    pub fn new(helper: &str, evac: &str, viewer: &str, lead_words: &str, seal: &str) -> Self {
        Self {
            helper: RwLock::new(plain(helper)),
            evac: plain(evac),
            viewer: plain(viewer),
            lead_words: RwLock::new((fresh_id(), lead_words.trim().to_owned())),
            seal: Seal::from_hex(seal).unwrap_or_else(|| Seal::of(&plain(lead_words))),
        }
    }

    /// The helpers' code as it is now.
    pub fn helper(&self) -> String {
        self.helper
            .read()
            .expect("OK because nothing panics while holding it")
            .clone()
    }

    /// The key of private entries, of the words a board is begun with.
    pub fn fresh_seal(lead_words: &str) -> String {
        Seal::of(&plain(lead_words)).to_hex()
    }

    /// What seals private entries for whoever is not the lead.
    pub(super) const fn seal(&self) -> &Seal {
        &self.seal
    }

    /// The text of an entry that was sealed under the words this board was begun with, or under those it has now.
    pub(super) fn unseal(&self, sealed: &str, chain: Chain) -> Option<String> {
        let now = || Seal::of(&plain(&self.lead_words()));
        self.seal
            .open(sealed, chain)
            .or_else(|| now().open(sealed, chain))
    }

    /// Another code for helpers from now on; who is in stays in.
    pub fn renew_helper(&self, code: &str) {
        *self
            .helper
            .write()
            .expect("OK because nothing panics while holding it") = plain(code);
    }

    /// Other words for the lead from now on; who is in stays in.
    pub fn renew_lead(&self, words: &str) {
        *self
            .lead_words
            .write()
            .expect("OK because nothing panics while holding it") =
            (fresh_id(), words.trim().to_owned());
    }

    /// A name for the lead's present words that tells nothing of them; another one for others.
    pub fn words_id(&self) -> Uuid {
        self.lead_words
            .read()
            .expect("OK because nothing panics while holding it")
            .0
    }

    /// The lead's words as they are now, for the machine's own screen and the board that this one is rebuilt into.
    pub fn lead_words(&self) -> String {
        self.lead_words
            .read()
            .expect("OK because nothing panics while holding it")
            .1
            .clone()
    }

    /// The role that a code or words open.
    pub fn role(&self, typed: &str) -> Option<Role> {
        let typed = plain(typed);
        let same = |code: &str| {
            // Compared by hash, so that the time taken tells nothing about the code.
            blake3::hash(code.as_bytes()) == blake3::hash(typed.as_bytes())
        };
        let roles = [
            (Role::Helper, same(&self.helper())),
            (Role::Evac, same(&self.evac)),
            (Role::Viewer, same(&self.viewer)),
            (Role::Lead, same(&plain(&self.lead_words()))),
        ];
        roles
            .into_iter()
            .find_map(|(role, same)| same.then_some(role))
    }
}

/// A code as it is shown: two groups of four.
pub fn grouped(code: &str) -> String {
    let code = plain(code);
    if code.len() == 8 && code.is_ascii() {
        format!("{}-{}", &code[..4], &code[4..])
    } else {
        code
    }
}

/// A fresh join code.
pub fn fresh_code() -> String {
    random_bytes::<8>()
        .map(|byte| char::from(SYMBOLS[usize::from(byte) % 32]))
        .iter()
        .collect()
}

/// Three fresh words.
pub fn fresh_words() -> String {
    let picks = random_bytes::<6>();
    let word = |index: usize| {
        let number = usize::from(picks[index * 2]) << 8 | usize::from(picks[index * 2 + 1]);
        WORDS[number % WORDS.len()]
    };
    format!("{} {} {}", word(0), word(1), word(2))
}

/// What was typed, without what people add or lose: case, spaces, dashes.
fn plain(typed: &str) -> String {
    typed
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .flat_map(char::to_uppercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_opens_its_role_however_it_is_typed() {
        let codes = Codes::new("K7QFM2TX", "EVACCCCC", "VIEWWWWW", "river stone lamp", "");
        assert_eq!(codes.role(" k7qf-m2tx "), Some(Role::Helper));
        assert_eq!(codes.role("River  Stone-lamp"), Some(Role::Lead));
        assert_eq!(codes.role("evacCCCC"), Some(Role::Evac));
        assert_eq!(codes.role("viewwwww"), Some(Role::Viewer));
        assert_eq!(codes.role(""), None);
        assert_eq!(codes.role("K7QFM2T"), None);
    }

    #[test]
    fn other_words_have_another_name() {
        let codes = Codes::new("K7QFM2TX", "EVACCCCC", "VIEWWWWW", "river stone lamp", "");
        let before = codes.words_id();
        assert_eq!(codes.words_id(), before);
        codes.renew_lead("maple door wind");
        assert_ne!(codes.words_id(), before);
        assert_eq!(codes.role("maple door wind"), Some(Role::Lead));
    }

    #[test]
    fn fresh_codes_are_long_and_unmistakable() {
        let code = fresh_code();
        assert_eq!(code.len(), 8);
        assert!(code.bytes().all(|byte| SYMBOLS.contains(&byte)));
        assert_ne!(code, fresh_code());
        assert_eq!(fresh_words().split(' ').count(), 3);
    }

    #[test]
    fn the_words_differ_and_are_plain() {
        let mut sorted = WORDS.to_vec();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), 256);
        assert!(
            WORDS.iter().all(|word| (3..=7).contains(&word.len())
                && word.bytes().all(|b| b.is_ascii_lowercase()))
        );
    }
}
