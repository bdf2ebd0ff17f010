//! Scripts and styles, inside the program, under one address that changes with their content.
//!
//! One hash of the whole folder versions every file: modules import each other relatively, so no file needs
//! another's hash, and all may be kept by the browser for ever.

use axum::extract::Path;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

use super::problem::Problem;

#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/static"]
struct Files;

/// Where the files are.
#[derive(Clone, Debug)]
pub struct Assets {
    prefix: String,
    build: String,
}

impl Default for Assets {
    fn default() -> Self {
        Self::new()
    }
}

impl Assets {
    /// Hashes the embedded folder.
    pub fn new() -> Self {
        let mut names: Vec<_> = Files::iter().collect();
        names.sort();
        let mut hasher = blake3::Hasher::new();
        for name in names {
            hasher.update(name.as_bytes());
            if let Some(file) = Files::get(&name) {
                hasher.update(&file.data);
            }
        }
        let build: String = hasher.finalize().to_hex().chars().take(12).collect();
        Self {
            prefix: format!("/static/{build}"),
            build,
        }
    }

    /// The address of the folder, without a slash at the end.
    pub fn prefix(&self) -> &str {
        &self.prefix
    }

    /// The folder's hash: pages compare it to know that a newer program runs.
    pub fn build(&self) -> &str {
        &self.build
    }
}

/// `GET /static/{build}/{file}`: a file. An older build's address still gets today's file, uncached.
pub(super) async fn file(
    axum::extract::State(app): axum::extract::State<super::app::App>,
    Path((build, name)): Path<(String, String)>,
) -> Result<Response, Problem> {
    let file = Files::get(&name).ok_or_else(Problem::no_such_page)?;
    let kind = match name.rsplit('.').next() {
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        _ => "application/octet-stream",
    };
    let kept = if build == app.assets.build() {
        "public, max-age=31536000, immutable"
    } else {
        "no-store"
    };
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static(kind)),
        (header::CACHE_CONTROL, HeaderValue::from_static(kept)),
    ];
    Ok((headers, file.data.into_owned()).into_response())
}
