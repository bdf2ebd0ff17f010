//! Reading a JSON body, with a clear word about what is wrong with it.

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use serde::de::DeserializeOwned;

use super::problem::Problem;

/// A JSON body as `T`.
pub(super) struct Body<T>(pub(super) T);

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Body<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let bytes = Bytes::from_request(request, state).await.map_err(|error| {
            if error.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
                Problem::too_large(
                    "A request may hold 64 kB. Send less at a time; nothing was recorded.",
                )
            } else {
                Problem::not_json("The request broke off. Nothing was recorded; send it again.")
            }
        })?;
        serde_json::from_slice(&bytes).map(Body).map_err(|error| {
            Problem::not_json(format!(
                "This is not the JSON that was expected: {error}. Nothing was recorded."
            ))
        })
    }
}
