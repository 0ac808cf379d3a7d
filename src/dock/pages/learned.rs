use axum::extract::State;
use axum::response::Response;

use crate::acts::{learn, mixes};
use crate::sheet::{Document, learn_document, mixes_document};

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{DocumentPage, Frame, Visiting, page};

/// What the farm's own records say against the tables.
pub(in crate::dock) async fn learned(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let document = app
        .read(move |book, farm, tables| Ok(learn_document(&learn(book, farm, tables, now)?)))
        .await
        .map_err(|error| frame.unread(error))?;
    Ok(shown(frame, "nav.learn", &document))
}

/// Which mixes went with which harvests.
pub(in crate::dock) async fn tried(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let document = app
        .read(move |book, farm, tables| Ok(mixes_document(&mixes(book, farm, tables, now)?)))
        .await
        .map_err(|error| frame.unread(error))?;
    Ok(shown(frame, "nav.mixes", &document))
}

fn shown(frame: Frame, title: &str, document: &Document) -> Response {
    page(&DocumentPage {
        title: frame.t(title).to_owned(),
        parts: frame.document(document),
        frame,
    })
}
