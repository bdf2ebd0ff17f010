//! Reading a JSON body, with a clear word about what is wrong with it.

use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use serde::de::DeserializeOwned;

use super::problem::Problem;

/// How long a body may take to arrive.
const SLOWEST: Duration = Duration::from_secs(15);
/// How deep brackets may stand in each other; what phones send has six.
const DEEPEST: usize = 12;

/// A JSON body as `T`.
pub(super) struct Body<T>(pub(super) T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Body<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let arriving = tokio::time::timeout(SLOWEST, Bytes::from_request(request, state));
        let arrived = arriving.await.map_err(|_| Problem::too_slow())?;
        let bytes = arrived.map_err(|error| {
            if error.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
                Problem::too_large(
                    "A request may hold 64 kB. Send less at a time; nothing was recorded.",
                )
            } else {
                Problem::not_json("The request broke off. Nothing was recorded; send it again.")
            }
        })?;
        if is_too_deep(&bytes) {
            return Err(Problem::not_json(
                "Brackets stand in each other deeper than anything the board reads. Nothing was recorded.",
            ));
        }
        serde_json::from_slice(&bytes).map(Body).map_err(|error| {
            Problem::not_json(format!(
                "This is not the JSON that was expected: {error}. Nothing was recorded."
            ))
        })
    }
}

/// Whether brackets outside of strings stand deeper than allowed.
fn is_too_deep(json: &[u8]) -> bool {
    let (mut depth, mut in_string, mut escaped) = (0_usize, false, false);
    for byte in json {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if in_string => escaped = true,
            b'"' => in_string = !in_string,
            b'[' | b'{' if !in_string => depth += 1,
            b']' | b'}' if !in_string => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_brackets_outside_of_strings_count() {
        assert!(!is_too_deep(
            br#"{"a":["[[[[[[[[[[[[[[[[", "\"{{{{{{{{{{{{{{{{"]}"#
        ));
        assert!(!is_too_deep("[".repeat(12).as_bytes()));
        assert!(is_too_deep("[".repeat(13).as_bytes()));
    }
}
