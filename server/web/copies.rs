//! Copies for other systems: the page that offers them, and each as a file to be saved.
//!
//! Promises: whoever takes one stands in the record with when, in which standard and up to which entry, before the file
//! goes out; the file is as of that very entry.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};

use super::app::App;
use super::page::{Frame, html};
use super::problem::Problem;
use super::record;
use super::session::Session;
use super::view::Moment;
use crate::exchange::standards::{self, AsOf, File, Form};
use crate::incident::fact::RecordCopied;
use crate::incident::{Deed, Fact, Incident, Words};
use crate::journal::check_words;

/// A standard as it is offered.
struct Offered {
    code: &'static str,
    words: &'static str,
    about: &'static str,
}

#[derive(Template)]
#[template(path = "copies.html")]
struct CopiesPage {
    frame: Frame,
    offered: Vec<Offered>,
    takings: Vec<(Moment, String, String)>,
}

/// `GET /copies`.
pub(super) async fn page(State(app): State<App>, session: Session) -> Result<Response, Problem> {
    session.permit(Deed::ReadJournal)?;
    let page = app.journal.read(|incident| CopiesPage {
        frame: Frame::new(&app, &session, incident, "copies", String::new()),
        offered: Form::ALL
            .into_iter()
            .map(|form| Offered {
                code: form.code(),
                words: form.words(),
                about: form.about(),
            })
            .collect(),
        takings: takings(incident),
    });
    html(&page).map(IntoResponse::into_response)
}

/// Who took copies out: when, and which.
pub(super) fn takings(incident: &Incident) -> Vec<(Moment, String, String)> {
    let entries = incident.entries().iter();
    entries
        .filter_map(|entry| match &entry.fact {
            Fact::RecordCopied(copied) => {
                let form = Form::from_code(copied.form.as_str());
                let form =
                    form.map_or_else(|| copied.form.to_string(), |form| form.words().to_owned());
                let what = format!("{form}, up to entry {}", copied.seq);
                Some((entry.happened_at.into(), entry.by.to_string(), what))
            }
            _ => None,
        })
        .collect()
}

/// `GET /copies/{form}`: a copy, to be saved.
pub(super) async fn save(
    State(app): State<App>,
    session: Session,
    Path(code): Path<String>,
) -> Result<Response, Problem> {
    session.permit(Deed::ReadJournal)?;
    let form = Form::from_code(&code).ok_or_else(Problem::no_such_page)?;
    let incident = app.journal.read(Incident::clone);
    let seq = incident.head();
    let check = check_words(app.journal.chain_at(seq).await?);
    let as_of = AsOf::new(seq, check, app.journal.now());
    // Noted first: a copy that is not in the record does not go out.
    let copied = RecordCopied {
        seq,
        check: Words::new(&as_of.check).map_err(|_| Problem::no_such_page())?,
        form: Words::new(form.code()).map_err(|_| Problem::no_such_page())?,
    };
    record::note(&app, &session, as_of.at, Fact::RecordCopied(copied)).await?;
    // On a thread of its own: a long record takes a while, and the board goes on meanwhile.
    let made = tokio::task::spawn_blocking(move || standards::one_file(&incident, &as_of, form));
    let file = made.await.map_err(|error| {
        tracing::error!(error = %error, "a copy could not be made");
        Problem::new(
            axum::http::StatusCode::INTERNAL_SERVER_ERROR,
            "copy-failed",
            "This copy could not be made",
            "The record itself is safe. Save the record to a file instead, or take another kind of copy.",
        )
    })?;
    answer(file)
}

fn answer(file: File) -> Result<Response, Problem> {
    let name = format!("attachment; filename=\"{}\"", file.name);
    let name = HeaderValue::from_str(&name).map_err(|_| Problem::no_such_page())?;
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static(file.kind)),
        (header::CONTENT_DISPOSITION, name),
    ];
    Ok((headers, file.bytes).into_response())
}
