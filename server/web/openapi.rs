//! The `OpenAPI` document, generated from the types that the endpoints read and write.

use std::sync::LazyLock;

use axum::Json;
use serde_json::Value;
use utoipa::OpenApi;

use super::join::{Join, Joined};
use super::journal_door::{Answer, Batch, Receipt};
use super::problem::Problem;
use crate::incident::{Entry, Fact, Report};

#[derive(OpenApi)]
#[openapi(
    info(
        title = "holdfast",
        description = "A shared incident board for a group accident. Posts need an Origin of this server and the header X-Holdfast: 1."
    ),
    paths(join, who, append, read, live),
    components(schemas(Join, Joined, Batch, Answer, Receipt, Report, Entry, Fact, Problem))
)]
struct Document;

/// `GET /openapi.json`.
pub(super) async fn document() -> Json<&'static Value> {
    static DOCUMENT: LazyLock<Value> = LazyLock::new(|| {
        let mut document = serde_json::to_value(Document::openapi()).unwrap_or_default();
        close_variants(&mut document);
        document
    });
    Json(&DOCUMENT)
}

/// A fact is its fields and its `kind`, an answer sheet its fields and its `algorithm`. Each part alone would refuse the other's fields, so the whole is closed
/// instead of the parts (JSON Schema 2020-12, `unevaluatedProperties`).
fn close_variants(document: &mut Value) {
    let mut parts: Vec<String> = Vec::new();
    for tagged in ["Fact", "Sheet"] {
        let path = format!("/components/schemas/{tagged}/oneOf");
        let variants = document.pointer_mut(&path).and_then(Value::as_array_mut);
        close(variants.map_or(&mut [], Vec::as_mut_slice), &mut parts);
    }
    for part in parts {
        if let Some(schema) = document.pointer_mut(&part).and_then(Value::as_object_mut) {
            schema.remove("additionalProperties");
        }
    }
}

/// Closes each variant as a whole; its parts are named for opening.
fn close(variants: &mut [Value], parts: &mut Vec<String>) {
    for variant in variants {
        let all_of = variant["allOf"].as_array().into_iter().flatten();
        parts
            .extend(all_of.filter_map(|part| {
                Some(part["$ref"].as_str()?.trim_start_matches('#').to_owned())
            }));
        if variant["allOf"].is_array() {
            variant["unevaluatedProperties"] = Value::Bool(false);
        }
    }
}

/// Begins a session with a code or the lead's three words.
#[utoipa::path(post, path = "/join", request_body = Join, responses(
    (status = 200, description = "joined; the answer sets the session's cookie", body = Joined),
    (status = 400, description = "not the JSON expected", body = Problem, content_type = "application/problem+json"),
    (status = 403, description = "wrong code, or not from the board's own pages", body = Problem, content_type = "application/problem+json"),
    (status = 422, description = "a name is needed", body = Problem, content_type = "application/problem+json"),
    (status = 429, description = "too many wrong codes from this address", body = Problem, content_type = "application/problem+json"),
    (status = 503, description = "busy", body = Problem, content_type = "application/problem+json"),
    (status = 507, description = "the board cannot store anything", body = Problem, content_type = "application/problem+json"),
))]
#[expect(dead_code, reason = "describes the handler in `join`")]
fn join() {}

/// Who this device is.
#[utoipa::path(get, path = "/session", responses(
    (status = 200, description = "the session", body = Joined),
    (status = 401, description = "no session", body = Problem, content_type = "application/problem+json"),
))]
#[expect(dead_code, reason = "describes the handler in `join`")]
fn who() {}

/// Reports facts; each gets a receipt once it is on disk.
#[utoipa::path(post, path = "/journal", request_body = Batch, responses(
    (status = 200, description = "one receipt or problem per fact, in order", body = Answer),
    (status = 400, description = "not the JSON expected", body = Problem, content_type = "application/problem+json"),
    (status = 401, description = "no session", body = Problem, content_type = "application/problem+json"),
    (status = 403, description = "not from the board's own pages", body = Problem, content_type = "application/problem+json"),
    (status = 413, description = "more than 50 facts or 64 kB", body = Problem, content_type = "application/problem+json"),
    (status = 503, description = "busy", body = Problem, content_type = "application/problem+json"),
    (status = 507, description = "the board cannot store anything", body = Problem, content_type = "application/problem+json"),
))]
#[expect(dead_code, reason = "describes the handler in `journal_door`")]
fn append() {}

/// Every entry after a position, one JSON object a line: `seq`, `entry`, `body` (the stored bytes) and `chain`.
#[utoipa::path(get, path = "/journal", params(("after" = Option<u64>, Query, description = "the last position already known")), responses(
    (status = 200, description = "entries, oldest first", content_type = "application/x-ndjson", body = Entry),
    (status = 400, description = "a part of the address is not what belongs there", body = Problem, content_type = "application/problem+json"),
    (status = 401, description = "no session", body = Problem, content_type = "application/problem+json"),
    (status = 403, description = "the role may not read the whole journal", body = Problem, content_type = "application/problem+json"),
))]
#[expect(dead_code, reason = "describes the handler in `journal_door`")]
fn read() {}

/// A stream of the parts of these views that changed since a position.
#[utoipa::path(get, path = "/live/{views}", params(
    ("views" = String, Path, description = "views joined by commas: board, next, summary, log, settings, kits, lead, casualty:ID"),
    ("since" = Option<u64>, Query, description = "the position the page was rendered at"),
), responses(
    (status = 200, description = "server-sent events: hello, parts, heartbeat, bye", content_type = "text/event-stream", body = String),
    (status = 400, description = "a part of the address is not what belongs there", body = Problem, content_type = "application/problem+json"),
    (status = 401, description = "no session", body = Problem, content_type = "application/problem+json"),
    (status = 403, description = "the role may not see this", body = Problem, content_type = "application/problem+json"),
    (status = 404, description = "no such view", body = Problem, content_type = "application/problem+json"),
    (status = 429, description = "too many streams", body = Problem, content_type = "application/problem+json"),
))]
#[expect(dead_code, reason = "describes the handler in `live_door`")]
fn live() {}
