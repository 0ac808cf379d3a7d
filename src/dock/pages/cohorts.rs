use axum::extract::State;
use axum::response::Response;

use crate::acts::{cohorts_on, night_of};
use crate::sheet::cohorts_document;

use super::super::answer::Refusal;
use super::super::app::App;
use super::super::view::{DocumentPage, Frame, Visiting, linked, page};

/// Larvae on their trays.
pub(in crate::dock) async fn show(
    State(app): State<App>,
    visit: Visiting,
) -> Result<Response, Refusal> {
    let frame = Frame::new(&app, &visit);
    let now = app.shared.clock.now();
    let (document, own_pages) = app
        .read(move |book, farm, tables| {
            let night = night_of(now, None, farm);
            let cohorts = cohorts_on(book, farm, &tables.stages, night)?;
            let own_pages: Vec<String> = (cohorts.iter())
                .map(|cohort| format!("/cohort/r{}", cohort.record))
                .collect();
            Ok((cohorts_document(&cohorts, night.day), own_pages))
        })
        .await
        .map_err(|error| frame.unread(error))?;
    let mut parts = frame.document(&document);
    linked(&mut parts, own_pages.into_iter());
    Ok(page(&DocumentPage {
        title: frame.t("nav.cohorts").to_owned(),
        parts,
        frame,
    }))
}
