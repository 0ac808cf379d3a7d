use axum::extract::State;
use axum::response::Response;

use crate::acts::stock_now;
use crate::sheet::stock_document;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{DocumentPage, Frame, Visiting, page};

/// What is here, and what spoils by tomorrow.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let view = app
        .read(move |book, farm, tables| stock_now(book, farm, tables, now))
        .await
        .map_err(|error| frame.refused(error))?;
    let parts = frame.document(&stock_document(&view, usize::MAX));
    let title = frame.t("nav.stock").to_owned();
    Ok(page(&DocumentPage {
        frame,
        title,
        parts,
    }))
}
