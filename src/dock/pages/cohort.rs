use axum::extract::{Path, State};
use axum::response::Response;

use crate::acts::{YieldAsked, yields};
use crate::sheet::yields_document;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{DocumentPage, Frame, Visiting, page};

/// What one cohort was given, and what it made of it.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
    Path(cohort): Path<String>,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let document = app
        .read(move |book, farm, tables| {
            let how = YieldAsked::default();
            let sheet = yields(book, farm, tables, Some(&cohort), how, now)?;
            Ok(yields_document(&sheet))
        })
        .await
        .map_err(|error| frame.unread(error))?;
    Ok(page(&DocumentPage {
        parts: frame.document_here(&document),
        title: frame.say(&document.title),
        frame,
    }))
}
