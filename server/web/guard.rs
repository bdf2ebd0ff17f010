//! What every request passes before it reaches a handler, and what every answer carries.
//!
//! On plain HTTP browsers send no `Sec-Fetch-*` headers (W3C Fetch Metadata), so a request from another site
//! is told by its `Origin` and by a header of our own that only same-origin scripts can set.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::Response;

use super::app::App;
use super::problem::Problem;

/// Our own header on every request that may change something.
pub(super) const OWN_HEADER: &str = "x-holdfast";

/// No inline script or style, nothing from elsewhere, and one place where text becomes HTML
/// (OWASP ASVS 5.0, 3.4.3 to 3.4.6).
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
    connect-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; \
    frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types holdfast-parts";

/// Turns away requests under foreign names, and writes that do not come from our own pages.
pub(super) async fn check(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let host = text(request.headers(), header::HOST.as_str()).unwrap_or_default();
    if !app.hosts.allows(host) {
        return Err(Problem::wrong_host());
    }
    if !matches!(*request.method(), Method::GET | Method::HEAD) {
        from_own_page(request.headers(), host)?;
    }
    Ok(next.run(request).await)
}

fn from_own_page(headers: &HeaderMap, host: &str) -> Result<(), Problem> {
    let origin = text(headers, header::ORIGIN.as_str()).unwrap_or_default();
    let same = origin
        .strip_prefix("http://")
        .or_else(|| origin.strip_prefix("https://"))
        == Some(host);
    if !same {
        return Err(Problem::not_from_here(
            "Its Origin is missing or foreign. Use the board's own pages.",
        ));
    }
    if text(headers, OWN_HEADER) != Some("1") {
        return Err(Problem::not_from_here("It lacks the header X-Holdfast: 1."));
    }
    let json = text(headers, header::CONTENT_TYPE.as_str()).is_some_and(|kind| {
        kind.split(';')
            .next()
            .is_some_and(|kind| kind.trim() == "application/json")
    });
    if json {
        Ok(())
    } else {
        Err(Problem::not_json(
            "Only JSON is taken here: Content-Type: application/json.",
        ))
    }
}

fn text<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Puts the protective headers on every answer.
pub(super) async fn protect(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        // Not `no-referrer`: with it a form post would carry `Origin: null`.
        ("referrer-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        (
            "permissions-policy",
            "camera=(), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}
