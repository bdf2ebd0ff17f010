//! A session's token, and the cookie it travels in.
//!
//! Owns how tokens are made, named and found in a request. Promises: 256 bits that nobody can guess; only their hash is
//! kept; the token that takes over from another is the same however often it is asked for, so that a phone whose answers
//! get lost or come in another order holds one that opens, and nothing piles up.

use axum::http::{HeaderMap, header};

use crate::clock::random_bytes;
use crate::incident::BoardId;

/// Begins the name of a cookie that a browser sends over TLS alone.
const TLS_ONLY: &str = "__Host-";

/// One token, as a cookie carries it.
pub(super) struct Token(String);

/// This board's tokens.
#[derive(Debug)]
pub(super) struct Tokens {
    /// The cookie's name.
    name: String,
    /// What takes over from a token is made with it; another one at each start.
    secret: [u8; 32],
}

impl Token {
    /// One that was never there.
    pub(super) fn fresh() -> Self {
        Self(hex(&random_bytes::<32>()))
    }

    /// What is kept of it (BLAKE3).
    pub(super) fn hash(&self) -> [u8; 32] {
        hash(&self.0)
    }
}

impl Tokens {
    /// The cookie is named after the board, so that two boards on one machine (a practice and a real one) do not turn each
    /// other's phones away.
    pub(super) fn new(board: BoardId) -> Self {
        let board = board.to_string();
        let tail = board.rsplit('-').next().unwrap_or_default();
        Self {
            name: format!("holdfast-{tail}"),
            secret: random_bytes(),
        }
    }

    /// The one that takes over from a request's.
    pub(super) fn next(&self, old: &HeaderMap) -> Token {
        let old = self.found_in(old).unwrap_or_default();
        Token(hex(
            blake3::keyed_hash(&self.secret, old.as_bytes()).as_bytes()
        ))
    }

    /// The `Set-Cookie` value for a token.
    pub(super) fn cookie(&self, Token(token): &Token, tls: bool) -> String {
        // `Secure` only where it can be: on plain HTTP the browser would not send it back (OWASP ASVS 5.0, 3.3.1).
        let (prefix, secure) = if tls {
            (TLS_ONLY, "; Secure")
        } else {
            ("", "")
        };
        // Thirty days, so that a phone outlives the incident.
        format!(
            "{prefix}{}={token}; Path=/; Max-Age=2592000; HttpOnly; SameSite=Strict{secure}",
            self.name
        )
    }

    /// The hash of the token a request carries.
    pub(super) fn hash_in(&self, headers: &HeaderMap) -> Option<[u8; 32]> {
        self.found_in(headers).map(hash)
    }

    fn found_in<'a>(&self, headers: &'a HeaderMap) -> Option<&'a str> {
        let named = |prefix: &str| {
            headers
                .get_all(header::COOKIE)
                .iter()
                .filter_map(|value| value.to_str().ok())
                .flat_map(|value| value.split(';'))
                .find_map(|pair| {
                    pair.trim()
                        .strip_prefix(prefix)?
                        .strip_prefix(self.name.as_str())?
                        .strip_prefix('=')
                })
        };
        // Cookies do not tell ports apart: a browser that joined both ways sends both over TLS.
        named(TLS_ONLY).or_else(|| named(""))
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        text.push(char::from_digit(u32::from(byte >> 4), 16).unwrap_or_default());
        text.push(char::from_digit(u32::from(byte & 15), 16).unwrap_or_default());
        text
    })
}

fn hash(token: &str) -> [u8; 32] {
    *blake3::hash(token.as_bytes()).as_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked_with(tokens: &Tokens, token: &Token) -> HeaderMap {
        let cookie = tokens.cookie(token, false);
        let pair = cookie.split(';').next().unwrap();
        HeaderMap::from_iter([(header::COOKIE, pair.parse().unwrap())])
    }

    #[test]
    fn what_takes_over_is_the_same_each_time_and_nobody_elses() {
        let board = BoardId::new(crate::clock::fresh_id());
        let tokens = Tokens::new(board);
        let (one, other) = (Token::fresh(), Token::fresh());
        assert_ne!(one.hash(), other.hash());
        let asked = asked_with(&tokens, &one);
        assert_eq!(tokens.hash_in(&asked), Some(one.hash()));
        let next = tokens.next(&asked).hash();
        assert_eq!(tokens.next(&asked).hash(), next);
        assert_ne!(next, one.hash());
        assert_ne!(tokens.next(&asked_with(&tokens, &other)).hash(), next);
        // Who reads an old token cannot work out what took over from it.
        assert_ne!(Tokens::new(board).next(&asked).hash(), next);
    }
}
